"""The axis a bore had before it wore: a cylinder of nominal size laid on the part of the wall that is not worn.

Wear only takes metal away, so that the wall that is left lies on the first cylinder, and the rest outside it. The
middle of the worn hole lies off that axis towards the wear, and wear counted from there comes out too small.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from estimator.geometry.frame import TURN, Array, basis_of, coverage_of

__all__ = ["Unworn", "Wall", "unworn_axis"]

BAND = 0.0008  # share of the nominal diameter within which a point lies on the first wall: the width of H8 or so
LEAST_SHARE, LEAST_ARC = 0.15, 100.0  # of the points; degrees of the clock they must span at any depth to hold the axis
MOST_SCATTER = 0.7  # bands; a larger circle that only touches the first one strays over all of the band
MOST_INSIDE = 0.02  # share of the points that may lie inside the first cylinder
CLOSER = 0.5  # points lie so much closer to the first wall than all of them to a circle, or the hole is simply round
RIVAL, APART = 0.8, 4.0  # another axis with so much of the best one's share, so many bands away, leaves it open
STARTS, STEPS, TRIED, MOST_ENDS = 12, 6, 1000, 6
FAR = (0.5, 1.0, 1.5)  # of how far the wear reaches
COARSE, WIDE, NARROW = (6.0, 3.0, 1.5, 1.0), (16.0, 8.0, 4.0, 2.0, 1.0, 1.0), (2.0, 1.0, 1.0)  # bands
Axis = tuple[Array, Array]


class On(NamedTuple):
    """Share of the points on the first wall; the arc they span where it is least, over thirds of the depth [deg].

    `inside`: share of the points inside that wall; `scatter`: of those on it, and `typical`: how far off half of them
    lie at most, in bands.
    """

    share: float
    arc: float
    inside: float
    scatter: float
    typical: float

    @property
    def sound(self) -> bool:
        """Whether that is enough to hold an axis."""
        enough = self.share >= LEAST_SHARE and self.arc >= LEAST_ARC
        return enough and self.inside <= MOST_INSIDE and self.scatter <= MOST_SCATTER


class Wall(NamedTuple):
    """Radius of the first wall, and how far off a point may lie that is still on it. [m]"""

    radius: float
    band: float


class Unworn(NamedTuple):
    """A point on the axis [m], its unit direction, and the share of the points that lie on the first wall."""

    point: Array
    direction: Array
    share: float


def _settled(points: Array, axis: Axis, wall: Wall, widths: Sequence[float], tilts: bool) -> Axis:
    """Return the axis after steps of weighted least squares, points off the wall weighing less the farther they lie."""
    point, direction = axis
    middle = points.mean(axis=0)
    for width in np.repeat(widths, STEPS):
        point = point + ((middle - point) @ direction) * direction
        basis = basis_of(direction)
        x, y, along = ((points - point) @ basis).T
        away = np.hypot(x, y)
        off = away - wall.radius
        weight = np.exp(-((off / (width * wall.band)) ** 2) / 2)
        slopes = np.stack((-x / away, -y / away), axis=1)
        if tilts:
            slopes = np.concatenate((slopes, slopes * along[:, None]), axis=1)
        square = slopes.T * weight @ slopes
        square += np.eye(len(square)) * np.trace(square) * 1e-9  # no step at all where no point weighs anything
        move = -np.linalg.solve(square + np.finfo(float).tiny * np.eye(len(square)), slopes.T * weight @ off)
        point = point + basis[:, :2] @ move[:2]
        if tilts:
            turned = direction + basis[:, :2] @ move[2:]
            direction = turned / np.linalg.norm(turned)
    return point, direction


def _on_it(points: Array, axis: Axis, wall: Wall) -> On:
    """Return how much of the wall lies on the first one."""
    x, y, along = ((points - axis[0]) @ basis_of(axis[1])).T
    off = np.hypot(x, y) - wall.radius
    on = np.abs(off) < 2 * wall.band
    clock = np.degrees(np.arctan2(x, y)) % TURN
    third = np.searchsorted(np.quantile(along, (1 / 3, 2 / 3)), along)
    arcs = [coverage_of(clock[part]) if (part := on & (third == number)).any() else 0.0 for number in range(3)]
    scatter, typical = (off[on].std(), np.median(np.abs(off[on]))) if on.any() else (np.inf, np.inf)
    inside = float(np.mean(off < -2 * wall.band))
    return On(float(np.mean(on)), min(arcs), inside, float(scatter / wall.band), float(typical / wall.band))


def _starts(points: Array, axis: Axis, wall: Wall) -> list[Axis]:
    """Return axes to start from: the worn hole's, and rings of others about it as far as the wear reaches."""
    basis = basis_of(axis[1])
    x, y, _ = ((points - axis[0]) @ basis).T
    away = np.hypot(x, y)
    reach = max(float(np.ptp(away)), float(away.mean()) - wall.radius)
    turns = np.arange(STARTS) * 2 * np.pi / STARTS
    ring = basis[:, :2] @ np.stack((np.cos(turns), np.sin(turns)))
    return [axis, *((axis[0] + far * reach * one, axis[1]) for far in FAR for one in ring.T)]


def _apart(one: Axis, other: Axis, wall: Wall, lever: float) -> bool:
    """Return whether two axes are different ones: at the middle or, through their tilt, at an end."""
    shift = np.linalg.norm(one[0] - other[0]) + lever * np.linalg.norm(one[1] - other[1])
    return bool(shift > APART * wall.band)


def unworn_axis(points: Array, worn: Axis, nominal_diameter: float, worn_side: Array | None = None) -> Unworn | None:
    """Return the axis of the wall that is not worn, or None where it cannot be told.

    It cannot where too little of that wall is left, where the hole is simply round, or where the worn part is as well a
    cylinder of nominal size: a pin that wears its own shape into one side leaves two walls, and their points do not say
    which was first.

    Parameters
    ----------
    points
        (n, 3), on the wall. [m]
    worn
        A point on the axis of the worn hole [m] and its unit direction, to start from.
    nominal_diameter
        Of the bore before it wore. [m]
    worn_side
        Direction the wear went, where that is known; it tells two such walls apart. [-]
    """
    wall = Wall(nominal_diameter / 2, BAND * nominal_diameter)
    some = points[:: -(-len(points) // TRIED)]
    lever = float(np.ptp(some @ worn[1])) / 2
    ends = _ends(some, worn, wall, lever)
    away = np.hypot(*((some - worn[0]) @ basis_of(worn[1])[:, :2]).T)
    round_to = float(np.median(np.abs(away - away.mean()))) / wall.band
    held = [_on_it(some, axis, wall) for axis in ends]
    side = np.zeros(3) if worn_side is None else worn_side
    sound = [
        (on.share, number)
        for number, on in enumerate(held)
        if on.sound and on.typical < CLOSER * round_to and (worn[0] - ends[number][0]) @ side >= 0
    ]
    if not sound:
        return None
    most, best = max(sound)
    rivals = [ends[number] for share, number in sound if share > RIVAL * most]
    if any(_apart(ends[best], rival, wall, lever) for rival in rivals):
        return None
    found = _settled(points, ends[best], wall, NARROW, True)
    return Unworn(*found, _on_it(points, found, wall).share)


def _ends(points: Array, worn: Axis, wall: Wall, lever: float) -> list[Axis]:
    """Return the axes that the starts lead to, tilt and all."""
    tried = [_settled(points, start, wall, COARSE, False) for start in _starts(points, worn, wall)]
    tried.sort(key=lambda axis: -_on_it(points, axis, wall).share)
    ends: list[Axis] = []
    for axis in tried:
        if all(_apart(axis, other, wall, lever) for other in ends):
            ends.append(axis)
    return [_settled(points, axis, wall, widths, True) for axis in ends[:MOST_ENDS] for widths in (WIDE, NARROW)]
