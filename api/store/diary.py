"""The diary read: what stands on which day, what waits for one, the next free week, who goes near the same place."""

import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import cast

from sqlmodel import Session, col, select

from api.store.crew import holidays, resources
from api.store.diary_models import Booking, Placement, Resource
from api.store.models import Quote
from api.store.planned import Planned, planned_of
from api.store.week import Week, monday_of, moved

__all__ = ["Near", "Placed", "free_week", "near", "placed", "placed_quote", "waiting"]

WAITING = 15  # accepted quotes on no days that are listed, newest first
NEAR_DAYS = 14  # before and after
NEAR_KM, NEAR_SHARE = 10.0, 0.1  # distances that differ by no more are alike
WEEKS = 53


@dataclass
class Placed:
    """A quote on its days, and who and what goes by name."""

    number: int
    state: str
    job_id: int
    plan: Planned
    start: str
    until: str
    technicians: list[str] = field(default_factory=list)
    rigs: list[str] = field(default_factory=list)

    @property
    def dates(self) -> list[str]:
        """Its days, one a day of its order of work."""
        return [one["date"] for one in self.plan["days"] if "date" in one]


@dataclass(frozen=True)
class Near:
    """A placed quote that could share the trip of another, and what that is based on."""

    number: int
    reference: str
    dates: list[str]
    basis: str


def placed(session: Session, start: str, until: str, numbers: Sequence[int] | None = None) -> list[Placed]:
    """Return what stands on days from a date to another, by its first day; only some quotes where those are named."""
    query = select(Placement, Quote.state, Quote.job_id).join(Quote, col(Quote.number) == col(Placement.number))
    query = query.where(col(Placement.start) <= until, col(Placement.until) >= start)
    if numbers is not None:
        query = query.where(col(Placement.number).in_(numbers))
    found = {
        row.number: Placed(row.number, state, job_id, cast(Planned, json.loads(row.plan)), row.start, row.until)
        for row, state, job_id in session.exec(query.order_by(col(Placement.start), col(Placement.number)))
    }
    booked = select(Booking.number, Resource).join(Resource, col(Resource.id) == col(Booking.resource_id))
    booked = booked.where(col(Booking.number).in_(list(found))).distinct()
    for number, resource in session.exec(booked.order_by(col(Resource.name))):
        names = found[number].technicians if resource.kind == "technician" else found[number].rigs
        names.append(resource.name)
    return list(found.values())


def placed_quote(session: Session, number: int) -> Placed | None:
    """Return where a quote stands; None where it is on no days."""
    row = session.get(Placement, number)
    found = [] if row is None else placed(session, row.start, row.until, [number])
    return found[0] if found else None


def waiting(session: Session) -> list[tuple[Quote, Planned]]:
    """Return the newest accepted quotes that are on no days, with what they take."""
    query = select(Quote).join(Placement, col(Placement.number) == col(Quote.number), isouter=True)
    query = query.where(Quote.state == "accepted", col(Placement.number).is_(None))
    rows = session.exec(query.order_by(col(Quote.number).desc()).limit(WAITING))
    return [(row, planned_of(session, row.number)) for row in rows]


def free_week(session: Session, today: str, work_days: tuple[str, ...]) -> tuple[str, list[str]] | None:
    """Return the Monday of the next week in which somebody has every day of work free, and who; None where none is.

    Rigs count too: where there are some, one must be free all week.
    """
    monday = monday_of(today) if today == monday_of(today) else moved(monday_of(today), 7)
    people, rigs = resources(session, "technician"), resources(session, "rig")
    last = moved(monday, 7 * WEEKS)
    week = Week(work_days, holidays(session, monday, last))
    taken: dict[str, set[int]] = {}
    for row in session.exec(select(Booking).where(col(Booking.date) >= monday, col(Booking.date) <= last)):
        taken.setdefault(monday_of(row.date), set()).add(row.resource_id)
    while people and monday < last:
        gone = taken.get(monday, set())
        free = [one.name for one in people if one.id not in gone]
        rig = not rigs or any(one.id not in gone for one in rigs)
        if free and rig and any(week.worked(monday, moved(monday, 6))):
            return monday, free
        monday = moved(monday, 7)
    return None


def near(session: Session, number: int, plan: Planned, date: str) -> list[Near]:
    """Return which placed quotes of two weeks before and after a date could share the trip, and why."""
    around = placed(session, moved(date, -NEAR_DAYS), moved(date, NEAR_DAYS))
    found = [(one, _basis(plan, one.plan)) for one in around if one.number != number]
    return [Near(one.number, one.plan["reference"], one.dates, said) for one, said in found if said]


def _basis(one: Planned, other: Planned) -> str:
    """Return why two jobs could share a trip; empty where nothing says so."""
    if one["site"] and _same(one["site"], other["site"]):
        return "same site"
    if one["customer"] and _same(one["customer"], other["customer"]):
        return "same customer; whether the same site is not said"
    here, there = one["distance_km"], other["distance_km"]
    if here and there and abs(here - there) <= max(NEAR_KM, NEAR_SHARE * max(here, there)):
        return f"as far away, {here:.0f} and {there:.0f} km; whether in the same direction is not known"
    return ""


def _same(one: str, other: str | None) -> bool:
    return other is not None and " ".join(one.casefold().split()) == " ".join(other.casefold().split())
