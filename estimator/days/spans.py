"""What falls into each day: parts of tasks, drives, from when until when; worked out once, for a job of plain numbers.

Times count from the moment the van leaves. [s]
"""

from collections.abc import Iterator
from dataclasses import dataclass

from estimator.days.schedule import Schedule
from estimator.days.shifts import Span
from estimator.days.week import week_ends
from estimator.either import whole_down

__all__ = ["Day", "Drive", "Part", "by_start", "days_of"]

NEAR = 1e-9  # of a day: moments nearer together than that are one


@dataclass(frozen=True)
class Part:
    """The part of a task that falls into one day; `task` and `people` count from nought."""

    task: int
    people: tuple[int, ...]
    start: float
    end: float


@dataclass(frozen=True)
class Drive:
    """A drive of one day: to the site, or home."""

    home: bool
    start: float
    end: float


@dataclass(frozen=True)
class Day:
    """One day. `tasks`: all that go on in it, waits too; `parts`: of those that start or are worked on, by the clock.

    `begins`, `ends`: of the crew's work, drives included where it lives at home, the last drive home in any case.
    `hot_until`, `watch_until`: None without hot work.
    """

    begins: float
    ends: float
    hot_until: float | None
    watch_until: float | None
    tasks: tuple[int, ...]
    parts: tuple[Part, ...]
    drives: tuple[Drive, ...]


def by_start(whole: Schedule, day: float) -> list[int]:
    """Return the tasks in the order they start; of two that start together, first the one that ends first."""

    def moment(number: int) -> tuple[float, float, int]:
        start, end = (round(float(one) / (NEAR * day)) for one in whole.calendar.spans[number])
        return start, end, number  # tasks stand so that each comes after those that it waits for

    return sorted(range(len(whole.calendar.spans)), key=moment)


def _by_day(start: float, end: float, hours: Span, day: float) -> Iterator[tuple[int, Span]]:
    """Yield the day and the part of what goes on between two hours of each day."""
    opens, closes = hours
    while True:
        number = int(whole_down(start / day))
        until = number * day + closes
        if end <= until + NEAR * day:
            yield number, (start, end)
            return
        yield number, (start, until)
        start = (number + 1) * day + opens


def _parts(whole: Schedule, day: float) -> Iterator[tuple[int, Part]]:
    """Yield the day and each part of every task; what needs no hands goes on through the night as one."""
    one, fallen = whole.arrangement, whole.calendar
    people = {turn.task: turn.people for turn in one.turns}
    for number, task in enumerate(one.tasks):
        start, end = (float(moment) for moment in fallen.spans[number])
        if not task.hands:
            yield int(whole_down(start / day)), Part(number, (), start, end)
            continue
        closes = float(fallen.hot_closes if task.hot else fallen.closes)
        for at, span in _by_day(start, end, (float(fallen.opens), closes), day):
            yield at, Part(number, people[number], *span)


def _begins(whole: Schedule, at: int, parts: list[Part], day: float) -> float:
    """Return when the crew begins a day: with the shift, or later where all that is left still cools."""
    first = min((part.start for part in parts if part.people), default=0.0) - float(whole.calendar.opens)
    return max(at * day, first) if at and parts else at * day


def _drives(
    whole: Schedule, shift: float, day: float, begins: list[float], ends: list[float]
) -> Iterator[tuple[int, Drive]]:
    """Yield the day of each drive; there and back every day where nobody stays. `ends`: of each day, drive included."""
    fallen, hours = whole.calendar, (0.0, shift)
    way, last = float(fallen.arrives), len(ends) - 1
    for at, span in _by_day(0.0, way, hours, day):
        yield at, Drive(False, *span)
    away = range(last) if not whole.arrangement.mode.stays else _before_days_off(whole, len(ends))
    if away:
        for at in away:
            yield at, Drive(True, ends[at] - way, ends[at])
            yield at + 1, Drive(False, begins[at + 1], begins[at + 1] + way)
    for at, span in _by_day(float(fallen.sets_off), float(fallen.home), hours, day):
        yield at, Drive(True, *span)


def _before_days_off(whole: Schedule, count: int) -> list[int]:
    """Return after which days a crew that stays drives home, and comes back after days off."""
    if not whole.arrangement.mode.weekends:
        return []
    return [at for at in range(count - 1) if week_ends(at + 2, whole.week) > week_ends(at + 1, whole.week)]


def _watched(parts: list[Part], whole: Schedule) -> float | None:
    """Return until when there is hot work in a day; None where there is none."""
    return max((part.end for part in parts if whole.arrangement.tasks[part.task].hot), default=None)


def days_of(whole: Schedule, shift: float, day: float, fire_watch: float) -> list[Day]:
    """Return the days of a job, what falls into each of them.

    Parameters
    ----------
    whole
        The job from door to door, in plain numbers.
    shift, day, fire_watch
        Hours of work of a day with its overtime, a day and its night, how long is watched after hot work. [s]
    """
    fallen, count = whole.calendar, int(whole.calendar.days)
    way = 0.0 if whole.arrangement.mode.stays else float(fallen.arrives)
    parts: list[list[Part]] = [[] for _ in range(count)]
    for at, part in _parts(whole, day):
        parts[at].append(part)
    hot = [_watched(each, whole) for each in parts]
    ends = []
    watch = [None if until is None else until + fire_watch for until in hot]
    for at, (each, watched) in enumerate(zip(parts, watch, strict=True)):
        work = [part.end for part in each if part.people]
        work += [] if watched is None else [watched]
        ends.append(max(work, default=at * day + float(fallen.closes)) + float(fallen.closing) + way)
    ends[-1] = float(fallen.home)
    begins = [_begins(whole, at, each, day) for at, each in enumerate(parts)]
    for at in _before_days_off(whole, count):
        ends[at] += float(fallen.arrives)
        begins[at + 1] -= float(fallen.arrives)
    drives: list[list[Drive]] = [[] for _ in range(count)]
    for at, drive in _drives(whole, shift, day, begins, ends):
        drives[at].append(drive)
    return [
        Day(
            begins=begins[at],
            ends=ends[at],
            hot_until=hot[at],
            watch_until=watch[at],
            tasks=tuple(_going_on(whole, at * day, (at + 1) * day)),
            parts=tuple(sorted(parts[at], key=lambda part: (part.start, part.end, part.task))),
            drives=tuple(sorted(drives[at], key=lambda drive: drive.start)),
        )
        for at in range(count)
    ]


def _going_on(whole: Schedule, first: float, after: float) -> Iterator[int]:
    """Yield the tasks that go on in a day."""
    for number, (start, end) in enumerate(whole.calendar.spans):
        if start < after * (1 - NEAR) and end > first * (1 + NEAR):
            yield number
