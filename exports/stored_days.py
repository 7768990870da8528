"""The order of work of documents that were kept before what falls into each day stood in them: worked out again."""

import math
from typing import Literal

from estimator.document.day import Day, Part
from estimator.document.schedule import Schedule
from estimator.document.tasks import Task

__all__ = ["DAY", "HOUR", "days_worked_out", "minutes_of", "shift_start"]

DAY, HOUR = 1440.0, 60  # minutes
NEAR = 1e-6  # moments nearer than this are one [min]
Toward = Literal["out", "home"]
Drive = tuple[int, Toward, float, float]  # day, there or back, start, end
Span = tuple[int, float, float]  # a day from 1, minutes from the moment the van leaves


def shift_start(schedule: Schedule) -> int:
    """Return when a shift starts by the clock. [min]"""
    hours, minutes = (int(part) for part in schedule["shift_start"].split(":"))
    return hours * HOUR + minutes


def minutes_of(schedule: Schedule, day: int, said: str) -> float:
    """Return a time of a day's clock as minutes since the van left; night hours belong to the day before. [min]"""
    hours, minutes = (int(part) for part in said.split(":"))
    return (day - 1) * DAY + (hours * HOUR + minutes - shift_start(schedule)) % DAY


def _parts(task: Task, schedule: Schedule) -> list[Span]:
    """Return the parts of a task: one a day; what needs no hands goes on through the night as one."""
    start, end, takes = task["start_min"], task["end_min"], task["duration_min"]
    first = math.floor((start + NEAR) / DAY) + 1
    nights = math.floor((end - NEAR) / DAY) + 1 - first
    if nights <= 0 or not task["people"] or end - start <= takes + NEAR:
        return [(first, start, end)]
    room = DAY - (end - start - takes) / nights  # hours of work of a day
    opens = schedule["opens_min"]
    found = [(first, start, (first - 1) * DAY + opens + room)]
    for day in range(first + 1, first + nights + 1):
        begins = (day - 1) * DAY + opens
        found.append((day, begins, end if day == first + nights else begins + room))
    return found


def _drives(schedule: Schedule) -> list[Drive]:
    """Return the drives: day, there or back, start, end; every day there and back where nobody stays. [min]"""
    way, home = schedule["arrives_min"], schedule["home_min"]
    found: list[Drive] = [(1, "out", 0.0, way)]
    last = math.floor((home - NEAR) / DAY) + 1
    if not schedule["stays"]:
        for day in schedule["days"]:
            if day["day"] < last:
                ends = minutes_of(schedule, day["day"], day["ends"])
                found.append((day["day"], "home", ends - way, ends))
            if day["day"] > 1:
                begins = minutes_of(schedule, day["day"], day["begins"])
                found.append((day["day"], "out", begins, begins + way))
    return [*found, *_way_home(schedule, last)]


def _way_home(schedule: Schedule, last: int) -> list[Drive]:
    """Return the drive home, day by day where one day does not hold it. [min]"""
    start, home, most = schedule["sets_off_min"], schedule["home_min"], schedule["day_min"]
    first = math.floor((start + NEAR) / DAY) + 1
    ends = {day: (day - 1) * DAY + most for day in range(first, last)} | {last: home}
    return [(day, "home", start if day == first else (day - 1) * DAY, end) for day, end in ends.items()]


def days_worked_out(schedule: Schedule) -> list[Day]:
    """Return the days of an older document with what falls into each of them, under the keys of today's."""
    days = {day["day"]: _with_minutes(day, schedule) for day in schedule["days"]}
    last = days[max(days)]
    for task in schedule["tasks"]:
        for at, start, end in _parts(task, schedule):
            part = Part(task=task["number"], people=task["people"], start_min=start, end_min=end)
            days.get(at, last)["parts"].append(part)
    for at, way, start, end in _drives(schedule):
        days.get(at, last)["drives"].append({"way": way, "start_min": start, "end_min": end})
    for day in days.values():
        day["parts"].sort(key=lambda part: (part["start_min"], part["end_min"]))
    return list(days.values())


def _with_minutes(day: Day, schedule: Schedule) -> Day:
    """Return a day of an older document with its times as minutes since the van left, nothing falling into it yet."""

    def moment(said: str) -> float:
        return minutes_of(schedule, day["day"], said)

    hot, watch = day["hot_until"], day["watch_until"]
    return {
        **day,
        "parts": [],
        "drives": [],
        "begins_min": moment(day["begins"]),
        "ends_min": moment(day["ends"]),
        "hot_until_min": None if hot is None else moment(hot),
        "watch_until_min": None if watch is None else moment(watch),
    }
