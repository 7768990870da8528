"""The wall of the boss: concentric from its outside diameter, or as measured round the clock."""

import math

import numpy as np

from estimator.formula import formula, leaf
from estimator.job.job import Bore

__all__ = ["least_wall", "towards", "wall_at", "wall_beside", "wall_left", "wall_under", "walls_left"]


@formula("wall", "geometry of a ring", "computed", unit="m")
def wall_left(outside_diameter: float, cleanup: float) -> float:
    """Wall left after the clean-up cut, taken as concentric. [m]"""
    return (outside_diameter - cleanup) / 2


@formula("wall", "geometry: what the cut takes beyond the nominal radius comes off the wall", "computed", unit="m")
def wall_at(wall: float, cleanup: float, nominal_diameter: float) -> float:
    """Wall left at one place of the clock, measured to the nominal bore. [m]"""
    return wall - (cleanup - nominal_diameter) / 2


@formula("wall", "geometry: where the axis moves to, the wall loses what it moves", "computed", unit="m")
def wall_beside(wall: float, shift: float) -> float:
    """Wall once the axis lies beside the original centre, on the side it moved to. [m]"""
    return wall - shift


@formula("shift", "geometry: the part of a shift that points to one place of the clock", "computed", unit="m")
def towards(x: float, y: float, sine: float, cosine: float) -> float:
    """How far an axis moved towards a place of the clock. [m]"""
    return x * sine + y * cosine


@formula("wall", "geometry: what was worn and ground off beneath a pocket comes off the wall", "computed", unit="m")
def wall_under(wall: float, wear: float, skin: float) -> float:
    """Wall left under a pocket once it is ground bright. [m]"""
    return wall - wear - skin


Moved = tuple[tuple[float, float], ...]


def walls_left(bore: Bore, cleanup: float, moved: Moved) -> tuple[float, ...]:
    """Return the wall left at each measured place of the clock, about the axis at the face where it is least. [m]"""
    if bore.walls is None:
        return ()
    found = []
    for clock, wall in zip(bore.walls.clock, bore.walls.thickness, strict=True):
        left = wall_at(wall, cleanup, bore.nominal_diameter)
        found.append(min((_beside(left, clock, x, y) for x, y in moved), default=left))
    return tuple(found)


def _beside(wall: float, clock: float, x: float, y: float) -> float:
    sine, cosine = (
        leaf(float(part), "given", name, f"of {clock:g} degrees on the clock")
        for name, part in (("sine", math.sin(math.radians(clock))), ("cosine", math.cos(math.radians(clock))))
    )
    said = "how far the axis lies from the original centre"
    x, y = (leaf(at, "choice", name, said, unit="m") for name, at in (("x", x), ("y", y)))
    return wall_beside(wall, towards(x, y, sine, cosine))


def least_wall(bore: Bore, cleanup: float, moved: Moved) -> float | None:
    """Return the least wall left after the clean-up cut, or None where it is not known. [m]

    A sector is cut only there: walls beside it stay as they are.
    """
    own = walls_left(bore, cleanup, moved)
    if own and bore.walls is not None:
        inside = [wall for clock, wall in zip(bore.walls.clock, own, strict=True) if _cut_at(bore, clock)]
        return min(inside) if inside else _between(bore, own)
    if bore.outside_diameter is None:
        return None
    left = wall_left(bore.outside_diameter, cleanup)
    far = max((math.hypot(x, y) for x, y in moved), default=0.0)
    return (
        wall_beside(left, leaf(far, "choice", "shift", "of the axis from the original centre", unit="m"))
        if far
        else left
    )


def _cut_at(bore: Bore, clock: float) -> bool:
    return bore.sector is None or bore.sector.holds(clock)


def _between(bore: Bore, walls: tuple[float, ...]) -> float:
    """Return the wall in the middle of a sector in which none was measured, read between its neighbours. [m]"""
    assert bore.walls is not None and bore.sector is not None  # noqa: PT018  # the caller has looked
    middle = (bore.sector.start + 180 * bore.sector.share) % 360
    return float(np.interp(middle, np.array(bore.walls.clock), np.array(walls), period=360))
