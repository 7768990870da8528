"""Invoices and variation orders: made of an accepted quote, numbered without gaps, frozen as they are made."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, col, func, select

from api.store.actuals import records_of
from api.store.audit import Who, note
from api.store.billed import billed_keys, invoices_of
from api.store.clock import now
from api.store.errors import AlteredError, MissingError, OvertakenError, StateError
from api.store.jobs import lock_job
from api.store.models import Counter, Invoice, Quote, Variation
from api.store.quotes import find_paper, find_quote
from api.store.sound_bills import VARIATION_STATES, bill_fault
from api.store.whole import hash_of
from estimator.strict import sha256

__all__ = [
    "Bill", "Ground", "add_invoice", "add_variation", "find_invoice",
    "find_variation", "ground_of", "invoices_of", "list_invoices", "next_invoice", "settle_variation",
    "to_cancel", "variations_of",
]  # fmt: skip

OFFERED = VARIATION_STATES[0]
MOST_VARIATIONS = 100  # of a quote
DATE = len("2026-11-25")  # of a moment as it is kept


@dataclass(frozen=True)
class Ground:
    """What a bill of a quote is made of: texts and numbers as they are kept, the number it will have, this moment.

    `records`: those that count, each with the number of the first that it corrects; `variations`: those not declined,
    each with who accepted it; `billed`: keys of lines of invoices that were not cancelled.
    """

    quote: str
    revision: int
    quote_issued_on: str
    estimate: str
    records: str
    variations: str
    billed: tuple[str, ...]
    number: int
    at: str


@dataclass(frozen=True)
class Bill:
    """A bill as it is kept: what it says, its papers, and what a list shows of it."""

    number: int
    document: str
    currency: str
    total: str
    papers: bytes
    at: str


# ---------------------------------------------------------------- what they are made of


def ground_of(session: Session, number: int, kind: str) -> Ground:
    """Return what the next bill of an accepted quote is made of; `kind`: "invoice" or "variation".

    Raises `StateError` for a quote that was not accepted.
    """
    quote = find_quote(session, number)
    if quote.state != "accepted":
        raise StateError(f"quote {number} is {quote.state}; only an accepted quote has {kind}s")
    records = ",".join(f"[{root},{row.document}]" for root, row in records_of(session, number))
    assert quote.issued_at is not None  # it was accepted
    return Ground(
        quote=str(number),
        revision=quote.revision,
        quote_issued_on=quote.issued_at[:DATE],
        estimate=find_paper(session, number).estimate,
        records=f"[{records}]",
        variations=json.dumps([_approved(row) for row in variations_of(session, number) if row.state != "declined"]),
        billed=tuple(billed_keys(session, number)),
        number=next_invoice(session) if kind == "invoice" else _next_variation(session, number),
        at=now(),
    )


def _approved(row: Variation) -> dict[str, Any]:
    by = json.loads(row.settled or "{}").get("by")
    return json.loads(row.document) | {"approved_by": by if row.state == "accepted" else None}


def next_invoice(session: Session) -> int:
    """Return the number that the next invoice will have, if nobody else takes it."""
    return session.exec(select(Counter.last).where(Counter.name == "invoice")).one() + 1


def _next_variation(session: Session, quote: int) -> int:
    last = select(func.coalesce(func.max(Variation.number), 0)).where(Variation.quote == quote)
    return session.exec(last).one() + 1


# ---------------------------------------------------------------- invoices


def add_invoice(session: Session, who: Who, quote: int, made: Bill, cancels: int | None = None) -> Invoice:
    """Keep an invoice or credit note; raise `OvertakenError` where another took its number meanwhile.

    The counter goes up in the transaction that keeps the row: a number that was not kept is given again.
    """
    lock_job(session, find_quote(session, quote).job_id)
    session.execute(sa.update(Counter).where(col(Counter.name) == "invoice").values(last=Counter.last + 1))
    if session.exec(select(Counter.last).where(Counter.name == "invoice")).one() != made.number:
        raise OvertakenError(f"invoice {made.number} was made by somebody else meanwhile; ask again")
    if cancels is None and _state(session, quote) != "accepted":
        raise StateError(f"quote {quote} is not accepted any more")
    row = Invoice(
        number=made.number, quote=quote, cancels=cancels, currency=made.currency, total=made.total,
        document=made.document, sha256=sha256(json.loads(made.document)), papers=made.papers, issued_at=made.at,
        issued_by=who.name,
    )  # fmt: skip
    session.add(row)
    session.flush()
    more = {} if cancels is None else {"cancels": cancels}
    held = {"sha256": row.sha256, "papers": hash_of(row.papers)}
    note(session, who, "invoice issued", f"invoice {row.number}", quote=quote, total=row.total, **held, **more)
    return row


def _state(session: Session, quote: int) -> str:
    return session.exec(select(Quote.state).where(Quote.number == quote)).one()


def find_invoice(session: Session, number: int) -> Invoice:
    """Return an invoice; raise `MissingError` where there is none, `AlteredError` for one that was altered."""
    row = session.get(Invoice, number)
    if row is None:
        raise MissingError(f"there is no invoice {number}")
    if said := bill_fault(row):
        raise AlteredError(f"invoice {number} {said}; restore a backup")
    return row


def list_invoices(session: Session, after: int | None, limit: int) -> Sequence[Invoice]:
    """Return invoices, newest first; `after` is the last number seen."""
    query = select(Invoice).order_by(col(Invoice.number).desc()).limit(limit)
    return session.exec(query if after is None else query.where(col(Invoice.number) < after)).all()


def to_cancel(session: Session, number: int) -> Invoice:
    """Return an invoice that can be cancelled; raise `StateError` for a credit note, and for one that was."""
    row = find_invoice(session, number)
    if row.cancels is not None:
        raise StateError(f"invoice {number} is a credit note; make another invoice instead")
    if session.exec(select(Invoice.number).where(Invoice.cancels == number)).first() is not None:
        raise StateError(f"invoice {number} was cancelled already")
    return row


# ---------------------------------------------------------------- variation orders


def add_variation(session: Session, who: Who, quote: int, made: Bill) -> Variation:
    """Keep a variation order; raise `OvertakenError` where another took its number meanwhile."""
    lock_job(session, find_quote(session, quote).job_id)
    if _next_variation(session, quote) != made.number:
        raise OvertakenError(f"variation {made.number} of quote {quote} was made by somebody else; ask again")
    if made.number > MOST_VARIATIONS:
        raise StateError(f"quote {quote} has {MOST_VARIATIONS} variation orders, which are the most")
    row = Variation(
        quote=quote, number=made.number, state=OFFERED, currency=made.currency, total=made.total,
        document=made.document, sha256=sha256(json.loads(made.document)), papers=made.papers, created_at=made.at,
        created_by=who.name,
    )  # fmt: skip
    session.add(row)
    session.flush()
    held = {"sha256": row.sha256, "papers": hash_of(row.papers)}
    note(session, who, "variation offered", f"quote {quote}", variation=made.number, total=row.total, **held)
    return row


def find_variation(session: Session, quote: int, number: int) -> Variation:
    """Return a variation order; raise as `find_invoice` does."""
    find_quote(session, quote)
    row = session.get(Variation, (quote, number))
    if row is None:
        raise MissingError(f"quote {quote} has no variation {number}")
    if said := bill_fault(row):
        raise AlteredError(f"variation {number} of quote {quote} {said}; restore a backup")
    return row


def variations_of(session: Session, quote: int) -> Sequence[Variation]:
    """Return the variation orders of a quote, oldest first."""
    return session.exec(select(Variation).where(Variation.quote == quote).order_by(col(Variation.number))).all()


def settle_variation(session: Session, who: Who, which: tuple[int, int], state: str, said: str) -> Variation:
    """Accept or decline a variation order; raise `StateError` for one that someone settled first.

    Parameters
    ----------
    session, who
        Where, and who notes it.
    which
        Numbers of the quote and of its variation.
    state
        "accepted" or "declined".
    said
        Who of the customer said so, and how, as JSON.
    """
    quote, number = which
    lock_job(session, find_quote(session, quote).job_id)
    row = find_variation(session, quote, number)
    session.refresh(row)
    if row.state != OFFERED:
        raise StateError(f"variation {number} of quote {quote} is {row.state} since {row.settled_at}")
    row.state, row.settled_at, row.settled_by, row.settled = state, now(), who.name, said
    session.add(row)
    note(session, who, f"variation {state}", f"quote {quote}", variation=number, **json.loads(said))
    return row
