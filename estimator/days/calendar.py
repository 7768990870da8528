"""An order of work run through: as soon as everything is free, on the clock of work alone and on that of the days."""

import functools
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import numpy as np

from estimator.days.dispatch import Turn
from estimator.days.shifts import Shifts, Span, hot_until, morning_after, next_opening, placed
from estimator.days.tasks import Task
from estimator.either import larger, picked, smaller, whole_down, whole_up

__all__ = [
    "Arrangement",
    "Calendar",
    "Mode",
    "Road",
    "calendar_of",
    "last_end",
    "run_through",
    "straight",
]

COOL = "cool"  # the wait that may be left to the night
WATCH = "watch"  # the task that nobody's hands are needed for, yet somebody's eyes
EDGE = 1e-12  # relative: what begins so near to a day's end may begin in it
LEAST_ROOM = 10  # a day holds at least the tenth of a shift, however long its opening and closing take

Place = Callable[[float, float, Task], Span]


@dataclass(frozen=True)
class Mode:
    """How the days go: whether the crew sleeps near the site, and how long it may work beyond a shift. [s]

    `overnight`: waits that are left to the night, the crew going and coming back the next morning; `weekends`: a crew
    that stays drives home for days off and comes back before the next day of work; `mornings`: work that is put off to
    a morning, so that no watch for fire nor wait is paid for its sake in the evening.
    """

    stays: bool
    overtime: float
    overnight: frozenset[Task] = frozenset()
    weekends: bool = False
    mornings: tuple[Task, ...] = ()


@dataclass(frozen=True)
class Arrangement:
    """All that was chosen about the order of work. [SI]

    `length`: working time of the order found; `bound`: no order takes less; `spared`: what its overtime takes off the
    price before tax, against the cheapest way without.
    """

    tasks: tuple[Task, ...]
    turns: tuple[Turn, ...]
    mode: Mode
    technicians: int
    people: int
    machines: int
    length: float
    bound: float
    spared: Decimal | None = None


@dataclass(frozen=True)
class Road:
    """The way to the site and the hours of a day. [SI]; `week`: which days are worked, from the first one on.

    `pause`: breaks of a day, within the shift and not paid; reckoned before the crew leaves, taken when work allows.
    """

    way: float
    shift: float
    day: float
    fire_watch: float
    opening: float
    closing: float
    week: tuple[bool, ...] = ()
    pause: float = 0.0

    @property
    def leaving(self) -> float:
        """What passes from the last task of a day until the crew leaves the site: closing, and the day's breaks. [s]"""
        return self.closing + self.pause


@dataclass(frozen=True)
class Calendar:
    """Tasks as they fall into days, from the moment the van leaves.

    `opens`, `closes`, `hot_closes`: hours of a day between which tasks are done, and until when hot ones; `closing`:
    what is done at the site before the crew leaves it; `present`: between the first and the last work of each day;
    `watches`: for fire at the end of each day but the last. [s]
    """

    spans: tuple[Span, ...]
    arrives: float
    leaves: float
    sets_off: float
    home: float
    days: float
    site_days: float
    overtime: float
    opens: float
    closes: float
    hot_closes: float
    closing: float
    present: float
    watches: float


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
    plain = all(type(one) is float for one in (begin, *durations))
    for turn in turns:
        task, ready = tasks[turn.task], begin
        waits = [spans[number][1] for number in task.after]
        waits += [free[one] for one in turn.keeps if one in free]
        ready = max((ready, *waits)) if plain else functools.reduce(larger, waits, ready)
        spans[turn.task] = span = place(ready, durations[turn.task], task)
        for one in turn.keeps:
            free[one] = span[1]
    return tuple(spans[n] for n in range(len(tasks)))


def last_end(spans: Sequence[Span], begin: float) -> float:
    """Return when the last task ends. [s]"""
    found = begin
    for _, end in spans:
        found = larger(found, end)
    return found


def straight(ready: float, duration: float, _: Task) -> Span:
    """Return when a task starts and ends on the clock of work alone. [s]"""
    return ready, ready + duration


def calendar_of(one: Arrangement, durations: Sequence[float], road: Road) -> Calendar:
    """Return the order of work as it falls into days."""
    closes = road.shift + one.mode.overtime
    travel = Shifts(road.day, 0.0, closes, closes)
    opens = road.opening if one.mode.stays else road.way + road.opening
    ends = closes - road.leaving if one.mode.stays else closes - road.leaving - road.way
    ends = larger(ends, opens + road.shift / LEAST_ROOM)
    shifts = Shifts(road.day, opens, ends, hot_until(opens, ends, road.fire_watch))

    arrives = placed(0.0 * road.way, road.way, travel, hot=False, whole=False)[1]
    begin = arrives + road.opening
    spans = _fallen(one, durations, begin, shifts)
    leaves = last_end(spans, begin) + road.leaving
    sets_off, home = _home(leaves, road.way, travel)
    days = larger(whole_up(home / road.day), 1)
    over = (
        _overtime(one, spans, ((0.0 * home, arrives), (sets_off, home)), days, shifts, road)
        if one.mode.overtime
        else 0.0 * home
    )
    here = whole_up(leaves / road.day) - whole_down(arrives / road.day)
    present, watches = _attended(one, spans, days, shifts, road.fire_watch)
    return Calendar(
        spans=spans,
        arrives=arrives,
        leaves=leaves,
        sets_off=sets_off,
        home=home,
        days=days,
        site_days=here,
        overtime=over,
        opens=opens,
        closes=ends,
        hot_closes=shifts.hot_closes,
        closing=road.leaving,
        present=present,
        watches=watches,
    )


def _fallen(one: Arrangement, durations: Sequence[float], begin: float, shifts: Shifts) -> tuple[Span, ...]:
    """Return when each task starts and ends; after a wait left to the night work starts in the morning. [s]"""
    nights, mornings = one.mode.overnight, one.mode.mornings

    def place(ready: float, duration: float, task: Task) -> Span:
        if task.code == COOL and task in nights:  # other tasks never are, and are not hashed
            return ready, larger(ready + duration, morning_after(ready, shifts))
        if not task.hands:
            return straight(ready, duration, task)
        if mornings and any(task is each for each in mornings):
            ready = next_opening(ready, shifts)
        return placed(ready, duration, shifts, task.hot, task.whole)

    spans = run_through(one.tasks, one.turns, durations, begin, place)
    return tuple(
        straight(span[0], duration, task) if task.code == COOL and task in nights else span
        for task, span, duration in zip(one.tasks, spans, durations, strict=True)
    )


def _attended(
    one: Arrangement, spans: Sequence[Span], days: float, shifts: Shifts, fire_watch: float
) -> tuple[float, float]:
    """Return the time from the first to the last work of each day, and the watch after hot work of all but the last.

    What cools or waits before the first and after the last work of a day needs nobody; a watch for fire does. [s]
    """
    ends = {True: shifts.hot_closes, False: shifts.closes}
    work = [(span, task.hot, ends[task.hot]) for task, span in zip(one.tasks, spans, strict=True) if task.hands]
    work += [(span, False, shifts.day) for task, span in zip(one.tasks, spans, strict=True) if task.code == WATCH]
    leaves = last_end([span for span, *_ in work], 0.0 * spans[0][0])
    whole, none = int(np.max(days)), 0.0 * leaves
    first, last, watched = (
        [number * shifts.day + ahead + none for number in range(whole)] for ahead in (shifts.day, 0, 0)
    )
    for (start, end), hot, closes in work:
        for number in _days_in(start, end, shifts.day, whole):
            begin = number * shifts.day
            a, b = larger(start, begin + shifts.opens), smaller(end, begin + closes)
            here = a < b
            if here is False:  # one number: nothing of it lies in this day
                continue
            first[number] = picked(here, smaller(first[number], a), first[number])
            last[number] = picked(here, larger(last[number], b), last[number])
            if hot:
                watched[number] = picked(here, larger(watched[number], b + fire_watch), watched[number])
    present = watches = none
    for number in range(whole):
        some, more = last[number] > first[number], leaves >= (number + 1) * shifts.day
        present = present + picked(some, last[number] - first[number], 0.0)
        watches = watches + picked(some & more, larger(watched[number] - last[number], 0.0), 0.0)
    return present, watches


def _days_in(start: Any, end: Any, day: float, days: int) -> range:  # noqa: ANN401  # a number or an array
    """Return the days that a span may touch: of one number those from its start to its end, of arrays all."""
    if isinstance(start, np.ndarray) or isinstance(end, np.ndarray):
        return range(days)
    return range(max(0, int(start / day * (1 - EDGE))), min(days, int(end / day) + 1))


def _home(leaves: float, way: float, travel: Shifts) -> Span:
    """Return when the crew sets off for home and is there: in one piece where a day holds the way. [s]"""
    apart, through = (placed(leaves, way, travel, hot=False, whole=whole) for whole in (False, True))
    short = way <= travel.closes
    return picked(short, through[0], apart[0]), picked(short, through[1], apart[1])


def _overtime(
    one: Arrangement,
    spans: Sequence[Span],
    drives: Sequence[Span],
    days: float,
    shifts: Shifts,
    road: Road,
) -> float:
    """Return the hours beyond the shift of all days, for each of the crew: work, watch, closing, drives. [s]"""
    after = road.leaving if one.mode.stays else road.leaving + road.way
    work = [(start, end, road.shift + one.mode.overtime, 0.0) for start, end in drives]
    for task, (start, end) in zip(one.tasks, spans, strict=True):
        if task.hands:
            work.append((start, end, shifts.hot_closes if task.hot else shifts.closes, after))
            work += [(start, end, shifts.hot_closes, after + road.fire_watch)] if task.hot else []
    found, whole = 0.0 * drives[-1][1], int(np.max(days))
    most = [0.0 * found] * whole
    for start, end, closes, then in work:
        for number in _days_in(start, end, road.day, whole):
            first = number * road.day
            reach = smaller(end, first + closes)
            most[number] = larger(most[number], picked(start < reach, reach + then - first - road.shift, 0.0))
    for each in most:
        found = found + each
    return found
