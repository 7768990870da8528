"""Decide the heat: carbon equivalents, preheat, interpass limit, whether the deposit can be bored, with advice."""

import math
from dataclasses import dataclass

from estimator.bore.survey import Survey
from estimator.errors import Fault, JobRefusedError
from estimator.formula import choice, difference, formula, leaf
from estimator.inputs import Inputs
from estimator.tables import Tables
from estimator.units import deci
from estimator.weld.heat import burners_for
from estimator.weld.plan import WeldPlan
from estimator.weld.refuse import ASKS
from estimator.weld.ring import boss_in_plate
from estimator.weld.steel import Base, cet, cooling_time, hardness, iiw, kelvin_preheat, mixed
from estimator.weld.technique import Situation, bound

__all__ = ["HeatPlan", "outside_of", "plan_heat"]

ANYWHERE = Situation("any", "any")
METHOD_B = "EN 1011-2 method B"
PRICING = "outside the range of EN 1011-2 method B: the figure is for pricing only, approval needed"


@dataclass(frozen=True)
class HeatPlan:
    """What the boss must be warmed to and kept under, and its shape. [SI]"""

    carbon_equivalent: float
    cet: float
    preheat: float
    due: bool
    interpass_max: float
    finish_temperature: float
    outside: float
    plate: float
    mass: float
    burners: int
    machinable: bool
    advice: tuple[str, ...]


@formula("outside_diameter", "usual wall of the table, where no outside diameter is given", "from memory", unit="m")
def assumed_outside(cleanup: float, assumed_wall: float) -> float:
    """Outside diameter assumed for the boss. [m]"""
    return cleanup + 2 * assumed_wall


@formula("thickness", "EN 1011-2 method B takes the thicker of the parts that meet", "published", unit="m")
def governing_thickness(wall: float, plate: float) -> float:
    """Thickness that governs preheat: the thicker of boss wall and plate. [m]"""
    return max(wall, plate)


@formula("preheat", "a cold part is dried and warmed by hand", "from memory", unit="K")
def warmed(preheat: float, hand_warm: float) -> float:
    """Preheat of a cold part: hand-warm at the least. [K]"""
    return max(preheat, hand_warm)


@formula("interpass_max", "limit of the table, raised over a high preheat", "from memory", unit="K")
def interpass_limit(limit: float, preheat: float, room: float) -> float:
    """Highest interpass temperature. [K]"""
    return max(limit, preheat + room)


@formula(
    "finish_temperature",
    "limit of the table, or as near to the surroundings as is worth waiting for",
    "from memory",
    unit="K",
)
def finish_at(warmest: float, ambient: float, above: float) -> float:
    """Temperature at which the finish cut is made. [K]"""
    return max(warmest, ambient + above)


@formula("boss_mass", "definition: a ring of metal", "computed", unit="kg")
def boss_mass(outside: float, inside: float, length: float, density: float) -> float:
    """Mass of the boss. [kg]"""
    return math.pi / 4 * (outside**2 - inside**2) * length * density


def outside_of(survey: Survey, facts: Tables) -> float:
    """Return the boss's outside diameter, as given or assumed. [m]"""
    own = survey.bore.outside_diameter
    return assumed_outside(survey.sizes.cleanup, facts.constant("assumed_wall")) if own is None else own


def _preheat(base_cet: float, thickness: float, hydrogen: float, heat: float, facts: Tables) -> float:
    names = ["cet", "thickness", "thickness_scale", "hydrogen", "hydrogen_power", "heat_cet", "heat", "offset"]
    return kelvin_preheat(base_cet, thickness, hydrogen, heat, *(facts.constant(f"preheat_{name}") for name in names))


def _outside_range(base_cet: float, thickness: float, hydrogen: float, heat: float, facts: Tables) -> list[str]:
    """Return which of the method's ranges are left, in words."""
    values = {"CET": base_cet, "thickness": thickness, "hydrogen": hydrogen, "heat input": heat}
    ranges = {name: bound(facts, f"method B {name}", ANYWHERE, "comfort") for name in values}
    values_said = {"heat input": "the technique's least heat input, the safe side,"}
    return [
        f"{values_said.get(name, name)} {ranges[name].why_not(value)}"
        for name, value in values.items()
        if not ranges[name].holds(value)
    ]


@formula("wall", "geometry of a ring, before any cut", "computed", unit="m")
def whole_wall(outside: float, nominal_diameter: float) -> float:
    """Wall of the boss as it was made. [m]"""
    return (outside - nominal_diameter) / 2


def plan_heat(survey: Survey, base: Base, weld: WeldPlan, heat: float, facts: Tables, inputs: Inputs) -> HeatPlan:
    """Return how warm the boss must be, may become, and what to tell the welder.

    Parameters
    ----------
    survey, base, weld
        The bore, its steel and how it is welded.
    heat
        Heat input of the coolest layer. [J/m]
    facts, inputs
        Tables, and the surroundings.

    Raises
    ------
    JobRefusedError
        At `material`, if the preheat lies so high that the method says nothing.
    """
    equivalent = iiw(base.C, base.Mn, base.Cr, base.Mo, base.V, base.Ni, base.Cu)
    base_cet = cet(base.C, base.Mn, base.Mo, base.Cr, base.Cu, base.Ni)
    plate = survey.bore.plate_thickness or facts.constant("plate_thickness")
    own, outside = survey.bore.outside_diameter, outside_of(survey, facts)
    wall = facts.constant("thick_wall") if own is None else whole_wall(own, survey.bore.nominal_diameter)
    thickness = governing_thickness(wall, plate)
    least = bound(facts, "heat_input", ANYWHERE, "must").low
    least = leaf(least, "fact", "heat_input", "least heat input of the technique, the safe side", unit="J/m")
    wanted = _preheat(base_cet, thickness, weld.wire.hydrogen, least, facts)
    if inputs.ambient < facts.constant("cold_part"):
        wanted = warmed(wanted, facts.constant("preheat_due"))
    if wanted > facts.constant("most_preheat"):
        raise JobRefusedError([Fault("material", _too_hot(wanted))])
    due = wanted > inputs.ambient and wanted >= facts.constant("preheat_due")
    kept = "interpass_max_tempered" if "tempered" in base.delivery else "interpass_max"
    preheat = wanted if due else inputs.ambient
    top = interpass_limit(
        facts.constant(kept), preheat, facts.constant("interpass_above_preheat") if due else _nothing()
    )
    finish = finish_at(
        facts.constant("finish_cut_temperature"), inputs.ambient, facts.constant("finish_cut_above_ambient")
    )
    hard = _deposit_hardness(base, weld, top, heat, facts)
    limit, scatter = facts.constant("hardness_machinable"), facts.constant("hardness_scatter")
    gaps = _outside_range(base_cet, thickness, weld.wire.hydrogen, least, facts)
    ring = boss_in_plate(survey, outside, plate, facts, inputs)
    mass = boss_mass(outside, survey.sizes.cleanup, survey.bore.length, facts.constant("steel_density"))
    rise = difference(preheat, inputs.ambient)
    burners = burners_for(ring, rise, inputs.burner_power, facts.constant("preheat_target"))
    advice = [*_warm(due, wanted, burners, gaps, facts), *_hard(hard, limit, scatter), *_cut_advice(finish, survey)]
    if kept == "interpass_max_tempered" and top > facts.constant(kept):
        advice.append(_softens(top, facts.constant(kept)))
    machinable = bool(hard <= limit)
    return HeatPlan(
        equivalent, base_cet, preheat, due, top, finish, outside, plate, mass, burners, machinable, tuple(advice)
    )


def _too_hot(wanted: float) -> str:
    celsius = deci(wanted, "degC")
    return f"would need {celsius:.0f} degC of preheat by {METHOD_B}, far outside the method: not planned here, {ASKS}"


def _nothing() -> float:
    return leaf(0.0, "fact", "room", "no preheat, so nothing above it")


def _warm(due: bool, wanted: float, burners: int, gaps: list[str], facts: Tables) -> list[str]:
    said = []
    if due:
        if burners > facts.constant("most_burners"):
            said.append(f"one boss would need {burners} hand burners: {ASKS}, with heating mats or an oven")
        elif burners > 1:
            said.append(f"{burners} burners, or heating mats of the same power, so that the boss is warm in time")
        if wanted > facts.constant("slow_cool"):
            said.append("cool slowly under a blanket, overnight if need be: still air is what is counted here")
        celsius = deci(wanted, "degC")
        said.append(
            f"preheat to {celsius:.0f} degC through the wall, by {METHOD_B}; measure with a contact thermometer"
        )
        said += [f"preheat: {gap}; {PRICING}" for gap in gaps]
    return said


def _hard(hard: float, limit: float, scatter: float) -> list[str]:
    if hard <= limit - scatter:
        return []
    risk = "will be" if hard > limit else "may be"
    cure = "more preheat, or one more layer to temper the one beneath"
    return [f"the deposit {risk} too hard to bore: {hard:.0f} +/- {scatter:.0f} HV against {limit:.0f}; {cure}"]


def _softens(top: float, limit: float) -> str:
    high, usual = (deci(value, "degC") for value in (top, limit))
    keeps = f"above the {usual:.0f} degC that tempered steel keeps its strength at"
    return f"the preheat leads to {high:.0f} degC between passes, {keeps}: {ASKS}"


def _cut_advice(finish: float, survey: Survey) -> list[str]:
    celsius = deci(finish, "degC")
    return [f"finish cut at {celsius:.0f} degC or below, size corrected to 20 degC"] if survey.sizes.finish > 0 else []


@formula("hardness", "measured weld metal, shifted by what the formula makes of the base metal in it", "from memory")
def shifted_hardness(measured: float, diluted: float, plain: float) -> float:
    """Hardness of a deposit with base metal in it. [HV]"""
    return measured + diluted - plain


def _deposit_hardness(base: Base, weld: WeldPlan, warm: float, heat: float, facts: Tables) -> float:
    """Return the hardness of the layer that is bored, cooled from a boss at its interpass limit. [HV]"""
    layers = choice(len(weld.layers), "layers", "layers of the plan")
    deposit, plain = mixed(base, weld.wire, layers, facts)
    names = ("temperature_zero", "temperature_800", "temperature_500", "cooling_constant", "cooling_slope")
    time, second = cooling_time(warm, heat, *(facts.constant(name) for name in names)), facts.constant("one_second")
    by_formula = (hardness(**parts, cooling_time=time, one_second=second) for parts in (deposit, plain))
    return shifted_hardness(facts.constant("wire_hardness"), *by_formula)
