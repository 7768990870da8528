"""Decide the heat: carbon equivalents, preheat, interpass limit, whether the deposit can be bored, with advice."""

import math
from dataclasses import dataclass

from estimator.bore.survey import Survey
from estimator.errors import Fault, JobRefusedError
from estimator.formula import difference, formula, leaf
from estimator.inputs import Inputs
from estimator.tables import Tables
from estimator.units import deci
from estimator.weld.heat import burners_for
from estimator.weld.plan import WeldPlan
from estimator.weld.refuse import ASKS
from estimator.weld.ring import Ring, boss_in_plate
from estimator.weld.risk import Risk, TableFigure, risk_of, table_preheat
from estimator.weld.steel import Base, cet, iiw, kelvin_preheat, pcm
from estimator.weld.technique import Situation, bound

__all__ = ["HeatPlan", "outside_of", "plan_heat"]

ANYWHERE = Situation("any", "any")
METHOD_B = "EN 1011-2 method B"
SURE = 0.995
SAME = "the bore's rules hold for them"
PRICING = "outside the range of EN 1011-2 method B: the figure is for pricing only, approval needed"


@dataclass(frozen=True)
class HeatPlan:
    """What the boss must be warmed to and kept under at the site's temperature, and its shape. [SI]"""

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
    pcm: float
    table: TableFigure
    risk: Risk
    temper_burners: int
    ambient: float

    def warnings(self, name: str) -> list[str]:
        """Return what must be told beforehand of a bore's deposit."""
        if not self.risk.priced:
            return []
        odds = "nearly certain" if self.risk.odds > SURE else f"odds {100 * self.risk.odds:.0f} in 100"
        return [f"bore {name}: {odds} that the deposit is too hard to bore; its remedy is priced as hardness-allowance"]


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


def plan_heat(
    survey: Survey, base: Base, weld: WeldPlan, heat: float, ambient: float, facts: Tables, inputs: Inputs
) -> HeatPlan:
    """Return how warm the boss must be, may become, and what to tell the welder.

    Parameters
    ----------
    survey, base, weld
        The bore, its steel and how it is welded.
    heat
        Heat input of the coolest layer. [J/m]
    ambient
        Temperature at the site. [K]
    facts, inputs
        Tables, and the day that is planned for.

    Raises
    ------
    JobRefusedError
        At `material`, if the preheat lies so high that the method says nothing.
    """
    base_cet = cet(base.C, base.Mn, base.Mo, base.Cr, base.Cu, base.Ni)
    outside, plate = outside_of(survey, facts), survey.bore.plate_thickness or facts.constant("plate_thickness")
    thickness = governing_thickness(_wall(survey, facts), plate)
    least = bound(facts, "heat_input", ANYWHERE, "must").low
    least = leaf(least, "fact", "heat_input", "least heat input of the technique, the safe side", unit="J/m")
    wanted = _preheat(base_cet, thickness, weld.wire.hydrogen, least, facts)
    if ambient < facts.constant("cold_part"):
        wanted = warmed(wanted, facts.constant("preheat_due"))
    if wanted > facts.constant("most_preheat"):
        raise JobRefusedError([Fault("material", _too_hot(wanted))])
    due = wanted > ambient and wanted >= facts.constant("preheat_due")
    preheat = wanted if due else ambient
    kept, top = _interpass(base, preheat, due, facts)
    warmest, nearest = (facts.constant(f"finish_cut_{name}") for name in ("temperature", "above_ambient"))
    finish = finish_at(warmest, ambient, nearest)
    risk = risk_of(base, weld, survey.sizes.finish, preheat, top, heat, facts)
    ring = boss_in_plate(survey, outside, plate, facts, inputs)
    burners = _burners(ring, preheat, ambient, facts.constant("preheat_target"), inputs)
    advice = [*_warm(due, wanted, burners, facts), *_hard(risk), *_cut_advice(finish, survey)]
    table = table_preheat(base, thickness, facts)
    advice += [*_tempered(base, kept, top), *_by_table(table, preheat)]
    gaps = _outside_range(base_cet, thickness, weld.wire.hydrogen, least, facts) if due else []
    return HeatPlan(
        iiw(base.C, base.Mn, base.Cr, base.Mo, base.V, base.Ni, base.Cu),
        base_cet,
        preheat,
        due,
        top,
        finish,
        outside,
        plate,
        boss_mass(outside, survey.sizes.cleanup, survey.bore.length, facts.constant("steel_density")),
        burners,
        bool(risk.first <= risk.limit),
        (*advice, *(f"preheat: {gap}; {PRICING}" for gap in gaps)),
        pcm(base.C, base.Si, base.Mn, base.Cu, base.Cr, base.Ni, base.Mo, base.V, base.B),
        table,
        risk,
        _burners(ring, risk.tempering.high, ambient, facts.constant("temper_target"), inputs),
        ambient,
    )


def _by_table(table: TableFigure, preheat: float) -> list[str]:
    """Return that a published table asks for more than is planned, where it does."""
    if table.preheat is None or table.preheat <= preheat:
        return []
    return [f"{table.said} asks for more, {deci(table.preheat, 'degC'):.0f} degC: keep to that where its code holds"]


def _wall(survey: Survey, facts: Tables) -> float:
    """Return the wall that counts for preheat: thick where no outside diameter was given. [m]"""
    own = survey.bore.outside_diameter
    return facts.constant("thick_wall") if own is None else whole_wall(own, survey.bore.nominal_diameter)


def _interpass(base: Base, preheat: float, due: bool, facts: Tables) -> tuple[float, float]:
    """Return the usual interpass limit of a steel and the one over its preheat. [K]"""
    kept = facts.constant("interpass_max_tempered" if "tempered" in base.delivery else "interpass_max")
    return kept, interpass_limit(kept, preheat, facts.constant("interpass_above_preheat") if due else _nothing())


def _burners(ring: Ring, warm: float | None, ambient: float, target: float, inputs: Inputs) -> int:
    """Return the burners that bring the boss to a temperature in time; none where there is none to reach."""
    if warm is None:
        return 0
    return burners_for(ring, difference(warm, ambient), inputs.burner_power, target)


def _too_hot(wanted: float) -> str:
    celsius = deci(wanted, "degC")
    return f"would need {celsius:.0f} degC of preheat by {METHOD_B}, far outside the method: not planned here, {ASKS}"


def _nothing() -> float:
    return leaf(0.0, "fact", "room", "no preheat, so nothing above it")


def _warm(due: bool, wanted: float, burners: int, facts: Tables) -> list[str]:
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
        said.append(f"brackets welded on for the bar: {celsius:.0f} degC there too, before the first tack; {SAME}")
    return said


def _hard(risk: Risk) -> list[str]:
    """Return what to tell of a deposit that may be too hard, and what saves it."""
    if not risk.told:
        return []
    sure = "will be" if risk.first > risk.limit else "may be"
    odds = f"{100 * risk.odds:.0f} in 100" if risk.odds < SURE else "nearly certain"
    found = f"{risk.first:.0f} +/- {risk.scatter:.0f} HV in the first beads, {risk.last:.0f} in the last"
    said = [
        f"the deposit {sure} too hard to bore ({odds}): {found}, against {risk.limit:.0f}; more preheat, less haste"
    ]
    return [*said, f"if it is: one more layer tempers the one beneath and may save it; else {_softened(risk)}"]


def _softened(risk: Risk) -> str:
    return risk.tempering.said if risk.tempering.high else f"it is cut out and laid again, for {risk.tempering.said}"


def _tempered(base: Base, limit: float, top: float) -> list[str]:
    """Return that the heat between passes softens a tempered part, where it does."""
    if top <= limit or "tempered" not in base.delivery:
        return []
    high, usual = (deci(value, "degC") for value in (top, limit))
    keeps = f"above the {usual:.0f} degC that tempered steel keeps its strength at"
    return [f"the preheat leads to {high:.0f} degC between passes, {keeps}: {ASKS}"]


def _cut_advice(finish: float, survey: Survey) -> list[str]:
    celsius = deci(finish, "degC")
    return [f"finish cut at {celsius:.0f} degC or below, size corrected to 20 degC"] if survey.sizes.finish > 0 else []
