"""What a day's tasks leave open: its beginning and end on site, and waits for what goes on by itself."""

from typing import NamedTuple

from estimator.document.day import Day
from estimator.document.schedule import Schedule
from exports.days import WATCH, Part, drives, watches

__all__ = ["OPENED", "Gap", "gaps"]

LEAST = 0.5  # shorter than this is rounding [min]
OPENS = "begin the day: hot-work permit, extinguisher and water at hand, what burns cleared away"
OPENS_COLD = "begin the day: permit to work, rig locked out until it is checked"
OPENED = (OPENS, OPENS_COLD)
CLOSES = "end the day: close the permit, shut the cylinders, cover the tools"


class Gap(NamedTuple):
    """A time of a day in which nobody has a task, and what it is for; minutes from the moment the van leaves."""

    start: float
    end: float
    what: str


def _on_site(day: Day, schedule: Schedule) -> tuple[float, float]:
    """Return from when until when the crew is on site that day. [min]"""
    here = [one for one in drives(schedule) if one.day == day["day"]]
    out = [one.end for one in here if one.way == "out"]
    home = [one.start for one in here if one.way == "home"]
    return max(out, default=day["begins_min"]), min(home, default=day["ends_min"])


def _waits_for(start: float, end: float, parts: list[Part], day: Day, schedule: Schedule) -> str:
    """Return what is waited for: what goes on by itself meanwhile, or the fire watch."""
    alone = [one.task["name"] for one in parts if not one.task["people"] and one.task["code"] != WATCH]
    spans = [(one.start, one.end) for one in parts if not one.task["people"] and one.task["code"] != WATCH]
    watch = watches(schedule).get(day["day"])
    if watch:
        alone, spans = [*alone, "fire watch"], [*spans, (watch.start, watch.end)]
    names = [name for name, (begins, ends) in zip(alone, spans, strict=True) if begins < end and ends > start]
    return f"wait: {', '.join(dict.fromkeys(names))}" if names else "wait"


def gaps(day: Day, parts: list[Part], schedule: Schedule) -> list[Gap]:
    """Return the gaps of a day in the order of the clock, each with its name."""
    comes, goes = _on_site(day, schedule)
    work = sorted((one.start, one.end) for one in parts if one.task["people"])
    first = work[0][0] if work else goes
    hot = any(one.task["hot"] for one in parts)
    found, at = [Gap(comes, first, OPENS if hot else OPENS_COLD)], first
    for start, end in work:
        found.append(Gap(at, start, _waits_for(at, start, parts, day, schedule)))
        at = max(at, end)
    closing = max(at, goes - schedule["closing_min"])
    found += [Gap(at, closing, _waits_for(at, closing, parts, day, schedule)), Gap(closing, goes, CLOSES)]
    return [one for one in found if one.end - one.start > LEAST]
