"""An accepted quote put on days, moved, taken off again; nobody and no rig is booked twice."""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import sqlalchemy as sa
from sqlmodel import Session, col, select

from api.store.audit import Who, note
from api.store.clock import now
from api.store.crew import holidays, resources, taken_on
from api.store.diary_models import Booking, Placement, Resource
from api.store.errors import ClashError, MissingError, StateError
from api.store.jobs import lock_job
from api.store.models import Quote
from api.store.planned import Planned, planned_of
from api.store.quotes import find_quote, state_of
from api.store.week import Week, moved
from estimator.errors import DocumentError, Fault

__all__ = ["Earliest", "Wish", "earliest", "place", "rooms", "take_off", "week_of"]

AHEAD = 400  # days that are looked through for free ones
LONGEST = 60  # dates that one day of work may be put off by days off


@dataclass(frozen=True)
class Wish:
    """From which date on, and who and what goes by name; None: whoever is free."""

    start: str
    technicians: tuple[str, ...] | None = None
    rigs: tuple[str, ...] | None = None


@dataclass(frozen=True)
class Earliest:
    """The first days on which a quote has room, and who and what is free then."""

    dates: list[str]
    technicians: list[str]
    rigs: list[str]


def week_of(session: Session, plan: Planned, start: str) -> Week:
    """Return the days of work that a quote was planned for, without the days off from a date on."""
    return Week(tuple(plan["work_days"]), holidays(session, start, moved(start, AHEAD + LONGEST)))


def place(session: Session, who: Who, number: int, wish: Wish) -> tuple[Placement, list[str]]:
    """Put an accepted quote on days, or move it; return where it stands, and who was not known before.

    Raises
    ------
    StateError
        If the quote is not accepted.
    ClashError
        If somebody or a rig is taken on one of the days, if too few are free, or if nobody works on the first one.
    DocumentError
        If fewer technicians are named than it was planned for.
    """
    quote = _accepted(session, number)
    plan = planned_of(session, number)
    week = week_of(session, plan, wish.start)
    if said := week.off(wish.start):
        raise ClashError([Fault("start", f"{said}; next: {week.taken_by(wish.start, 1)[0]}")])
    dates = week.taken_by(wish.start, len(plan["days"]))
    if wish.technicians is not None and len(wish.technicians) < plan["technicians"]:
        said = f"quote {number} was planned for {plan['technicians']}; name as many"
        raise DocumentError([Fault("technicians", said)])
    _clear(session, quote)
    people, new = _chosen(session, who, "technician", wish.technicians, (plan["technicians"], dates))
    rigs, new_rigs = _chosen(session, who, "rig", wish.rigs, (plan["rigs"], dates))
    for hours, date in zip(plan["days"], dates, strict=True):
        hours["date"] = date
    row = Placement(
        number=number, start=dates[0], until=dates[-1], plan=json.dumps(plan, ensure_ascii=False), placed_at=now(),
        placed_by=who.name,
    )  # fmt: skip
    session.add(row)
    session.flush()
    booked = [(at + 1, date, one) for at, date in enumerate(dates) for one in (*people, *rigs)]
    session.add_all(Booking(date=date, resource_id=_id(one), number=number, day=day) for day, date, one in booked)
    session.flush()
    names = {"technicians": [one.name for one in people], "rigs": [one.name for one in rigs]}
    note(session, who, "quote placed", f"quote {number}", start=row.start, until=row.until, **names)
    return row, [*new, *new_rigs]


def _accepted(session: Session, number: int) -> Quote:
    """Return a quote that is accepted, its job locked; raise `StateError` for any other."""
    quote = find_quote(session, number)
    lock_job(session, quote.job_id)
    session.refresh(quote)
    if (state := state_of(quote)) != "accepted":
        raise StateError(f"quote {number} is {state}; only an accepted quote is put on days")
    return quote


def _clear(session: Session, quote: Quote) -> None:
    """Take a quote off its days, and those that it revises."""
    same = select(Quote.number).where(Quote.first == quote.first)
    session.execute(sa.delete(Booking).where(col(Booking.number).in_(same)))
    session.execute(sa.delete(Placement).where(col(Placement.number).in_(same)))


def _chosen(
    session: Session, who: Who, kind: str, names: Sequence[str] | None, due: tuple[int, list[str]]
) -> tuple[list[Resource], list[str]]:
    """Return who or what goes on all of the dates, locked, and which of them are new; raise `ClashError`."""
    count, dates = due
    if names is not None:
        found, new = taken_on(session, who, kind, names)
        _lock(session, found)
        if faults := list(_clashes(session, found, dates, kind)):
            raise ClashError(faults)
        return found, new
    every = resources(session, kind)
    _lock(session, every)
    taken = _taken(session, dates[0], dates[-1])
    free = [one for one in every if not any(_id(one) in taken.get(date, {}) for date in dates)]
    if every and len(free) < count:
        said = f"{len(free)} of {len(every)} {kind}s are free from {dates[0]} to {dates[-1]}, {count} are due"
        raise ClashError([Fault(f"{kind}s", said), *_clashes(session, every, dates, kind)])
    return free[:count], []


def _lock(session: Session, rows: Sequence[Resource]) -> None:
    """Let nobody else book these before this transaction ends."""
    ids = sorted(_id(one) for one in rows)
    query = select(Resource.id).where(col(Resource.id).in_(ids)).order_by(col(Resource.id)).with_for_update()
    session.exec(query).all()


def _clashes(session: Session, rows: Sequence[Resource], dates: list[str], kind: str) -> Iterator[Fault]:
    """Yield where somebody or a rig is taken on one of the dates, and by what."""
    taken = _taken(session, dates[0], dates[-1])
    for at, one in enumerate(rows):
        for date in dates:
            if (number := taken.get(date, {}).get(_id(one))) is not None:
                yield Fault(f"{kind}s.{at}", f"{one.name} is at quote {number} on {date}")
                break


def _taken(session: Session, start: str, until: str) -> dict[str, dict[int, int]]:
    """Return for each date who and what is taken, and by which quote."""
    found: dict[str, dict[int, int]] = {}
    query = select(Booking).where(col(Booking.date) >= start, col(Booking.date) <= until)
    for row in session.exec(query):
        found.setdefault(row.date, {})[row.resource_id] = row.number
    return found


def _id(row: Resource) -> int:
    assert row.id is not None
    return row.id


def take_off(session: Session, who: Who, number: int) -> None:
    """Take a quote off its days; raise `MissingError` where it is on none."""
    lock_job(session, find_quote(session, number).job_id)
    row = session.get(Placement, number)
    if row is None:
        raise MissingError(f"quote {number} is on no days")
    note(session, who, "quote taken off its days", f"quote {number}", start=row.start, until=row.until)
    session.execute(sa.delete(Booking).where(col(Booking.number) == number))
    session.delete(row)
    session.flush()


def earliest(session: Session, plan: Planned, start: str, besides: int | None = None) -> Earliest | None:
    """Return the first days from a date on that have room for a quote; None where none of the next 400 have.

    `besides`: a quote whose own days count as free, since it is moved.
    """
    return next(rooms(session, plan, (start, moved(start, AHEAD)), besides), None)


def rooms(
    session: Session,
    plan: Planned,
    span: tuple[str, str],
    besides: int | None = None,
    names: Sequence[str] | None = None,
) -> Iterator[Earliest]:
    """Yield the days that have room for a quote, for each date to begin on.

    Parameters
    ----------
    session
        A transaction that reads.
    plan
        What the quote takes.
    span
        The first and the last date to begin on.
    besides
        A quote whose own days count as free: it is moved.
    names
        Who of the technicians may go; None: anybody.
    """
    week = week_of(session, plan, span[0])
    everybody = [one for one in resources(session, "technician") if names is None or one.name in names]
    rigs = resources(session, "rig")
    taken = _taken(session, span[0], moved(span[1], LONGEST))
    for first in week.worked(*span):
        dates = week.taken_by(first, len(plan["days"]))
        gone = {id_ for date in dates for id_, number in taken.get(date, {}).items() if number != besides}
        people = [one.name for one in everybody if _id(one) not in gone]
        free = [one.name for one in rigs if _id(one) not in gone]
        short = (everybody or names) and len(people) < plan["technicians"]
        if not short and not (rigs and len(free) < plan["rigs"]):
            yield Earliest(dates, people[: plan["technicians"]], free[: plan["rigs"]])
