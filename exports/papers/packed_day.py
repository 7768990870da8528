"""The day pages of a work pack: what to take today, what to do in which order, boxes to write into."""

from typing import Any

from estimator.document.day import Day
from estimator.document.old import tools_in
from estimator.document.schedule import Schedule
from estimator.estimate import Estimate
from exports.day_lines import Line, lines_of_day
from exports.days import Part, Use, by_day, clock, day_name, days_of, drives, uses_of
from exports.format import Units, perhaps, shown
from exports.in_units import text_in
from exports.used import USED

__all__ = ["day_pages"]

SUPPLIES = {key: name for key, name in USED if key != "energy_kWh"}


def day_pages(found: Estimate, units: Units) -> list[dict[str, Any]]:
    """Return what is printed for each day; nothing where the document says nothing about the order of work."""
    schedule = perhaps(found.get("schedule"))
    if schedule is None:
        return []
    parts, uses = by_day(schedule), uses_of(found, tuple(SUPPLIES))
    return [_page(day, parts[day["day"]], uses[day["day"]], found, units) for day in days_of(schedule)]


def _page(day: Day, parts: list[Part], uses: list[Use], found: Estimate, units: Units) -> dict[str, Any]:
    schedule = found["schedule"]
    tools = dict.fromkeys(item for part in parts for item in (*tools_in(part.task), *part.task.get("supplies", ())))
    return {
        "name": f"Day {day['day']} of {len(schedule['days'])}" + (f", {day['date']}" if day["date"] else ""),
        "of": f"{found['reference']}, {day_name(day)}",
        "when": _when(day, schedule),
        "care": _care(day, found),
        "tools": list(tools),
        "uses": [_use(one, units) for one in uses if one.today > 0],
        "lines": [_line(one, schedule, units) for one in lines_of_day(day, parts, found)],
    }


def _when(day: Day, schedule: Schedule) -> str:
    """Return when a day begins and ends by the clock, drives counted, and who goes."""
    here = [one for one in drives(schedule) if one.day == day["day"]]
    out = [one.start for one in here if one.way == "out"]
    home = [one.end for one in here if one.way == "home"]
    begins = clock(schedule, out[0]) if out else day["begins"]
    ends = clock(schedule, home[0]) if home else day["ends"]
    return f"{begins} to {ends}; {', '.join(one['role'] for one in schedule['roles'])}"


def _care(day: Day, found: Estimate) -> list[str]:
    """Return what keeps people safe that day."""
    hot = "No hot work planned today."
    if day["hot_until"] is not None:
        hot = f"Hot work until {day['hot_until']}, fire watch until {day['watch_until']}."
    confined = found["job"]["site"]["access"] == "confined"
    return [hot, *(["CONFINED SPACE: attendant outside, air measured, nobody in alone."] if confined else [])]


def _use(one: Use, units: Units) -> list[str]:
    """Return what is used up of one thing: its name, today, and on later days."""
    name = SUPPLIES[one.key] + (f", {one.name}" if one.name else "")
    return [name, shown(one.key, one.today, units), shown(one.key, one.after, units)]


def _line(one: Line, schedule: Schedule, units: Units) -> dict[str, Any]:
    return {
        "from": clock(schedule, one.start),
        "to": clock(schedule, one.end),
        "what": one.what,
        "marks": one.marks,
        "who": one.who,
        "settings": text_in(one.settings, units),
        "asked": list(one.asked),
        "figures": one.figures,
        "task": one.task,
    }
