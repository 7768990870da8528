"""How long the machine stands: whether it can run, waiting for a part, and on days that it would have worked."""

from collections.abc import Iterable, Mapping
from typing import Any

from estimator.job.economics import Economics, Way
from estimator.job.job import Job
from estimator.units import deci

__all__ = ["can_run", "downtime_of", "hours_of_use", "worked_between"]

DAYS = 365.0  # of a year: hours of use in a lead time are days / 365 x hours a year
WORKING_DAYS = 250.0  # of a year: on them a machine runs its hours; common practice, no source
DAY, MINUTES = 24.0, 60.0  # hours of a day, minutes of an hour


def hours_of_use(days: float, hours_per_year: float) -> float:
    """Hours that a machine runs in so many days of the calendar. [h]"""
    return days / DAYS * hours_per_year


def can_run(job: Job, economics: Economics) -> bool:
    """Return whether the machine runs until the work is done: as said, else unless a bore is cracked."""
    if economics.can_run is not None:
        return economics.can_run
    return all(bore.condition.cracks != "yes" for bore in job.bores)


def downtime_of(way: Way | None, own: float, runs: bool, hours_per_year: float) -> float:
    """Return the hours a machine stands for a way: `own` where none are typed, and its lead time if it cannot run."""
    if way is None:
        return 0.0
    stands = own if way.downtime is None else deci(way.downtime, "h")
    if runs or not way.lead_time:
        return stands
    return float(f"{stands + hours_of_use(deci(way.lead_time, 'day'), hours_per_year):.10g}")


def worked_between(tasks: Iterable[Mapping[str, Any]], hours_per_year: float) -> float:
    """Return the hours from the first on site to the last that a machine would have worked, nights if it works then."""
    ends = [(task["start_min"], task["end_min"]) for task in tasks]
    if not ends:
        return 0.0
    hours = (max(end for _, end in ends) - min(start for start, _ in ends)) / MINUTES
    a_day = min(DAY, hours_per_year / WORKING_DAYS)
    days = hours // DAY
    return float(f"{days * a_day + min(hours - days * DAY, a_day):.10g}")
