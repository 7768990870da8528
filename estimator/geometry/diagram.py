"""Which points of a section can be nearest to a centre, and which farthest: the Voronoi edges of few points, exactly.

Every reference circle of ISO 12181-1 that rests on points has its centre at a corner of these edges, or where a nearest
edge crosses a farthest one [1]_, so a list of those places holds the answer.

References
----------
.. [1] H. Ebara, N. Fukuyama, H. Nakano, Y. Nakanishi, "Roundness algorithms using the Voronoi diagrams", 1st Canadian
   Conference on Computational Geometry, 1989, p. 41 (cited from memory; the argument stands in `section.zone`).
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

__all__ = ["Edges", "convex_hull", "crossings", "farthest_edges", "nearest_edges", "squares"]

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]

SLACK = (
    1e-11  # edges this much too short still count, in units of the section's size: what they offer is measured anyway
)
THREE = 3  # corners of the least hull
BINS = 2048  # directions in which many points are first thinned


@dataclass(frozen=True, eq=False)
class Edges:
    """Straight edges m + t·w with low <= t <= high; w is a unit vector, square to the line between two points."""

    mx: Array
    my: Array
    wx: Array
    wy: Array
    low: Array
    high: Array

    def corners(self) -> tuple[Array, Array]:
        """Return the upper ends: w never points down, so each corner is the upper end of some edge."""
        ends = np.isfinite(self.high)
        t = self.high[ends]
        return self.mx[ends] + t * self.wx[ends], self.my[ends] + t * self.wy[ends]

    def long(self) -> "Edges":
        """Return the edges that are longer than a corner."""
        long = self.high - self.low > SLACK
        return Edges(self.mx[long], self.my[long], self.wx[long], self.wy[long], self.low[long], self.high[long])

    def feet(self) -> tuple[Array, Array]:
        """Return the middles of pairs that lie on their own edge."""
        own = (self.low <= SLACK) & (self.high >= -SLACK)
        return self.mx[own], self.my[own]


@lru_cache(maxsize=128)
def _pairs(count: int) -> tuple[Index, Index, Index]:
    """Return the pairs i < j of `count` points, and where their own rows lie in a flat points x pairs array."""
    i, j = np.triu_indices(count, 1)
    pair = np.arange(len(i))
    own = np.concatenate((i * len(i) + pair, j * len(i) + pair))
    return i, j, own


def _edges(x: Array, y: Array, far: bool) -> Edges:
    """Return the edges along which two of the points, sorted by x, are nearest, or farthest, of all."""
    i, j, own = _pairs(len(x))
    mx, my = (x[i] + x[j]) / 2, (y[i] + y[j]) / 2
    dx, dy = x[j] - x[i], y[j] - y[i]
    length = np.sqrt(dx * dx + dy * dy)
    wx, wy = -dy / length, dx / length
    # Point k is as far from m + t·w as the pair where excess = t·slope.
    points = np.stack((x, y, x * x + y * y, np.ones(len(x))), 1)
    slopes = points @ np.stack((2 * wx, 2 * wy, np.zeros(len(i)), -2 * (wx * mx + wy * my)))
    excess = points @ np.stack((-2 * mx, -2 * my, np.ones(len(i)), mx * mx + my * my - length * length / 4))
    if far:
        slopes = -slopes
    slopes.ravel()[own] = 0.0
    with np.errstate(divide="ignore", invalid="ignore"):
        meets = excess / slopes
    if far:
        meets = -meets
    high = np.where(slopes > 0, meets, np.inf).min(axis=0)
    low = np.where(slopes < 0, meets, -np.inf).max(axis=0)
    real = high - low >= -SLACK
    return Edges(mx[real], my[real], wx[real], wy[real], low[real], high[real])


def nearest_edges(x: Array, y: Array) -> Edges:
    """Return the edges whose centres have two nearest points (points distinct, sorted by x, size about 1)."""
    return _edges(x, y, far=False)


def farthest_edges(x: Array, y: Array) -> Edges:
    """Return the edges whose centres have two farthest points; corners of the hull are enough."""
    return _edges(x, y, far=True)


def crossings(one: Edges, other: Edges) -> tuple[Array, Array]:
    """Return where edges of one kind cross edges of the other."""
    mx, my = other.mx - one.mx[:, None], other.my - one.my[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        turn = one.wx[:, None] * other.wy - one.wy[:, None] * other.wx
        t = (mx * other.wy - my * other.wx) / turn
        s = (mx * one.wy[:, None] - my * one.wx[:, None]) / turn
    inside = (t >= one.low[:, None] - SLACK) & (t <= one.high[:, None] + SLACK)
    inside &= np.isfinite(t) & (s >= other.low - SLACK) & (s <= other.high + SLACK)
    rows, columns = np.nonzero(inside)
    along = t[rows, columns]
    return one.mx[rows] + along * one.wx[rows], one.my[rows] + along * one.wy[rows]


def squares(cx: Array, cy: Array, x: Array, y: Array) -> Array:
    """Return squared distances, centres x points."""
    dx, dy = cx[:, None] - x, cy[:, None] - y
    squared: Array = dx * dx + dy * dy
    return squared


def convex_hull(x: Array, y: Array) -> Index:
    """Return the corners of the hull, counterclockwise, as indices; none where all points lie in one line."""
    kept = np.arange(len(x)) if len(x) <= BINS else _outside(x, y)
    order = kept[np.lexsort((y[kept], x[kept]))]
    lower = _chain(order.tolist(), x[order].tolist(), y[order].tolist())
    back = order[::-1]
    upper = _chain(back.tolist(), x[back].tolist(), y[back].tolist())
    ring = lower[:-1] + upper[:-1]
    return np.array(ring if len(ring) >= THREE else [], dtype=np.intp)


def _chain(order: list[int], x: list[float], y: list[float]) -> list[int]:
    """Return one side of the hull of sorted points (Andrew's monotone chain, 1979)."""
    stack: list[int] = []
    for k in range(len(order)):
        while len(stack) > 1:
            a, b = stack[-2], stack[-1]
            if (x[b] - x[a]) * (y[k] - y[a]) - (y[b] - y[a]) * (x[k] - x[a]) > 0:
                break
            stack.pop()
        stack.append(k)
    return [order[k] for k in stack]


def _outside(x: Array, y: Array) -> Index:
    """Leave out points strictly inside the hull of the farthest point in each of many directions."""
    dx, dy = x - x.mean(), y - y.mean()
    angle = np.arctan2(dy, dx)
    direction = ((angle + np.pi) * (BINS / (2 * np.pi))).astype(np.intp)
    order = np.lexsort((dx * dx + dy * dy, direction))
    last = np.flatnonzero(np.diff(direction[order], append=BINS + 1))
    picked = order[last]
    ring = picked[convex_hull(dx[picked], dy[picked])]
    if len(ring) == 0:
        return np.arange(len(x))
    ring = np.roll(ring, -int(np.argmin(angle[ring])))
    ax, ay = dx[ring], dy[ring]
    bx, by = np.roll(ax, -1), np.roll(ay, -1)
    if np.any(ax * by - ay * bx <= 0):  # the middle lies outside what was picked
        return np.arange(len(x))
    side = np.searchsorted(angle[ring], angle, side="right") - 1
    ax, ay, bx, by = ax[side], ay[side], bx[side], by[side]
    return np.flatnonzero((bx - ax) * (dy - ay) - (by - ay) * (dx - ax) <= SLACK)
