"""Invoice, credit note and variation order as PDF, from their frozen documents and the estimate of their quote.

As with the letter all that is printed is put together here from an allow-list of keys; no other key is read.
"""

import datetime
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from exports.format import field
from exports.papers.letter import PAPER, addressed_to, banner_of, company_of, lines_in, machine_said, units_in
from exports.papers.priced import parts, tax_named
from exports.papers.words import Words, words_in

__all__ = ["invoice_content", "invoice_paper", "variation_content", "variation_paper"]

Row = tuple[str, str, str]
Bill = Mapping[str, Any]
CENTI = 2  # places of a wear in mm


def invoice_paper(bill: Bill, estimate: Any, language: str = "en") -> bytes:  # noqa: ANN401  # a document of any age
    """Return an invoice or credit note as PDF; `estimate` is that of its quote."""
    return _set(invoice_content(bill, estimate, language), bill["issued_on"])


def variation_paper(bill: Bill, estimate: Any, language: str = "en") -> bytes:  # noqa: ANN401  # the same
    """Return a variation order as PDF; `estimate` is that of its quote."""
    return _set(variation_content(bill, estimate, language), bill["dated"])


def _set(content: Mapping[str, Any], day: str) -> bytes:
    from exports.papers.set import set_paper  # noqa: PLC0415  # what sets papers is only loaded by who asks for one

    return set_paper("bill", content, datetime.date.fromisoformat(day))


# ---------------------------------------------------------------- invoice


def invoice_content(bill: Bill, estimate: Any, language: str) -> dict[str, Any]:  # noqa: ANN401  # a document of any age
    """Return all that an invoice prints, as its template takes it."""
    words, credit = words_in(language), bill["cancels"] is not None
    title = words("credit" if credit else "invoice")
    opening = words("credit_opening" if credit else "invoice_opening", number=bill["cancels"] or bill["quote"])
    rows = _invoiced(bill, estimate, words)
    return {
        **_head(f"{title} {bill['number']}", estimate, words),
        "facts": _facts(_references(bill, estimate, words)),
        "opening": [opening],
        "items": None,
        "price": _table([*rows, *_sums(bill, estimate, words)], bill["currency"], words, "invoiced"),
        "sections": _to_pay(bill, estimate, words),
        "accept": None,
    }


def _references(bill: Bill, estimate: Any, words: Words) -> list[tuple[str, str | None]]:  # noqa: ANN401  # a document
    job, due = estimate["job"], bill["due_on"]
    quoted = words("quote_of", number=bill["quote"], date=_day(bill["quote_issued_on"], words))
    return [
        (words("number"), bill["number"]),
        (words("invoice_date"), _day(bill["issued_on"], words)),
        (words("supplied"), _day(bill["delivered_on"], words)),
        (words("due"), _day(due, words) if due else None),
        (words("cancels"), bill["cancels"]),
        (words("quote"), quoted),
        (words("reference"), bill["reference"]),
        (words("purchase_order"), bill["purchase_order"]),
        (words("contact"), field(job, "buyer", "contact")),
        (words("machine"), machine_said(job, words)),
        (words("site"), ", ".join(lines_in(field(job, "site", "address")))),
    ]


def _invoiced(bill: Bill, estimate: Any, words: Words) -> list[Row]:  # noqa: ANN401  # a document
    """Return the lines of an invoice; what was quoted part by part as its letter has it."""
    each, quoted = parts(estimate, words), [line for line in bill["lines"] if line["code"] == "quoted"]
    sign = -1 if bill["cancels"] is not None else 1
    whole = sign * sum((Decimal(line["price"]) for line in quoted), Decimal(0))
    rows: list[Row] = []
    if quoted and whole == sum((Decimal(amount) for _, amount in each), Decimal(0)):
        places = len(bill["total"].partition(".")[2])
        rows = [(what, words.number(sign * Decimal(amount), places), "") for what, amount in each]
        quoted = []
    return rows + [_line(line, bill["currency"], words) for line in (*quoted, *_beside(bill))]


def _beside(bill: Bill) -> list[Mapping[str, Any]]:
    return [line for line in bill["lines"] if line["code"] != "quoted"]


def _line(line: Mapping[str, Any], currency: str, words: Words) -> Row:
    """Return a line of an invoice: how it is named, and its amount."""
    if line["code"] == "quoted":
        said = words("line_quoted", percent=words.percent(line["tax_fraction"]))
    elif line["code"] == "standing":
        each = words.money(line["unit_price"], currency)
        hours = words.number(abs(line["quantity"]), CENTI)
        said = words("line_standing", reason=line["said"], hours=hours, price=each)
    elif line["variation"] is not None:
        said = words("line_variation", number=str(line["variation"]), cause=line["said"])
    else:
        said = line["said"]
    by = line["approved_by"]
    return (words("approved", text=said, name=by) if by else said), words.amount(line["price"]), ""


def _to_pay(bill: Bill, estimate: Any, words: Words) -> list[dict[str, Any]]:  # noqa: ANN401  # a document
    """Return until when what is to be paid, and on which terms; nothing of a credit note."""
    if bill["cancels"] is not None:
        return []
    total = words.money(bill["total"], bill["currency"])
    said = words("pay_open", total=total, number=bill["number"])
    if bill["due_on"]:
        said = words("pay_by", total=total, date=_day(bill["due_on"], words), number=bill["number"])
    terms = lines_in(words.worded(field(estimate, "letter", "terms", "payment")))
    return [{"title": words("payment"), "items": [said, *terms]}]


# ---------------------------------------------------------------- variation order


def variation_content(bill: Bill, estimate: Any, language: str) -> dict[str, Any]:  # noqa: ANN401  # a document of any age
    """Return all that a variation order prints, as its template takes it."""
    words, job = words_in(language), estimate["job"]
    total = words.money(bill["total"], bill["currency"])
    said = {"number": bill["number"], "quote": bill["quote"], "total": total}
    rows: list[Row] = [(_work(line, words), words.amount(line["price"]), "") for line in bill["lines"]]
    note = [{"title": words("note"), "items": lines_in(bill["note"])}] if bill["note"] else []
    return {
        **_head(words("variation_of", **said), estimate, words),
        "facts": _facts([
            (words("number"), f"{bill['quote']}-{bill['number']}"),
            (words("dated"), _day(bill["dated"], words)),
            (words("quote"), words("quote_of", number=bill["quote"], date=_day(bill["quote_issued_on"], words))),
            (words("reference"), bill["reference"]),
            (words("purchase_order"), bill["purchase_order"]),
            (words("machine"), machine_said(job, words)),
            (words("site"), ", ".join(lines_in(field(job, "site", "address")))),
        ]),
        "opening": [words("variation_opening"), words("cause", cause=bill["cause"])],
        "items": _worn(bill, words),
        "price": _table([*rows, *_sums(bill, estimate, words)], bill["currency"], words, "variation_price"),
        "sections": note,
        "accept": _order(said, words),
    }  # fmt: skip


def _worn(bill: Bill, words: Words) -> dict[str, Any] | None:
    """Return the table of what was quoted and what was found, a row a bore; None where no wear is in it."""
    worn = [line for line in bill["lines"] if line["bore"] is not None]
    if not worn:
        return None
    rows = [
        [line["bore"], *(words.number(line[f"{when}_mm"], CENTI) for when in ("before", "after")),
         words.number(Decimal(str(line["after_mm"])) - Decimal(str(line["before_mm"])), CENTI)]
        for line in worn
    ]  # fmt: skip
    head = [words(code) for code in ("bore", "wear_quoted", "wear_found", "wear_more")]
    return {"title": words("worn_more"), "head": head, "rows": rows}


def _work(line: Mapping[str, Any], words: Words) -> str:
    """Return how a line of a variation order is named."""
    if line["bore"] is None:
        return str(line["description"])
    if line["unit"] != "mm":
        return words("line_wear", bore=line["bore"])
    by = {"bore": line["bore"], "wear": words.number(line["quantity"], CENTI)}
    return words("line_wear_rate", price=words.amount(line["unit_price"]), **by)


def _order(said: Mapping[str, str], words: Words) -> dict[str, Any]:
    lines = [words(code) for code in ("sign_place", "sign_name", "sign_order", "sign_signature")]
    return {"title": words("order"), "text": words("order_said", **said), "lines": lines}


# ---------------------------------------------------------------- both


def _head(title: str, estimate: Any, words: Words) -> dict[str, Any]:  # noqa: ANN401  # a document
    return {
        "language": words.language,
        "paper": PAPER[units_in(estimate, words.language)],
        "region": words.locale.partition("_")[2],
        "title": title,
        "subject": words("subject"),
        "job": field(estimate, "job", "title") or "",
        "page": words("page", page="{page}", pages="{pages}"),
        "banner": banner_of(estimate, words),
        "draft": [],
        "company": company_of(estimate, words),
        "to": addressed_to(estimate),
    }


def _facts(rows: list[tuple[str, str | None]]) -> list[tuple[str, str]]:
    return [(name, value) for name, value in rows if value]


def _day(text: str, words: Words) -> str:
    return words.date(datetime.date.fromisoformat(text))


def _sums(bill: Bill, estimate: Any, words: Words) -> list[Row]:  # noqa: ANN401  # a document
    """Return the sum before tax, the tax by rate, and the sum with tax."""
    rates, currency = bill["taxes"], bill["currency"]
    named = [tax_named(estimate, one["tax_fraction"], words) for one in rates]
    if len(rates) > 1:
        named = [
            words("tax_on", tax=name, base=words.money(one["before_tax"], currency))
            for name, one in zip(named, rates, strict=True)
        ]
    taxes: list[Row] = [(name, words.amount(one["tax"]), "") for name, one in zip(named, rates, strict=True)]
    before: Row = (words("sum_before_tax"), words.amount(bill["before_tax"]), "sum")
    return [before, *taxes, (words("sum_with_tax"), words.amount(bill["total"]), "total")]


def _table(rows: list[Row], currency: str, words: Words, title: str) -> dict[str, Any]:
    return {"title": words(title), "head": [words("item"), words("amount", currency=currency)], "rows": rows}
