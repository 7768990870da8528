"""What a boss sits in, decided from what is told of it, and the rings that follow: those of welding and of cooling."""

from dataclasses import dataclass, replace
from typing import Any

from estimator.bore.survey import Survey
from estimator.formula import choice, formula, leaf
from estimator.inputs import Inputs
from estimator.tables import Tables
from estimator.tables.messages import Message, say
from estimator.tables.rows import PlateEnds
from estimator.weld.body import Body, body_of, fin_length
from estimator.weld.loss import air_loss, blanket_loss, cooling_surface, welding_surface
from estimator.weld.ring import Ring, ring_of

__all__ = ["Around", "Boss", "around_of", "cooling_ring", "like", "outside_of", "welding_ring"]

HOT = ("steel_density", "welding_specific_heat", "welding_conductivity")
WARM = ("steel_density", "specific_heat", "conductivity")
MIDDLE, BEST, WORST = "side", "none", "lug"  # where nothing is told


@dataclass(frozen=True)
class Around:
    """The plate round a boss as it is reckoned with; `told`: whether somebody said where it ends. [m]"""

    thickness: float
    ends: str
    reach: float
    neck: float
    plates: int
    told: bool

    @property
    def warnings(self) -> list[Message]:
        """What must be told beforehand: that nobody said where the plate ends."""
        return [] if self.told else [say("plate_ends_assumed", reach=self.reach)]


@dataclass(frozen=True)
class Boss:
    """A boss in its plate, before any heat: its sizes [m], and the temperature round it [K]."""

    outside: float
    inside: float
    length: float
    around: Around
    ambient: float


@formula("outside_diameter", "usual wall of the table, where no outside diameter is given", "from memory", unit="m")
def assumed_outside(cleanup: float, assumed_wall: float) -> float:
    """Outside diameter assumed for the boss. [m]"""
    return cleanup + 2 * assumed_wall


@formula("outside_diameter", "judgement: a boss ends where its plate does", "from memory", unit="m")
def within_reach(outside: float, reach: float) -> float:
    """Outside diameter assumed for the boss, no more than the plate has room for. [m]"""
    return min(outside, 2 * reach)


@formula(
    "reach",
    "judgement: an edge on one side, a boss's diameter off, is the middle case",
    "from memory",
    unit="m",
)
def assumed_reach(outside: float) -> float:
    """How near the plate's edge is taken to be where nobody said. [m]"""
    return 1.0 * outside


def outside_of(survey: Survey, facts: Tables) -> float:
    """Return the boss's outside diameter, as given or assumed. [m]"""
    own, plate = survey.bore.outside_diameter, survey.bore.plate
    if own is not None:
        return own
    assumed = assumed_outside(survey.sizes.cleanup, facts.constant("assumed_wall"))
    return assumed if plate is None or plate.reach is None else within_reach(assumed, plate.reach)


def around_of(survey: Survey, outside: float, facts: Tables) -> Around:
    """Return the plate round a boss: as told, else the usual thickness, ending on one side."""
    bore, plate = survey.bore, survey.bore.plate
    thickness = bore.plate_thickness if plate is None or plate.thickness is None else plate.thickness
    thickness = facts.constant("plate_thickness") if thickness is None else thickness
    plates = choice(1, "plates", "one plate unless two are told") if plate is None else plate.plates
    nothing = leaf(0.0, "fact", "reach", "no edge is near: nothing to reach", unit="m")
    if plate is None or plate.ends is None:
        return Around(thickness, MIDDLE, assumed_reach(outside), nothing, plates, told=False)
    reach, neck = (nothing if one is None else one for one in (plate.reach, plate.neck))
    return Around(thickness, plate.ends, reach, neck, plates, told=True)


def like(around: Around, ends: str) -> Around:
    """Return a plate that ends on other sides as near."""
    return replace(around, ends=ends)


def _body(boss: Boss, facts: Tables) -> Body:
    """Return the rings of metal of a boss in its plate."""
    around = boss.around
    faces = choice(2 if around.plates == 1 else 1, "faces", "faces of each plate that meet the air: between two none")
    fin = fin_length(facts.constant("conductivity"), around.thickness, faces, facts.constant("surface_loss"))
    return body_of(
        boss.outside,
        boss.inside,
        boss.length,
        plate=around.thickness,
        fin_length=fin,
        ends=around.ends,
        reach=around.reach,
        neck=around.neck,
        plates=around.plates,
        bend=facts.row("plate_ends", around.ends, PlateEnds).bend,
        bend_decay=facts.constant("bend_decay"),
    )


def welding_ring(boss: Boss, limit: float, facts: Tables, inputs: Inputs) -> Ring:
    """Return the rings of a boss that is heated or welded, never above a limit [K]; the day's loss may be an array."""
    surface = welding_surface(boss.ambient, limit, facts.constant("welding_loss_share"))
    density, specific, conductivity = (facts.constant(name) for name in HOT)
    loss = air_loss(surface, boss.ambient, facts, inputs)
    return ring_of(_body(boss, facts), density, specific, conductivity, loss)


def cooling_ring(
    boss: Boss,
    start: Any,  # noqa: ANN401  # a number or an array
    end: float,
    facts: Tables,
    inputs: Inputs,
    *,
    covered: bool = False,
) -> Ring:
    """Return the rings of a boss that cools from one rise over its surroundings to another; numbers or arrays. [K]

    `covered`: under a blanket, and the plate beside it as well.
    """
    surface = cooling_surface(boss.ambient, start, end)
    density, specific, conductivity = (facts.constant(name) for name in WARM)
    loss = air_loss(surface, boss.ambient, facts, inputs)
    if covered:
        loss = blanket_loss(loss, facts.constant("blanket"), facts.constant("blanket_conductivity"))
    return ring_of(_body(boss, facts), density, specific, conductivity, loss)
