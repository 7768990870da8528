"""What stands on invoices: those of a quote that no credit note cancels, and the lines on them."""

import json
from collections.abc import Sequence

from sqlmodel import Session, col, select

from api.store.models import Invoice

__all__ = ["billed_keys", "invoices_of", "standing_invoices"]


def invoices_of(session: Session, quote: int) -> Sequence[Invoice]:
    """Return the invoices and credit notes of a quote, oldest first."""
    return session.exec(select(Invoice).where(Invoice.quote == quote).order_by(col(Invoice.number))).all()


def standing_invoices(session: Session, quote: int) -> Sequence[Invoice]:
    """Return the invoices of a quote that were not cancelled, oldest first."""
    rows = invoices_of(session, quote)
    gone = {row.cancels for row in rows}
    return [row for row in rows if row.cancels is None and row.number not in gone]


def billed_keys(session: Session, quote: int) -> list[str]:
    """Return the keys of the lines that stand on them."""
    return [line["key"] for row in standing_invoices(session, quote) for line in json.loads(row.document)["lines"]]
