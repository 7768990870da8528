"""Heat in the boss as it happens: preheating, layers, waits and cooling, as steps from one warmth to the next.

`Ring` is the boss in its plate; `Warmth` says how warm each mode of it stands over the surroundings. Heat comes in
round the bore's surface. Between steps nothing is lost: a step of any length is exact for the rings.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from estimator.either import above_zero, crossing, larger, whole_up
from estimator.formula import Why, formula
from estimator.weld.ring import WALL, Ring

__all__ = [
    "Warmth",
    "all_burners",
    "arc_power",
    "bore_temperature",
    "burners_for",
    "cooldown",
    "flamed",
    "free_time",
    "heat_in",
    "held",
    "held_time",
    "preheat_time",
    "rested",
    "stops_for",
    "turn_reached",
    "welded",
]

Array = npt.NDArray[np.float64]

MODES = "radial conduction in boss and plate, exact in time by modes (Carslaw and Jaeger, ch. 3 and 8: eigenfunctions)"
ISO_13916 = "EN ISO 13916: interpass temperature is that of the weld just before the next pass"
SLOWEST = 30.0  # times of the slowest mode: nothing is left of any heat after that


@dataclass(frozen=True, eq=False)
class Warmth:
    """How warm a boss is: the share of each mode, and which boss."""

    ring: Ring
    parts: Array
    why: Why | None = None

    def __eq__(self, other: object) -> bool:
        """Return whether two are as warm everywhere."""
        return isinstance(other, Warmth) and np.array_equal(self.parts, other.parts)

    __hash__ = object.__hash__

    def __str__(self) -> str:
        """Return what it is, for explanations."""
        return f"{_total(self.ring.bore, self.parts):.3g} over the surroundings at the bore"


def _total(one: Array, other: Array) -> Any:  # noqa: ANN401  # a number or an array
    """Return the sum over the modes of a product."""
    return float(one @ other) if one.ndim == other.ndim == 1 else (one * other).sum(axis=-1)


def _by_mode(value: Any) -> Any:  # noqa: ANN401  # a number or an array
    return value[..., None] if isinstance(value, np.ndarray) else value


def _gone(ring: Ring, time: Any) -> Array:  # noqa: ANN401  # a number or an array
    """Return the share of each mode that has gone after a time. [-]"""
    gone: Array = -np.expm1(-ring.decay * _by_mode(time))
    return gone


def _slowest(ring: Ring) -> Any:  # noqa: ANN401  # a number or an array
    """Return the time of the slowest mode. [s]"""
    slow = 1 / ring.decay[..., 0]
    return slow if slow.ndim else float(slow)


@formula("arc_power", "EN 1011-1: k U I is what enters the work", "published", unit="W")
def arc_power(arc_voltage: float, current: float, heat_share: float) -> float:
    """Heat that an arc brings into the work. [W]"""
    return heat_share * arc_voltage * current


@formula("heat_in", "definition: power times time", "computed", unit="J")
def heat_in(arc_power: float, arc_time: float) -> float:
    """Heat brought in by welding. [J]"""
    return arc_power * arc_time


@formula("power", "definition: burners times the power of one", "computed", unit="W")
def all_burners(burner: float, burners: int) -> float:
    """Heat that all burners bring in. [W]"""
    return burner * burners


@formula("burners", MODES + ": whole burners that warm it through in time", "computed")
def burners_for(ring: Ring, preheat_rise: float, burner: float, target: float) -> int:
    """Burners that warm the boss through within a time. [-]"""
    each = burner * _total(ring.bore * ring.rim, _gone(ring, target) / ring.decay)
    return max(1, int(whole_up(preheat_rise / each)))


@formula("preheat_time", MODES + ": the far side has reached the preheat", "computed", unit="s")
def preheat_time(ring: Ring, preheat_rise: float, flame: float) -> float:
    """Time burners need to warm the boss through: heated on one side of the wall, measured on the other. [s]"""
    reach = ring.bore * ring.rim / ring.decay

    def short(time: Any) -> tuple[Any, Any]:  # noqa: ANN401  # a number or an array
        gone = _gone(ring, time)
        return preheat_rise - flame * _total(reach, gone), -flame * _total(reach * ring.decay, 1 - gone)

    least = preheat_rise * ring.capacity[..., : WALL + 1].sum(axis=-1) / flame  # were nothing to leave the boss
    return crossing(short, 0.0 * least, SLOWEST * _slowest(ring) + 0.0 * least, least)


@formula("warmth", MODES, "computed")
def flamed(ring: Ring, flame: float, preheat_time: float) -> Warmth:
    """Warmth of the boss when the burners are taken away."""
    return Warmth(ring, ring.rim * _by_mode(flame) / ring.decay * _gone(ring, preheat_time))


@formula("bore_temperature", "definition: what the surroundings have and the rise over them", "computed", unit="K")
def bore_temperature(ambient: float, warmth: Warmth) -> float:
    """Temperature of the bore's surface, as a contact thermometer shows it. [K]"""
    return ambient + _total(warmth.ring.bore, warmth.parts)


@formula("free_time", MODES + "; " + ISO_13916, "computed", unit="s")
def free_time(warmth: Warmth, arc_power: float, arc_time: float, allowed_rise: float) -> float:
    """Arc time of a layer until the bore stands at its limit, or all of it. [s]"""
    ring = warmth.ring
    steady = ring.bore * _by_mode(arc_power) / ring.decay
    top, going = _total(ring.bore, steady), ring.bore * (steady - warmth.parts)

    def room(time: Any) -> tuple[Any, Any]:  # noqa: ANN401  # a number or an array
        left = 1 - _gone(ring, time)
        return allowed_rise - top + _total(going, left), -_total(going * ring.decay, left)

    return crossing(room, 0.0 * arc_time, arc_time, arc_time)


@formula("warmth", MODES, "computed")
def welded(warmth: Warmth, arc_power: float, arc_time: float) -> Warmth:
    """Warmth after the arc has burnt for a time."""
    ring, gone = warmth.ring, _gone(warmth.ring, arc_time)
    return Warmth(ring, warmth.parts * (1 - gone) + ring.bore * _by_mode(arc_power) / ring.decay * gone)


@formula("held_time", MODES + "; " + ISO_13916, "computed", unit="s")
def held_time(warmth: Warmth, arc_power: float, arc_left: float, allowed_rise: float) -> float:
    """Least time over which the rest of a layer is spread so that it ends with the bore at its limit. [s]"""
    ring, brought = warmth.ring, arc_power * arc_left
    own, fed = ring.bore * warmth.parts, ring.bore**2 / ring.decay

    def over(time: Any) -> tuple[Any, Any]:  # noqa: ANN401  # a number or an array
        gone, some = _gone(ring, time), time + (time == 0)
        left, mean = 1 - gone, brought * _total(fed, gone) / some
        slope = (brought * _total(fed * ring.decay, left) - mean) / some - _total(own * ring.decay, left)
        return _total(own, left) + mean - allowed_rise, slope

    longest = arc_left + brought * _total(fed, 1.0 + 0 * fed) / allowed_rise + SLOWEST * _slowest(ring)
    return crossing(over, arc_left, longest, arc_left)


@formula("warmth", MODES, "computed")
def held(warmth: Warmth, arc_power: float, arc_left: float, held_time: float) -> Warmth:
    """Warmth after the rest of a layer, laid with pauses: its heat spread evenly over its time."""
    ring, gone = warmth.ring, _gone(warmth.ring, held_time)
    some = held_time + (held_time == 0)
    return Warmth(
        ring, warmth.parts * (1 - gone) + ring.bore * _by_mode(arc_power * arc_left / some) / ring.decay * gone
    )


@formula("warmth", MODES + "; a burner keeps the preheat: EN 1011-2, the least interpass temperature", "computed")
def rested(warmth: Warmth, time: float, least_rise: float) -> Warmth:
    """Warmth after work between layers; where the bore would fall below its preheat, a burner brings it back."""
    ring, gone = warmth.ring, _gone(warmth.ring, time)
    left, each = warmth.parts * (1 - gone), ring.rim / ring.decay * gone
    reach = _total(ring.bore, each)
    burner = above_zero(least_rise - _total(ring.bore, left)) / (reach + (reach == 0))
    return Warmth(ring, left + each * _by_mode(burner))


@formula("cooldown", MODES, "computed", unit="s")
def cooldown(warmth: Warmth, excess: float) -> float:
    """Time after the last bead until the bore stands that much over its surroundings. [s]"""
    ring = warmth.ring
    own = ring.bore * warmth.parts

    def over(time: Any) -> tuple[Any, Any]:  # noqa: ANN401  # a number or an array
        left = 1 - _gone(ring, time)
        return _total(own, left) - excess, -_total(own * ring.decay, left)

    soon = 0.0 * (excess + _total(own, own))
    return crossing(over, soon, soon + SLOWEST * _slowest(ring), soon)


@formula("turn", "whole turns laid before the bore stands at its limit", "computed")
def turn_reached(turns: int, free_time: float, arc_time: float) -> int:
    """Turn of the layer at whose end the first pause comes. [-]"""
    return larger(whole_up(turns * free_time / arc_time), 1)


@formula("stops", "whole stops, none longer than the one of the table", "from memory")
def stops_for(wait: float, longest_stop: float) -> int:
    """Stops over which a layer's wait is shared. [-]"""
    return whole_up(wait / longest_stop)
