"""Places of points in a bore: x to 3 o'clock, y to 12 o'clock, z the depth, all seen from the machine's side.

A point's clock is the angle from y towards x. An arm's own axes are right-handed, so that there 3 o'clock is
`along` x `up`; the bore's own x, y, z (with z away from who looks) are left-handed.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from estimator.geometry.solve import cross, dot, first_most, norm, times, turn_of

__all__ = ["TURN", "Array", "Frame", "Whole", "basis_of", "clock_of", "coverage_of", "frame_of", "in_bore", "merged"]

Array = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]

TURN = 360.0  # degrees
ALIKE = 1e-9  # two parts of a direction this near are one
LEAST_ACROSS = 0.02  # sine of the angle between `up` and the axis below which there is no telling 12 o'clock


class Frame(NamedTuple):
    """Place of a bore among its points: the machine-side face on the axis [m], unit vectors of depth and 12 o'clock."""

    origin: Array
    along: Array
    up: Array


def frame_of(origin: npt.ArrayLike, along: npt.ArrayLike, up: npt.ArrayLike) -> Frame:
    """Return a frame with unit vectors, `up` turned square to `along`; raise `ValueError` where they give no frame."""
    place, depth, top = (np.asarray(one, dtype=float) for one in (origin, along, up))
    for name, vector in (("along", depth), ("up", top)):
        if vector.shape != (3,) or not norm(vector) > 0:
            raise ValueError(f"{name} must be a direction of three numbers, not all zero, such as [0, 0, 1]")
    depth = depth / norm(depth)
    square = top / norm(top)
    square = square - dot(square, depth) * depth
    if norm(square) < LEAST_ACROSS:
        raise ValueError("up points along the axis; it must point to 12 o'clock, across the axis")
    return Frame(place, depth, square / norm(square))


def in_bore(points: Array, frame: Frame | None) -> Array:
    """Return points (n, 3) as x to 3 o'clock, y to 12 o'clock and depth [m]; without a frame they are that already."""
    if frame is None:
        return points
    apart = points - frame.origin
    return np.stack([times(apart, one) for one in (cross(frame.along, frame.up), frame.up, frame.along)], axis=1)


def basis_of(direction: Array) -> Array:
    """Return two unit vectors across a direction and the direction, as columns."""
    across = cross(direction, np.eye(3)[first_most(-np.abs(direction), ALIKE)])
    across = across / norm(across)
    return np.stack((across, cross(direction, across), direction), axis=1)


def clock_of(placed: Array) -> Array:
    """Return the clock (n,) of points in the bore, 0 to below 360. [deg]"""
    return turn_of(placed[:, 0], placed[:, 1])


def coverage_of(clock: Array) -> float:
    """Return the turn less the widest gap between clocks. [deg]"""
    seen = np.sort(clock)
    return float(TURN - np.diff(seen, append=seen[0] + TURN).max())


def merged(points: Array, rows: Whole) -> tuple[Array, Whole]:
    """Return points (n, 3) and their rows, each place once, in an order that does not depend on how they came."""
    if _in_order(points):
        return points, rows
    order = np.lexsort((points[:, 2], points[:, 1], points[:, 0]))
    points, rows = points[order], rows[order]
    first = np.ones(len(points), dtype=bool)
    first[1:] = (points[1:] != points[:-1]).any(axis=1)
    return points[first], rows[first]


def _in_order(points: Array) -> bool:
    """Return whether the points are sorted, each place once."""
    steps = np.diff(points, axis=0)
    x, y, z = steps.T
    return bool(((x > 0) | ((x == 0) & ((y > 0) | ((y == 0) & (z > 0))))).all())
