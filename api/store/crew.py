"""Who and what can go: technicians and rigs by name, and the dates on which nobody works."""

from collections.abc import Sequence

import sqlalchemy as sa
from sqlmodel import Session, col, select

from api.store.audit import Who, note
from api.store.clock import now
from api.store.diary_models import Booking, Holiday, Resource
from api.store.errors import MissingError, StateError
from api.store.inserts import insert_new

__all__ = [
    "MOST",
    "add_holiday",
    "add_resource",
    "holidays",
    "remove_holiday",
    "remove_resource",
    "resources",
    "taken_on",
]

MOST = 200  # technicians, or rigs, in force


def _key(name: str) -> str:
    """Return a name as it is told from others: Anna is anna."""
    return " ".join(name.casefold().split())


def resources(session: Session, kind: str) -> list[Resource]:
    """Return technicians or rigs that are there, by name."""
    query = select(Resource).where(Resource.kind == kind, col(Resource.removed_at).is_(None))
    return list(session.exec(query.order_by(col(Resource.name), col(Resource.id))))


def add_resource(session: Session, who: Who, kind: str, name: str) -> Resource:
    """Add a technician or rig, or take back one who left; one who is there stays as they are."""
    key = _key(name)
    fresh = insert_new(session, Resource, kind=kind, key=key, name=name, added_at=now(), added_by=who.name)
    row = session.exec(select(Resource).where(Resource.kind == kind, Resource.key == key).with_for_update()).one()
    if fresh or row.removed_at is not None:
        if len(resources(session, kind)) >= MOST + fresh:
            raise StateError(f"{MOST} {kind}s are the most; remove one")
        row.removed_at = None
        session.add(row)
        session.flush()
        note(session, who, f"{kind} added", f"{kind} {row.name}")
    return row


def taken_on(session: Session, who: Who, kind: str, names: Sequence[str]) -> tuple[list[Resource], list[str]]:
    """Return technicians or rigs by name, and which of them were not known before: they are added."""
    known = {row.key: row for row in resources(session, kind)}
    new = {key: name for name in names if (key := _key(name)) not in known}
    added = {key: add_resource(session, who, kind, new[key]) for key in sorted(new)}
    return [(known | added)[key] for key in dict.fromkeys(map(_key, names))], list(new.values())


def remove_resource(session: Session, who: Who, kind: str, name: str, today: str) -> None:
    """Let a technician or rig go; raise `StateError` while days from today on are theirs."""
    key = _key(name)
    query = select(Resource).where(Resource.kind == kind, Resource.key == key, col(Resource.removed_at).is_(None))
    row = session.exec(query.with_for_update()).one_or_none()
    if row is None:
        raise MissingError(f"there is no {kind} {name!r}")
    ahead = select(Booking).where(Booking.resource_id == row.id, col(Booking.date) >= today)
    first = session.exec(ahead.order_by(col(Booking.date)).limit(1)).first()
    if first is not None:
        raise StateError(f"{row.name} is at quote {first.number} on {first.date}; move that first")
    row.removed_at = now()
    session.add(row)
    note(session, who, f"{kind} removed", f"{kind} {row.name}")


def holidays(session: Session, start: str, until: str) -> dict[str, str]:
    """Return the days off from a date to another, each with its name."""
    query = select(Holiday).where(col(Holiday.date) >= start, col(Holiday.date) <= until)
    return {row.date: row.name for row in session.exec(query.order_by(col(Holiday.date)))}


def add_holiday(session: Session, who: Who, date: str, name: str) -> list[int]:
    """Add a day off, or name it anew; return the quotes that stand on it and had better be moved."""
    if not insert_new(session, Holiday, date=date, name=name, added_at=now(), added_by=who.name):
        session.execute(sa.update(Holiday).where(col(Holiday.date) == date).values(name=name))
    note(session, who, "day off added", f"day off {date}", name=name)
    return list(
        session.exec(select(Booking.number).where(Booking.date == date).distinct().order_by(col(Booking.number)))
    )


def remove_holiday(session: Session, who: Who, date: str) -> None:
    """Make a day off a day as others are."""
    row = session.get(Holiday, date)
    if row is None:
        raise MissingError(f"there is no day off {date!r}")
    note(session, who, "day off removed", f"day off {date}", name=row.name)
    session.delete(row)
