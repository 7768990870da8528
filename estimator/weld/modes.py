"""Times until a boss in its plate stands where it is wanted: roots of sums of its modes, one number or arrays.

Arrays of modes run along the last axis; `by_mode` puts a day's numbers before it.
"""

from typing import Any

import numpy as np
import numpy.typing as npt

from estimator.either import above_zero, crossing
from estimator.weld.ring import WALL, Ring

__all__ = [
    "by_mode",
    "gone_after",
    "keeping",
    "reaching",
    "sinking",
    "slowing",
    "spreading",
    "total",
    "warming_through",
]

Array = npt.NDArray[np.float64]
SLOWEST = 30.0  # times of the slowest mode: nothing is left of any heat after that


def total(one: Array, other: Array) -> Any:  # noqa: ANN401  # a number or an array
    """Return the sum over the modes of a product."""
    return float(one @ other) if one.ndim == other.ndim == 1 else np.einsum("...m,...m->...", one, other)


def by_mode(value: Any) -> Any:  # noqa: ANN401  # a number or an array
    """Return a number as it is, an array with an axis for the modes."""
    return value[..., None] if isinstance(value, np.ndarray) else value


def gone_after(ring: Ring, time: Any) -> Array:  # noqa: ANN401  # a number or an array
    """Return the share of each mode that has gone after a time. [-]"""
    gone: Array = -np.expm1(-ring.decay * by_mode(time))
    return gone


def _left_after(ring: Ring, time: Any) -> Array:  # noqa: ANN401  # a number or an array
    """Return the share of each mode that is left after a time. [-]"""
    left: Array = np.exp(ring.decay * -by_mode(time))
    return left


def _slowest(ring: Ring) -> Any:  # noqa: ANN401  # a number or an array
    """Return the time of the slowest mode. [s]"""
    slow = 1 / ring.decay[..., 0]
    return slow if slow.ndim else float(slow)


def warming_through(ring: Ring, rise: Any, power: Any) -> Any:  # noqa: ANN401  # numbers or arrays
    """Return the time until the far side of the wall has risen that much under a steady power on the near one. [s]"""
    speed = ring.bore * ring.rim
    reach = speed / ring.decay
    ever = total(reach, np.ones_like(reach))  # summed as below, so that nothing is left at the start

    def short(time: Any) -> tuple[Any, Any]:  # noqa: ANN401  # a number or an array
        left = _left_after(ring, time)
        return rise - power * (ever - total(reach, left)), -power * total(speed, left)

    least = rise * ring.capacity[..., : WALL + 1].sum(axis=-1) / power  # were nothing to leave the boss
    return crossing(short, 0.0 * least, SLOWEST * _slowest(ring) + 0.0 * least, least)


def reaching(ring: Ring, parts: Array, power: Any, time: Any, rise: Any) -> Any:  # noqa: ANN401  # numbers or arrays
    """Return when the bore reaches a rise under a steady power there, or the time given where not so soon. [s]"""
    steady = ring.bore * by_mode(power) / ring.decay
    room_at_last, going = rise - total(ring.bore, steady), ring.bore * (steady - parts)
    speed = going * ring.decay

    def room(at: Any) -> tuple[Any, Any]:  # noqa: ANN401  # a number or an array
        left = _left_after(ring, at)
        return room_at_last + total(going, left), -total(speed, left)

    return crossing(room, 0.0 * time, time, time)


def spreading(ring: Ring, parts: Array, heat: Any, least: Any, rise: Any) -> Any:  # noqa: ANN401  # numbers or arrays
    """Return the time, no less than the least, over which heat must be spread so that the bore ends at a rise. [s]"""
    if isinstance(least, float) and least == 0:  # nothing is left to spread
        return least
    own, speed = ring.bore * parts, ring.bore**2
    fed, falling = speed / ring.decay, own * ring.decay
    ever = total(fed, np.ones_like(fed))

    def over(time: Any) -> tuple[Any, Any]:  # noqa: ANN401  # a number or an array
        left, some = _left_after(ring, time), time + (time == 0)
        mean = heat * (ever - total(fed, left)) / some
        slope = (heat * total(speed, left) - mean) / some - total(falling, left)
        return total(own, left) + mean - rise, slope

    longest = least + heat * ever / rise + SLOWEST * _slowest(ring)
    return crossing(over, least, longest, least)


def keeping(ring: Ring, parts: Array, time: Any, rise: Any) -> Any:  # noqa: ANN401  # numbers or arrays
    """Return the steady power on the far side, over the time just gone, that brings the bore to a least rise. [W]"""
    reach = total(ring.bore * ring.rim / ring.decay, gone_after(ring, time))
    return above_zero(rise - total(ring.bore, parts)) / (reach + (reach == 0))


def sinking(ring: Ring, parts: Array, rise: Any) -> Any:  # noqa: ANN401  # numbers or arrays
    """Return the time until the bore has sunk to a rise. [s]"""
    own = ring.bore * parts
    speed = own * ring.decay

    def over(time: Any) -> tuple[Any, Any]:  # noqa: ANN401  # a number or an array
        left = _left_after(ring, time)
        return total(own, left) - rise, -total(speed, left)

    soon = 0.0 * (rise + total(own, own))
    return crossing(over, soon, soon + SLOWEST * _slowest(ring), soon)


def slowing(ring: Ring, parts: Array, rate: Any) -> Any:  # noqa: ANN401  # numbers or arrays
    """Return the time until the bore cools no quicker than a rate. [s]"""
    falling = ring.bore * parts * ring.decay
    slower = falling * ring.decay

    def over(time: Any) -> tuple[Any, Any]:  # noqa: ANN401  # a number or an array
        left = _left_after(ring, time)
        return total(falling, left) - rate, -total(slower, left)

    soon = 0.0 * (rate + total(falling, falling))
    return crossing(over, soon, soon + SLOWEST * _slowest(ring), soon)
