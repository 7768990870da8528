"""Heat in the boss as it happens: preheating, layers, waits and cooling, as steps from one warmth to the next.

`Ring` is the boss in its plate; `Warmth` says how warm each mode of it stands over the surroundings. Heat comes in
round the bore's surface. Between steps nothing is lost: a step of any length is exact for the rings.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from estimator.either import above_zero, larger, picked, smaller, whole_down, whole_up
from estimator.formula import Why, formula
from estimator.units import factor
from estimator.weld.modes import (
    by_mode,
    gone_after,
    keeping,
    reaching,
    sinking,
    slowing,
    spreading,
    total,
    warming_through,
)
from estimator.weld.ring import Ring

__all__ = [
    "Warmth",
    "all_burners",
    "arc_power",
    "bead_reached",
    "bore_rise",
    "bore_temperature",
    "both_kept",
    "burners_for",
    "cooldown",
    "cooled",
    "cooling",
    "flamed",
    "free_time",
    "heat_in",
    "held",
    "held_time",
    "keeping_power",
    "kept",
    "preheat_time",
    "settled",
    "stops_for",
    "welded",
]

Array = npt.NDArray[np.float64]

STEP = 1e-4  # [s] times by way of the modes are no finer, on the side that keeps the limit: below it processors differ

MODES = "radial conduction in boss and plate, exact in time by modes (Carslaw and Jaeger, ch. 3 and 8: eigenfunctions)"
KEPT = "EN 1011-2: the preheat is the least interpass temperature"
ISO_13916 = "EN ISO 13916: interpass temperature is that of the weld just before the next pass"


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
        return f"{total(self.ring.bore, self.parts):.3g} K over the surroundings at the bore"


def _after(ring: Ring, parts: Array, fed: Array, time: Any) -> Warmth:  # noqa: ANN401  # a number or an array
    """Return the warmth after a time in which each mode is fed at a steady rate."""
    if isinstance(time, float) and time == 0:
        return Warmth(ring, parts)
    gone = gone_after(ring, time)
    return Warmth(ring, parts * (1 - gone) + fed / ring.decay * gone)


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
    each = burner * total(ring.bore * ring.rim, gone_after(ring, target) / ring.decay)
    return max(1, int(whole_up(preheat_rise / each)))


def _no_less(time: Any) -> Any:  # noqa: ANN401  # a number or an array
    """Return a time at whole steps, the next where it is none. [s]"""
    step = STEP * factor("s")
    return whole_up(time / step) * step


def _no_more(time: Any) -> Any:  # noqa: ANN401  # a number or an array
    """Return a time at whole steps, the one before where it is none. [s]"""
    step = STEP * factor("s")
    return whole_down(time / step) * step


@formula("preheat_time", MODES + ": the far side has reached the preheat", "computed", unit="s")
def preheat_time(ring: Ring, preheat_rise: float, flame: float) -> float:
    """Time burners need to warm the boss through: heated on one side of the wall, measured on the other. [s]"""
    return _no_less(warming_through(ring, preheat_rise, flame))


@formula("warmth", MODES, "computed")
def flamed(ring: Ring, flame: float, preheat_time: float) -> Warmth:
    """Warmth of the boss when the burners are taken away."""
    return _after(ring, 0 * ring.rim, ring.rim * by_mode(flame), preheat_time)


@formula("warmth", "the same temperatures on the same rings, with what they hold and lose from now on", "computed")
def cooling(warmth: Warmth, ring: Ring) -> Warmth:
    """Warmth of the boss as it is left to cool."""
    rises = warmth.ring.modes @ warmth.parts[..., None]
    parts: Array = np.swapaxes(ring.modes, -1, -2) @ (ring.capacity[:, None] * rises)
    return Warmth(ring, parts[..., 0])


@formula("bore_rise", "definition: what the bore has over its surroundings", "computed", unit="K")
def bore_rise(warmth: Warmth) -> float:
    """How much warmer the bore's surface is than its surroundings. [K]"""
    return above_zero(total(warmth.ring.bore, warmth.parts))


@formula("bore_temperature", "definition: what the surroundings have and the rise over them", "computed", unit="K")
def bore_temperature(ambient: float, warmth: Warmth) -> float:
    """Temperature of the bore's surface, as a contact thermometer shows it. [K]"""
    return ambient + total(warmth.ring.bore, warmth.parts)


@formula("free_time", MODES + "; " + ISO_13916, "computed", unit="s")
def free_time(warmth: Warmth, arc_power: float, arc_time: float, allowed_rise: float) -> float:
    """Arc time of a layer until the bore stands at its limit, or all of it. [s]"""
    found = reaching(warmth.ring, warmth.parts, arc_power, arc_time, allowed_rise)
    return picked(found < arc_time, smaller(_no_more(found), arc_time), arc_time)


@formula("warmth", MODES, "computed")
def welded(warmth: Warmth, arc_power: float, arc_time: float) -> Warmth:
    """Warmth after the arc has burnt for a time."""
    return _after(warmth.ring, warmth.parts, warmth.ring.bore * by_mode(arc_power), arc_time)


@formula("held_time", MODES + "; " + ISO_13916, "computed", unit="s")
def held_time(warmth: Warmth, arc_power: float, arc_left: float, allowed_rise: float) -> float:
    """Least time over which the rest of a layer is spread so that it ends with the bore at its limit. [s]"""
    found = spreading(warmth.ring, warmth.parts, arc_power * arc_left, arc_left, allowed_rise)
    return picked(found > arc_left, larger(_no_less(found), arc_left), arc_left)


@formula("warmth", MODES, "computed")
def held(warmth: Warmth, arc_power: float, arc_left: float, held_time: float) -> Warmth:
    """Warmth after the rest of a layer, laid with pauses: its heat spread evenly over its time."""
    mean = arc_power * arc_left / (held_time + (held_time == 0))
    return _after(warmth.ring, warmth.parts, warmth.ring.bore * by_mode(mean), held_time)


@formula("warmth", MODES, "computed")
def cooled(warmth: Warmth, time: float) -> Warmth:
    """Warmth after a time without the arc."""
    return _after(warmth.ring, warmth.parts, 0 * warmth.ring.bore, time)


@formula("keeping_power", MODES + "; " + KEPT, "computed", unit="W")
def keeping_power(warmth: Warmth, time: float, least_rise: float) -> float:
    """Steady power of a burner, over the time just gone, that leaves the bore no colder than its preheat. [W]"""
    return keeping(warmth.ring, warmth.parts, time, least_rise)


@formula("warmth", MODES, "computed")
def kept(warmth: Warmth, keeping_power: float, time: float) -> Warmth:
    """Warmth with what a burner has brought in over the time just gone."""
    ring = warmth.ring
    brought = by_mode(keeping_power) * ring.rim / ring.decay * gone_after(ring, time)
    return Warmth(ring, warmth.parts + brought)


@formula("cooldown", MODES, "computed", unit="s")
def cooldown(warmth: Warmth, excess: float) -> float:
    """Time after the last bead until the bore stands that much over its surroundings. [s]"""
    return _no_less(sinking(warmth.ring, warmth.parts, excess))


@formula("cooldown", MODES, "computed", unit="s")
def settled(warmth: Warmth, cooling_rate: float) -> float:
    """Time after the last bead until the bore cools no quicker than a rate. [s]"""
    return _no_less(slowing(warmth.ring, warmth.parts, cooling_rate))


@formula("cooldown", "definition: both hold from the later on", "computed", unit="s")
def both_kept(cold: float, slow: float) -> float:
    """Time until a bore is cold enough and cools slowly enough. [s]"""
    return larger(cold, slow)


@formula("bead", "whole beads laid before the bore stands at its limit", "computed")
def bead_reached(beads: int, free_time: float, arc_time: float) -> int:
    """Bead of the layer at whose end the first pause comes; of a whole ring each bead is a turn. [-]"""
    return larger(whole_up(beads * free_time / arc_time), 1)


@formula("stops", "whole stops, none longer than the one of the table", "from memory")
def stops_for(wait: float, longest_stop: float) -> int:
    """Stops over which a layer's wait is shared. [-]"""
    return whole_up(wait / longest_stop)
