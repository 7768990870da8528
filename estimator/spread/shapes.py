"""How a doubtful number is spread, from evenly spread chances.

Least, likely and most are a beta of Malcolm's kind; what recorded jobs have taught is a lognormal.
"""

import functools
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

__all__ = ["beta_quantiles", "lognormal_quantiles"]

Array = npt.NDArray[np.float64]
GRID = 1025  # places between the ends: quantiles to 1e-4 of the range
WEIGHT = 4.0  # of the likely value against an end (Malcolm et al., Operations Research 7 (1959) 646)


@functools.lru_cache(maxsize=1024)
def _cumulated(rise: float) -> tuple[Array, Array]:
    """Return places from 0 to 1 and the chance to lie below each; `rise`: where the likely value lies between."""
    start = 0.5 * (1 - np.cos(np.linspace(0.0, np.pi, GRID)))  # closer together at the ends
    before, after = WEIGHT * rise, WEIGHT * (1 - rise)
    middle = (start[1:] + start[:-1]) / 2
    dense = (start**before * (1 - start) ** after, middle**before * (1 - middle) ** after)
    steps = np.diff(start) * (dense[0][1:] + 4 * dense[1] + dense[0][:-1]) / 6  # Simpson's rule
    sums = np.concatenate(([0.0], np.cumsum(steps)))
    return start, sums / sums[-1]


def beta_quantiles(chance: Array, low: float, likely: float, high: float) -> Array:
    """Return the values below which a number lies with each chance.

    Parameters
    ----------
    chance
        Between 0 and 1, of any shape. [-]
    low, likely, high
        In rising order; of equal ends everything is that. [any, the same]

    Raises
    ------
    ValueError
        If they do not rise.
    """
    if not low <= likely <= high:
        raise ValueError(f"low, likely, high: {low:g}, {likely:g}, {high:g} do not rise")
    if low == high:
        return np.full(chance.shape, low)
    places, below = _cumulated((likely - low) / (high - low))
    return low + (high - low) * np.interp(chance, below, places)


FARTHEST, STEPS = 6.0, 256  # standard deviations to either side, places in each


@functools.cache
def _normal() -> tuple[Array, Array]:
    """Return deviates of the normal distribution and the chance to lie below each."""
    places = np.arange(-FARTHEST * STEPS, FARTHEST * STEPS + 1) / STEPS
    return places, np.array([NormalDist().cdf(float(one)) for one in places])


def lognormal_quantiles(chance: Array, deviation: float) -> Array:
    """Return the values below which a factor with the mean one lies with each chance.

    Parameters
    ----------
    chance
        Between 0 and 1, of any shape. [-]
    deviation
        Standard deviation of the factor's logarithm. [-]
    """
    places, below = _normal()
    return np.exp(deviation * np.interp(chance, below, places) - deviation**2 / 2)
