"""The days of the order of work in the estimate document: from when until when, hot work, the tasks in each."""

import datetime
from collections.abc import Sequence
from typing import Any

from typing_extensions import TypedDict

from estimator.book.pricebook import WEEK
from estimator.formula import choice, leaf
from estimator.plans import Figures
from estimator.units import factor

__all__ = ["SAME", "Day", "chosen", "counted", "days_of"]


class Day(TypedDict):
    """One day: its date where the job says when it starts, from when until when, hot work, and the tasks in it."""

    day: int
    date: str | None
    begins: str
    ends: str
    hot_until: str | None
    watch_until: str | None
    tasks: list[int]


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


def days_of(figures: Figures) -> list[dict[str, Any]]:
    """Return the days, each with its hours and the tasks that are done in it."""
    whole, book = figures.schedule, figures.plan.book
    day, spans, tasks = book.facts.plain_constant("day"), whole.calendar.spans, whole.arrangement.tasks
    fallen = whole.calendar
    closes, hot_closes = float(fallen.closes), float(fallen.hot_closes)
    found, way = [], 0.0 if whole.arrangement.mode.stays else float(fallen.arrives)
    for number in range(int(whole.calendar.days)):
        first, after = number * day, (number + 1) * day
        here = [n for n, (start, end) in enumerate(spans) if start < after * (1 - SAME) and end > first * (1 + SAME)]
        at_work = [n for n in here if tasks[n].hands]
        hot = [min(float(spans[n][1]), first + hot_closes) for n in at_work if tasks[n].hot]
        watched = [max(hot) + book.facts.plain_constant("fire_watch")] if hot else []
        cold = [min(float(spans[n][1]), first + closes) for n in at_work if not tasks[n].hot]
        ends = max([*cold, *hot, *watched], default=first + closes) + float(fallen.closing) + way
        last = number == int(whole.calendar.days) - 1
        found.append(
            {
                "day": counted(number + 1),
                "date": date_of(figures.plan.job.start, number + 1, book.work_days),
                "begins": book.shift_start,
                "ends": clock_of((float(whole.calendar.home) if last else ends) - first, book.shift_start),
                "hot_until": None if not hot else clock_of(max(hot) - first, book.shift_start),
                "watch_until": None if not watched else clock_of(watched[0] - first, book.shift_start),
                "tasks": [counted(n + 1) for n in here],
            }
        )
    return found
