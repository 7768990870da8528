"""The order of work on the page: days, fire watch, who does how much, what another crew would change."""

import math

from estimator.document.day import Day
from estimator.document.schedule import OtherCrew, Role, Schedule
from estimator.estimate import Estimate
from exports.adding import said_adding_up
from exports.days import clock, drives
from exports.format import by_key, clock_time, counted, has, hours_said, moved, perhaps
from exports.page.parts import columns, heading, listed, named, wrapped

__all__ = ["order_of_work"]

LONGEST_CREW = 36  # signs
ROLE = (("work", "work_h"), ("waiting", "waiting_h"), ("travel", "travel_h"), ("overtime", "overtime_h"))


def _day(day: Day, schedule: Schedule) -> list[str]:
    """Return one day: when it begins and ends by the clock, until when it is hot."""
    name = f"day {day['day']}" + (f" {day['date']}" if day["date"] else "")
    home = [one.end for one in drives(schedule) if one.day == day["day"] and one.way == "home"]
    ends = f"{clock(schedule, home[0])}, back home" if home else day["ends"]
    watch = f"; hot until {day['hot_until']}, then fire watch until {day['watch_until']}"
    hot = "" if day["hot_until"] is None else watch
    return named(name, f"{day['begins']} to {ends}{hot}", 17)


def _signed(value: float, said: str) -> str:
    return f"{'+' if value > 0 else '-' if value < 0 else ''}{said}"


def _crew(one: OtherCrew, currency: str) -> list[str]:
    more = one["on_site_more_min"]
    site = _signed(more, clock_time(abs(more)))
    door = _signed(one["elapsed_more_h"], hours_said(abs(one["elapsed_more_h"])))
    return [
        one["name"],
        f"{clock_time(one['on_site_min'])}",
        site,
        hours_said(one["elapsed_h"]),
        door,
        moved(one["price_more"], currency),
    ]


def _role(role: Role) -> list[str]:
    """Return the hours of one who goes: work, waiting and travel add up as they are shown."""
    minutes = [60 * by_key(role)[key] for _, key in ROLE]
    return [role["role"], *said_adding_up(minutes[:-1], math.fsum(minutes[:-1])), clock_time(minutes[-1])]


def _crews(estimate: Estimate) -> list[str]:
    """Return what more people or another rig would change."""
    crews = estimate["schedule"].get("crews")
    if not crews:
        return []
    if not has(estimate, "price"):  # for who sees no money
        return []
    heads = ["", "on site", "change", "away in all", "change", "price with tax"]
    rows = [_crew(one, estimate["price"]["currency"]) for one in crews]
    return [*heading("WITH ANOTHER CREW"), *columns([heads], rows, LONGEST_CREW)]


def order_of_work(estimate: Estimate) -> list[str]:
    """Return the days of a job, who works how long and what another crew would change.

    Nothing where the document says nothing about the order of work.
    """
    schedule = perhaps(estimate.get("schedule"))
    if schedule is None:
        return []
    crew = counted(schedule["technicians"], "technician")
    rigs = counted(schedule["machines"], "rig")
    lines = heading(f"DAYS: {crew}, {rigs}; back {schedule['ends']}")
    lines += [line for day in schedule["days"] for line in _day(day, schedule)]
    rows = [_role(one) for one in schedule["roles"]]
    lines += ["", *columns([["", *(name for name, _ in ROLE)]], rows), ""]
    trips = estimate["totals"].get("trips")
    lines += wrapped(f"{counted(trips, 'drive')} there and back.") if trips else []
    return [*lines, *listed(schedule["notes"]), *_crews(estimate)]
