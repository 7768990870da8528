"""Points of a bore thinned to what a document holds, so that its volume and its largest radius stay."""

from typing import NamedTuple

import numpy as np

from estimator.geometry.frame import Array, Frame, Whole, clock_of, in_bore
from estimator.geometry.points import CLOCKS, Grid, grid_volume, gridded

__all__ = ["MOST_KEPT", "Thinned", "shares_of", "thinned"]

MOST_KEPT = 20_000  # points of all bores of a document


class Thinned(NamedTuple):
    """Which points are kept, the grid of all and of those, and by how much the volume changed (relative)."""

    kept: Whole
    before: Grid
    after: Grid
    volume_change: float


def shares_of(counts: list[int], most: int) -> list[int]:
    """Return how many points each bore may keep: all of a small one, and the rest shared out evenly.

    Examples
    --------
    >>> shares_of([10, 500, 900], 610)
    [10, 300, 300]
    """
    shares, left = [0] * len(counts), most
    for place, number in enumerate(sorted(range(len(counts)), key=counts.__getitem__)):
        shares[number] = min(counts[number], left // (len(counts) - place))
        left -= shares[number]
    return shares


def _cells_of(grid: Grid, placed: Array, length: float) -> Whole:
    """Return the cell of each point, by the nearest station and clock position."""
    middles = (grid.depth[1:] + grid.depth[:-1]) / 2
    station = np.searchsorted(middles, np.clip(placed[:, 2], 0.0, length))
    column = np.rint(clock_of(placed) * (CLOCKS / 360.0)).astype(np.int64) % CLOCKS
    cells: Whole = (station * CLOCKS + column).astype(np.int64)
    return cells


def _quota(counts: Whole, most: int) -> int:
    """Return the largest number of points that every cell may keep."""
    low, high = 0, int(counts.max())
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if np.minimum(counts, middle).sum() <= most else (low, middle - 1)
    return low


def _chosen(squares: Array, quota: int) -> Whole:
    """Return which of a cell's points (by growing radius) to keep: both ends, and a spread whose mean is the cell's."""
    count = len(squares)
    if count <= quota:
        return np.arange(count)
    ends = np.array([count - 1]) if quota == 1 else np.array([0, count - 1])
    inner = quota - len(ends) - 1
    if inner < 0:
        return ends
    spread = np.rint(np.linspace(0, count - 1, inner + 2)[1:-1]).astype(np.int64)
    picked = np.unique(np.concatenate((ends, spread)))
    due = (len(picked) + 1) * squares.mean() - squares[picked].sum()
    free = np.setdiff1d(np.arange(count), picked)
    return np.sort(np.append(picked, free[np.argmin(np.abs(squares[free] - due))]))


def thinned(points: Array, frame: Frame | None, length: float, nominal_diameter: float, most: int) -> Thinned:
    """Return which points to keep, `most` of them at most.

    Every cell of the grid keeps its largest and its smallest radius, and of the rest a spread whose mean square is the
    cell's; the points that lie deepest and least deep stay too.

    Parameters
    ----------
    points
        (n, 3), checked beforehand. [m]
    frame, length, nominal_diameter
        The bore among them. [m]
    most
        Number of points to keep at most, 100 or more. [-]
    """
    before = gridded(points, frame, length, nominal_diameter, min(most, len(points)))
    if len(points) <= most:
        return Thinned(np.arange(len(points)), before, before, 0.0)
    placed = in_bore(points, frame)
    square = placed[:, 0] ** 2 + placed[:, 1] ** 2
    cells = _cells_of(before, placed, length)
    ends = np.array([np.argmin(placed[:, 2]), np.argmax(placed[:, 2]), np.argmax(square)])
    order = np.lexsort((square, cells))
    counts = np.bincount(cells)
    counts = counts[counts > 0]
    quota = _quota(counts, most - len(ends))
    groups = np.split(order, np.cumsum(counts)[:-1])
    kept = np.unique(np.concatenate([group[_chosen(square[group], quota)] for group in groups] + [ends]))
    after = gridded(points[kept], frame, length, nominal_diameter)
    change = grid_volume(after, length) / grid_volume(before, length) - 1
    return Thinned(kept, before, after, change)
