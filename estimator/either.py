"""Steps that take one number or arrays alike, where Python's own would not; and the one ceiling with a tolerance."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np

__all__ = ["above_zero", "crossing", "everywhere", "larger", "left_of", "picked", "smaller", "whole_down", "whole_up"]

TOLERANCE = 1e-9  # relative: a whole number reached within it counts as reached, in inch as in millimetre
ROUNDS, LAST_STEP = 80, 1e-9  # Newton's step after one so small is lost in the last digits


def larger(one: Any, other: Any) -> Any:  # noqa: ANN401  # a number or an array
    """Return the larger of two, element by element."""
    if type(one) is float and type(other) is float:  # asked for thousands of times a job
        return other if other > one else one
    if isinstance(one, np.ndarray) or isinstance(other, np.ndarray):
        return np.maximum(one, other)
    return max(one, other)


def smaller(one: Any, other: Any) -> Any:  # noqa: ANN401  # a number or an array
    """Return the smaller of two, element by element."""
    if type(one) is float and type(other) is float:
        return other if other < one else one
    if isinstance(one, np.ndarray) or isinstance(other, np.ndarray):
        return np.minimum(one, other)
    return min(one, other)


def above_zero(value: Any) -> Any:  # noqa: ANN401  # a number or an array
    """Return the value, or zero of its kind where it is below."""
    return larger(value, 0.0 * value)


def left_of(whole: Any, part: Any) -> Any:  # noqa: ANN401  # a number or an array
    """Return what a part leaves of a whole: nothing where they are the same but for the last digits, or it is more."""
    left = whole - part
    return picked(left > TOLERANCE * whole, left, 0.0 * left)


def whole_up(ratio: Any) -> Any:  # noqa: ANN401  # a number or an array
    """Return the next whole number, with a tolerance so that exact multiples never flip."""
    if isinstance(ratio, np.ndarray):
        return np.ceil(ratio * (1 - TOLERANCE))
    return math.ceil(ratio * (1 - TOLERANCE))


def whole_down(ratio: Any) -> Any:  # noqa: ANN401  # a number or an array
    """Return the whole number below, with the same tolerance: what all but reaches one counts as reached."""
    if isinstance(ratio, np.ndarray):
        return np.floor(ratio * (1 + TOLERANCE))
    return math.floor(ratio * (1 + TOLERANCE))


def picked(condition: Any, one: Any, other: Any) -> Any:  # noqa: ANN401  # a truth value or an array of them
    """Return one where the condition holds and the other where it does not, element by element."""
    if isinstance(condition, np.ndarray):
        return np.where(condition, one, other)
    return one if condition else other


def everywhere(condition: Any) -> bool:  # noqa: ANN401  # a truth value or an array of them
    """Return whether a condition holds, element by element."""
    return bool(condition.all() if isinstance(condition, np.ndarray) else condition)


def crossing(
    falling: Callable[[Any], tuple[Any, Any]],
    low: Any,  # noqa: ANN401  # a number or an array
    high: Any,  # noqa: ANN401  # a number or an array
    start: Any,  # noqa: ANN401  # a number or an array
) -> Any:  # noqa: ANN401  # a number or an array
    """Return where a falling function crosses zero between two ends, to the last digits; the nearer end if it does not.

    `falling` answers its value and its slope. Newton's steps from `start`, halving wherever one would leave the ends.
    """
    at_low, at_high = falling(low)[0], falling(high)[0]
    if any(isinstance(one, np.ndarray) for one in (low, high, at_low, at_high)):
        beyond = (at_low <= 0) | (at_high >= 0)
        found = start if np.all(beyond) else _crossings(falling, low, high, start, beyond)
        return np.where(at_low <= 0, low, np.where(at_high >= 0, high, found))
    if at_low <= 0 or at_high >= 0:
        return low if at_low <= 0 else high
    here = start
    for _ in range(ROUNDS):
        value, slope = falling(here)
        low, high = (here, high) if value > 0 else (low, here)
        there = here - value / slope if slope < 0 else low
        if abs(there - here) <= LAST_STEP * abs(here):
            return there
        here = there if low < there < high else (low + high) / 2
    return here


def _crossings(falling: Callable[[Any], Any], low: Any, high: Any, start: Any, beyond: Any) -> Any:  # noqa: ANN401  # arrays of numbers
    """Return the crossings; of those `beyond` an end, which have none between, anything."""
    here = start
    for _ in range(ROUNDS):
        value, slope = falling(here)
        low, high = np.where(value > 0, here, low), np.where(value > 0, high, here)
        steep = slope < 0
        there = np.where(steep, here - value / np.where(steep, slope, 1.0), low)
        near = np.abs(there - here) <= LAST_STEP * np.abs(here)
        here = np.where(near | (low < there) & (there < high), there, (low + high) / 2)
        if np.all(near | beyond):
            return here
    return here
