"""The day as it may come out: each doubtful number by its chance, from the tables of doubts and of times.

Where recorded jobs have taught how long a part of the work takes, their scatter and the doubt of their mean stand in
the place of the table's low and high.
"""

import dataclasses
import math
from dataclasses import dataclass
from statistics import NormalDist
from typing import Any

import numpy as np
import numpy.typing as npt

from estimator.book.calibration import Calibration
from estimator.inputs import Inputs, at_access, site_factor
from estimator.plans import Plan
from estimator.shop.standards import spread_of
from estimator.spread.shapes import beta_quantiles, lognormal_quantiles
from estimator.tables import Tables
from estimator.tables.rows import Doubt, TimeStandard

__all__ = ["REWORK", "Doubts", "doubts_of"]

Array = npt.NDArray[np.float64]
PACE, EFFICIENCY = "pace", "efficiency"
TAUGHT = {
    "wire": ("wire_loss", "test_bead_arc"),
    "gas": ("purge_time", "leak_flow"),
}  # what they hold
TOLD_UNDER = {
    "wire": "wire",
    "gas": "gas",
    "cooldown": "heat",
}  # which doubt they belong to
LUCK, REWORK = ("rework", "hardness"), "rework"  # what may go wrong, and the doubt that it is told under
BY_ODDS = "odds of the plan: a layer at a limit laid again, a deposit too hard to bore"
BY_RECORDS = "recorded jobs: how they scatter, and the doubt of their mean"
BAND = 2 * NormalDist().inv_cdf(0.975)  # standard deviations in a 95 % band


@dataclass(frozen=True)
class Doubts:
    """What is in doubt on the day of a plan, one chance each: numbers by row, then times by code, then what was taught.

    `taught`: by element the standard deviation of the logarithm of what a job takes over what such jobs take.
    """

    rows: tuple[Doubt, ...]
    times: tuple[tuple[TimeStandard, tuple[float, float, float]], ...]
    taught: tuple[tuple[str, float], ...]
    site_factor: float
    plain: Inputs

    @property
    def sides(self) -> int:
        """How many chances a day is drawn from."""
        return len(self.rows) + len(self.times) + len(self.taught) + len(LUCK)

    def groups(self) -> dict[str, list[int]]:
        """Return the places of the chances of each doubt that is told."""
        found: dict[str, list[int]] = {}
        for place, doubt in enumerate(self.rows):
            found.setdefault(doubt.group, []).append(place)
        for place, (row, _) in enumerate(self.times, len(self.rows)):
            found.setdefault(f"times_{row.phase}", []).append(place)
        for place, (element, _) in enumerate(self.taught, len(self.rows) + len(self.times)):
            found.setdefault(TOLD_UNDER.get(element, f"times_{element}"), []).append(place)
        return found | {REWORK: list(range(self.sides - len(LUCK), self.sides))}

    def sources(self) -> dict[str, str]:
        """Return what each doubt that is told stands on."""
        found: dict[str, str] = {str(row.group): row.source for row in self.rows}
        found[REWORK] = BY_ODDS
        return found | {TOLD_UNDER.get(element, f"times_{element}"): BY_RECORDS for element, _ in self.taught}

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
        first = len(self.rows) + len(self.times)
        shop: Any = {
            element: lognormal_quantiles(chances[:, place], wide)
            for place, (element, wide) in enumerate(self.taught, first)
        }
        luck: Any = {name: chances[:, place] for place, name in enumerate(LUCK, self.sides - len(LUCK))}
        efficiency: Any = {name: np.minimum(1.0, value * share) for name, value in self.plain.efficiency.items()}
        plain = {name: getattr(self.plain, name) * factor for name, factor in factors.items()}
        return dataclasses.replace(self.plain, times=times, efficiency=efficiency, shop=shop, luck=luck, **plain)


def doubts_of(plan: Plan, facts: Tables) -> Doubts:
    """Return what is in doubt on the day of a plan: of its times those that do not stand fast."""
    taught = _taught(plan.book.calibration)
    held = {name for element in taught for name in TAUGHT.get(element, ())}
    rows = tuple(row for row in facts.every("doubts", Doubt) if row.of not in held)
    spread = ((row, spread_of(row, facts)) for row in facts.every("times", TimeStandard) if row.phase not in taught)
    times = tuple((row, ends) for row, ends in spread if ends[0] < ends[2])
    return Doubts(rows, times, tuple(taught.items()), site_factor(plan.job, facts), plan.day)


def _taught(calibration: Calibration | None) -> dict[str, float]:
    """Return how far a job scatters about what was taught, by element: its mean's doubt and its own chance together."""
    found: dict[str, float] = {}
    for one in calibration.factors if calibration else ():
        wide = math.hypot(math.log(one.high / one.low) / BAND, one.scatter)
        found[one.element] = max(found.get(one.element, 0.0), wide)
    return found
