"""The days of the order of work in the estimate document: from when until when, hot work, the tasks in each."""

import datetime
from collections.abc import Sequence
from typing import Literal

from typing_extensions import TypedDict

from estimator.book.pricebook import WEEK
from estimator.days import spans
from estimator.days.spans import by_start
from estimator.express import all_shown
from estimator.formula import choice, leaf
from estimator.plans import Figures
from estimator.units import factor

__all__ = ["SAME", "Day", "chosen", "counted", "days_of"]


class Part(TypedDict):
    """The part of a task that falls into one day, by the task's number, and who does it."""

    task: int
    people: list[int]
    start_min: float
    end_min: float


class Drive(TypedDict):
    """A drive of one day."""

    way: Literal["out", "home"]
    start_min: float
    end_min: float


class Day(TypedDict):
    """One day: its date where the job says when it starts, from when until when, hot work, and the tasks in it.

    `parts`: what each does, in the order of the clock. Times by the clock stand as minutes since the van left as well.
    """

    day: int
    date: str | None
    begins: str
    ends: str
    hot_until: str | None
    watch_until: str | None
    tasks: list[int]
    begins_min: float
    ends_min: float
    hot_until_min: float | None
    watch_until_min: float | None
    parts: list[Part]
    drives: list[Drive]


SAME = 1e-9  # relative: two moments are one


def chosen(value: float, name: str, text: str, unit: str = "s") -> float:
    """Return a figure that the order of work chose."""
    return leaf(float(value), "choice", name, text, unit=unit)


def counted(number: int) -> int:
    """Return a number that the order of work gives a task, a person, a machine or a day."""
    return choice(number, "number", "tasks, people, machines and days are numbered")


def clock_of(time: float, shift_start: str) -> str:
    """Return a moment as it stands on the clock, to the minute; `time` counts from the start of the first shift. [s]"""
    hours, minutes = (int(part) for part in shift_start.split(":"))
    whole = int(time / factor("min") * (1 + SAME) + 0.5) + 60 * hours + minutes
    return f"{whole // 60 % 24:02d}:{whole % 60:02d}"


def date_of(start: str | None, day: int, work_days: Sequence[str]) -> str | None:
    """Return the date of a working day, the first being the one the job starts on; None where that is not said."""
    if start is None:
        return None
    found = datetime.date.fromisoformat(start)
    for _ in range(day - 1):
        found += datetime.timedelta(days=1)
        while WEEK[found.weekday()] not in work_days:
            found += datetime.timedelta(days=1)
    return found.isoformat()


def days_of(figures: Figures) -> list[Day]:
    """Return the days, each with its hours, the parts of tasks that are done in it, and its drives."""
    whole, book, facts = figures.schedule, figures.plan.book, figures.plan.book.facts
    day, shift = facts.plain_constant("day"), float(book.shift_length) + whole.arrangement.mode.overtime
    numbers = {task: place + 1 for place, task in enumerate(by_start(whole, day))}
    found = []
    for at, one in enumerate(spans.days_of(whole, shift, day, facts.plain_constant("fire_watch"))):
        first, start = at * day, book.shift_start
        found.append(
            all_shown(
                Day(
                    day=counted(at + 1),
                    date=date_of(figures.plan.job.start, at + 1, book.work_days),
                    begins=start,
                    ends=clock_of(one.ends - first, start),
                    hot_until=None if one.hot_until is None else clock_of(one.hot_until - first, start),
                    watch_until=None if one.watch_until is None else clock_of(one.watch_until - first, start),
                    tasks=[counted(number) for number in sorted(numbers[task] for task in one.tasks)],
                    begins_min=_moment(one.begins, "begins"),
                    ends_min=_moment(one.ends, "ends"),
                    hot_until_min=None if one.hot_until is None else _moment(one.hot_until, "hot_until"),
                    watch_until_min=None if one.watch_until is None else _moment(one.watch_until, "watch_until"),
                    parts=[_part(part, numbers) for part in one.parts],
                    drives=[_drive(drive) for drive in one.drives],
                )
            )
        )
    return found


def _part(part: spans.Part, numbers: dict[int, int]) -> Part:
    people = [counted(person + 1) for person in part.people]
    start, end = _moment(part.start, "start"), _moment(part.end, "end")
    return all_shown(Part(task=counted(numbers[part.task]), people=people, start_min=start, end_min=end))


def _drive(drive: spans.Drive) -> Drive:
    start, end = _moment(drive.start, "start"), _moment(drive.end, "end")
    return all_shown(Drive(way="home" if drive.home else "out", start_min=start, end_min=end))


def _moment(time: float, name: str) -> float:
    """Return a moment, counted from when the van leaves. [s]"""
    return chosen(time, name, "as the order of work falls into days")
