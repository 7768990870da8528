"""What jobs use, bore by bore in the order they are worked, out of their estimate documents."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, cast

from estimator.book.consumables import BULK, PARTS
from estimator.document.bore import Bore
from estimator.document.whole import Whole

__all__ = ["BoreUse", "Item", "JobUse", "Kind", "Use", "use_of", "uses_of"]

Kind = Literal["wire", "gas", "part", "bulk"]
Item = tuple[Kind, str]
Use = tuple[float, float, float]  # by chance, by rule, root of the sum of squares over the jobs


@dataclass(frozen=True)
class BoreUse:
    """What one bore uses: amounts by item in the item's unit, of parts those planned by rule, arc time in hours."""

    name: str
    arc_h: float
    used: dict[Item, float]
    planned: dict[Item, float]


@dataclass(frozen=True)
class JobUse:
    """What one job uses, the hours it takes with travel, and over how many days."""

    reference: str
    hours: float
    days: int
    bores: tuple[BoreUse, ...]

    def used(self, item: Item) -> float:
        """Return what the whole job uses of an item."""
        return math.fsum(bore.used.get(item, 0.0) for bore in self.bores)


def _bore(bore: Bore) -> BoreUse:
    built, amounts = bore["buildup"], cast(Mapping[str, float], bore["consumption"])  # read by the keys of two tables
    used: dict[Item, float] = {("wire", built["wire"]): amounts["wire_kg"], ("gas", built["gas"]): amounts["gas_L"]}
    used |= {("part", part): amounts[key] for key, part in PARTS.items()}
    used |= {("bulk", name): amounts[key] for key, name in BULK.items() if amounts[key] > 0}
    planned: dict[Item, float] = {("part", part): amounts.get(f"planned_{key}", 0.0) for key, part in PARTS.items()}
    return BoreUse(bore["name"], built["arc_time_min"] / 60, used, planned)


def use_of(found: Whole) -> JobUse:
    """Return what the job of an estimate document uses."""
    totals = found["totals"]
    hours = (totals["on_site_min"] + totals["travel_min"]) / 60
    days = max(len(found["schedule"]["days"]), totals["nights"] + 1)
    return JobUse(found["reference"], hours, days, tuple(_bore(bore) for bore in found["bores"]))


KINDS = ("wire", "gas", "part", "bulk")


def uses_of(jobs: Sequence[JobUse]) -> dict[Item, Use]:
    """Return of every item what is used by chance, what by rule, and the root of the sum of squares over the jobs."""
    items = {item for job in jobs for bore in job.bores for item in bore.used}
    found = {}
    for item in sorted(items, key=lambda one: (KINDS.index(one[0]), one[1])):
        whole = [job.used(item) for job in jobs]
        ruled = math.fsum(bore.planned.get(item, 0.0) for job in jobs for bore in job.bores)
        chance = float(f"{max(0.0, math.fsum(whole) - ruled):.12g}")
        found[item] = (chance, float(f"{ruled:.12g}"), math.hypot(*whole))
    return found
