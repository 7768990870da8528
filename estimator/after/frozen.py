"""Invoices, credit notes and variation orders as they are frozen: numbered, dated, with what they refer to."""

import datetime
from collections.abc import Mapping
from decimal import Decimal
from typing import Any, NamedTuple

from estimator.errors import DocumentError, Fault
from estimator.estimate import Estimate
from estimator.fields import Date, Document

__all__ = ["AskedInvoice", "Quoted", "credit_note", "invoice_document", "variation_document"]

LEFT_OUT = ("left_out", "open", "signature")  # for the office, before an invoice goes out
TURNED = ("price", "before_tax", "tax", "total")


class AskedInvoice(Document):
    """What may be said of an invoice: the day by which the work was done; else the day of the invoice."""

    delivered: Date | None = None


class Quoted(NamedTuple):
    """The quote that a bill is for: its number, revision, and the day it was issued."""

    number: str
    revision: int
    issued_on: str


def invoice_document(
    lines: Mapping[str, Any], number: str, quoted: Quoted, estimate: Estimate, day: str, asked: AskedInvoice
) -> dict[str, Any]:
    """Return an invoice as it is frozen.

    Parameters
    ----------
    lines
        As `estimator.after.invoice.invoice` made them.
    number
        Its own number.
    quoted, estimate
        The quote that it is for.
    day
        The day it is issued on.
    asked
        What the office said of it.
    """
    delivered = asked.delivered or day
    if delivered > day:
        raise DocumentError([Fault("delivered", f"{delivered} lies after the invoice's own day, {day}")])
    return {
        "number": number,
        "cancels": None,
        "quote_revision": quoted.revision,
        "quote_issued_on": quoted.issued_on,
        "issued_on": day,
        "delivered_on": delivered,
        "due_on": _due(estimate, day),
        **{key: value for key, value in lines.items() if key not in LEFT_OUT},
    }


def _due(estimate: Estimate, day: str) -> str | None:
    """Return until when is to be paid by the terms of the quote; None where they say no number of days."""
    letter: Any = estimate.get("letter")
    days = letter["terms"].get("payment_days") if letter else None
    return None if days is None else str(datetime.date.fromisoformat(day) + datetime.timedelta(days=days))


def credit_note(invoice: Mapping[str, Any], number: str, day: str) -> dict[str, Any]:
    """Return what cancels an invoice as a whole: the same lines, every amount turned round."""
    lines = [_turned(line) | {"quantity": -line["quantity"]} for line in invoice["lines"]]
    taxes = [_turned(one) for one in invoice["taxes"]]
    said = {"number": number, "cancels": invoice["number"], "issued_on": day, "due_on": None}
    return {**_turned(invoice), **said, "lines": lines, "taxes": taxes}


def _turned(item: Mapping[str, Any]) -> dict[str, Any]:
    return {**item, **{key: f"{-Decimal(item[key]) + 0:f}" for key in TURNED if key in item}}


def variation_document(ordered: Mapping[str, Any], number: str, quoted: Quoted, day: str) -> dict[str, Any]:
    """Return a variation order as it is frozen; `ordered`: as `estimator.after.variation.variation` made it."""
    said = {"quote": quoted.number, "quote_revision": quoted.revision, "quote_issued_on": quoted.issued_on}
    return {"number": number, **said, "dated": day, **ordered}
