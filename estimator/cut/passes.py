"""Boring passes: how many, how deep, how fast; and what each takes."""

import math
from dataclasses import dataclass

from estimator.bore.survey import Survey
from estimator.either import above_zero, whole_up
from estimator.errors import require_range
from estimator.formula import choice, formula, leaf
from estimator.pricebook import PriceBook
from estimator.tables import Tables
from estimator.tables.rows import Cutting
from estimator.units import deci

__all__ = [
    "CutPlan",
    "Metal",
    "Pass",
    "cut_power",
    "deepest_cut",
    "interrupted",
    "metal_for",
    "pass_time",
    "plan_cut",
    "removed_before",
    "shared_depth",
    "specific_force",
    "turned",
    "turning_speed",
]

HANDBOOK = "general turning formula, as on carbide makers' formula pages (vc = pi D n / 1000)"
MOST_PASSES = 100
KIENZLE = "Kienzle's law: kc = kc1.1 h^-mc; Pc = kc ap f vc / eta"


@dataclass(frozen=True)
class Pass:
    """One pass of the boring bar as decided. [SI]"""

    purpose: str
    start: float
    end: float
    depth: float
    speed: float
    turning: float
    feed: float
    power: float


@dataclass(frozen=True)
class CutPlan:
    """The passes of one bore: before welding, between layers laid one way, and after."""

    before: tuple[Pass, ...]
    between: tuple[Pass, ...]
    after: tuple[Pass, ...]
    warnings: tuple[str, ...]


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
    """How one metal is cut with one feed. [SI]"""

    purpose: str
    feed: float
    speed: float
    force: float


def metal_for(purpose: str, row: Cutting, feed: float, facts: Tables) -> Metal:
    """Return how a metal is cut with one feed."""
    speed = portable_speed(row.speed, facts.constant("portable_speed_share"))
    return Metal(purpose, feed, speed, specific_force(row.kc, feed, facts.constant("chip_unit"), row.rise))


def turned(metal: Metal, diameter: float, book: PriceBook) -> tuple[float, float]:
    """Return turns per time and cutting speed at a diameter, within what the drive gives."""
    ends = book.number("equipment.slowest_turn"), book.number("equipment.fastest_turn")
    turning = turning_speed(metal.speed, diameter, *ends)
    return turning, surface_speed(turning, diameter)


def _pass(metal: Metal, start: float, end: float, facts: Tables, book: PriceBook) -> Pass:
    depth = depth_between(start, end)
    turning, speed = turned(metal, end, book)
    power = cut_power(metal.force, depth, metal.feed, speed, facts.constant("drive_efficiency"))
    return Pass(metal.purpose, start, end, depth, speed, turning, metal.feed, power)


def _passes(
    metal: Metal, start: float, end: float, facts: Tables, book: PriceBook, counted_from: float | None = None
) -> list[Pass]:
    """Return equal passes from one bore to another, as many as power and insert ask for.

    `counted_from`: bore from which their number is counted, where it must not hang on how far a layer came out inside.
    """
    depth, drive = depth_between(start, end), book.number("equipment.drive_power")
    counted = depth if counted_from is None else max(depth, depth_between(counted_from, end))
    _, speed = turned(metal, end, book)
    by_power = deepest_cut(drive, metal.force, metal.feed, speed, facts.constant("drive_efficiency"))
    deepest = min(by_power, facts.constant("depth_roughing"))
    count = max(1, int(whole_up(counted / deepest)))
    require_range("passes from one bore to another", count, MOST_PASSES)
    count = choice(count, "passes", "fewest passes within the deepest cut", depth=counted, deepest=deepest)
    each, found = shared_depth(depth, count), []
    for number in range(count):
        after = end if number == count - 1 else opened(start, each)
        found.append(_pass(metal, start, after, facts, book))
        start = after
    return found


def is_interrupted(survey: Survey) -> bool:
    """Return whether the bar cuts over gaps: a keyway, a split boss, or weld in a sector only."""
    bore = survey.bore
    return bool(bore.keyways or bore.splits or bore.sector)


def plan_cut(
    survey: Survey, family: str, skims: list[float], built_to: float, valley: float, facts: Tables, book: PriceBook
) -> CutPlan:
    """Return the passes of one bore.

    Parameters
    ----------
    survey
        The bore and its sizes.
    family
        Family of its steel, for the row of the cutting table.
    skims
        Diameters to which the crests between layers laid one way are cut. [m]
    built_to
        Diameter the last layer ends at. [m]
    valley
        Deepest valley of the last layer: it must come out within the allowance. [m]
    facts, book
        Tables and equipment.
    """
    sizes, done = survey.sizes, survey.bore.cleanup_diameter is not None
    rough, fine = facts.constant("feed_roughing"), facts.constant("feed_finishing")
    if is_interrupted(survey):
        rough, fine = (interrupted(feed, facts.constant("interrupted_feed")) for feed in (rough, fine))
    base = metal_for("clean-up", facts.row("cutting", family, Cutting), rough, facts)
    weld = facts.row("cutting", "weld metal", Cutting)
    before = (
        []
        if done or survey.bore.sector or sizes.cleanup <= survey.cut_from
        else _passes(base, survey.cut_from, sizes.cleanup, facts, book)
    )
    skim, depth = metal_for("skim between layers", weld, rough, facts), facts.constant("skim_depth")
    between = [_pass(skim, narrowed(end, depth), end, facts, book) for end in skims]
    light = min(facts.constant("depth_finishing"), (sizes.finish - sizes.weld) / 2)
    last = leaf(light, "fact", "depth_finishing", "depth of the finishing pass, or all that is left", unit="m")
    ready, start = narrowed(sizes.finish, last), narrowed(built_to, facts.constant("crest_allowance"))
    most = narrowed(sizes.weld, facts.constant("crest_allowance") + facts.constant("overbuild_allowance"))
    most = leaf(float(most), "fact", "overbuild", "weld bore less crests and what layers may come out inside", unit="m")
    rough_weld = metal_for("roughing", weld, rough, facts)
    after = _passes(rough_weld, start, ready, facts, book, most) if ready > start else []
    if last > 0:
        after.append(_pass(metal_for("finishing", weld, fine, facts), ready, sizes.finish, facts, book))
    said = _warnings(survey, before + after, valley, built_to, book)
    return CutPlan(tuple(before), tuple(between), tuple(after), tuple(said))


def _warnings(survey: Survey, passes: list[Pass], valley: float, built_to: float, book: PriceBook) -> list[str]:
    """Return what the equipment cannot do as wished."""
    drive = book.equipment.drive_power
    over = max((one.power for one in passes), default=0.0)
    said = []
    if over > drive * (1 + 1e-9):
        said.append(
            f"bore {survey.bore.name}: a pass takes {deci(over, 'kW'):.2g} kW, "
            f"more than the drive's {deci(drive, 'kW'):.2g} kW"
        )
    left = depth_between(built_to, survey.sizes.finish)
    if valley > left:
        said.append(
            f"bore {survey.bore.name}: valleys up to {deci(valley, 'mm'):.2g} mm deep may show in the finished bore; "
            f"{deci(left, 'mm'):.2g} mm a side is left to bore"
        )
    return said
