"""What runs out first and when; and what to put on the van each day."""

from collections.abc import Callable, Mapping, Sequence
from typing import Literal

from typing_extensions import TypedDict

from estimator.van.use import Item, JobUse, uses_of

__all__ = ["RunsOut", "VanDay", "days_of", "running_out"]

Whence = Literal["on hand", "as ordered"]


class RunsOut(TypedDict):
    """After how many arc hours an item is used up, and where; no job and bore where it outlasts all of them."""

    item: str
    arc_h: float
    job: str | None
    bore: str | None
    stock: Whence


class Taken(TypedDict):
    """What to put on the van of one item."""

    item: str
    unit: str
    expected: float
    take: float


class VanDay(TypedDict):
    """What to put on the van when it leaves: first and last day, jobs, hours with travel."""

    day: int
    until: int
    jobs: list[str]
    hours: float
    take: list[Taken]


def _end(item: Item, amount: float, jobs: Sequence[JobUse]) -> tuple[float, str | None, str | None] | None:
    """Return after how many arc hours an amount is used up, in which job and bore; None where nothing is used."""
    used = hours = 0.0
    for job in jobs:
        for bore in job.bores:
            here = bore.used.get(item, 0.0)
            if here > 0 and used + here > amount * (1 + 1e-9):
                return hours + bore.arc_h * max(0.0, amount - used) / here, job.reference, bore.name
            used, hours = used + here, hours + bore.arc_h
    return None if used <= 0 else (hours * amount / used, None, None)


def running_out(amounts: Mapping[Item, float], jobs: Sequence[JobUse], whence: Whence) -> list[RunsOut]:
    """Return every item with the arc hours after which it is used up, the first one first; worked in the jobs' order.

    Wire, gas and the like run out when the expected use passes the amount. A part runs out with the failure after the
    last spare, when one more is expected than there are spares (mean of a Poisson process). What outlasts the jobs is
    carried on at their rate, with no job and bore named.
    """
    found: list[RunsOut] = []
    for item, amount in amounts.items():
        spares = amount + 1 if item[0] == "part" else amount
        if (end := _end(item, spares, jobs)) is not None:
            hours, job, bore = end
            found.append({"item": item[1], "arc_h": float(f"{hours:.12g}"), "job": job, "bore": bore, "stock": whence})
    return sorted(found, key=lambda row: (row["arc_h"], row["item"]))


def _trips(jobs: Sequence[JobUse], shift_h: float) -> list[tuple[int, int, list[JobUse]]]:
    """Return first day, last day and jobs of each time the van leaves: short jobs share a shift, in their order."""
    trips: list[tuple[int, int, list[JobUse]]] = []
    day, left = 0, 0.0
    for job in jobs:
        if trips and job.days == 1 and job.hours <= left:
            trips[-1][2].append(job)
            left -= job.hours
            continue
        trips.append((day + 1, day + job.days, [job]))
        day, left = day + job.days, shift_h - job.hours if job.days == 1 else 0.0
    return trips


def days_of(
    jobs: Sequence[JobUse],
    shift_h: float,
    cover: Callable[[Item, tuple[float, float, float]], float],
    units: Mapping[Item, str],
) -> list[VanDay]:
    """Return what to put on the van each time it leaves, at the service level of the cover."""
    found: list[VanDay] = []
    for first, last, together in _trips(jobs, shift_h):
        take: list[Taken] = [
            {
                "item": item[1],
                "unit": units[item],
                "expected": float(f"{use[0] + use[1]:.12g}"),
                "take": float(f"{cover(item, use):.12g}"),
            }
            for item, use in uses_of(together).items()
        ]
        hours = sum(job.hours for job in together)
        names = [job.reference for job in together]
        found.append({"day": first, "until": last, "jobs": names, "hours": float(f"{hours:.12g}"), "take": take})
    return found
