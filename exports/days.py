"""The order of work as people read it: the parts of tasks by day and clock, who does them, what a day uses up."""

import math
from collections.abc import Iterator
from typing import Any, NamedTuple

__all__ = [
    "DAY",
    "Part",
    "Use",
    "by_day",
    "clock",
    "day_name",
    "drives",
    "minutes_of",
    "of_people",
    "parts_of",
    "uses_of",
]

DAY, HOUR = 1440.0, 60  # minutes
NEAR = 1e-6  # moments nearer than this are one [min]


class Part(NamedTuple):
    """The part of a task that falls into one day; `day` from 1, minutes from the moment the van leaves."""

    task: dict[str, Any]
    day: int
    start: float
    end: float

    @property
    def minutes(self) -> float:
        """How long it is. [min]"""
        return self.end - self.start


class Use(NamedTuple):
    """What is used up of one thing: its key, which kind of it, today, in the whole job, and after today."""

    key: str
    name: str | None
    today: float
    whole: float
    after: float


def _shift(schedule: dict[str, Any]) -> int:
    hours, minutes = (int(part) for part in schedule["shift_start"].split(":"))
    return hours * HOUR + minutes


def clock(schedule: dict[str, Any], moment: float) -> str:
    """Return a moment as it stands on the clock; it counts from when the van leaves. [min]"""
    whole = math.floor(moment + 0.5 + NEAR) + _shift(schedule)
    return f"{whole // HOUR % 24:02d}:{whole % HOUR:02d}"


def minutes_of(schedule: dict[str, Any], day: int, said: str) -> float:
    """Return a time of a day's clock as minutes since the van left; night hours belong to the day before. [min]"""
    hours, minutes = (int(part) for part in said.split(":"))
    return (day - 1) * DAY + (hours * HOUR + minutes - _shift(schedule)) % DAY


def day_name(day: dict[str, Any]) -> str:
    """Return a day by its number, and its date where the job has one."""
    return f"day {day['day']}" + (f", {day['date']}" if day["date"] else "")


def parts_of(task: dict[str, Any], schedule: dict[str, Any]) -> list[Part]:
    """Return the parts of a task: one a day; what needs no hands goes on through the night as one."""
    start, end, takes = task["start_min"], task["end_min"], task["duration_min"]
    first = math.floor((start + NEAR) / DAY) + 1
    nights = math.floor((end - NEAR) / DAY) + 1 - first
    if nights <= 0 or not task["people"] or end - start <= takes + NEAR:
        return [Part(task, first, start, end)]
    room = DAY - (end - start - takes) / nights  # hours of work of a day
    opens = schedule["opens_min"]
    found = [Part(task, first, start, (first - 1) * DAY + opens + room)]
    for day in range(first + 1, first + nights + 1):
        begins = (day - 1) * DAY + opens
        found.append(Part(task, day, begins, end if day == first + nights else begins + room))
    return found


def by_day(schedule: dict[str, Any]) -> dict[int, list[Part]]:
    """Return the parts of all tasks by day, in the order of the clock."""
    found: dict[int, list[Part]] = {day["day"]: [] for day in schedule["days"]}
    for task in schedule["tasks"]:
        for part in parts_of(task, schedule):
            found.setdefault(part.day, []).append(part)
    return {day: sorted(parts, key=lambda one: (one.start, one.end)) for day, parts in found.items()}


def drives(schedule: dict[str, Any]) -> list[tuple[int, str, float, float]]:
    """Return the drives: day, there or back, start, end; every day there and back where nobody stays. [min]"""
    way, home = schedule["arrives_min"], schedule["home_min"]
    found = [(1, "drive out", 0.0, way)]
    last = math.floor((home - NEAR) / DAY) + 1
    if not schedule["stays"]:
        for day in schedule["days"]:
            if day["day"] < last:
                ends = minutes_of(schedule, day["day"], day["ends"])
                found.append((day["day"], "drive home", ends - way, ends))
            if day["day"] > 1:
                begins = minutes_of(schedule, day["day"], day["begins"])
                found.append((day["day"], "drive out", begins, begins + way))
    return [*found, *_way_home(schedule, last)]


def _way_home(schedule: dict[str, Any], last: int) -> list[tuple[int, str, float, float]]:
    """Return the drive home, day by day where one day does not hold it. [min]"""
    start, home, most = schedule["sets_off_min"], schedule["home_min"], schedule["day_min"]
    first = math.floor((start + NEAR) / DAY) + 1
    ends = {day: (day - 1) * DAY + most for day in range(first, last)} | {last: home}
    return [(day, "drive home", start if day == first else (day - 1) * DAY, end) for day, end in ends.items()]


def of_people(task: dict[str, Any], schedule: dict[str, Any]) -> str:
    """Return who does a task; nothing for a wait."""
    roles = [one["role"] for one in schedule["roles"]]
    return ", ".join(roles[one - 1] if one <= len(roles) else f"person {one}" for one in task["people"])


def _lines(schedule: dict[str, Any]) -> dict[str, str | None]:
    """Return the line that each bore is worked on."""
    return {task["bore"]: task["line"] for task in schedule["tasks"] if task["bore"] is not None}


def _weights(key: str, bore: str, schedule: dict[str, Any]) -> Iterator[tuple[int, float]]:
    """Yield day and minutes of the work that uses something up for a bore; its own, else its line's, else all."""
    using = [one for one in schedule["tasks"] if key in one.get("uses", ())]
    line = _lines(schedule).get(bore)
    own = [one for one in using if one["bore"] == bore]
    own = own or [one for one in using if one["bore"] is None and one["line"] == line]
    for task in own or [one for one in schedule["tasks"] if one["people"]]:
        for part in parts_of(task, schedule):
            yield part.day, part.minutes


def _kind(key: str, bore: dict[str, Any]) -> str | None:
    return {"wire_kg": bore["buildup"]["wire"], "gas_L": bore["buildup"]["gas"]}.get(key)


def uses_of(estimate: dict[str, Any], keys: tuple[str, ...]) -> dict[int, list[Use]]:
    """Return what each day uses up, by day: shares of the bores' expected use, by the time of the work that uses it."""
    schedule = estimate["schedule"]
    days = [day["day"] for day in schedule["days"]]
    used: dict[tuple[str, str | None], dict[int, float]] = {}
    for key in keys:
        for bore in estimate["bores"]:
            amount = bore["consumption"].get(key)
            weights = list(_weights(key, bore["name"], schedule)) if amount else []
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
