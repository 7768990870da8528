"""The two reference circles of a section: least squares and the smallest that holds every point; the clock of a place.

Names follow ISO 12181-1:2011 (from memory): LSCI least squares, MCCI minimum circumscribed reference circle. Lengths
are in whatever unit the points have.
"""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from estimator.errors import PointsError
from estimator.geometry.solve import away, dot, first_most, turn_of

__all__ = ["Circle", "clock_of", "least_squares_circle", "minimum_circumscribed_circle"]

Array = npt.NDArray[np.float64]

CONTACT = 1e-9  # points this near to a circle touch it, in units of the section's size
INSIDE = 1e-13  # a point no farther out than this is held
LAST_STEP = 1e-8  # Newton squares its error: what is left after a step this short is below rounding
FACING = 1e-5  # two directions this near to opposite are [deg]
ALIKE = 1e-6  # two gaps of the clock this near are one [deg]
HALF, WHOLE = 180.0, 360.0  # [deg]
THREE = 3  # points that fix a circle


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle through a section: centre, radius, how far the points lie from it, and the points that fix it.

    `residual_low`, `residual_high`: least and greatest distance of a point from the circle, outward positive.
    `deciding`: indices of the points that fix it; of the least squares circle the first that lies farthest from it.
    """

    x: float
    y: float
    radius: float
    residual_low: float
    residual_high: float
    deciding: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class _Section:
    """Points about their mean, in units of the farthest; place = origin + size * point."""

    x: Array
    y: Array
    origin: tuple[float, float]
    size: float

    def distances(self, x: float, y: float) -> Array:
        """Return the distance of every point from a centre."""
        return away(self.x - x, self.y - y)

    def circle(self, x: float, y: float, radius: float, distances: Array, deciding: tuple[int, ...]) -> Circle:
        """Return a circle where the points were given."""
        low, high, size = float(distances.min()) - radius, float(distances.max()) - radius, self.size
        place = self.origin[0] + size * x, self.origin[1] + size * y
        return Circle(*place, radius * size, low * size, high * size, deciding)


def clock_of(x: float, y: float) -> float:
    """Return the clock position of a direction: 0 at 12 o'clock (y up), clockwise, below 360. [deg]

    Examples
    --------
    >>> clock_of(0.0, 2.0), clock_of(1.0, 0.0), clock_of(-1.0, 0.0)
    (0.0, 90.0, 270.0)
    """
    return float(turn_of(x, y))


def _section(x: Array, y: Array, shape: str) -> _Section:
    """Return the points as a section; raise `PointsError` where they are none."""
    x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    if x.ndim != 1 or x.shape != y.shape:
        raise PointsError(shape, f"x has shape {x.shape} and y {y.shape}", "give two lists of one length")
    if len(x) < THREE:
        raise PointsError(shape, f"{len(x)} points given", "give at least 3")
    if not (np.isfinite(x).all() and np.isfinite(y).all()):
        raise PointsError(shape, "a coordinate is not a number", "leave that point out")
    ox, oy = float(x.mean()), float(y.mean())
    dx, dy = x - ox, y - oy
    size = float(away(dx, dy).max())
    if size <= 1e-12 * max(abs(ox), abs(oy)):
        raise PointsError(shape, "all points lie in one place", "give points round the bore")
    dx, dy = dx / size, dy / size
    xx, xy, yy = dot(dx, dx), dot(dx, dy), dot(dy, dy)
    if xx * yy - xy * xy <= 1e-20 * (xx + yy) ** 2:
        raise PointsError(shape, "all points lie in one line", "give points round the bore")
    return _Section(dx, dy, (ox, oy), size)


# ---------------------------------------------------------------- least squares


def least_squares_circle(x: Array, y: Array) -> Circle:
    """Return the least squares reference circle (LSCI): least sum of squared distances from the circle itself.

    Parameters
    ----------
    x, y
        At least 3 points, not in one line. [length]

    Raises
    ------
    PointsError
        If the points fix no circle.

    Notes
    -----
    The radius is the mean distance at any centre; Newton's steps on the centre start from the algebraic circle [1]_.

    References
    ----------
    .. [1] W. Gander, G. H. Golub, R. Strebel, "Least-squares fitting of circles and ellipses", BIT 34, 1994, 558-578.

    Examples
    --------
    >>> fit = least_squares_circle(np.array([1.0, 2, 5, 7, 9, 3]), np.array([7.0, 6, 8, 7, 5, 7]))
    >>> fit.x, fit.y, fit.radius
    (4.7398, 2.9835, 4.7142)
    """
    section = _section(x, y, "least squares circle")
    across, up = _algebraic(section.x, section.y)
    for _ in range(100):
        dx, dy = _newton(section, across, up)
        share, last = 1.0, abs(dx) + abs(dy) < LAST_STEP
        reach = 0.0 if last else _spread(section, across, up)
        while not last and share > LAST_STEP and _spread(section, across - share * dx, up - share * dy) > reach:
            share /= 2
        across, up = across - share * dx, up - share * dy
        if last:
            break
    distances = section.distances(across, up)
    radius = float(distances.mean())
    farthest = first_most(np.abs(distances - radius), CONTACT)
    return section.circle(across, up, radius, distances, (farthest,))


def _algebraic(x: Array, y: Array) -> tuple[float, float]:
    """Return the centre of the circle with least sum of squared (distance² - radius²); the points' mean is 0."""
    square = x * x + y * y
    return _solved(dot(x, x), dot(x, y), dot(y, y), dot(x, square) / 2, dot(y, square) / 2)


def _solved(a: float, b: float, c: float, p: float, q: float) -> tuple[float, float]:
    """Solve a u + b v = p, b u + c v = q; no step where that has no one answer."""
    both = a * c - b * b
    if both <= 0:
        return 0.0, 0.0
    return (c * p - b * q) / both, (a * q - b * p) / both


def _spread(section: _Section, x: float, y: float) -> float:
    error = section.distances(x, y)
    error -= error.mean()
    return dot(error, error)


def _newton(section: _Section, x: float, y: float) -> tuple[float, float]:
    """Return the step of Newton's method, or of Gauss and Newton's where the sum is not convex."""
    dx, dy = section.x - x, section.y - y
    distance = np.maximum(away(dx, dy), 1e-300)
    ux, uy = dx / distance, dy / distance
    error = distance - distance.mean()
    jx, jy = ux - ux.mean(), uy - uy.mean()
    slope = (-dot(error, ux), -dot(error, uy))
    a, b, c = dot(jx, jx), dot(jx, jy), dot(jy, jy)
    bend = error / distance
    full = (a + dot(bend, uy * uy), b - dot(bend, ux * uy), c + dot(bend, ux * ux))
    convex = full[0] > 0 and full[0] * full[2] > full[1] ** 2
    return _solved(*(full if convex else (a, b, c)), *slope)


# ---------------------------------------------------------------- smallest enclosing


def minimum_circumscribed_circle(x: Array, y: Array) -> Circle:
    """Return the minimum circumscribed reference circle (MCCI): the smallest that holds every point.

    Parameters and faults as in `least_squares_circle`. It rests on two points across or on three round it: those that
    it rests on so far and the point farthest out fix the next one, which is larger, until none lies outside (the dual
    method: D. J. Elzinga, D. W. Hearn, "Geometrical solutions for some minimax location problems", Transportation
    Science 6, 1972, 379-394; from memory).
    """
    section = _section(x, y, "minimum circumscribed circle")
    rest: tuple[int, ...] = (first_most(section.distances(0.0, 0.0), CONTACT),)
    across, up, radius = float(section.x[rest[0]]), float(section.y[rest[0]]), 0.0
    while True:
        distances = section.distances(across, up)
        farthest = int(np.argmax(distances))
        if distances[farthest] <= radius + INSIDE or farthest in rest:
            break
        found = _smallest(section, (*rest, farthest))
        if found[2] <= radius:  # what is outside is rounding
            break
        across, up, radius, rest = found
    radius = float(distances.max())
    return section.circle(across, up, radius, distances, _deciding(section, across, up, distances, radius))


def _smallest(section: _Section, points: Sequence[int]) -> tuple[float, float, float, tuple[int, ...]]:
    """Return the smallest circle, of two or three of a few points, that holds them all: centre, radius, its points."""
    places = [(float(section.x[n]), float(section.y[n])) for n in points]
    found = []
    for some in (some for size in (2, 3) for some in itertools.combinations(range(len(points)), size)):
        centre = _through([places[n] for n in some])
        if centre is None:
            continue
        reach = [math.sqrt((x - centre[0]) ** 2 + (y - centre[1]) ** 2) for x, y in places]
        own = max(reach[n] for n in some)
        if max(reach) <= own + INSIDE:
            found.append((*centre, max(reach), tuple(points[n] for n in some)))
    return min(found, key=lambda one: one[2], default=(0.0, 0.0, 0.0, tuple(points)))


def _through(points: Sequence[tuple[float, float]]) -> tuple[float, float] | None:
    """Return the middle of two points, or the centre of the circle through three; None where they lie in a line."""
    (ax, ay), (bx, by) = points[:2]
    if len(points) < THREE:
        return (ax + bx) / 2, (ay + by) / 2
    bx, by, cx, cy = bx - ax, by - ay, points[2][0] - ax, points[2][1] - ay
    twice = 2 * (bx * cy - by * cx)
    if twice == 0:
        return None
    b, c = bx * bx + by * by, cx * cx + cy * cy
    return ax + (cy * b - by * c) / twice, ay + (bx * c - cx * b) / twice


def _deciding(section: _Section, x: float, y: float, distances: Array, radius: float) -> tuple[int, ...]:
    """Return the points that fix a circle: the first two that face each other across it, else three round it."""
    on = np.flatnonzero(np.abs(distances - radius) <= CONTACT)
    clock = turn_of(section.x[on] - x, section.y[on] - y)
    for k in range(len(on)):
        off = np.abs(np.abs(clock - clock[k]) - HALF)
        facing = np.flatnonzero(off < FACING)
        if len(facing):
            return tuple(sorted((int(on[k]), int(on[facing[0]]))))
    return _round(on, clock)


def _round(on: npt.NDArray[np.intp], clock: Array) -> tuple[int, ...]:
    """Return three points round the centre: both sides of the widest gap, and the one most nearly across from it."""
    if len(on) <= THREE:
        return tuple(sorted(on.tolist()))
    order = np.argsort(clock, kind="stable")
    on, clock = on[order], clock[order]
    gaps = np.diff(clock, append=clock[0] + WHOLE)
    k = first_most(gaps, ALIKE)
    across = (clock[k] + gaps[k] / 2 + HALF) % WHOLE
    beside = np.abs((clock - across + HALF) % WHOLE - HALF)
    return tuple(sorted({int(on[k]), int(on[(k + 1) % len(on)]), int(on[first_most(-beside, ALIKE)])}))
