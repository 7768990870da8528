"""Student's and the normal distribution without a library: by Wallace's transformation, good to a hundredth.

References
----------
Wallace, Annals of Mathematical Statistics 30 (1959) 1121: a t of n degrees is nearly the normal
z = (8 n + 1) / (8 n + 3) * sqrt(n ln(1 + t²/n)).
"""

import functools
import math
from statistics import NormalDist

__all__ = ["normal_below", "normal_quantile", "t_below", "t_quantile", "to_normal"]

NORMAL = NormalDist()


def to_normal(t: float, degrees: float) -> float:
    """Return the normal deviate that is as rare as a deviate of Student's distribution. [-]"""
    stretch = (8 * degrees + 1) / (8 * degrees + 3)
    return math.copysign(stretch * math.sqrt(degrees * math.log1p(t * t / degrees)), t)


def normal_below(z: float) -> float:
    """Return the chance that a normal deviate lies below a number. [-]"""
    return NORMAL.cdf(z)


@functools.lru_cache(maxsize=1024)
def normal_quantile(chance: float) -> float:
    """Return below which number a normal deviate lies with a chance. [-]"""
    return NORMAL.inv_cdf(chance)


def t_below(t: float, degrees: float) -> float:
    """Return the chance that a deviate of Student's distribution lies below a number. [-]"""
    return normal_below(to_normal(t, degrees))


@functools.lru_cache(maxsize=4096)
def t_quantile(chance: float, degrees: float) -> float:
    """Return below which number a deviate of Student's distribution lies with a chance. [-]"""
    z = normal_quantile(chance) * (8 * degrees + 3) / (8 * degrees + 1)
    return math.copysign(math.sqrt(degrees * math.expm1(z * z / degrees)), z)
