"""What the page of the diary shows: weeks as rows, days as columns, what waits, where a quote has room."""

import datetime
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from sqlmodel import Session

from api.routes.diary import today
from api.store.crew import holidays, resources
from api.store.diary import Placed, free_week, near, placed, placed_quote, waiting
from api.store.engine import Store
from api.store.placing import Earliest, earliest, rooms
from api.store.planned import Planned, planned_of
from api.store.quotes import find_quote, state_of
from api.store.week import Week, monday_of, moved, named
from api.work.tasks import book_of
from estimator.book.pricebook import WEEK
from exports.format import counted

__all__ = ["Asked", "diary_of", "free_said", "week_said"]

WEEKS = 5
MONTHS = ("Jan", "Feb", "March", "April", "May", "June", "July", "Aug", "Sept", "Oct", "Nov", "Dec")


@dataclass(frozen=True)
class Asked:
    """From which Monday on the diary is shown, which quote is being placed, and who may go; today's date."""

    start: str
    quote: int | None
    names: tuple[str, ...]
    today: str

    @property
    def until(self) -> str:
        """The last date that is shown."""
        return moved(self.start, 7 * WEEKS - 1)

    def other(self, **changes: object) -> str:
        """Return the way to the diary asked otherwise."""
        said = {"from": self.start, "quote": self.quote, "who": self.names} | changes
        return "/diary?" + urlencode({key: one for key, one in said.items() if one}, doseq=True)


def diary_of(session: Session, asked: Asked, work_days: tuple[str, ...]) -> dict[str, Any]:
    """Return what the page shows."""
    found = placed(session, asked.start, asked.until)
    people = [row.name for row in resources(session, "technician")]
    off = holidays(session, asked.start, asked.until)
    chosen, room = _chosen(session, asked)
    on_days_off = any(WEEK[datetime.date.fromisoformat(date).weekday()] not in work_days for one in found
                      for date in one.dates)  # fmt: skip
    days = list(WEEK) if on_days_off else [day for day in WEEK if day in work_days]
    week = Week(work_days, off)
    weeks = [
        {
            "name": week_said(monday),
            "days": [
                _cell(moved(monday, WEEK.index(day)), found, people, week) | {"room": room.get(moved(monday, at))}
                for day in days
                for at in [WEEK.index(day)]
            ],
        }
        for monday in (moved(asked.start, 7 * n) for n in range(WEEKS))
    ]
    free = free_week(session, asked.today, work_days)
    return {
        "weeks": weeks,
        "days": days,
        "chosen": chosen,
        "waiting": [_waits(session, quote.number, plan, asked) for quote, plan in waiting(session)],
        "free": None if free is None else (named(free[0]), ", ".join(free[1])),
        "technicians": people,
        "rigs": [row.name for row in resources(session, "rig")],
        "off": [(date, name) for date, name in holidays(session, asked.today, moved(asked.today, 400)).items()],
        "earlier": asked.other(**{"from": moved(asked.start, -7 * (WEEKS - 1))}),
        "later": asked.other(**{"from": moved(asked.start, 7 * (WEEKS - 1))}),
        "now": asked.other(**{"from": monday_of(asked.today)}),
        "asked": asked,
    }


def week_said(monday: str) -> str:
    """Return a week as people say it, by its Monday and Sunday.

    Examples
    --------
    >>> week_said("2027-03-29")
    '29 March to 4 April'
    """
    first, last = (datetime.date.fromisoformat(one) for one in (monday, moved(monday, 6)))
    month = f" {MONTHS[first.month - 1]}" if first.month != last.month else ""
    return f"{first.day}{month} to {last.day} {MONTHS[last.month - 1]}"


def _cell(date: str, found: list[Placed], people: list[str], week: Week) -> dict[str, Any]:
    """Return what stands on a day: quotes with who goes, who is free, why nobody works."""
    here = [one for one in found if date in one.dates]
    gone = {name for one in here for name in one.technicians}
    off = week.off(date)
    return {
        "date": date,
        "said": named(date),
        "off": week.holidays.get(date, "") if off else "",
        "works": not off,
        "jobs": [_standing(one, date) for one in here],
        "free": [] if off else [name for name in people if name not in gone],
    }


def _standing(one: Placed, date: str) -> dict[str, Any]:
    plan, day = one.plan, one.dates.index(date) + 1
    days = len(one.dates)
    return {
        "number": one.number,
        "reference": plan["reference"],
        "customer": plan["customer"] or "",
        "who": ", ".join([*one.technicians, *one.rigs]) or "nobody named",
        "day": f"day {day} of {days}" if days > 1 else "",
        "first": day == 1,
        "state": "" if one.state == "accepted" else one.state,
    }


def _waits(session: Session, number: int, plan: Planned, asked: Asked) -> dict[str, Any]:
    """Return an accepted quote that waits for a day, with the first that has room."""
    return _told(number, plan, asked) | {"first": _first(earliest(session, plan, asked.today))}


def _told(number: int, plan: Planned, asked: Asked) -> dict[str, Any]:
    return {
        "number": number,
        "reference": plan["reference"],
        "customer": plan["customer"] or "",
        "takes": f"{counted(len(plan['days']), 'day')}, {counted(plan['technicians'], 'technician')}",
        "choose": asked.other(quote=number, who=()),
    }


def _first(found: Earliest | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {"date": found.dates[0], "said": named(found.dates[0]), "who": found.technicians}


def _chosen(session: Session, asked: Asked) -> tuple[dict[str, Any] | None, dict[str, list[str]]]:
    """Return the quote that is being placed, and who would go on each day that it could begin."""
    if asked.quote is None:
        return None, {}
    quote = find_quote(session, asked.quote)
    plan, stands = planned_of(session, quote.number), placed_quote(session, quote.number)
    start = max(asked.start, asked.today)
    span = (start, asked.until)
    free = list(rooms(session, plan, span, quote.number, asked.names or None)) if start <= asked.until else []
    first = earliest(session, plan, asked.today, quote.number)
    around = stands.start if stands else first.dates[0] if first else asked.today
    placeable = state_of(quote) == "accepted"
    told = _told(quote.number, plan, asked) | {
        "state": state_of(quote),
        "placeable": placeable,
        "stands": named(stands.start) if stands else "",
        "first": _first(first),
        "near": [(one.number, one.reference, ", ".join(map(named, one.dates)), one.basis)
                 for one in near(session, quote.number, plan, around)],
    }  # fmt: skip
    return told, {one.dates[0]: one.technicians for one in free} if placeable else {}


def free_said(store: Store) -> str:
    """Return the next free week and who is free then, in words; empty where nobody is entered or no week is free."""
    with store.reading() as session:
        found = free_week(session, today(), book_of(None).work_days)
    return f"from {named(found[0])} ({', '.join(found[1])})" if found else ""
