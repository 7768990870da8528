"""Quotes: drafted, issued, accepted or declined, revised; numbers rise, and what was issued stays as it is."""

import json
from collections.abc import Iterable
from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, col, select

from api.store.audit import CLOCK, Who, note
from api.store.billed import standing_invoices
from api.store.clock import later, now
from api.store.engine import Store
from api.store.errors import AlteredError, MissingError, StateError, UnavailableError
from api.store.jobs import Wanted, lock_job, narrowed, refresh
from api.store.models import Counter, Customer, Equipment, Job, Paper, Quote
from api.store.papers import Drawn, Frozen, letters_in
from api.store.sound import QUOTE_STATES, fault_of
from api.store.whole import HELD, hashes_held, shows_cost
from estimator.strict import sha256

__all__ = [
    "QUOTE_STATES", "add_draft", "find_paper", "find_quote", "hashes_of", "issue", "list_quotes", "next_draft",
    "remove_draft", "settle", "settle_due", "state_of", "stored_letter", "stored_workbook", "to_issue", "to_revise",
]  # fmt: skip

USUAL = "en"  # the language of a quote's one workbook for the customer
DRAFT, ISSUED, ACCEPTED, EXPIRED, SUPERSEDED = "draft", "issued", "accepted", "expired", "superseded"
DAY = 86400.0  # [s]


def find_quote(session: Session, number: int) -> Quote:
    """Return a quote; raise `MissingError` where there is none of that number."""
    quote = session.get(Quote, number)
    if quote is None:
        raise MissingError(f"there is no quote {number}")
    return quote


def find_paper(session: Session, number: int) -> Paper:
    """Return what a quote says and stands on; raise `AlteredError` where that is not what was issued."""
    quote, paper = session.exec(
        select(Quote, Paper).where(Quote.number == number, col(Paper.number) == col(Quote.number))
    ).one()
    if said := fault_of(quote.state, quote.total, quote.currency, paper.sha256, paper.estimate):
        raise AlteredError(f"quote {number} {said}; restore a backup")
    return paper


def stored_workbook(store: Store, number: int, language: str | None) -> tuple[bytes | None, str, Quote]:
    """Return a workbook of a quote that was issued, None where none was kept; its estimate, and the quote.

    `language`: the customer's in that language, which was one of our sheets without cost in quotes of before; None:
    the shop's own.
    """
    with store.reading() as session:
        quote, paper = find_quote(session, number), find_paper(session, number)
        session.expunge(quote)
        if language is None:
            return paper.workbook, paper.estimate, quote
        others = letters_in(paper.workbooks)
        shown = others.get(language, paper.workbook_without_cost if language == USUAL else None)
        if shown is not None and shows_cost(shown):
            raise AlteredError(
                f"quote {number} has a workbook for the customer that shows what it costs; restore a backup"
            )
        return shown, paper.estimate, quote


def state_of(quote: Quote) -> str:
    """Return a quote's state; what is overdue has expired, though nobody has noted it yet."""
    overdue = quote.state == ISSUED and quote.valid_until is not None and quote.valid_until <= now()
    return EXPIRED if overdue else quote.state


def _next_number(session: Session) -> int:
    """Return a number above every one given before; others wait for theirs until this transaction ends."""
    session.execute(sa.update(Counter).where(col(Counter.name) == "quote").values(last=Counter.last + 1))
    return session.exec(select(Counter.last).where(Counter.name == "quote")).one()


def add_draft(session: Session, who: Who, job_id: int, job_revision: int, pricebook: str | None, drawn: Drawn) -> Quote:
    """Keep the draft of a job's first quote, or of another beside those it has."""
    lock_job(session, job_id)
    number = _next_number(session)
    quote = Quote(
        number=number, job_id=job_id, job_revision=job_revision, revision=1, first=number, state=DRAFT,
        pricebook=pricebook, currency=drawn.currency, total=drawn.total, created_at=now(), created_by=who.name,
    )  # fmt: skip
    return _kept(session, who, quote, drawn)


def _kept(session: Session, who: Who, quote: Quote, drawn: Drawn) -> Quote:
    session.add(quote)
    session.flush()
    session.add(drawn.paper(quote.number))
    revised = {} if quote.revises is None else {"revises": quote.revises}
    note(session, who, "quote drafted", f"quote {quote.number}", job=quote.job_id, revision=quote.revision, **revised)
    refresh(session, quote.job_id)
    return quote


def to_revise(quote: Quote) -> None:
    """Raise `StateError` for a quote that cannot be revised."""
    if quote.state == DRAFT:
        raise StateError(f"quote {quote.number} is draft; only a quote that was issued can be revised")
    if quote.state == SUPERSEDED:
        raise StateError(f"quote {quote.number} is superseded; revise the quote that was issued after it")


def next_draft(session: Session, who: Who, base: int, job_revision: int, pricebook: str | None, drawn: Drawn) -> Quote:
    """Keep the draft that revises an issued quote; raise `StateError` for one that cannot be revised."""
    lock_job(session, find_quote(session, base).job_id)
    revised = _fresh(session, base)
    to_revise(revised)
    last = session.exec(select(sa.func.max(Quote.revision)).where(Quote.first == revised.first)).one()
    quote = Quote(
        number=_next_number(session), job_id=revised.job_id, job_revision=job_revision, revision=last + 1,
        first=revised.first, revises=base, state=DRAFT, pricebook=pricebook, currency=drawn.currency,
        total=drawn.total, created_at=now(), created_by=who.name,
    )  # fmt: skip
    return _kept(session, who, quote, drawn)


def _fresh(session: Session, number: int) -> Quote:
    """Return a quote as it is now, its job being locked."""
    quote = session.exec(select(Quote).where(Quote.number == number).execution_options(populate_existing=True)).one()
    if state_of(quote) != quote.state:
        _expire(session, quote)
    return quote


def issue(session: Session, who: Who, number: int, frozen: Frozen, *, budget: bool = False) -> Quote:
    """Issue a draft: from now on nothing of it changes; raise `StateError` for any other quote.

    A budget price is issued only where the caller says that it is one.
    """
    lock_job(session, find_quote(session, number).job_id)
    quote = _fresh(session, number)
    _must_be(quote, DRAFT, "issued")
    paper = find_paper(session, number)
    found = json.loads(paper.estimate)
    if "budget" in found and not budget:
        said = 'send {"budget": true} to issue it as one, or enter readings'
        raise StateError(f"quote {number} is a budget price, which does not bind; {said}")
    _supersede(session, who, quote)
    quote.state, quote.issued_at, quote.issued_by = ISSUED, frozen.at, who.name
    quote.valid_until, paper.sha256, paper.letters = frozen.valid_until, sha256(found), frozen.letters
    paper.workbook, paper.workbook_without_cost = frozen.workbook, frozen.workbook_without_cost
    paper.pack, paper.workbooks = frozen.pack, frozen.workbooks
    session.add_all((quote, paper))
    held = hashes_held({name: getattr(paper, name) for name in HELD})
    note(
        session, who, "quote issued", f"quote {number}", sha256=paper.sha256, paper=held, valid_until=quote.valid_until
    )
    refresh(session, quote.job_id)
    return quote


def remove_draft(session: Session, who: Who, number: int) -> int:
    """Remove a draft, whose number is not given again; return its job. Raise `StateError` for any other quote."""
    lock_job(session, job_id := find_quote(session, number).job_id)
    _must_be(quote := _fresh(session, number), DRAFT, "removed")
    session.execute(sa.delete(Paper).where(col(Paper.number) == number))
    session.delete(quote)
    note(session, who, "draft removed", f"quote {number}", job=job_id)
    refresh(session, job_id)
    return job_id


def to_issue(session: Session, number: int) -> tuple[str, int, str, str]:
    """Return a draft's estimate and revision, this moment, and until when it would be valid if issued now."""
    quote, text = find_quote(session, number), find_paper(session, number).estimate
    if quote.state != DRAFT:
        raise StateError(f"quote {number} is {quote.state} already; what was issued never changes")
    at = now()
    return text, quote.revision, at, later(at, json.loads(text)["pricebook"]["validity_day"] * DAY)


def stored_letter(store: Store, number: int, language: str) -> tuple[bytes | None, str, Quote]:
    """Return the letter of a quote that was issued, None where none was kept; its estimate, and the quote."""
    with store.reading() as session:
        quote, paper = find_quote(session, number), find_paper(session, number)
        session.expunge(quote)
        return letters_in(paper.letters).get(language), paper.estimate, quote


def _supersede(session: Session, who: Who, quote: Quote) -> None:
    """Let a draft take the place of the quote it revises; raise `StateError` where another took it first."""
    if quote.revises is None:
        return
    issued = select(sa.func.max(Quote.number)).where(Quote.first == quote.first, Quote.state != DRAFT)
    last = session.exec(issued).one()
    if last != quote.revises:
        raise StateError(f"quote {quote.number} revises {quote.revises}, and {last} was issued since; revise {last}")
    before = _fresh(session, last)
    if standing_invoices(session, last):
        raise StateError(f"quote {last} has an invoice; cancel it before quote {quote.number} takes its place")
    note(session, who, "quote superseded", f"quote {last}", was=before.state, by=quote.number)
    before.state, before.settled_at, before.settled_by = SUPERSEDED, now(), who.name
    session.add(before)


def settle(session: Session, who: Who, number: int, state: str) -> Quote:
    """Accept or decline an issued quote; raise `StateError` for any other, and for one that someone settled first."""
    lock_job(session, find_quote(session, number).job_id)
    quote = _fresh(session, number)
    _must_be(quote, ISSUED, state)
    if state == ACCEPTED and "budget" in json.loads(find_paper(session, number).estimate):
        raise StateError(f"quote {number} is a budget price and cannot be accepted; enter readings and revise it")
    quote.state, quote.settled_at, quote.settled_by = state, now(), who.name
    session.add(quote)
    note(session, who, f"quote {state}", f"quote {number}")
    refresh(session, quote.job_id)
    return quote


def _must_be(quote: Quote, state: str, to: str) -> None:
    if quote.state == state:
        return
    since = f" since {quote.settled_at}" if quote.settled_at else ""
    article = "an" if state == ISSUED else "a"
    raise StateError(f"quote {quote.number} is {quote.state}{since}; only {article} {state} quote can be {to}")


def _expire(session: Session, quote: Quote) -> None:
    """Note that a quote is overdue; a clock that is set back later does not undo it."""
    quote.state, quote.settled_at, quote.settled_by = EXPIRED, quote.valid_until, CLOCK.name
    session.add(quote)
    note(session, CLOCK, "quote expired", f"quote {quote.number}", valid_until=quote.valid_until)


def settle_due(store: Store) -> None:
    """Note every quote that has expired by now; where the database does not take it, it is noted another time."""
    due = select(Quote.number, Quote.job_id).where(Quote.state == ISSUED, col(Quote.valid_until) <= now())
    with store.reading() as session:
        rows = session.exec(due.order_by(col(Quote.job_id))).all()
    if not rows:
        return
    try:
        with store.writing() as session:
            for number, job_id in rows:
                lock_job(session, job_id)
                _fresh(session, number)
                refresh(session, job_id)
    except UnavailableError:
        return  # `state_of` tells it all the same


def list_quotes(
    session: Session, wanted: Wanted, after: int | None, limit: int, job_id: int | None = None
) -> list[tuple[Quote, Job, str | None, str | None]]:
    """Return quotes, newest first, with job, customer and machine; `after` is the last number seen."""
    query: Any = (
        select(Quote, Job, Customer.name, Equipment.description)
        .join(Job, col(Job.id) == col(Quote.job_id))
        .join(Customer, col(Customer.id) == col(Job.customer_id), isouter=True)
        .join(Equipment, col(Equipment.id) == col(Job.equipment_id), isouter=True)
        .order_by(col(Quote.number).desc())
        .limit(limit)
    )
    query = narrowed(query, wanted, Quote)
    if job_id is not None:
        query = query.where(col(Quote.job_id) == job_id)
    return list(session.exec(query if after is None else query.where(col(Quote.number) < after)))


def hashes_of(session: Session, quotes: Iterable[Quote]) -> dict[int, str | None]:
    """Return the hash of each quote's estimate, None while it is a draft."""
    numbers = [quote.number for quote in quotes]
    return dict(session.exec(select(Paper.number, Paper.sha256).where(col(Paper.number).in_(numbers))).all())
