"""The points of one section, and the reference circles that rest on points: found among few, proven on all."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from estimator.errors import PointsError
from estimator.geometry.diagram import (
    Array,
    Edges,
    Index,
    convex_hull,
    crossings,
    farthest_edges,
    nearest_edges,
    squares,
)

__all__ = ["Centre", "Few", "Section", "circumscribed", "inscribed", "section_of", "zone"]

FEW = 16  # up to this many points the diagram of all is quicker than a choice of them
MOST = 80  # points chosen of more, after which they are no bore: bores of 100 000 needed up to 28
SECTORS = 8  # the first choice: nearest and farthest point in each eighth of a turn
TOUCH = 1e-13  # two distances this near are one, in units of the section's size
REACH = 1e3  # a ring's centre farther away than this many sizes is a strip


class Centre(NamedTuple):
    """A centre with the least and greatest distance allowed to a point. [section's size]"""

    x: float
    y: float
    low: float
    high: float


@dataclass(frozen=True, eq=False)
class Few:
    """Distinct points of a section, sorted by x, with their nearest and farthest edges."""

    x: Array
    y: Array
    picks: Index

    @cached_property
    def ring(self) -> Index:
        """Corners of their hull."""
        return convex_hull(self.x, self.y)

    @cached_property
    def near(self) -> Edges:
        """Edges of the nearest-point diagram."""
        return nearest_edges(self.x, self.y)

    @cached_property
    def far(self) -> Edges:
        """Edges of the farthest-point diagram."""
        corners = np.sort(self.ring)
        return farthest_edges(self.x[corners], self.y[corners])


@dataclass(frozen=True, eq=False)
class Section:
    """Points about their mean, in units of the farthest; place = origin + size * point."""

    x: Array
    y: Array
    origin: tuple[float, float]
    size: float

    @cached_property
    def ring(self) -> Index:
        """Corners of the hull of all points."""
        few = self.first
        return few.picks[few.ring] if len(few.x) == len(self.x) else convex_hull(self.x, self.y)

    @cached_property
    def first(self) -> Few:
        """The first choice of points: nearest and farthest of each sector; all, where they are few."""
        return self.few(self._start())

    def _start(self) -> Index:
        if len(self.x) <= FEW:
            return np.arange(len(self.x))
        sector = ((np.arctan2(self.y, self.x) + np.pi) * (SECTORS / (2 * np.pi))).astype(np.intp)
        order = np.lexsort((self.x**2 + self.y**2, sector))
        steps = np.flatnonzero(np.diff(sector[order])) + 1
        ends = np.concatenate(([0], steps, steps - 1, [len(order) - 1]))
        return np.unique(order[ends])

    def few(self, picks: Index) -> Few:
        """Return the picked points, each place once."""
        x, y = self.x[picks], self.y[picks]
        order = np.lexsort((y, x))
        x, y, picks = x[order], y[order], picks[order]
        again = (x[1:] == x[:-1]) & (y[1:] == y[:-1])
        if again.any():
            fresh = np.concatenate(([True], ~again))
            x, y, picks = x[fresh], y[fresh], picks[fresh]
        return Few(x, y, picks)

    def distances(self, x: float, y: float) -> Array:
        """Return the distance of every point from a centre."""
        dx, dy = self.x - x, self.y - y
        distances: Array = np.sqrt(dx * dx + dy * dy)
        return distances


def section_of(x: Array, y: Array, shape: str) -> Section:
    """Return the points as a section.

    Raises
    ------
    PointsError
        If they are not two lists of one length, hold no number, or lie in one place or one line.
    """
    x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    if x.ndim != 1 or x.shape != y.shape:
        raise PointsError(shape, f"x has shape {x.shape} and y {y.shape}", "give two lists of one length")
    if len(x) < 3:  # noqa: PLR2004 - three points make a circle
        raise PointsError(shape, f"{len(x)} points given", "give at least 3")
    if not (np.isfinite(x).all() and np.isfinite(y).all()):
        raise PointsError(shape, "a coordinate is not a number", "leave that point out")
    ox, oy = float(x.mean()), float(y.mean())
    dx, dy = x - ox, y - oy
    size = float(np.sqrt((dx * dx + dy * dy).max()))
    if size <= 1e-12 * max(abs(ox), abs(oy)):
        raise PointsError(shape, "all points lie in one place", "give points round the bore")
    dx, dy = dx / size, dy / size
    xx, xy, yy = float(dx @ dx), float(dx @ dy), float(dy @ dy)
    if xx * yy - xy * xy <= 1e-20 * (xx + yy) ** 2:
        raise PointsError(shape, "all points lie in one line", "give points round the bore")
    return Section(dx, dy, (ox, oy), size)


def _settle(section: Section, best: Callable[[Few], Centre]) -> Centre:
    """Find the best centre for a choice of points; add the points it leaves out, until it leaves out none.

    Fewer points never ask for more, so an answer for few that serves all is the best for all.
    """
    few = section.first
    while True:
        centre = best(few)
        if len(few.x) == len(section.x):
            return centre
        fresh = np.setdiff1d(_left_out(section, centre), few.picks)
        if len(fresh) == 0:
            return centre
        if len(few.x) > MOST:
            raise PointsError("reference circle", "the points lie all over the section", "give points of the wall only")
        few = section.few(np.concatenate((few.picks, fresh)))


def _left_out(section: Section, centre: Centre) -> Index:
    """Return the points that break a limit most, one in each third of a turn and on each side."""
    distances = section.distances(centre.x, centre.y)
    worst: list[int] = []
    for excess in (centre.low - distances, distances - centre.high):
        out = np.flatnonzero(excess > TOUCH)
        third = np.floor((np.arctan2(section.y[out] - centre.y, section.x[out] - centre.x) + np.pi) * (1.5 / np.pi))
        for part in range(3):
            here = out[third == part]
            if len(here):
                worst.append(int(here[np.argmax(excess[here])]))
    return np.array(worst, dtype=np.intp)


def circumscribed(section: Section) -> Centre:
    """Return the centre of the smallest circle that holds every point."""

    def best(few: Few) -> Centre:
        (ax, ay), (bx, by) = few.far.corners(), few.far.feet()
        cx, cy = np.concatenate((ax, bx)), np.concatenate((ay, by))
        greatest = squares(cx, cy, few.x[few.ring], few.y[few.ring]).max(axis=1)
        k = int(np.argmin(greatest))
        return Centre(float(cx[k]), float(cy[k]), 0.0, float(np.sqrt(greatest[k])))

    return _settle(section, best)


def inscribed(section: Section) -> Centre:
    """Return the centre, within the hull, of the largest circle with no point inside."""
    hx, hy = section.x[section.ring], section.y[section.ring]
    ex, ey = np.roll(hx, -1) - hx, np.roll(hy, -1) - hy
    length = np.sqrt(ex * ex + ey * ey)

    def within(x: float, y: float) -> bool:
        return bool(((ex * (y - hy) - ey * (x - hx)) >= -TOUCH * length).all())

    def best(few: Few) -> Centre:
        cx, cy = few.near.corners()
        least = squares(cx, cy, few.x, few.y).min(axis=1) if len(cx) else cx
        order = np.argsort(-least)
        top = next((int(k) for k in order if least[k] <= 4 and within(float(cx[k]), float(cy[k]))), None)  # noqa: PLR2004 - no hull is wider than twice its size
        inner = Centre(0.0, 0.0, 0.0, np.inf) if top is None else _low(cx[top], cy[top], least[top])
        # Along a side of the hull no place is farther from a point than half of side and both ends' distances.
        ends = np.sqrt(squares(hx, hy, few.x, few.y).min(axis=1))
        open_sides = np.flatnonzero((ends + np.roll(ends, -1) + length) / 2 > max(inner.low, TOUCH))
        if len(open_sides) == 0:
            return inner
        k = open_sides
        wx, wy, half = ex[k] / length[k], ey[k] / length[k], length[k] / 2
        sides = Edges(hx[k] + ex[k] / 2, hy[k] + ey[k] / 2, wx, wy, -half, half)
        sx, sy = crossings(few.near, sides)
        sx, sy = np.concatenate((sx, hx[k])), np.concatenate((sy, hy[k]))
        least = squares(sx, sy, few.x, few.y).min(axis=1)
        top = int(np.argmax(least))
        outer = _low(sx[top], sy[top], least[top])
        return outer if outer.low > inner.low else inner

    return _settle(section, best)


def _low(x: float, y: float, least: float) -> Centre:
    return Centre(float(x), float(y), float(np.sqrt(least)), np.inf)


def zone(section: Section) -> Centre:
    """Return the centre of the thinnest ring that holds every point.

    Where one point is nearest and one farthest, a step across both directions thins the ring; with two nearest and one
    farthest (or the reverse) too, as the single direction lies outside what the two span on the unit circle. So the
    centre lies where an edge of nearest points crosses one of farthest points, or at a corner where both are the same.
    """
    width = np.inf

    def best(few: Few) -> Centre:
        nonlocal width
        places = (few.near.corners(), few.far.corners(), crossings(few.near.long(), few.far.long()))
        cx, cy = (np.concatenate(parts) for parts in zip(*places, strict=True))
        close = cx * cx + cy * cy <= REACH**2
        cx, cy = cx[close], cy[close]
        squared = squares(cx, cy, few.x, few.y)
        low, high = np.sqrt(squared.min(axis=1)), np.sqrt(squared.max(axis=1))
        k = int(np.argmin(high - low))
        width = _strip(few)
        return Centre(float(cx[k]), float(cy[k]), float(low[k]), float(high[k]))

    centre = _settle(section, best)
    if centre.high - centre.low > width + TOUCH and centre.high - centre.low > _strip(section):
        raise PointsError(
            "minimum zone", "the points lie nearer to a straight strip than to any ring", "measure all round"
        )
    return centre


def _strip(points: Few | Section) -> float:
    """Return the width of the hull: the thinnest ring's width with its centre infinitely far away."""
    hx, hy = points.x[points.ring], points.y[points.ring]
    ex, ey = np.roll(hx, -1) - hx, np.roll(hy, -1) - hy
    wide = (ex[:, None] * (hy - hy[:, None]) - ey[:, None] * (hx - hx[:, None])).max(axis=1)
    return float((wide / np.sqrt(ex * ex + ey * ey)).min())
