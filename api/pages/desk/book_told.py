"""What the figures of a price book do to a reference job, and what moved its price from one version to another."""

import json
from decimal import Decimal
from typing import Any

from api.filled import filled
from api.pages.desk.book_form import PRICED, answered, answered_new, asked_of, raised
from api.pages.desk.weighed import signed
from api.work.tasks import book_of
from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.errors import DocumentError, Fault, JobRefusedError, OutOfRangeError
from estimator.estimate import estimate
from estimator.trust.causes import causes
from exports.format import amount

__all__ = ["book_effects", "book_moved"]

ERRORS = (DocumentError, JobRefusedError, OutOfRangeError)
MOST_CAUSES = 30


def book_effects(reference: str, base: str, fields: str) -> str:
    """Return what each figure of a book as typed does to a reference job, as a piece of a page.

    Parameters
    ----------
    reference
        The job document, as text.
    base
        The stored book that the answers change, whole or partial; as text.
    fields
        What was typed, a JSON object.
    """
    shown: dict[str, Any] = {"rows": [], "total": "", "moved": "", "faults": []}
    before, said = book_of(base), json.loads(fields)
    new = not said.get("was")
    document, faults = answered_new(said) if new else answered(json.loads(base), before, said)
    try:
        book = read_pricebook(document)
        now = _price(reference, book)
        shown["total"] = amount(f"{now:.2f}", book.currency)
        shown["moved"] = "" if new else signed(now - _price(reference, before), book.currency)
        shown["rows"] = [
            _row(reference, book, one, now) | ({"name": PRICED[one.key]} if new else {})
            for one in asked_of(book)
            if not new or one.key in PRICED
        ]
    except ERRORS as error:
        told = getattr(error, "faults", [Fault("", str(error))])
        faults += [Fault(one.path.replace(".", "/"), one.message) for one in told]
    return filled("effects.html", None, "", **shown | {"faults": faults})


def _row(reference: str, book: PriceBook, one: Any, now: Decimal) -> dict[str, str]:  # noqa: ANN401  # a question
    try:
        more = _price(reference, read_pricebook(raised(book.document, one))) - now
    except ERRORS:
        return {"name": one.name, "said": ""}
    return {"name": one.name, "said": f"a tenth more: {signed(more, book.currency)}"}


def _price(reference: str, book: PriceBook) -> Decimal:
    return Decimal(estimate(reference, book, "price")["price"]["before_tax"])


def book_moved(reference: str, first: str, second: str) -> str:
    """Return what moved the price of a reference job from one version of a book to another, cause by cause."""
    try:
        found = causes(reference, reference, book_of(first), book_of(second))
    except ERRORS as error:
        return filled("moved.html", None, "", found=None, wrong=str(error))
    rows = [
        {
            "what": ", ".join(one["what"]).replace("price book: ", ""),
            "before": ", ".join(map(str, one["from"])),
            "after": ", ".join(map(str, one["to"])),
            "moved": signed(Decimal(one["moved"]), found["currency"]),
        }
        for one in found["causes"][:MOST_CAUSES]
    ]
    return filled("moved.html", None, "", found=found, rows=rows, wrong="")
