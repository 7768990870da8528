"""One pass as the bar makes it: its speed within the drive's power, what it takes, how far the bar bends."""

from dataclasses import replace

from estimator.cut.beam import bending, radial_force
from estimator.cut.depth import Bench
from estimator.cut.passes import Metal, Pass, depth_between, paced, turned, work_of
from estimator.cut.surface import peak_to_valley, ra_of
from estimator.tables.messages import Message, say

__all__ = ["USUAL", "pass_of"]

USUAL, POWER, TURNS = say("pace_usual"), say("pace_power"), say("pace_turns")
SAME = 1e-9  # relative: two speeds are one
ROUGH = ("skin", "skim between layers")  # over crests, scale and spatter


def _paced(metal: Metal, depth: float, bench: Bench) -> Metal:
    """Return how a metal is cut at a depth: slower where the drive's power asks for it."""
    drive, efficiency = bench.book.number("equipment.drive_power"), bench.book.facts.constant("drive_efficiency")
    return replace(metal, speed=paced(metal.speed, drive, metal.force, depth, metal.feed, efficiency))


def _pace(usual: float, wish: float, speed: float) -> Message:
    """Return what holds the speed: the turns of the drive, its power at that depth, or nothing but the metal."""
    if abs(speed - wish) > SAME * wish:
        return TURNS
    return POWER if wish < usual * (1 - SAME) else USUAL


def pass_of(metal: Metal, start: float, end: float, bench: Bench, limit: Message, depth: float | None = None) -> Pass:
    """Return a pass from one bore to another; `depth` where it is not what lies between them. [m]"""
    facts = bench.book.facts
    depth = depth_between(start, end) if depth is None else depth
    wish = _paced(metal, depth, bench)
    turning, speed = turned(wish, end, bench.book)
    broken = bench.broken or metal.purpose in ROUGH
    work = work_of(metal, depth, speed, end, broken, facts)
    bent = bending(radial_force(work.force, facts.constant("radial_share")), bench.held.compliance)
    nose, real = facts.constant("nose_radius"), facts.constant("real_roughness")
    return Pass(
        purpose=metal.purpose,
        start=start,
        end=end,
        depth=depth,
        speed=speed,
        turning=turning,
        feed=metal.feed,
        work=work,
        limit=limit,
        deflection=bent,
        ra=ra_of(metal.feed, nose, real),
        rz=peak_to_valley(metal.feed, nose, real),
        pace=_pace(metal.speed, wish.speed, speed),
        broken=broken,
    )
