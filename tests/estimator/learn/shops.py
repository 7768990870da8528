"""Invented shops: biased, noisy, changing, learning; jobs drawn by a seed, beside what the book says they take."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from estimator.book.pricebook import read_pricebook
from estimator.learn.series import ELEMENTS, Cell
from estimator.tables.rows import Learning

__all__ = ["PRIORS", "Shop", "jobs_of"]

PRIORS: dict[str, Learning] = {row.element: row for row in read_pricebook().facts.every("learning", Learning)}
# What the book says of five jobs, by element: minutes, kilograms of wire, litres of gas; rounded from samples.
BOOK = (
    {"setup": 170, "precut": 45, "preheat": 0, "weld": 95, "cooldown": 60, "finish": 80, "inspection": 25,
     "teardown": 55, "wire": 1.1, "gas": 700},
    {"setup": 260, "precut": 90, "preheat": 25, "weld": 240, "cooldown": 95, "finish": 150, "inspection": 40,
     "teardown": 70, "wire": 3.2, "gas": 1900},
    {"setup": 120, "precut": 30, "preheat": 0, "weld": 50, "cooldown": 35, "finish": 60, "inspection": 20,
     "teardown": 45, "wire": 0.5, "gas": 380},
    {"setup": 420, "precut": 160, "preheat": 70, "weld": 430, "cooldown": 160, "finish": 280, "inspection": 75,
     "teardown": 110, "wire": 6.0, "gas": 3600},
    {"setup": 200, "precut": 60, "preheat": 30, "weld": 130, "cooldown": 70, "finish": 110, "inspection": 30,
     "teardown": 60, "wire": 1.7, "gas": 1050},
)  # fmt: skip
WIRES, CREWS = ("G3Si1 1.0 mm", "E71T-1 1.2 mm"), ("north", "south")


@dataclass(frozen=True)
class Shop:
    """An invented shop.

    `bias`: by element, or by element and label, what its jobs take over the book's; `noise`: over the book's scatter;
    `pace`: scatter that all hours of a job share; `change`: from which job on, and by element how much more;
    `learns`: what all hours shrink to over a hundred jobs.
    """

    bias: Mapping[str, float] = field(default_factory=dict)
    noise: float = 0.7
    pace: float = 0.06
    change: tuple[int, Mapping[str, float]] = (0, {})
    learns: float = 1.0

    def factor(self, element: str, crew: str, job: int) -> float:
        """Return what an element takes on average over what the book says."""
        since, more = self.change
        found = self.bias.get(element, 1.0) * self.bias.get(f"{element} {crew}", 1.0)
        found *= more.get(element, 1.0) if job >= since else 1.0
        return found * (1.0 if element in ("wire", "gas") else self.learns ** (job / 100))


def jobs_of(shop: Shop, count: int, seed: int) -> list[Cell]:
    """Return the cells of so many jobs of a shop; the mean of what is drawn is the shop's."""
    rng = np.random.default_rng(seed)
    found = list[Cell]()
    for job in range(count):
        plan, crew = BOOK[rng.integers(len(BOOK))], CREWS[rng.integers(2)]
        labels = {"wire": WIRES[rng.integers(2)], "position": "horizontal", "crew": crew}
        pace, own = rng.normal(), rng.normal(size=len(ELEMENTS))
        for element, chance in zip(ELEMENTS, own, strict=True):
            shared = 0.0 if element in ("wire", "gas") else shop.pace
            single = shop.noise * PRIORS[element].scatter
            drawn = np.exp(shared * pace + single * chance - (shared**2 + single**2) / 2)
            if plan[element]:
                taken = plan[element] * shop.factor(element, crew, job) * float(drawn)
                found.append(Cell(job, element, taken, plan[element], labels))
    return found
