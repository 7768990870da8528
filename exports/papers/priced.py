"""What a letter says of money: parts of the price, tax and total; a range; what more work would be charged at."""

from typing import Any

from exports.format import field
from exports.papers.words import Words

__all__ = ["amounts", "charges", "span"]

Row = tuple[str, str, str]  # what, its amount, how it stands out: "", "sum", "total"


def amounts(found: Any, words: Words) -> dict[str, Any]:  # noqa: ANN401  # a document
    """Return the table of the price, part by part, that adds up to the price with tax."""
    price = found["price"]
    parts = [_part(found, one, words) for one in price.get("bores") or []]
    rows: list[Row] = [
        *parts,
        (words("before_tax"), words.amount(price["before_tax"]), "sum"),
        (_tax(found, words), words.amount(price["tax"]), ""),
        (words("total"), words.amount(price["total"]), "total"),
    ]
    return _table(rows, price["currency"], [], words, "price")


def _tax(found: Any, words: Words) -> str:  # noqa: ANN401  # a document
    """Return the tax by name and rate."""
    rate = words.percent(found["pricebook"]["tax_fraction"])
    name = words.worded(field(found, "letter", "terms", "tax_name")) or words("tax_name")
    return words("tax", name=name, percent=rate)


def _part(found: Any, one: Any, words: Words) -> Row:  # noqa: ANN401  # parts of a document
    return _named(found, one, words), words.amount(one["amount"]), ""


def _named(found: Any, one: Any, words: Words) -> str:  # noqa: ANN401  # parts of a document
    """Return what a part of the price is for."""
    if one["part"] == "bore":
        return words("part_bore", bore=one["bore"])
    if one["part"] == "extra":
        return _extra(one, found["price"]["currency"], words)
    if one["part"] == "discount":
        return words("part_discount", percent=words.percent(one["fraction"]))
    return words(f"part_{one['part']}")


def _extra(one: Any, currency: str, words: Words) -> str:  # noqa: ANN401  # a part of a document
    unit = words("unit_each") if one["unit"] == "each" else one["unit"]
    quantity = words.number(one["quantity"], 3, 0)
    return words("extra", text=one["text"], quantity=quantity, unit=unit, price=words.money(one["price"], currency))


def span(found: Any, words: Words) -> dict[str, Any]:  # noqa: ANN401  # a document
    """Return the range of a budget price; it binds nobody."""
    budget, price = found["budget"], found["price"]
    rows: list[Row] = [
        (words("range_low"), words.amount(budget["low"]), ""),
        (words("range_likely"), words.amount(budget["likely"]), "sum"),
        (words("range_high"), words.amount(budget["high"]), ""),
    ]
    said = {end: words.money(budget[end], price["currency"]) for end in ("low", "high")}
    return _table(rows, price["currency"], [words("range_said", tax=_tax(found, words), **said)], words, "range")


def _table(rows: list[Row], currency: str, notes: list[str], words: Words, title: str) -> dict[str, Any]:
    head = [words("item"), words("amount", currency=currency)]
    return {"title": words(title), "head": head, "rows": rows, "notes": notes}


def charges(terms: Any, currency: str, words: Words) -> list[str]:  # noqa: ANN401  # a part of a document
    """Return what is charged where more wear is found, and where the crew must wait for others."""
    wear, standing = terms.get("more_wear"), terms.get("standing_time")
    said = [words("rate_wear", price=words.money(wear["price"], currency), unit=wear["per"])] if wear else []
    said += [words("rate_standing", price=words.money(standing["price"], currency))] if standing else []
    own = words.worded(terms.get("more_wear_text"))
    return said + ([own] if own else [])
