"""Steps that take one number or arrays alike, where Python's own would not; and the one ceiling with a tolerance."""

import functools
import math
from collections.abc import Callable
from typing import Any

import numpy as np

__all__ = ["above_zero", "crossing", "decaying", "exp", "larger", "log1p", "smaller", "whole_up"]

TOLERANCE = 1e-9  # relative: a whole number reached within it counts as reached, in inch as in millimetre
HALVINGS, ROUNDS, LAST_DIGITS, NODES = 60, 100, 1e-13, 12


def larger(one: Any, other: Any) -> Any:  # noqa: ANN401  # a number or an array
    """Return the larger of two, element by element."""
    if isinstance(one, np.ndarray) or isinstance(other, np.ndarray):
        return np.maximum(one, other)
    return max(one, other)


def smaller(one: Any, other: Any) -> Any:  # noqa: ANN401  # a number or an array
    """Return the smaller of two, element by element."""
    if isinstance(one, np.ndarray) or isinstance(other, np.ndarray):
        return np.minimum(one, other)
    return min(one, other)


def above_zero(value: Any) -> Any:  # noqa: ANN401  # a number or an array
    """Return the value, or zero of its kind where it is below."""
    return larger(value, 0.0 * value)


def whole_up(ratio: Any) -> Any:  # noqa: ANN401  # a number or an array
    """Return the next whole number, with a tolerance so that exact multiples never flip."""
    if isinstance(ratio, np.ndarray):
        return np.ceil(ratio * (1 - TOLERANCE))
    return math.ceil(ratio * (1 - TOLERANCE))


def exp(value: Any) -> Any:  # noqa: ANN401  # a number or an array
    """Return e to the value."""
    return np.exp(value) if isinstance(value, np.ndarray) else math.exp(value)


@functools.cache
def _nodes() -> tuple[tuple[float, float], ...]:
    """Return Gauss and Legendre's points and weights on 0 to 1."""
    points, weights = np.polynomial.legendre.leggauss(NODES)
    return tuple(zip(((points + 1) / 2).tolist(), (weights / 2).tolist(), strict=True))


def decaying(ratio: Any, span: Any) -> Any:  # noqa: ANN401  # numbers or arrays
    """Return the mean of exp(-ratio (e^u - 1)) over u from 0 to span, by Gauss and Legendre."""
    if isinstance(ratio, np.ndarray) or isinstance(span, np.ndarray):
        return sum(weight * np.exp(-ratio * np.expm1(span * point)) for point, weight in _nodes())
    return sum(weight * math.exp(-ratio * math.expm1(span * point)) for point, weight in _nodes())


def log1p(value: Any) -> Any:  # noqa: ANN401  # a number or an array
    """Return the natural logarithm of one and the value."""
    return np.log1p(value) if isinstance(value, np.ndarray) else math.log1p(value)


def crossing(falling: Callable[[Any], Any], low: Any, high: Any) -> Any:  # noqa: ANN401  # numbers or arrays
    """Return where a falling function crosses zero between two ends, to the last digits; the nearer end if it does not.

    One number: regula falsi with the Illinois weighting (Dowell and Jarratt, BIT 11 (1971) 168). Arrays: halving.
    """
    at_low, at_high = falling(low), falling(high)
    if isinstance(at_low, np.ndarray) or isinstance(at_high, np.ndarray):
        return _halved(falling, low, high)
    if at_low <= 0 or at_high >= 0:
        return low if at_low <= 0 else high
    for _ in range(ROUNDS):
        middle = high - at_high * (high - low) / (at_high - at_low)
        here = falling(middle)
        if here == 0 or abs(high - low) <= LAST_DIGITS * abs(middle):
            return middle
        if here * at_high < 0:
            low, at_low = high, at_high
        else:
            at_low = at_low / 2
        high, at_high = middle, here
    return high


def _halved(falling: Callable[[Any], Any], low: Any, high: Any) -> Any:  # noqa: ANN401  # numbers or arrays
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        above = falling(middle) > 0
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    return (low + high) / 2
