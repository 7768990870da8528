"""Lives that are not one number: repairs that follow each other until the machine ends, and lives low, likely, high."""

import math
from collections.abc import Callable, Mapping

import numpy as np
import numpy.typing as npt

from estimator.compare.annual import Terms, Weighed, factors_of
from estimator.job.economics import Economics, Lives
from estimator.spread.shapes import beta_quantiles
from estimator.spread.sobol import points
from estimator.units import deci

__all__ = ["life_of_repairs", "shares_won"]

MOST_REPAIRS, HALVINGS = 2000, 80  # more repairs in a row than that are no plan; digits of a double
NARROW = 2e-9  # relative: how far inside a step its ends are looked at
DRAWN, SEED = 4096, 19  # cases; the same each time
Array = npt.NDArray[np.float64]
Costs = tuple[float, float, float]  # first cost, cost of downtime, salvage


def _annual(costs: Costs, life: float, terms: Terms) -> float:
    """Return what a way costs a year that lasts so many years. [currency/year]"""
    first, downtime, salvage = factors_of(life, terms)
    return costs[0] * first + costs[1] * downtime - costs[2] * salvage


def _zero(gap: Callable[[float], float], low: float, high: float) -> float:
    """Return where a function that changes its sign between two places is zero."""
    below = gap(low) > 0
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if (gap(middle) > 0) == below else (low, middle)
    return (low + high) / 2


def life_of_repairs(costs: Costs, annual: float, terms: Terms) -> float:
    """Return the longest life at which repairs in a row until the machine ends cost so much a year; NaN for none.

    One repair less is a step down in cost, so there may be no such life although longer ones are cheaper. [year]
    """

    def gap(life: float) -> float:
        return _annual(costs, life, terms) - annual

    for count in range(2, MOST_REPAIRS):
        shortest, longest = terms.years / count * (1 + NARROW), terms.years / (count - 1) * (1 - NARROW)
        if gap(shortest) * gap(longest) <= 0:
            return _zero(gap, shortest, longest)
    return math.nan


def shares_won(choices: Mapping[str, Weighed], economics: Economics) -> dict[str, float] | None:
    """Return the share of cases in which each way costs least a year; none where every life is one number."""
    lives = {name: way.life for name in choices if (way := getattr(economics, name, None)) is not None}
    if not any(isinstance(life, Lives) for life in lives.values()):
        return None
    costed = [way for way in choices.values() if way.annual is not None]
    terms, chances = Terms.of(economics), points(DRAWN, max(1, len(costed)), SEED)
    yearly = [
        _drawn(way, lives.get(way.name), chances[:, side], terms) if way.life_years else np.zeros(DRAWN)
        for side, way in enumerate(costed)
    ]
    first = np.argmin(np.vstack(yearly), axis=0) if yearly else np.zeros(0)
    return {way.name: float(np.mean(first == place)) for place, way in enumerate(costed)}


def _drawn(way: Weighed, life: object, chance: Array, terms: Terms) -> Array:
    """Return what a way costs a year in each case."""
    costs = (float(way.first_cost or 0), float(way.downtime_cost), float(way.salvage))
    if not isinstance(life, Lives):
        return np.full(len(chance), float(way.annual or 0))
    low, likely, high = (deci(one, "h") for one in (life.low, life.likely, life.high))
    hours = beta_quantiles(chance, low, likely, high)
    return np.array([_annual(costs, terms.counted(float(one)), terms) for one in hours])
