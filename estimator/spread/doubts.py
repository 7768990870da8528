"""The day as it may come out: each doubtful number by its chance, from the tables of doubts and of times."""

import dataclasses
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from estimator.inputs import Inputs, at_access, site_factor
from estimator.plans import Plan
from estimator.shop.standards import spread_of
from estimator.spread.shapes import beta_quantiles
from estimator.tables import Tables
from estimator.tables.rows import Doubt, TimeStandard

__all__ = ["Doubts", "doubts_of"]

Array = npt.NDArray[np.float64]
PACE, EFFICIENCY = "pace", "efficiency"


@dataclass(frozen=True)
class Doubts:
    """What is in doubt on the day of a plan, one chance each, in this order: numbers by row, then times by code."""

    rows: tuple[Doubt, ...]
    times: tuple[tuple[TimeStandard, tuple[float, float, float]], ...]
    site_factor: float
    plain: Inputs

    @property
    def sides(self) -> int:
        """How many chances a day is drawn from."""
        return len(self.rows) + len(self.times)

    def groups(self) -> dict[str, list[int]]:
        """Return the places of the chances of each doubt that is told."""
        found: dict[str, list[int]] = {}
        for place, doubt in enumerate(self.rows):
            found.setdefault(doubt.group, []).append(place)
        for place, (row, _) in enumerate(self.times, len(self.rows)):
            found.setdefault(f"times_{row.phase}", []).append(place)
        return found

    def day(self, chances: Array) -> Inputs:
        """Return days of arrays, drawn from chances of shape (days, sides)."""
        factors = {
            row.of: beta_quantiles(chances[:, place], row.low, row.likely, row.high)
            for place, row in enumerate(self.rows)
        }
        pace, share = factors.pop(PACE, 1.0), factors.pop(EFFICIENCY, 1.0)
        times = dict[str, Any](self.plain.times)
        for place, (row, ends) in enumerate(self.times, len(self.rows)):
            taken: Any = beta_quantiles(chances[:, place], *ends)
            times[row.code] = at_access(taken, self.site_factor) * pace if row.hand == "yes" else taken
        efficiency: Any = {name: np.minimum(1.0, value * share) for name, value in self.plain.efficiency.items()}
        plain = {name: getattr(self.plain, name) * factor for name, factor in factors.items()}
        return dataclasses.replace(self.plain, times=times, efficiency=efficiency, **plain)


def doubts_of(plan: Plan, facts: Tables) -> Doubts:
    """Return what is in doubt on the day of a plan: of its times those that do not stand fast."""
    rows = tuple(facts.every("doubts", Doubt))
    spread = ((row, spread_of(row, facts)) for row in facts.every("times", TimeStandard))
    times = tuple((row, ends) for row, ends in spread if ends[0] < ends[2])
    return Doubts(rows, times, site_factor(plan.job, facts), plan.day)
