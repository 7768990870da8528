"""Decide the heat: carbon equivalents, preheat, interpass limit, whether the deposit can be bored, with advice."""

import math
from dataclasses import dataclass

from estimator.bore.survey import Survey
from estimator.errors import JobRefusedError
from estimator.formula import difference, formula, leaf
from estimator.inputs import Inputs
from estimator.tables import Tables
from estimator.tables.messages import Message, fault, grade_of, say
from estimator.weld.around import Boss, around_of, outside_of, welding_ring
from estimator.weld.cold import Cold, cold_enough
from estimator.weld.heat import burners_for
from estimator.weld.plan import WeldPlan
from estimator.weld.ring import Ring
from estimator.weld.risk import Risk, TableFigure, risk_of, table_preheat
from estimator.weld.steel import Base, cet, iiw, kelvin_preheat, pcm
from estimator.weld.technique import Situation, Window, bound

__all__ = ["HeatPlan", "plan_heat"]

ANYWHERE = Situation("any", "any")
SURE = 0.995


@dataclass(frozen=True)
class HeatPlan:
    """What the boss must be warmed to and kept under at the site's temperature, and its shape. [SI]"""

    carbon_equivalent: float
    cet: float
    preheat: float
    due: bool
    interpass_max: float
    cold: Cold
    boss: Boss
    mass: float
    burners: int
    machinable: bool
    advice: tuple[Message, ...]
    pcm: float
    table: TableFigure
    risk: Risk
    temper_burners: int
    slow: bool

    @property
    def ambient(self) -> float:
        """Temperature at the site. [K]"""
        return self.boss.ambient

    @property
    def outside(self) -> float:
        """Outside diameter of the boss. [m]"""
        return self.boss.outside

    @property
    def warnings(self) -> list[Message]:
        """What must be told beforehand: of a deposit too hard to bore, and what of the advice somebody must approve."""
        asked = [one for one in self.advice if grade_of(one) == "approve"] + self.boss.around.warnings
        if not self.risk.priced:
            return asked
        return [*asked, say("too_hard_sure") if self.risk.odds > SURE else say("too_hard", odds=self.risk.odds)]


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


@formula("boss_mass", "definition: a ring of metal", "computed", unit="kg")
def boss_mass(outside: float, inside: float, length: float, density: float) -> float:
    """Mass of the boss. [kg]"""
    return math.pi / 4 * (outside**2 - inside**2) * length * density


def _preheat(base_cet: float, thickness: float, hydrogen: float, heat: float, facts: Tables) -> float:
    names = ["cet", "thickness", "thickness_scale", "hydrogen", "hydrogen_power", "heat_cet", "heat", "offset"]
    return kelvin_preheat(base_cet, thickness, hydrogen, heat, *(facts.constant(f"preheat_{name}") for name in names))


def _outside_range(values: dict[str, float], preheat: float, table: TableFigure, facts: Tables) -> list[Message]:
    """Return which of the method's ranges are left."""
    ranges = {name: bound(facts, f"method B {name}", ANYWHERE, "comfort") for name in values}
    beyond = [name for name, value in values.items() if not ranges[name].holds(value)]
    return [_beyond(ranges[name], values[name], preheat, table) for name in beyond]


def _beyond(range_of: Window, value: float, preheat: float, table: TableFigure) -> Message:
    """Return that a range is left: a matter of approval where no published table stands beside the plan.

    Below its ranges the method is followed further down; above them the table must ask for no more than is planned.
    """
    below = value < range_of.low
    limit = range_of.low if below else range_of.high
    what, unit = range_of.what, range_of.unit
    if table.preheat is None or (not below and table.preheat > preheat):
        return say("method_below" if below else "method_above", what=what, value=value, limit=limit, unit=unit)
    code = "method_below_known" if below else "method_above_known"
    asked, planned = table.preheat, preheat
    return say(code, what=what, value=value, limit=limit, unit=unit, table=table.said, asked=asked, planned=planned)


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
    outside = outside_of(survey, facts)
    around = around_of(survey, outside, facts)
    boss = Boss(outside, survey.sizes.cleanup, survey.bore.length, around, ambient)
    thickness = governing_thickness(_wall(survey, facts), around.thickness)
    wanted = _preheat(base_cet, thickness, weld.wire.hydrogen, heat, facts)
    if ambient < facts.constant("cold_part"):
        wanted = warmed(wanted, facts.constant("preheat_due"))
    if wanted > facts.constant("most_preheat"):
        raise JobRefusedError([fault("material", say("preheat_too_high", preheat=wanted))])
    due = wanted > ambient and wanted >= facts.constant("preheat_due")
    preheat = wanted if due else ambient
    kept, top = _interpass(base, preheat, due, facts)
    cold, slow = cold_enough(survey.sizes, ambient, facts), base_cet > facts.constant("slow_cool_cet")
    risk = risk_of(base, weld, survey.sizes.finish, preheat, interpass=top, heat=heat, facts=facts)
    ring, table = welding_ring(boss, top, facts, inputs), table_preheat(base, thickness, facts)
    burners = _burners(ring, preheat, ambient, facts.constant("preheat_target"), inputs)
    advice = [*_warm(due, wanted, burners, survey, facts), *_slowly(slow, cold), *_hard(risk)]
    advice += [*_cut_advice(cold, survey), *_tempered(base, kept, top), *_by_table(table, preheat), *risk.edge.asked]
    if due:
        values = {"CET": base_cet, "thickness": thickness, "hydrogen": weld.wire.hydrogen, "heat input": heat}
        advice += _outside_range(values, preheat, table, facts)
    return HeatPlan(
        carbon_equivalent=iiw(C=base.C, Mn=base.Mn, Cr=base.Cr, Mo=base.Mo, V=base.V, Ni=base.Ni, Cu=base.Cu),
        cet=base_cet,
        preheat=preheat,
        due=due,
        interpass_max=top,
        cold=cold,
        boss=boss,
        mass=boss_mass(outside, survey.sizes.cleanup, survey.bore.length, facts.constant("steel_density")),
        burners=burners,
        machinable=bool(risk.first <= risk.limit),
        advice=tuple(advice),
        pcm=pcm(C=base.C, Si=base.Si, Mn=base.Mn, Cu=base.Cu, Cr=base.Cr, Ni=base.Ni, Mo=base.Mo, V=base.V, B=base.B),
        table=table,
        risk=risk,
        temper_burners=_temper_burners(boss, risk.tempering.high, facts, inputs),
        slow=slow,
    )


def _by_table(table: TableFigure, preheat: float) -> list[Message]:
    """Return that a published table asks for more than is planned, where it does."""
    if table.preheat is None or table.preheat <= preheat:
        return []
    return [say("table_more", table=table.said, preheat=table.preheat)]


def _wall(survey: Survey, facts: Tables) -> float:
    """Return the wall that counts for preheat: thick where no outside diameter was given. [m]"""
    own = survey.bore.outside_diameter
    return facts.constant("thick_wall") if own is None else whole_wall(own, survey.bore.nominal_diameter)


def _interpass(base: Base, preheat: float, due: bool, facts: Tables) -> tuple[float, float]:
    """Return the usual interpass limit of a steel and the one over its preheat. [K]"""
    kept = facts.constant("interpass_max_tempered" if base.tempered else "interpass_max")
    return kept, interpass_limit(kept, preheat, facts.constant("interpass_above_preheat") if due else _nothing())


def _burners(ring: Ring, warm: float, ambient: float, target: float, inputs: Inputs) -> int:
    """Return the burners that bring the boss to a temperature in time."""
    return burners_for(ring, difference(warm, ambient), inputs.burner_power, target)


def _temper_burners(boss: Boss, warm: float | None, facts: Tables, inputs: Inputs) -> int:
    """Return the burners that bring the boss to its tempering in time; none where it has none."""
    if warm is None:
        return 0
    return _burners(
        welding_ring(boss, warm, facts, inputs), warm, boss.ambient, facts.constant("temper_target"), inputs
    )


def _nothing() -> float:
    return leaf(0.0, "fact", "room", "no preheat, so nothing above it")


def _warm(due: bool, wanted: float, burners: int, survey: Survey, facts: Tables) -> list[Message]:
    """Return what to tell of the preheat; of brackets only where some are welded on."""
    if not due:
        return []
    said = []
    if burners > facts.constant("most_burners"):
        said.append(say("burners_many", burners=burners))
    elif burners > 1:
        said.append(say("burners", burners=burners))
    said.append(say("preheat_to", preheat=wanted))
    return said if survey.bore.mounts == "clamped" else [*said, say("preheat_brackets", preheat=wanted)]


def _slowly(slow: bool, cold: Cold) -> list[Message]:
    """Return that the boss cools under a blanket, where its steel asks for it."""
    return [say("cool_slowly", cut=cold.temperature)] if slow else []


def _hard(risk: Risk) -> list[Message]:
    """Return what to tell of a deposit that may be too hard, and what saves it."""
    if not risk.told:
        return []
    chance = say("chance", odds=risk.odds) if risk.odds < SURE else say("chance_sure")
    figures = {"first": risk.first, "scatter": risk.scatter, "last": risk.last, "limit": risk.limit}
    hard = say("deposit_hard" if risk.first > risk.limit else "deposit_perhaps_hard", chance=chance, **figures)
    return [hard, say("hard_remedy", softened=_softened(risk))]


def _softened(risk: Risk) -> Message:
    return risk.tempering.said if risk.tempering.high else say("cut_out", why=risk.tempering.said)


def _tempered(base: Base, limit: float, top: float) -> list[Message]:
    """Return that the heat between passes softens a tempered part, where it does."""
    if top <= limit or not base.tempered:
        return []
    return [say("tempered_hot", top=top, usual=limit)]


def _cut_advice(cold: Cold, survey: Survey) -> list[Message]:
    """Return how warm the bore may be for its finish cut, and what size is set then."""
    if not survey.sizes.finish > 0:
        return []
    said = [say("finish_cut", finish=cold.temperature, growth=cold.growth)]
    return said if cold.provable else [*said, say("finish_off", finish=cold.temperature)]
