"""Heat in the boss and the plate it sits in: rise while welding, waits, preheat, cooling down.

The boss is one lump of heat capacity B; the plate takes heat away as an infinite plate with losses from both faces.
After a burst of heat E the lump stands at E exp(-t/tau) / (B + 4 pi k s t) over its surroundings: at once all of it is
in the boss, later it is Rosenthal's thin plate. Heating at a steady power is the integral of that. An isolated boss
would rise hundreds of kelvin and wait for hours; this one does what a welder sees.
"""

import math
from dataclasses import dataclass

from estimator.either import above_zero, crossing, decaying, exp, larger, log1p, whole_up
from estimator.formula import formula
from estimator.tables import Tables

__all__ = [
    "Boss",
    "all_burners",
    "arc_power",
    "boss_capacity",
    "boss_of",
    "burners_for",
    "cooldown",
    "end_rise",
    "heat_in",
    "mean_power",
    "plate_conductance",
    "preheat_time",
    "residual",
    "rise",
    "spread_time",
    "still",
    "waiting",
]

ROSENTHAL = (
    "Rosenthal, Trans. ASME 68 (1946) 849: instantaneous line source in a plate with surface loss; boss as a lump"
)
LONGEST = 30.0  # time constants: nothing is left of any heat after that


@formula("boss_capacity", "definition: heat capacity of a ring", "computed", unit="J/K")
def boss_capacity(outside: float, inside: float, length: float, density: float, specific_heat: float) -> float:
    """Heat capacity of the boss. [J/K]"""
    return math.pi / 4 * (outside**2 - inside**2) * length * density * specific_heat


@formula("plate_conductance", ROSENTHAL, "published", unit="W/K")
def plate_conductance(conductivity: float, thickness: float) -> float:
    """Growth of the heat capacity that takes part, by conduction into the plate. [W/K]"""
    return 4 * math.pi * conductivity * thickness


@formula("time_constant", "lumped plate losing heat from both faces", "published", unit="s")
def still(density: float, specific_heat: float, thickness: float, surface_loss: float) -> float:
    """Time constant of the plate's loss to still air. [s]"""
    return density * specific_heat * thickness / (2 * surface_loss)


@formula("arc_power", "EN 1011-1: k U I is what enters the work", "published", unit="W")
def arc_power(arc_voltage: float, current: float, heat_share: float) -> float:
    """Heat that an arc brings into the work. [W]"""
    return heat_share * arc_voltage * current


@formula("heat_in", "definition: power times time", "computed", unit="J")
def heat_in(arc_power: float, arc_time: float) -> float:
    """Heat brought in by welding. [J]"""
    return arc_power * arc_time


@formula("burners", ROSENTHAL + ", whole burners that are done in time", "computed")
def burners_for(
    preheat_rise: float, burner: float, target: float, capacity: float, conductance: float, constant: float
) -> int:
    """Burners that warm the boss within a time. [-]"""
    return max(1, int(whole_up(preheat_rise / rise(burner, target, capacity, conductance, constant))))


@formula("power", "definition: burners times the power of one", "computed", unit="W")
def all_burners(burner: float, burners: int) -> float:
    """Heat that all burners bring in. [W]"""
    return burner * burners


@dataclass(frozen=True)
class Boss:
    """What stands for the boss and its plate in the heat balance. [J/K, W/K, s]"""

    capacity: float
    conductance: float
    constant: float


def boss_of(outside: float, inside: float, length: float, plate: float, surface_loss: float, facts: Tables) -> Boss:
    """Return the boss and its plate; lengths in metres, the loss in W/m²K."""
    density, specific = facts.constant("steel_density"), facts.constant("specific_heat")
    return Boss(
        boss_capacity(outside, inside, length, density, specific),
        plate_conductance(facts.constant("conductivity"), plate),
        still(density, specific, plate, surface_loss),
    )


@formula("mean_power", "definition: heat over time", "computed", unit="W")
def mean_power(heat: float, time: float) -> float:
    """Mean power over the time of welding, waits included. [W]"""
    return heat / time


@formula("temperature_rise", ROSENTHAL + ", integrated over time by Gauss and Legendre", "computed", unit="K")
def rise(power: float, time: float, capacity: float, conductance: float, constant: float) -> float:
    """Rise of the boss over its surroundings after heating at a steady power. [K]"""
    span = log1p(conductance * time / capacity)
    ratio = capacity / (conductance * constant)
    return power / conductance * span * decaying(ratio, span)


@formula("residual", ROSENTHAL, "computed", unit="K")
def residual(heat: float, time: float, capacity: float, conductance: float, constant: float) -> float:
    """Rise that is left of a burst of heat after a time. [K]"""
    return heat * exp(-time / constant) / (capacity + conductance * time)


@formula(
    "spread_time",
    "least time over which the arc's heat may come so that the boss stays under its limit",
    "computed",
    unit="s",
)
def spread_time(
    heat: float, preheat_heat: float, allowed_rise: float, capacity: float, conductance: float, constant: float
) -> float:
    """Time over which welding must be spread so that the interpass limit is kept. [s]"""

    def over(time: float) -> float:
        left = residual(preheat_heat, time, capacity, conductance, constant)
        return rise(heat / time, time, capacity, conductance, constant) + left - allowed_rise

    return crossing(over, constant * 1e-6, constant * LONGEST)


@formula(
    "interpass_wait",
    "definition: time that must pass less time that passes anyway, never below zero",
    "computed",
    unit="s",
)
def waiting(spread_time: float, arc_time: float, other_work: float) -> float:
    """Wait so that the interpass limit is kept. [s]"""
    return above_zero(spread_time - arc_time - other_work)


@formula(
    "end_rise",
    "the boss is at its preheat at the least, and as hot as arc and preheat together leave it",
    "computed",
    unit="K",
)
def end_rise(preheat_rise: float, arc_rise: float, residual: float) -> float:
    """Rise of the boss over its surroundings at the last bead. [K]"""
    return larger(preheat_rise, arc_rise + residual)


@formula("cooldown", ROSENTHAL + "; the heat has spread for half the welding time", "computed", unit="s")
def cooldown(
    end_rise: float, excess: float, weld_time: float, capacity: float, conductance: float, constant: float
) -> float:
    """Time after the last bead until the boss stands that much over its surroundings. [s]"""
    taken = capacity + conductance * weld_time / 2

    def over(time: float) -> float:
        return end_rise * taken * exp(-time / constant) / (taken + conductance * time) - excess

    return crossing(over, 0.0 * constant, constant * LONGEST)


@formula("preheat_time", ROSENTHAL + ", solved for the time a burner needs", "computed", unit="s")
def preheat_time(preheat_rise: float, burner: float, capacity: float, conductance: float, constant: float) -> float:
    """Time a burner needs to bring the boss to its preheat temperature. [s]"""
    longest = constant * LONGEST
    return crossing(
        lambda time: preheat_rise - rise(burner, time, capacity, conductance, constant), 0.0 * constant, longest
    )
