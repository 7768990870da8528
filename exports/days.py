"""The order of work as people read it: the parts of tasks by day and clock, who does them, what a day uses up."""

import math
from collections.abc import Iterator
from typing import Literal, NamedTuple

from estimator.document.bore import Bore
from estimator.document.day import Day
from estimator.document.schedule import Schedule
from estimator.document.tasks import Task
from estimator.estimate import Estimate
from estimator.tables.used import used_up
from exports.format import by_key, has
from exports.stored_days import HOUR, days_worked_out, shift_start

__all__ = [
    "WATCH",
    "Drive",
    "Part",
    "Use",
    "Watch",
    "by_day",
    "by_task",
    "clock",
    "day_name",
    "days_of",
    "drives",
    "of_people",
    "parted",
    "uses_of",
    "watches",
]

WATCH = "watch"  # code of the task
NOBODY = "nobody needed"
NEAR = 1e-6  # moments nearer than this are one [min]


class Part(NamedTuple):
    """The part of a task that falls into one day; `day` from 1, minutes from the moment the van leaves."""

    task: Task
    day: int
    start: float
    end: float

    @property
    def minutes(self) -> float:
        """How long it is. [min]"""
        return self.end - self.start


def parted(whole: Part) -> tuple[Part | None, Part]:
    """Return the part of a task that it begins with, as its preheat, where this part holds it; and what follows."""
    step = whole.task.get("begins_with")
    if step is None or abs(whole.start - whole.task["start_min"]) > NEAR or step["duration_min"] >= whole.minutes:
        return None, whole
    at = whole.start + step["duration_min"]
    return whole._replace(end=at), whole._replace(start=at)


class Drive(NamedTuple):
    """A drive: on which day, there or back, minutes as in `Part`."""

    day: int
    way: Literal["out", "home"]
    start: float
    end: float

    @property
    def name(self) -> str:
        """What people call it."""
        return f"drive {self.way}"


class Use(NamedTuple):
    """What is used up of one thing: its key, which kind of it, today, in the whole job, and after today."""

    key: str
    name: str | None
    today: float
    whole: float
    after: float


class Watch(NamedTuple):
    """The fire watch of one day: from the last hot work on, who keeps it, what to look at; minutes as in `Part`.

    `number` is that of its task where the order of work has one for it: on the last day with hot work.
    """

    day: int
    start: float
    end: float
    who: str
    measure: tuple[str, ...]
    number: int | None

    @property
    def minutes(self) -> float:
        """How long it is. [min]"""
        return self.end - self.start


def watches(schedule: Schedule) -> dict[int, Watch]:
    """Return the fire watch of every day with hot work, by day; it is a person's work, beside other work."""
    tasks = [task for task in schedule["tasks"] if task["code"] == WATCH]
    asked = tuple(dict.fromkeys(one for task in tasks for one in task.get("measure", ())))
    crew = [one["role"] for one in schedule["roles"]]
    who = crew[0] if len(crew) == 1 else "one of the crew"
    found = {}
    for day in days_of(schedule):
        start, end = day["hot_until_min"], day["watch_until_min"]
        here = {part["task"] for part in day["parts"]}
        number = next((task["number"] for task in tasks if task["number"] in here), None)
        if start is not None and end is not None:
            found[day["day"]] = Watch(day["day"], start, end, f"{who}, beside other work", asked, number)
    return found


def clock(schedule: Schedule, moment: float) -> str:
    """Return a moment as it stands on the clock; it counts from when the van leaves. [min]"""
    whole = math.floor(moment + 0.5 + NEAR) + shift_start(schedule)
    return f"{whole // HOUR % 24:02d}:{whole % HOUR:02d}"


def days_of(schedule: Schedule) -> list[Day]:
    """Return the days with what falls into each, as written; worked out where the document is older than that."""
    days = schedule["days"]
    return days if all(has(day, "parts") for day in days) else days_worked_out(schedule)


def day_name(day: Day) -> str:
    """Return a day by its number, and its date where the job has one."""
    return f"day {day['day']}" + (f", {day['date']}" if day["date"] else "")


def by_day(schedule: Schedule) -> dict[int, list[Part]]:
    """Return the parts of all tasks by day, in the order of the clock."""
    tasks = {task["number"]: task for task in schedule["tasks"]}
    return {
        day["day"]: [Part(tasks[one["task"]], day["day"], one["start_min"], one["end_min"]) for one in day["parts"]]
        for day in days_of(schedule)
    }


def by_task(schedule: Schedule) -> dict[int, list[Part]]:
    """Return the parts of each task by its number: one a day; what needs no hands goes on through the night as one."""
    found: dict[int, list[Part]] = {task["number"]: [] for task in schedule["tasks"]}
    for parts in by_day(schedule).values():
        for part in parts:
            found[part.task["number"]].append(part)
    return found


def drives(schedule: Schedule) -> list[Drive]:
    """Return the drives; every day there and back where nobody stays."""
    return [
        Drive(day["day"], one["way"], one["start_min"], one["end_min"])
        for day in days_of(schedule)
        for one in day["drives"]
    ]


def of_people(task: Task, schedule: Schedule) -> str:
    """Return who does a task; of what goes on by itself that nobody is needed."""
    roles = [one["role"] for one in schedule["roles"]]
    return ", ".join(roles[one - 1] if one <= len(roles) else f"person {one}" for one in task["people"]) or NOBODY


def _lines(schedule: Schedule) -> dict[str, str | None]:
    """Return the line that each bore is worked on."""
    return {task["bore"]: task["line"] for task in schedule["tasks"] if task["bore"] is not None}


def _weights(key: str, bore: str, schedule: Schedule, parts: dict[int, list[Part]]) -> Iterator[tuple[int, float]]:
    """Yield day and minutes of the work that uses something up for a bore; its own, else its line's, else all."""
    using = [one for one in schedule["tasks"] if key in one.get("uses", ())]
    line = _lines(schedule).get(bore)
    own = [one for one in using if one["bore"] == bore]
    own = own or [one for one in using if one["bore"] is None and one["line"] == line]
    for task in own or [one for one in schedule["tasks"] if one["people"]]:
        for part in parts[task["number"]]:
            yield part.day, part.minutes


def _kind(key: str, bore: Bore) -> str | None:
    """Return which wire or gas of a bore it is; None of what has no name."""
    kind = next((one.kind for one in used_up() if one.key == key), "")
    return {"wire": bore["buildup"]["wire"], "gas": bore["buildup"]["gas"]}.get(kind)


def uses_of(estimate: Estimate, keys: tuple[str, ...]) -> dict[int, list[Use]]:
    """Return what each day uses up, by day: shares of the bores' expected use, by the time of the work that uses it."""
    schedule, parts = estimate["schedule"], by_task(estimate["schedule"])
    days = [day["day"] for day in schedule["days"]]
    used: dict[tuple[str, str | None], dict[int, float]] = {}
    for key in keys:
        for bore in estimate["bores"]:
            amount = by_key(bore["consumption"]).get(key, 0.0)
            weights = list(_weights(key, bore["name"], schedule, parts)) if amount else []
            whole = sum(weight for _, weight in weights)
            for day, weight in weights if whole > 0 else ():
                here = used.setdefault((key, _kind(key, bore)), dict.fromkeys(days, 0.0))
                here[day] = here.get(day, 0.0) + amount * weight / whole
    return {
        day: [
            Use(key, name, one.get(day, 0.0), sum(one.values()), sum(v for d, v in one.items() if d > day))
            for (key, name), one in used.items()
        ]
        for day in days
    }
