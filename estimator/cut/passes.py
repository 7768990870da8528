"""One boring pass: speeds, power, force and life of its edge, and the geometry of going from one bore to another."""

import math
from dataclasses import dataclass

from estimator.book.pricebook import PriceBook
from estimator.cut.bars import Held
from estimator.cut.beam import tangential_force, torque_at
from estimator.cut.gauging import Gauging
from estimator.cut.hardness import Hardness, at_hardness
from estimator.cut.life import edge_share, life_ratio, life_within
from estimator.either import above_zero
from estimator.formula import formula
from estimator.tables import Tables
from estimator.tables.messages import Message
from estimator.tables.rows import Cutting

__all__ = [
    "CutPlan",
    "Metal",
    "Pass",
    "Work",
    "cut_power",
    "deepest_by_torque",
    "deepest_cut",
    "interrupted",
    "metal_for",
    "paced",
    "pass_time",
    "removed_before",
    "shared_depth",
    "slender_share",
    "specific_force",
    "turned",
    "turning_speed",
    "work_of",
]

HANDBOOK = "general turning formula, as on carbide makers' formula pages (vc = pi D n / 1000)"
KIENZLE = "Kienzle's law: kc = kc1.1 h^-mc; Pc = kc ap f vc / eta"


@dataclass(frozen=True)
class Work:
    """What a pass takes: power [W], force [N], torque [N m], life of its edge over the usual one [-]."""

    power: float
    force: float
    torque: float
    life: float


@dataclass(frozen=True)
class Pass:
    """One pass as decided [SI]: `limit` held its depth, `pace` its speed; `broken`: the cut is interrupted.

    Bending of the bar and roughness for passes of the bar only.
    """

    purpose: str
    start: float
    end: float
    depth: float
    speed: float
    turning: float
    feed: float
    work: Work
    limit: Message
    deflection: float | None = None
    ra: float | None = None
    rz: float | None = None
    pace: Message | None = None
    broken: bool = False

    @property
    def power(self) -> float:
        """Power from the drive. [W]"""
        return self.work.power


@dataclass(frozen=True)
class CutPlan:
    """The passes of one bore: before welding, between layers laid one way, and after; the bar that makes them.

    `roughness` is the Ra asked for [m]; `measures`: stops to measure around the finishing pass; `finishing`: how
    many of those after welding are the finishing pass and a spring pass; `gauging`: what the tolerance asks of it.
    """

    before: tuple[Pass, ...]
    between: tuple[Pass, ...]
    after: tuple[Pass, ...]
    warnings: tuple[Message, ...]
    bar: Held
    roughness: float
    measures: int
    finishing: int = 0
    gauging: Gauging | None = None


@formula("feed", "an interrupted cut is fed slower, so that the edge lives through the blows", "from memory", unit="m")
def interrupted(feed: float, interrupted_share: float) -> float:
    """Feed per turn over a gap, a keyway or a sector. [m]"""
    return feed * interrupted_share


@formula("turning", HANDBOOK, "published", unit="1/s")
def turning_speed(cutting_speed: float, diameter: float, slowest: float, fastest: float) -> float:
    """Turns of the bar per time: what the cutting speed asks for, within what the drive gives. [1/s]"""
    return max(slowest, min(fastest, cutting_speed / (math.pi * diameter)))


@formula("speed", HANDBOOK, "published", unit="m/s")
def surface_speed(turning: float, diameter: float) -> float:
    """Cutting speed at the bore's surface. [m/s]"""
    return math.pi * diameter * turning


@formula("speed", "turning speed of the table, derated for a portable bar", "from memory", unit="m/s")
def portable_speed(table_speed: float, share: float) -> float:
    """Cutting speed a portable bar is run at. [m/s]"""
    return table_speed * share


@formula(
    "speed", "share of the usual speed: slower over skin, quicker in the finishing pass", "from memory", unit="m/s"
)
def run_at(speed: float, share: float) -> float:
    """Cutting speed as a share of the usual one. [m/s]"""
    return speed * share


@formula("speed", KIENZLE + ", solved for the speed: no quicker than the drive's power allows", "published", unit="m/s")
def paced(
    cutting_speed: float, power: float, specific_force: float, depth: float, feed: float, drive_efficiency: float
) -> float:
    """Cutting speed at a depth: the wish, slower where the drive's power would hold the depth back. [m/s]"""
    return min(cutting_speed, power * drive_efficiency / (specific_force * depth * feed))


@formula("speed_share", "derating of boring bars by overhang, straight on beyond its table", "computed")
def slender_share(overhang: float, quiet_overhang: float, slender_fall: float, slender_least: float) -> float:
    """Share of the finishing speed that a bar as limber as one of that overhang, in diameters, is run at. [-]"""
    return min(1.0, max(1.0 - slender_fall * (overhang - quiet_overhang), slender_least))


@formula("cutting_force", KIENZLE, "published", unit="Pa")
def specific_force(kc: float, feed: float, chip_unit: float, rise: float) -> float:
    """Specific cutting force at a feed, the insert square to the bore. [Pa]"""
    return kc * (feed / chip_unit) ** -rise


@formula("power", KIENZLE, "published", unit="W")
def cut_power(specific_force: float, depth: float, feed: float, speed: float, drive_efficiency: float) -> float:
    """Power a pass takes from the drive. [W]"""
    return specific_force * depth * feed * speed / drive_efficiency


@formula("depth", KIENZLE + ", solved for the depth", "published", unit="m")
def deepest_cut(power: float, specific_force: float, feed: float, speed: float, drive_efficiency: float) -> float:
    """Deepest cut a side that the drive's power allows. [m]"""
    return power * drive_efficiency / (specific_force * feed * speed)


@formula("depth", "Kienzle's law and torque = force times radius, solved for the depth", "published", unit="m")
def deepest_by_torque(torque: float, specific_force: float, feed: float, diameter: float) -> float:
    """Deepest cut a side that the drive's torque allows. [m]"""
    return 2 * torque / (specific_force * feed * diameter)


@formula("pass_time", HANDBOOK + ": path over feed rate", "published", unit="s")
def pass_time(length: float, approach: float, feed: float, turning: float) -> float:
    """Cutting time of one pass, approach and overrun included. [s]"""
    return (length + approach) / (feed * turning)


@formula("depth", "geometry: half the difference of two diameters", "computed", unit="m")
def depth_between(start: float, end: float) -> float:
    """Depth a side between two bores. [m]"""
    return (end - start) / 2


@formula("depth", "the whole depth in equal passes", "computed", unit="m")
def shared_depth(depth: float, passes: int) -> float:
    """Depth a side of each of several equal passes. [m]"""
    return depth / passes


@formula("diameter", "geometry", "computed", unit="m")
def opened(start: float, depth: float) -> float:
    """Bore after a cut of that depth a side. [m]"""
    return start + 2 * depth


@formula("diameter", "geometry", "computed", unit="m")
def narrowed(start: float, depth: float) -> float:
    """Bore before a cut of that depth a side. [m]"""
    return start - 2 * depth


@formula("volume", "geometry: clean-up cylinder less the worn hole", "computed", unit="m3")
def removed_before(cleanup: float, length: float, void_volume: float) -> float:
    """Volume the clean-up cut takes away. [m³]"""
    return above_zero(math.pi / 4 * cleanup**2 * length - void_volume)


@dataclass(frozen=True)
class Metal:
    """How one metal is cut with one feed [SI]; `usual` is the speed at which the table of lives counts."""

    purpose: str
    feed: float
    speed: float
    force: float
    usual: float


def metal_for(
    purpose: str, row: Cutting, feed: float, facts: Tables, hardness: float | None = None, share: float | None = None
) -> Metal:
    """Return how a metal is cut with one feed, slower where it is harder than its row [HB], at a share of the speed."""
    kept: Hardness = at_hardness(row, hardness, facts)
    usual = portable_speed(kept.speed, facts.constant("portable_speed_share"))
    speed = usual if share is None else run_at(usual, share)
    return Metal(purpose, feed, speed, specific_force(kept.kc, feed, facts.constant("chip_unit"), row.rise), usual)


def turned(metal: Metal, diameter: float, book: PriceBook) -> tuple[float, float]:
    """Return turns per time and cutting speed at a diameter, within what the drive gives."""
    ends = book.number("equipment.slowest_turn"), book.number("equipment.fastest_turn")
    turning = turning_speed(metal.speed, diameter, *ends)
    return turning, surface_speed(turning, diameter)


def work_of(metal: Metal, depth: float, speed: float, diameter: float, broken: bool, facts: Tables) -> Work:
    """Return what a cut takes at a depth a side [m], speed [m/s] and diameter [m]; `broken`: it is interrupted."""
    force = tangential_force(metal.force, depth, metal.feed)
    ratio = life_ratio(
        speed=speed,
        usual_speed=metal.usual,
        feed=metal.feed,
        usual_feed=facts.constant("feed_roughing"),
        depth=depth,
        usual_depth=facts.constant("taylor_usual_depth"),
        n=facts.constant("taylor_speed"),
        a=facts.constant("taylor_feed"),
        b=facts.constant("taylor_depth"),
    )
    life = life_within(ratio, facts.constant("longest_edge"))
    life = edge_share(life, facts.constant("interrupted_life")) if broken else life
    power = cut_power(metal.force, depth, metal.feed, speed, facts.constant("drive_efficiency"))
    return Work(power, force, torque_at(force, diameter), life)
