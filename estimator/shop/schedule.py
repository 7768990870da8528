"""Crew, travel, days and nights: an order of work run through, on the clock of work alone and on that of the days.

No choices: `Arrangement` holds them. Scalars or arrays. The hours that are paid count waits in working time, as if no
night lay in them, so that a price does not hang on the hour at which a boss happens to cool; the days show them as
they fall.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import cast

import numpy as np

from estimator.either import above_zero, larger, picked, smaller, whole_up
from estimator.formula import choice, difference, formula, leaf, summed
from estimator.shop.days import Shifts, Span, hot_until, placed
from estimator.shop.sequence import Turn
from estimator.shop.tasks import Task

__all__ = [
    "Arrangement",
    "Calendar",
    "Mode",
    "Road",
    "Schedule",
    "calendar_of",
    "done_beside",
    "labour_time",
    "on_site_time",
    "run_through",
    "schedule_of",
    "standing_by",
    "travel_time",
]

Place = Callable[[float, float, Task], Span]


@dataclass(frozen=True)
class Mode:
    """How the days go: whether the crew sleeps near the site, and how long it may work beyond a shift. [s]"""

    stays: bool
    overtime: float


@dataclass(frozen=True)
class Arrangement:
    """All that was chosen about the order of work. [SI]

    `length`: working time of the order found; `bound`: no order takes less.
    """

    tasks: tuple[Task, ...]
    turns: tuple[Turn, ...]
    mode: Mode
    technicians: int
    people: int
    machines: int
    length: float
    bound: float


@dataclass(frozen=True)
class Road:
    """The way to the site and the hours of a day. [SI]"""

    way: float
    shift: float
    day: float
    fire_watch: float
    opening: float
    closing: float


@dataclass(frozen=True)
class Calendar:
    """Tasks as they fall into days, from the moment the van leaves; `after`: from the last task to a day's end. [s]"""

    spans: tuple[Span, ...]
    arrives: float
    leaves: float
    home: float
    days: float
    overtime: float
    after: float


@dataclass(frozen=True)
class Schedule:
    """What the whole job takes. [s; nights, trips and people as numbers]"""

    arrangement: Arrangement
    calendar: Calendar
    durations: tuple[float, ...]
    order: float
    once: float
    fire_watch: float
    used_waits: float
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
def on_site_time(bores: float, once: float, fire_watch: float, used_waits: float) -> float:
    """Time on site: bores, work once a job, rest of the fire watch, less what is done side by side. [s]"""
    return bores + once + fire_watch - used_waits


@formula("used_waits", "all tasks one after the other, less the order of work as it was found", "computed", unit="s")
def done_beside(bores: float, once: float, fire_watch: float, order: float, daily: float) -> float:
    """Waits that other work fills, and work done side by side. [s]"""
    return above_zero(bores + once + fire_watch - order - daily)


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
    return above_zero(on_site * technicians - work)


def run_through(
    tasks: Sequence[Task],
    turns: Sequence[Turn],
    durations: Sequence[float],
    begin: float,
    place: Place,
) -> tuple[Span, ...]:
    """Return when each task starts and ends: once what it waits for is done and all in their turn are free."""
    spans: dict[int, Span] = {}
    free: dict[object, float] = {}
    for turn in turns:
        task = tasks[turn.task]
        keeps: list[object] = list(turn.people)
        keeps += [task.bar] if task.bar else []
        keeps += [("machine", turn.machine)] if task.takes or task.frees else []
        ready = begin
        for end in (*(spans[n][1] for n in task.after), *(free[one] for one in keeps if one in free)):
            ready = larger(ready, end)
        spans[turn.task] = place(ready, durations[turn.task], task)
        free |= dict.fromkeys(keeps, spans[turn.task][1])
    return tuple(spans[n] for n in range(len(tasks)))


def last_end(spans: Sequence[Span], begin: float) -> float:
    """Return when the last task ends. [s]"""
    found = begin
    for _, end in spans:
        found = larger(found, end)
    return found


def _straight(ready: float, duration: float, _: Task) -> Span:
    return ready, ready + duration


def calendar_of(one: Arrangement, durations: Sequence[float], road: Road) -> Calendar:
    """Return the order of work as it falls into days."""
    closes = road.shift + one.mode.overtime
    travel = Shifts(road.day, 0.0, closes, closes)
    opens = road.opening if one.mode.stays else road.way + road.opening
    ends = closes - road.closing if one.mode.stays else closes - road.closing - road.way
    shifts = Shifts(road.day, opens, ends, hot_until(opens, ends, road.fire_watch))

    def place(ready: float, duration: float, task: Task) -> Span:
        if not task.hands:
            return _straight(ready, duration, task)
        return placed(ready, duration, shifts, task.hot, task.whole)

    arrives = placed(0.0 * road.way, road.way, travel, hot=False, whole=False)[1]
    begin = arrives + road.opening
    spans = run_through(one.tasks, one.turns, durations, begin, place)
    leaves = last_end(spans, begin) + road.closing
    home = placed(leaves, road.way, travel, hot=False, whole=False)[1]
    days = larger(whole_up(home / road.day), 1)
    over = _overtime(one, spans, leaves, home, days, road) if one.mode.overtime else 0.0 * home
    return Calendar(spans, arrives, leaves, home, days, over, road.shift + one.mode.overtime - ends)


def _overtime(
    one: Arrangement,
    spans: Sequence[Span],
    leaves: float,
    home: float,
    days: float,
    road: Road,
) -> float:
    """Return the hours beyond the shift of all days, for each of the crew. [s]"""
    after = road.closing if one.mode.stays else road.closing + road.way
    work = [(*span, after) for task, span in zip(one.tasks, spans, strict=True) if task.hands]
    found = 0.0 * home
    for number in range(int(np.max(days))):
        ends, most = number * road.day + road.shift, 0.0 * home
        for start, end, then in (*work, (leaves, home, 0.0)):
            upto = smaller(end + then, ends + one.mode.overtime)
            most = larger(most, picked(start + then < upto, upto - ends, 0.0))
        found = found + most
    return found


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
    """
    calendar = calendar_of(one, durations, road)
    days = _counted(calendar.days, "days", "days from door to door, as the order of work falls into shifts")
    daily = daily_work(road.opening, road.closing, days)
    length = last_end(run_through(one.tasks, one.turns, durations, 0.0 * road.way, _straight), 0.0 * road.way)
    length = _found(length, "order", "from arrival to leaving, as the shortest order of work that was found takes")
    once = summed("once", "s", once, daily)
    used = done_beside(bores, once, fire_watch, length, daily)
    on_site = on_site_time(bores, once, fire_watch, used)
    work = summed("work", "s", difference(bores, idle), once, fire_watch)
    technicians = choice(one.technicians, "technicians", "those of the crew who work")
    people = choice(one.people, "people", "the crew, and who stands by in a confined space")
    trips = days if not one.mode.stays else _counted(1 + 0 * calendar.days, "trips", "the crew stays near the site")
    nights = calendar.days - 1 if one.mode.stays else 0 * calendar.days
    travel = all_trips(travel_time(distance, road_speed), trips)
    return Schedule(
        one,
        calendar,
        tuple(durations),
        length,
        once,
        fire_watch,
        used,
        on_site,
        travel,
        labour_time(on_site, travel, people),
        _found(calendar.home, "elapsed", "from leaving to being back, as the order of work falls into shifts"),
        _found(calendar.overtime, "overtime", "hours beyond the shift, all days together"),
        standing_by(on_site, technicians, work),
        _counted(nights, "nights", "nights away"),
        trips,
        people,
    )


def _found(value: float, name: str, text: str) -> float:
    return leaf(value, "choice", name, text, unit="s")


def _counted(value: float, name: str, text: str) -> int:
    return cast(int, leaf(value, "choice", name, text))
