"""What several jobs use, bore by bore in the order they are worked."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, cast

from estimator.book.consumables import BULK, PARTS
from estimator.book.pricebook import PriceBook
from estimator.document.bore import Bore
from estimator.errors import DocumentError, Fault, JobRefusedError, OutOfRangeError
from estimator.estimate import Estimate, estimate

__all__ = ["BoreUse", "Item", "JobUse", "used_by", "uses_of"]

Kind = Literal["wire", "gas", "part", "bulk"]
Item = tuple[Kind, str]
Document = dict[str, Any] | bytes | str


@dataclass(frozen=True)
class BoreUse:
    """What one bore uses: amounts by item in the item's unit, of parts those planned by rule, arc time in hours."""

    name: str
    arc_h: float
    used: dict[Item, float]
    planned: dict[Item, float]


@dataclass(frozen=True)
class JobUse:
    """What one job uses, the hours it takes with travel, and the nights away."""

    reference: str
    hours: float
    nights: int
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


def _job(found: Estimate) -> JobUse:
    totals = found["totals"]
    hours = (totals["on_site_min"] + totals["travel_min"]) / 60
    return JobUse(found["reference"], hours, totals["nights"], tuple(_bore(bore) for bore in found["bores"]))


def used_by(jobs: Sequence[Document], book: PriceBook) -> list[JobUse]:
    """Return what each job uses; a document given more than once is estimated once.

    Raises
    ------
    DocumentError
        If a job is wrong; paths begin with `jobs.0` and the like.
    JobRefusedError
        If one of the jobs must not be welded.
    """
    found: list[JobUse] = []
    known: dict[int, JobUse] = {}
    wrong, refused = list[Fault](), list[Fault]()
    for number, job in enumerate(jobs):
        if (seen := known.get(id(job))) is not None:
            found.append(seen)
            continue
        try:
            found.append(known.setdefault(id(job), _job(estimate(job, book))))
        except DocumentError as error:
            wrong += [fault.within(f"jobs.{number}") for fault in error.faults]
        except JobRefusedError as error:
            refused += [fault.within(f"jobs.{number}") for fault in error.faults]
        except OutOfRangeError as error:
            refused.append(Fault(f"jobs.{number}", f"no plan lies within the range of the formulas: {error}"))
    if wrong:
        raise DocumentError(wrong)
    if refused:
        raise JobRefusedError(refused)
    return found


KINDS = ("wire", "gas", "part", "bulk")


def uses_of(jobs: Sequence[JobUse]) -> dict[Item, tuple[float, float, float]]:
    """Return of every item what is used by chance, what by rule, and the root of the sum of squares over the jobs."""
    items = {item for job in jobs for bore in job.bores for item in bore.used}
    found = {}
    for item in sorted(items, key=lambda one: (KINDS.index(one[0]), one[1])):
        whole = [job.used(item) for job in jobs]
        ruled = math.fsum(bore.planned.get(item, 0.0) for job in jobs for bore in job.bores)
        chance = float(f"{max(0.0, math.fsum(whole) - ruled):.12g}")
        found[item] = (chance, float(f"{ruled:.12g}"), math.hypot(*whole))
    return found
