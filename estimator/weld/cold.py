"""When a bore may be bored to size: how far from 20 degC, and how quickly it may still cool, for the tolerance asked.

A warm bore is larger by D alpha (T - 20): the size set is corrected for that. What is in doubt of the correction, and
what the bore shrinks by while a pass is cut, are each given a share of the tolerance. Roughing needs no cold part.
"""

from dataclasses import dataclass

from estimator.bore.survey import Sizes
from estimator.formula import formula
from estimator.tables import Tables

__all__ = ["Cold", "cold_enough", "pass_rate"]

GROWTH = "a free ring grows as it is warm: alpha D dT (Timoshenko and Goodier, Theory of Elasticity)"


@dataclass(frozen=True)
class Cold:
    """How cold a bore must be for its finish cut [K], what it is larger there [m], how far it may cool in a pass [K].

    `provable`: whether the surroundings let it come near enough to 20 degC.
    """

    temperature: float
    growth: float
    fall: float
    provable: bool


@formula("tolerance", "definition: the width of the limits", "computed", unit="m")
def tolerance_width(finish_max: float, finish_min: float) -> float:
    """Width of the tolerance. [m]"""
    return finish_max - finish_min


@formula("fall", GROWTH + "; a share of the tolerance", "computed", unit="K")
def fall_allowed(tolerance: float, tolerance_share: float, expansion: float, finish: float) -> float:
    """How far a bore may cool for a change that is a share of its tolerance. [K]"""
    return tolerance * tolerance_share / (expansion * finish)


@formula("off", "a correction of which a share is in doubt may be so many times as large", "computed", unit="K")
def off_reference(fall: float, correction_doubt: float) -> float:
    """How far from the temperature at which sizes hold a corrected size is good for. [K]"""
    return fall / correction_doubt


@formula(
    "finish_temperature",
    "as far from 20 degC as the tolerance allows, not too warm for hands, nor nearer to the air than is worth waiting",
    "computed",
    unit="K",
)
def finish_at(reference: float, off: float, warmest: float, ambient: float, above: float) -> float:
    """Temperature at which the finish cut is made. [K]"""
    return max(min(reference + off, warmest), ambient + above)


@formula("growth", GROWTH, "computed", unit="m")
def growth_at(expansion: float, finish: float, temperature: float, reference: float) -> float:
    """How much larger a bore is than at the temperature at which its size holds. [m]"""
    return expansion * finish * (temperature - reference)


@formula("cooling_rate", "no more than that over the time of a pass", "computed", unit="K/s")
def pass_rate(fall: float, pass_time: float) -> float:
    """How quickly a bore may cool while a pass is cut: else it comes out tapered. [K/s]"""
    return fall / pass_time


def cold_enough(sizes: Sizes, ambient: float, facts: Tables) -> Cold:
    """Return how cold a bore must be for its finish cut."""
    expansion, reference = facts.constant("steel_expansion"), facts.constant("reference_temperature")
    width = tolerance_width(sizes.finish_max, sizes.finish_min)
    fall = fall_allowed(width, facts.constant("growth_share"), expansion, sizes.finish)
    off = off_reference(fall, facts.constant("correction_doubt"))
    warmest, above = (facts.constant(f"finish_cut_{name}") for name in ("temperature", "above_ambient"))
    at = finish_at(reference, off, warmest, ambient, above)
    return Cold(at, growth_at(expansion, sizes.finish, at, reference), fall, provable=bool(at <= reference + off))
