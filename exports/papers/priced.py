"""What a letter says of money: parts of the price, tax and total; a range; what more work would be charged at."""

from typing import Any

from estimator.document.old import band_of
from exports.format import field, taxed_at
from exports.papers.repaired import named
from exports.papers.words import Words

__all__ = ["amounts", "charges", "parts", "range_rows", "span", "tax_named", "taxes_said"]

Row = tuple[str, str, str]  # what, its amount, how it stands out: "", "sum", "total"


def amounts(found: Any, words: Words) -> dict[str, Any]:  # noqa: ANN401  # a document
    """Return the table of the price, part by part, that adds up to the price with tax."""
    price = found["price"]
    rows: list[Row] = [
        *((what, words.amount(amount), "") for what, amount in parts(found, words)),
        (words("before_tax"), words.amount(price["before_tax"]), "sum"),
        *((said, words.amount(tax), "") for said, _, _, tax in taxes_said(found, words)),
        (words("total"), words.amount(price["total"]), "total"),
    ]
    return _table(rows, price["currency"], [], words, "price")


def taxes_said(found: Any, words: Words) -> list[tuple[str, float, str, str]]:  # noqa: ANN401  # a document
    """Return the tax by rate: how it is named, its rate, what it is on and how much it is."""
    rates = taxed_at(found)
    if len(rates) == 1:
        return [(tax_named(found, rates[0][0], words), *rates[0])]
    currency = found["price"]["currency"]
    return [
        (words("tax_on", tax=tax_named(found, fraction, words), base=words.money(base, currency)), fraction, base, tax)
        for fraction, base, tax in rates
    ]


def tax_said(found: Any, words: Words) -> str:  # noqa: ANN401  # a document
    """Return the tax by name and every rate."""
    return ", ".join(tax_named(found, fraction, words) for fraction, _, _ in taxed_at(found))


def tax_named(found: Any, fraction: float, words: Words) -> str:  # noqa: ANN401  # a document
    """Return the tax of one rate by name and rate."""
    name = words.worded(field(found, "letter", "terms", "tax_name")) or words("tax_name")
    return words("tax", name=name, percent=words.percent(fraction))


def parts(found: Any, words: Words) -> list[tuple[str, str]]:  # noqa: ANN401  # a document
    """Return the parts of the price by name, each with its amount as it stands in the document."""
    return [(_named(found, one, words), one["amount"]) for one in found["price"].get("bores") or []]


def _named(found: Any, one: Any, words: Words) -> str:  # noqa: ANN401  # parts of a document
    """Return what a part of the price is for."""
    if one["part"] == "bore":
        return words("part_bore", bore=named(one["bore"], words))
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
    currency, each = found["price"]["currency"], range_rows(found, words)
    looks = ("", "sum", "")
    rows: list[Row] = [(what, words.amount(amount), look) for (what, amount), look in zip(each, looks, strict=True)]
    low, high = (words.money(each[at][1], currency) for at in (0, 2))
    band = band_of(found)
    taxed = words("range_taxed" if band is not None and band.taxed else "range_untaxed", tax=tax_said(found, words))
    return _table(rows, currency, [words("range_said", low=low, high=high, taxed=taxed)], words, "range")


def range_rows(found: Any, words: Words) -> list[tuple[str, str]]:  # noqa: ANN401  # a document
    """Return least, likely and most of a budget price by name, as they stand in the document.

    They are before tax; those of documents of before are with tax.
    """
    band, total = band_of(found), found["price"]["total"]
    assert band is not None  # who asks has found a budget price
    taxed = words("with_tax" if band.taxed else "without_tax")
    likely = total if band.taxed else found["budget"].get("likely", found["price"]["before_tax"])
    ends = (("range_low", band.low), ("range_likely", likely), ("range_high", band.high))
    return [(words(code, taxed=taxed), amount) for code, amount in ends]


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
