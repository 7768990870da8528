"""The four reference circles of a section, and the clock position of a direction.

Names follow ISO 12181-1:2011 (from memory): LSCI least squares, MCCI minimum circumscribed, MICI maximum inscribed,
MZCI minimum zone reference circles. Lengths are in whatever unit the points have.
"""

import math
from dataclasses import dataclass

import numpy as np

from estimator.geometry.diagram import Array, Index
from estimator.geometry.section import Centre, Section, circumscribed, inscribed, section_of, zone

__all__ = [
    "Circle",
    "ReferenceCircles",
    "Zone",
    "clock_of",
    "least_squares_circle",
    "maximum_inscribed_circle",
    "minimum_circumscribed_circle",
    "minimum_zone_circles",
    "reference_circles",
]

CONTACT = 1e-11  # points this near to a circle touch it, in units of the section's size
LAST_STEP = 1e-8  # Newton squares its error: what is left after a step this short is below rounding
FACING = 1e-7  # two directions this near to opposite are: the cosine is then -1 to rounding [rad]


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle through a section: centre, radius, how far the points lie from it, and the points that fix it.

    `residual_low`, `residual_high`: least and greatest distance of a point from the circle, outward positive.
    `deciding`: indices of the points that fix it; of the least squares circle the point farthest from it.
    """

    x: float
    y: float
    radius: float
    residual_low: float
    residual_high: float
    deciding: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Zone:
    """Two circles about one centre with every point between them; `deciding` as of a circle."""

    x: float
    y: float
    inner: float
    outer: float
    deciding: tuple[int, ...]

    @property
    def width(self) -> float:
        """Radial separation: the roundness deviation."""
        return self.outer - self.inner


@dataclass(frozen=True, slots=True)
class ReferenceCircles:
    """All four of one section."""

    least_squares: Circle
    circumscribed: Circle
    inscribed: Circle
    zone: Zone


def clock_of(x: float, y: float) -> float:
    """Return the clock position of a direction: 0 at 12 o'clock (y up), clockwise, below 360. [deg]

    Examples
    --------
    >>> clock_of(0.0, 2.0), clock_of(1.0, 0.0), clock_of(-1.0, 0.0)
    (0.0, 90.0, 270.0)
    """
    return math.degrees(math.atan2(x, y)) % 360.0 % 360.0  # the second for what rounds up to 360


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
    return _least_squares(section_of(x, y, "least squares circle"))


def minimum_circumscribed_circle(x: Array, y: Array) -> Circle:
    """Return the minimum circumscribed reference circle (MCCI): the smallest that holds every point.

    Parameters and faults as in `least_squares_circle`. It rests on two points across or on three round it.
    """
    return _circumscribed(section_of(x, y, "minimum circumscribed circle"))


def maximum_inscribed_circle(x: Array, y: Array) -> Circle:
    """Return the maximum inscribed reference circle (MICI): the largest, centred within the hull, with no point inside.

    Parameters and faults as in `least_squares_circle`. Of several as large, one is returned.
    """
    return _inscribed(section_of(x, y, "maximum inscribed circle"))


def minimum_zone_circles(x: Array, y: Array) -> Zone:
    """Return the minimum zone reference circles (MZCI): one centre, least radial separation, every point between.

    Parameters and faults as in `least_squares_circle`. Two points outside and two inside fix it, in turn round the
    centre (T. J. Rivlin, "Approximation by circles", Computing 21, 1979, 93-104; from memory).
    """
    return _zone(section_of(x, y, "minimum zone"))


def reference_circles(x: Array, y: Array) -> ReferenceCircles:
    """Return all four reference circles of a section; quicker than one by one.

    Parameters and faults as in `least_squares_circle`.
    """
    section = section_of(x, y, "reference circles")
    return ReferenceCircles(_least_squares(section), _circumscribed(section), _inscribed(section), _zone(section))


def _placed(section: Section, centre: tuple[float, float]) -> tuple[float, float]:
    return section.origin[0] + section.size * centre[0], section.origin[1] + section.size * centre[1]


def _circle(section: Section, x: float, y: float, radius: float, distances: Array, deciding: tuple[int, ...]) -> Circle:
    low, high = float(distances.min()) - radius, float(distances.max()) - radius
    size = section.size
    return Circle(*_placed(section, (x, y)), radius * size, low * size, high * size, deciding)


# ---------------------------------------------------------------- least squares


def _least_squares(section: Section) -> Circle:
    x, y = _algebraic(section.x, section.y)
    for _ in range(100):
        dx, dy = _newton(section, x, y)
        share, last = 1.0, abs(dx) + abs(dy) < LAST_STEP
        reach = 0.0 if last else _spread(section, x, y)
        while not last and share > LAST_STEP and _spread(section, x - share * dx, y - share * dy) > reach:
            share /= 2
        x, y = x - share * dx, y - share * dy
        if last:
            break
    distances = section.distances(x, y)
    radius = float(distances.mean())
    return _circle(section, x, y, radius, distances, (int(np.argmax(np.abs(distances - radius))),))


def _algebraic(x: Array, y: Array) -> tuple[float, float]:
    """Return the centre of the circle with least sum of squared (distance² - radius²); the points' mean is 0."""
    square = x * x + y * y
    return _solved(float(x @ x), float(x @ y), float(y @ y), float(x @ square) / 2, float(y @ square) / 2)


def _solved(a: float, b: float, c: float, p: float, q: float) -> tuple[float, float]:
    """Solve [[a, b], [b, c]] @ (u, v) = (p, q); no step where that has no one answer."""
    both = a * c - b * b
    if both <= 0:
        return 0.0, 0.0
    return (c * p - b * q) / both, (a * q - b * p) / both


def _spread(section: Section, x: float, y: float) -> float:
    error = section.distances(x, y)
    error -= error.mean()
    return float(error @ error)


def _newton(section: Section, x: float, y: float) -> tuple[float, float]:
    """Return the step of Newton's method, or of Gauss and Newton's where the sum is not convex."""
    dx, dy = section.x - x, section.y - y
    distance = np.maximum(np.sqrt(dx * dx + dy * dy), 1e-300)
    ux, uy = dx / distance, dy / distance
    error = distance - distance.mean()
    jx, jy = ux - ux.mean(), uy - uy.mean()
    slope = (-float(error @ ux), -float(error @ uy))
    a, b, c = float(jx @ jx), float(jx @ jy), float(jy @ jy)
    bend = error / distance
    full = (a + float(bend @ (uy * uy)), b - float(bend @ (ux * uy)), c + float(bend @ (ux * ux)))
    convex = full[0] > 0 and full[0] * full[2] > full[1] ** 2
    return _solved(*(full if convex else (a, b, c)), *slope)


# ---------------------------------------------------------------- circles that rest on points


def _circumscribed(section: Section) -> Circle:
    centre = circumscribed(section)
    distances = section.distances(centre.x, centre.y)
    radius = float(distances.max())
    touching = _touching(section, centre, distances, radius)
    return _circle(section, centre.x, centre.y, radius, distances, _across(*touching) or _round(*touching))


def _inscribed(section: Section) -> Circle:
    centre = inscribed(section)
    distances = section.distances(centre.x, centre.y)
    radius = float(distances.min())
    touching = _touching(section, centre, distances, radius)
    return _circle(section, centre.x, centre.y, radius, distances, _round(*touching))


def _zone(section: Section) -> Zone:
    centre = zone(section)
    distances = section.distances(centre.x, centre.y)
    inner, outer = float(distances.min()), float(distances.max())
    inside, outside = (_touching(section, centre, distances, radius) for radius in (inner, outer))
    deciding = _round(*inside) if outer - inner <= CONTACT else _in_turn(inside, outside)
    return Zone(*_placed(section, centre[:2]), inner * section.size, outer * section.size, deciding)


def _touching(section: Section, centre: Centre, distances: Array, radius: float) -> tuple[Index, Array]:
    """Return the indices of the points on a circle and their angles, in order round the centre."""
    on = np.flatnonzero(np.abs(distances - radius) <= CONTACT)
    angle = np.arctan2(section.y[on] - centre.y, section.x[on] - centre.x)
    order = np.argsort(angle)
    return on[order], angle[order]


def _across(on: Index, angle: Array) -> tuple[int, ...]:
    """Return two points that face each other across the centre, if any do."""
    facing = np.searchsorted(angle, angle + math.pi) % len(on)
    for other in (facing, facing - 1):
        off = np.abs(np.abs(angle - angle[other]) - math.pi)
        k = int(np.argmin(off))
        if off[k] < FACING:
            return tuple(sorted((int(on[k]), int(on[other[k]]))))
    return ()


def _round(on: Index, angle: Array) -> tuple[int, ...]:
    """Return three points round the centre: both sides of the widest gap, and the one most nearly across from it."""
    if len(on) < 3:  # noqa: PLR2004 - on a side of the hull two points are enough
        return tuple(sorted(on.tolist()))
    gaps = np.diff(angle, append=angle[0] + 2 * math.pi)
    k = int(np.argmax(gaps))
    beyond = angle[k] + gaps[k] / 2 + math.pi
    across = int(np.argmax(np.cos(angle - beyond)))
    return tuple(sorted({int(on[k]), int(on[(k + 1) % len(on)]), int(on[across])}))


def _in_turn(inside: tuple[Index, Array], outside: tuple[Index, Array]) -> tuple[int, ...]:
    """Return two points on the inner and two on the outer circle that take turns round the centre."""
    on, angle = np.concatenate((inside[0], outside[0])), np.concatenate((inside[1], outside[1]))
    order = np.argsort(angle)
    on, kind = on[order], np.repeat((0, 1), (len(inside[0]), len(outside[0])))[order]
    turns = np.flatnonzero(kind != np.roll(kind, 1))
    return tuple(sorted(on[turns[:4]].tolist()))
