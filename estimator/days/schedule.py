"""Crew, travel, days and nights: an order of work run through, on the clock of work alone and on that of the days.

No choices: `Arrangement` holds them. Scalars or arrays. Hours in which nobody is on site are not paid: what cools
before the first or after the last work of a day.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

from estimator.days.calendar import (
    Arrangement,
    Calendar,
    Road,
    calendar_of,
    last_end,
    run_through,
    straight,
)
from estimator.days.week import days_off, week_ends
from estimator.either import left_of
from estimator.formula import choice, difference, formula, leaf, summed

__all__ = [
    "Schedule",
    "done_beside",
    "labour_time",
    "on_site_time",
    "order_time",
    "schedule_of",
    "slowed_part",
    "standing_by",
    "travel_time",
]


@dataclass(frozen=True)
class Schedule:
    """What the whole job takes. [s; nights, trips and people as numbers]"""

    arrangement: Arrangement
    calendar: Calendar
    durations: tuple[float, ...]
    week: tuple[bool, ...]
    order: float
    once: float
    fire_watch: float
    used_waits: float
    away_wait: float
    on_site: float
    travel: float
    labour: float
    elapsed: float
    overtime: float
    standing: float
    nights: int
    trips: int
    people: int


@formula("on_site", "definition in the project's estimate document", "computed", unit="s")
def on_site_time(bores: float, once: float, fire_watch: float, used_waits: float, away_wait: float) -> float:
    """Time on site: bores, work once a job, fire watch, less what is done side by side or while nobody is there. [s]"""
    return bores + once + fire_watch - used_waits - away_wait


@formula(
    "away_wait", "the order of work, less the time from the first to the last work of each day", "computed", unit="s"
)
def waited_away(order: float, present: float) -> float:
    """Waits that pass while the crew is away from the site. [s]"""
    return left_of(order, present)


@formula("fire_watch", "the watch after the last hot work of each day", "computed", unit="s")
def all_watches(fire_watch: float, watches: float) -> float:
    """Watch for fire that no other work fills, of all days. [s]"""
    return fire_watch + watches


@formula("used_waits", "all tasks one after the other, less the order of work as it was found", "computed", unit="s")
def done_beside(bores: float, once: float, fire_watch: float, order: float, daily: float) -> float:
    """Waits that other work fills, and work done side by side. [s]"""
    return left_of(bores + once + fire_watch, order + daily)


@formula(
    "distance",
    "definition: the part of a way in a row of the table of roads, over its share of the speed",
    "computed",
    unit="m",
)
def slowed_part(distance: float, share: float) -> float:
    """Part of a way as long as it would be at the book's speed. [m]"""
    return distance / share


@formula("travel", "definition: there and back", "computed", unit="s")
def travel_time(distance: float, road_speed: float) -> float:
    """Time on the road, there and back. [s]"""
    return 2 * distance / road_speed


@formula("travel", "definition: each trip there and back", "computed", unit="s")
def all_trips(travel: float, trips: int) -> float:
    """Time on the road of all trips. [s]"""
    return travel * trips


@formula("daily", "time standards once a day, times the days on site", "computed", unit="s")
def daily_work(opening: float, closing: float, days: int) -> float:
    """Work at the start and the end of every day on site. [s]"""
    return (opening + closing) * days


@formula("labour", "definition: people times their time on site and on the road", "computed", unit="s")
def labour_time(on_site: float, travel: float, people: int) -> float:
    """Person-time with travel. [s]"""
    return (on_site + travel) * people


@formula("standing", "definition: the crew's time on site less the work it does", "computed", unit="s")
def standing_by(on_site: float, technicians: int, work: float) -> float:
    """Person-time in which somebody of the crew has nothing to do. [s]"""
    return left_of(on_site * technicians, work)


def order_time(one: Arrangement, durations: Sequence[float], road: Road) -> float:
    """Return how long an order of work takes on the clock of work alone. [s]"""
    start = 0.0 * road.way
    return last_end(run_through(one.tasks, one.turns, durations, start, straight), start)


def schedule_of(
    one: Arrangement,
    durations: Sequence[float],
    bores: float,
    idle: float,
    once: float,
    fire_watch: float,
    distance: float,
    road_speed: float,
    road: Road,
    order: float | None = None,
) -> Schedule:
    """Return the whole job from door to door.

    Parameters
    ----------
    one, durations
        The order of work, and what each task takes. [s]
    bores, idle
        Time of all bores, and their cooling in it. [s]
    once, fire_watch
        Work once a job, and the rest of the fire watch. [s]
    distance, road_speed, road
        The way there, and the hours of a day. [SI]
    order
        How long the order takes on the clock of work alone, where that is known. [s]
    """
    calendar = calendar_of(one, durations, road)
    days = _counted(calendar.days, "days", "days from door to door, as the order of work falls into shifts")
    here = _counted(calendar.site_days, "site_days", "days with work on site, as the order of work falls into shifts")
    daily = daily_work(road.opening, road.closing, here)
    length = order_time(one, durations, road) if order is None else order
    length = _found(length, "order", "from arrival to leaving, as the shortest order of work that was found takes")
    once = summed("once", "s", once, daily)
    used = done_beside(bores, once, fire_watch, length, daily)
    present = _found(calendar.present, "present", "from the first to the last work of each day")
    watches = _found(calendar.watches, "watches", "watch at the end of each day with hot work but the last")
    away, fire_watch = waited_away(length, present), all_watches(fire_watch, watches)
    on_site = on_site_time(bores, once, fire_watch, used, away)
    work = summed("work", "s", difference(bores, idle), once, fire_watch)
    technicians = choice(one.technicians, "technicians", "those of the crew who work")
    people = choice(one.people, "people", "the crew, and who stands by in a confined space")
    off, nights, trips = _away(one, calendar, road, days)
    travel = all_trips(travel_time(distance, road_speed), trips)
    return Schedule(
        arrangement=one,
        calendar=calendar,
        durations=tuple(durations),
        week=road.week,
        order=length,
        once=once,
        fire_watch=fire_watch,
        used_waits=used,
        away_wait=away,
        on_site=on_site,
        travel=travel,
        labour=labour_time(on_site, travel, people),
        elapsed=_found(
            calendar.home + off * road.day, "elapsed", "from leaving to being back, days off between them too"
        ),
        overtime=_found(calendar.overtime, "overtime", "hours beyond the shift, all days together"),
        standing=standing_by(on_site, technicians, work),
        nights=_counted(nights, "nights", "nights away"),
        trips=trips,
        people=people,
    )


def _away(one: Arrangement, calendar: Calendar, road: Road, days: int) -> tuple[float, float, int]:
    """Return the days off among those of a job, the nights away, and how often the crew drives there and back."""
    off, none = days_off(calendar.days, road.week), 0 * calendar.days
    if not one.mode.stays:
        return off, none, days
    if not one.mode.weekends:
        return off, calendar.days - 1 + off, _counted(1 + none, "trips", "the crew stays near the site")
    ends = week_ends(calendar.days, road.week)
    trips = _counted(1 + ends, "trips", "the crew stays near the site, and drives home for days off")
    return off, calendar.days - 1 - ends, trips


def _found(value: float, name: str, text: str) -> float:
    return leaf(value, "choice", name, text, unit="s")


def _counted(value: float, name: str, text: str) -> int:
    return cast(int, leaf(value, "choice", name, text))
