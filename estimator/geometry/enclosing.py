"""The straight line to which the farthest of many points is nearest, with a proven lower bound.

Seen along z, the line is c + s·z and point i lies |p_i - c - s·z_i| from it: convex in c and s, so weights on a few
points prove the optimum [1]_.

References
----------
.. [1] S. Boyd, L. Vandenberghe, *Convex Optimization*, 2004, 5.5.3 (optimality) and 11.7 (primal-dual method).
"""

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from estimator.geometry.diagram import Array, Index, convex_hull

__all__ = ["CLOSE", "Line", "nearest_line", "proven"]

FEW = 64  # up to this many points are taken all at once
SLABS, SECTORS = 5, 12  # the first choice of more: the farthest point in each part of the bore
TOUCH = 1e-13  # two distances this near are one, in units of the points' size
ROUNDS = 60  # steps of the primal-dual method; it needs 10 to 15
FLOOR = 1e-4  # no point comes nearer to the level above all than this share of the least room there was
EAGER = 0.7  # after a step of this share the next may press on
STAY = 1e-4  # cost of slope squared: of lines as near, the one that slopes least; turning the frame takes it away
CLOSE = 1e-13  # relative gap of squared radii at which rounding takes over
LIGHT = 1e-7  # a point of less weight decides nothing
THREE = 3
WAYS = 96  # directions in which an axis is tipped for a proof
WIDER = 1.25  # each ring of slopes reaches that much farther than the one within


@dataclass(frozen=True, eq=False)
class Line:
    """A line x = at[0] + at[2]·z, y = at[1] + at[3]·z, and what proves it.

    `picks`: the points it was found on; `weights`: theirs, of sum 1; `bound`: no line has a lesser greatest distance.
    """

    at: Array
    picks: Index
    weights: Array
    bound: float

    @property
    def deciding(self) -> Index:
        """Points that carry weight."""
        heavy: Index = np.sort(self.picks[self.weights > LIGHT])
        return heavy

    def along(self, points: Array, foot: Array) -> "Line":
        """Return the line as seen in a frame whose z lies along it, where it passes through `foot`."""
        at = np.array([foot[0], foot[1], 0.0, 0.0])
        return Line(at, self.picks, self.weights, _bound(points[self.picks], self.weights))


def nearest_line(points: Array, close: float = CLOSE, picks: Index | None = None) -> Line:
    """Return the line near z to which the farthest point is nearest (points n x 3, centred, size about 1)."""
    at = np.zeros(4)
    picks = _first(points) if picks is None else picks
    while True:
        few = points[picks]
        at, weights = _solve(few, at, close)
        distance = _distances(points, at)
        reached = float(distance[picks].max())
        fresh = np.setdiff1d(_worst(points, distance, reached + TOUCH), picks)
        if len(fresh) == 0:
            return Line(at, picks, weights / weights.sum(), _bound(few, weights))
        picks = np.concatenate((picks, fresh))


def proven(points: Array, line: Line, tilt: float) -> float:
    """Return what no cylinder is smaller than whose axis slopes by up to `tilt` against z, where the line lies.

    Weights on three points whose offsets from the line cancel bound the square of the greatest distance by
    level - slope·pull + spread·slope². A slope s brings points nearer than they look by up to sqrt(1 + s²).
    """
    found = points[line.picks]
    round_about = _farthest_of_each(_part(found, 2, 8), _distances(found, line.at))
    few = np.union1d(line.deciding, line.picks[round_about])
    levels, pulls, spreads = _threes(points[few], line.at)
    if not len(levels):  # too few points round the bore for more than what any slope can hide
        return float(line.bound / np.sqrt(1 + tilt**2))
    base, rise = line.bound**2, _inner_radius(_threes(points[line.deciding], line.at)[1])
    slope = min(tilt, max(rise / base, 1e-5))
    least = min(base, (base + rise * slope) / (1 + slope**2))
    turn = np.arange(WAYS) * 2 * np.pi / WAYS
    heights = -(np.stack((np.cos(turn), np.sin(turn)), 1) @ pulls.T)
    # Between two directions a pull falls below its lower end by at most this.
    fall = np.hypot(pulls[:, 0], pulls[:, 1]) * (1 - np.cos(np.pi / WAYS))
    heights = np.minimum(heights, np.roll(heights, -1, axis=0)) - fall
    middle = float(levels.max())
    while slope < tilt:
        ring = float((levels + slope * heights + slope**2 * spreads).max(axis=1).min())
        wider = min(tilt, slope * WIDER)
        # The highest of them is convex: beyond the ring it goes on rising at least as it rose from the middle.
        outer = middle + (ring - middle) * wider / slope
        least = min(least, max(base / (1 + wider**2), min(ring / (1 + slope**2), outer / (1 + wider**2))))
        slope = wider
    return float(np.sqrt(least))


def _offsets(points: Array, at: Array) -> Array:
    """Return x and y of the points from the line, 2 x n."""
    z = points[:, 2]
    return np.stack((points[:, 0] - at[0] - at[2] * z, points[:, 1] - at[1] - at[3] * z))


def _distances(points: Array, at: Array) -> Array:
    away = _offsets(points, at)
    distances: Array = np.sqrt((away * away).sum(axis=0))
    return distances


def _part(points: Array, slabs: int, sectors: int) -> Index:
    """Return in which part of the bore, along it and round it, each point lies."""
    z = points[:, 2]
    low, high = float(z.min()), float(z.max())
    slab = np.minimum(((z - low) * (slabs / max(high - low, TOUCH))).astype(np.intp), slabs - 1)
    turn = np.arctan2(points[:, 1], points[:, 0]) + np.pi
    sector = (turn * (sectors / (2 * np.pi))).astype(np.intp)
    part: Index = slab * (sectors + 1) + sector
    return part


def _farthest_of_each(part: Index, distance: Array) -> Index:
    order = np.lexsort((distance, part))
    return order[np.flatnonzero(np.diff(part[order], append=-1))]


def _first(points: Array) -> Index:
    if len(points) <= FEW:
        return np.arange(len(points))
    return _farthest_of_each(_part(points, SLABS, SECTORS), points[:, 0] ** 2 + points[:, 1] ** 2)


def _worst(points: Array, distance: Array, limit: float) -> Index:
    """Return the points beyond the limit that are farthest in their half and their quarter turn."""
    out = np.flatnonzero(distance > limit)
    if len(out) == 0:
        return out
    return out[_farthest_of_each(_part(points[out], 2, 4), distance[out])]


def _threes(points: Array, at: Array) -> tuple[Array, Array, Array]:
    """Return level, pull and spread of each three points whose offsets from the line cancel with weights of sum 1."""
    x, y = _offsets(points, at)
    z = points[:, 2]
    threes = np.array(list(combinations(range(len(points)), THREE)), dtype=np.intp).reshape(-1, THREE)
    tx, ty = x[threes], y[threes]
    parts = np.roll(tx, -1, 1) * np.roll(ty, -2, 1) - np.roll(ty, -1, 1) * np.roll(tx, -2, 1)
    whole = parts.sum(axis=1)
    sound = np.abs(whole) > TOUCH
    shares = parts[sound] / whole[sound, None]
    held = (shares >= 0).all(axis=1)
    shares, threes = shares[held], threes[sound][held]
    tx, ty, tz = x[threes], y[threes], z[threes]
    moment = shares * tz
    level = (shares * (tx * tx + ty * ty)).sum(axis=1)
    pull = 2 * np.stack(((moment * tx).sum(axis=1), (moment * ty).sum(axis=1)), 1)
    return level, pull, (moment * tz).sum(axis=1) - moment.sum(axis=1) ** 2


def _inner_radius(pulls: Array) -> float:
    """Return how far the polygon round the pulls reaches in its narrowest direction; 0 where it leaves out 0."""
    ring = convex_hull(pulls[:, 0], pulls[:, 1])
    hx, hy = pulls[ring].T
    ex, ey = np.roll(hx, -1) - hx, np.roll(hy, -1) - hy
    return max(0.0, float(((hx * ey - hy * ex) / np.hypot(ex, ey)).min())) if len(ring) else 0.0


def _bound(points: Array, weights: Array) -> float:
    """Return the square root of the least weighted mean square distance to any line."""
    share = weights / weights.sum()
    x, y, z = (points - share @ points).T
    weighted = share * z
    xz, yz, zz = float(weighted @ x), float(weighted @ y), float(weighted @ z)
    taken = (xz * xz + yz * yz) / zz if zz > TOUCH**2 else 0.0
    return float(np.sqrt(max(0.0, float(share @ (x * x + y * y)) - taken)))


def _solve(points: Array, at: Array, close: float) -> tuple[Array, Array]:
    """Return the best line for a few points and their weights (primal-dual interior-point method)."""
    count, z = len(points), np.ascontiguousarray(points[:, 2])
    weights = np.full(count, 1.0 / count)
    away = _offsets(points, at)
    squared = (away * away).sum(axis=0)
    level = float(squared.max()) * 1.1 + TOUCH
    best, press = (np.inf, at, weights), 0.1
    for _ in range(ROUNDS):
        slack = level - squared
        left = float(weights @ slack)
        if left < best[0]:
            best = (left, at, weights)
        if left <= close * level:
            break
        target = press * left / count
        slopes = np.concatenate((-2 * away, -2 * away * z))
        found = _step(slopes, z, weights, slack, target, at)
        move, rise = found[:4], float(found[4])
        turn = target / slack - weights - weights / slack * (rise - move @ slopes)
        share = min(1.0, 0.99 / max(1e-300, float((-turn / weights).max())))
        floor = FLOOR * float(slack.min())
        while True:
            away = _offsets(points, at + share * move)
            squared = (away * away).sum(axis=0)
            if float((level + share * rise - squared).min()) > floor or share < LIGHT:
                break
            share *= 0.8
        if not share >= LIGHT:
            break
        press = 0.01 if share > EAGER else 0.3
        at, level, weights = at + share * move, level + share * rise, weights + share * turn
    return best[1], best[2]


def _step(slopes: Array, z: Array, weights: Array, slack: Array, target: float, at: Array) -> Array:
    """Return Newton's step of the line and of the level above all points; not numbers where rounding took over."""
    pull, lean = weights / slack, 2 * weights
    system, right = np.zeros((5, 5)), np.zeros(5)
    system[:4, :4] = (slopes * pull) @ slopes.T
    lever = lean * z
    one, first, second = float(lean.sum()), float(lever.sum()), float(lever @ z)
    for k in (0, 1):
        system[k, k] += one
        system[k + 2, k + 2] += second + 2 * STAY
        system[k, k + 2] += first
        system[k + 2, k] += first
    system[:4, 4] = system[4, :4] = -(slopes @ pull)
    system[4, 4] = pull.sum()
    barrier = target / slack
    right[:4] = -(slopes @ barrier)
    right[2:4] -= 2 * STAY * at[2:]
    right[4] = barrier.sum() - 1
    try:
        return np.asarray(np.linalg.solve(system, right), dtype=float)
    except np.linalg.LinAlgError:
        return np.full(5, np.nan)
