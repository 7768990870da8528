"""XYZ points of one bore to a grid of radii on clock x depth, with what each cell saw and what the grid leaves over."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from estimator.geometry.frame import TURN, Array, Frame, Whole, clock_of, coverage_of, in_bore
from estimator.geometry.solve import away, gram, sines, solved, times

__all__ = ["CLOCKS", "Grid", "grid_volume", "gridded"]

CLOCKS = 72  # clock positions of a grid, 5 degrees apart
STEP = TURN / CLOCKS
WIDEST_GAP = 60.0  # degrees between points over which the radius is read off a straight line
MOST_SECTIONS, MOST_BANDS = 60, 40
LEAST_IN_SECTION = 6  # points
CLEAR_GAP = 4.0  # sections are told apart where the gap between them is so many times the next larger one inside
FLAT = 0.02  # share of the length within which all points are one section
SOUND = 10.0  # times the largest square: a circle beyond that is none
NONE = -1


@dataclass(frozen=True, eq=False)
class Grid:
    """Radii of one bore on depth x clock.

    `clock`: (m,) evenly spaced from 0 [deg]; `depth`: (k,) growing [m]; `radius`: (k, m), its square the mean of the
    squares in the cell [m]; `largest_radius`, `smallest_radius`: (k, m) of single points, NaN in a cell without
    points [m]; `largest_index`, `smallest_index`: (k, m) which points those are, -1 for none; `counts`: (k, m) points;
    `filled`: (k, m) cells so far from any point that their radius comes from other depths; `residual_rms`,
    `residual_max`: of the points' radii against the grid [m]; `residual_index`: the point that lies farthest off;
    `coverage_deg`: the turn less the widest gap in the clock, over all depths [deg].
    """

    clock: Array
    depth: Array
    radius: Array
    largest_radius: Array
    smallest_radius: Array
    largest_index: Whole
    smallest_index: Whole
    counts: Whole
    filled: npt.NDArray[np.bool_]
    residual_rms: float
    residual_max: float
    residual_index: int
    coverage_deg: float


# ---------------------------------------------------------------- stations


def _sections(depth: Array) -> Whole | None:
    """Return the section each point lies in where the points were taken in sections, or None where they were not."""
    order = np.argsort(depth, kind="stable")
    gaps = np.diff(depth[order])
    most = min(MOST_SECTIONS, len(depth) // LEAST_IN_SECTION) - 1
    if most < 1:
        return None
    widest = np.sort(gaps)[::-1][: most + 1]
    ratios = widest[:-1] / np.maximum(widest[1:], np.ptp(depth) * 1e-9)
    best = int(np.argmax(ratios))
    if ratios[best] < CLEAR_GAP:
        return None
    steps = np.concatenate(([0], np.cumsum(gaps >= widest[best])))
    extents = [float(np.ptp(depth[order][steps == number])) for number in range(best + 2)]
    if np.bincount(steps).min() < LEAST_IN_SECTION or max(extents) > widest[best] / 2:
        return None
    labels = np.empty(len(depth), dtype=np.int64)
    labels[order] = steps
    return labels


def _stations(depth: Array, length: float, nominal_diameter: float, aim: int) -> Whole:
    """Return the station (n,) each point belongs to, from 0 up: its section, or its band of depth.

    `aim` is the number of points that the bands are made for. A band is no shorter than a step of the clock is wide.
    """
    extent = float(np.ptp(depth))
    if extent <= FLAT * length:
        return np.zeros(len(depth), dtype=np.int64)
    found = _sections(depth)
    if found is not None:
        return found
    finest = max(1, min(MOST_BANDS, int(extent * CLOCKS / (np.pi * nominal_diameter))))
    bands = max(1, min(finest, aim // CLOCKS))
    numbers = np.minimum(((depth - depth.min()) / extent * bands).astype(np.int64), bands - 1)
    return np.unique(numbers, return_inverse=True)[1].reshape(-1).astype(np.int64)


# ---------------------------------------------------------------- cells


def _places() -> Array:
    return np.linspace(0.0, TURN, CLOCKS, endpoint=False)


class _Cells(NamedTuple):
    """Points sorted into cells: cell of each point, points in each cell and the means of what they hold there."""

    number: Whole
    counts: Array
    clock: Array
    depth: Array
    square: Array


def _cells(station: Whole, stations: int, clock: Array, depth: Array, square: Array) -> _Cells:
    """Return the cells (k * m), each centred on a clock position of the grid; an empty one holds NaN."""
    position = np.rint(clock / STEP)
    number = station * CLOCKS + position.astype(np.int64) % CLOCKS
    counts = np.bincount(number, minlength=stations * CLOCKS).astype(float)
    off = clock - position * STEP
    with np.errstate(invalid="ignore"):
        means = [np.bincount(number, part, stations * CLOCKS) / counts for part in (off, depth, square)]
    return _Cells(number, counts, means[0] + np.tile(_places(), stations), means[1], means[2])


def _harmonics(clock: Array) -> Array:
    sine, cosine = sines(clock)
    return np.stack((np.ones_like(sine), sine, cosine), axis=-1)


def _round_the_clock(clock: Array, what: Array, targets: Array) -> tuple[Array, npt.NDArray[np.bool_]]:
    """Return what lies at the targets, linear round the clock; and which of them lie in too wide a gap."""
    order = np.argsort(clock)
    at = np.concatenate((clock[order] - TURN, clock[order], clock[order] + TURN))
    after = np.searchsorted(at, targets)
    values = np.interp(targets, at, np.tile(what[order], 3))
    return values, (at[after] - at[after - 1] > WIDEST_GAP) & (at[after] != targets)


def _along(depths: Array, values: Array, targets: Array) -> Array:
    """Return values at the target depths, linear between and up to half a step beyond the ends, level from there."""
    order = np.argsort(depths, kind="stable")
    depths, values = depths[order], values[order]
    found: Array = np.interp(targets, depths, values)
    for end, inner in ((0, 1), (-1, -2)):
        step = depths[inner] - depths[end] if len(depths) > 1 else 0.0
        beyond = (targets - depths[end]) * np.sign(step) < 0
        near = beyond & (np.abs(targets - depths[end]) <= abs(step) / 2)
        if near.any():
            found[near] = values[end] + (values[inner] - values[end]) * (targets[near] - depths[end]) / step
    return found


def _circle(basis: Array, squares: Array) -> Array:
    """Return the eccentric circle of least squares, or a round one where the points do not fix it."""
    found = solved(gram(basis), times(basis.T, squares))
    sound = found is not None and np.abs(found).max() <= SOUND * squares.max()
    return found if found is not None and sound else np.array([squares.mean(), 0.0, 0.0])


def _squares(cells: _Cells, stations: int, depth: Array) -> tuple[Array, npt.NDArray[np.bool_]]:
    """Return the square radius (k, m) at the grid's places, and which cells were filled from other depths.

    An eccentric circle is taken off first and put back at the end, so that straight lines bridge only what is left.
    """
    targets = _places()
    full = cells.counts > 0
    basis = _harmonics(cells.clock[full])
    circle = _circle(basis, cells.square[full])
    left = np.full_like(cells.square, np.nan)
    left[full] = cells.square[full] - times(basis, circle)
    values, depths = np.empty((stations, CLOCKS)), np.empty((stations, CLOCKS))
    filled = np.zeros((stations, CLOCKS), dtype=bool)
    for number in range(stations):
        here = np.arange(number * CLOCKS, (number + 1) * CLOCKS)
        here = here[full[here]]
        values[number], filled[number] = _round_the_clock(cells.clock[here], left[here], targets)
        filled[number] &= ~full[number * CLOCKS : (number + 1) * CLOCKS]
        depths[number], _ = _round_the_clock(cells.clock[here], cells.depth[here], targets)
    for column in range(CLOCKS):
        seen = ~filled[:, column]
        if seen.any():
            values[:, column] = _along(depths[seen, column], values[seen, column], depth)
        else:
            values[:, column] = 0.0
    return values + times(_harmonics(targets), circle), filled


def _extremes(cells: _Cells, radius: Array) -> tuple[Whole, Whole]:
    """Return which point is the smallest and which the largest of each cell (k * m), -1 for none."""
    order = np.lexsort((radius, cells.number))
    cell, first = np.unique(cells.number[order], return_index=True)
    last = np.append(first[1:], len(order)) - 1
    smallest = np.full(len(cells.counts), NONE, dtype=np.int64)
    largest = smallest.copy()
    smallest[cell], largest[cell] = order[first], order[last]
    return smallest, largest


def _residuals(squares: Array, stations: Array, clock: Array, depth: Array, radius: Array) -> Array:
    """Return by how much each point's radius passes that of the grid, linear between its places. [m]"""
    column = clock / STEP
    left = np.floor(column).astype(np.int64)
    part = column - left
    row = np.interp(depth, stations, np.arange(len(stations)))
    top = np.minimum(row.astype(np.int64), max(0, len(stations) - 2))
    bottom = np.minimum(top + 1, len(stations) - 1)
    weight = row - top

    def at(rows: Whole) -> Array:
        ends = squares[rows, left % CLOCKS], squares[rows, (left + 1) % CLOCKS]
        return ends[0] * (1 - part) + ends[1] * part

    found: Array = radius - np.sqrt(at(top) * (1 - weight) + at(bottom) * weight)
    return found


def gridded(points: Array, frame: Frame | None, length: float, nominal_diameter: float, aim: int | None = None) -> Grid:
    """Return the radii of a bore on a regular grid of clock x depth from points anywhere on its surface.

    Points taken in sections keep their sections as stations; others are sorted into bands of equal depth, about one
    for every 72 points. In each station the squares of the radii are averaged in steps of 5 degrees and read off at the
    grid's places along straight lines between the middles of the points; gaps over 60 degrees take other depths.

    Parameters
    ----------
    points
        (n, 3), n at least 3, finite; checked beforehand by `point_faults`. [m]
    frame
        Where the bore lies among them; None: they are x to 3 o'clock, y to 12 o'clock, depth.
    length, nominal_diameter
        Of the bore, above zero. Depths are held to 0 to length. [m]
    aim
        Number of points that the bands are made for, all of them if not said. [-]
    """
    placed = in_bore(points, frame)
    clock, depth = clock_of(placed), np.clip(placed[:, 2], 0.0, length)
    radius = away(placed[:, 0], placed[:, 1])
    station = _stations(depth, length, nominal_diameter, aim or len(points))
    sizes = np.bincount(station)
    at = np.bincount(station, depth) / sizes
    cells = _cells(station, len(sizes), clock, depth, radius**2)
    squares, filled = _squares(cells, len(sizes), at)
    squares = np.maximum(
        squares, radius.min() ** 2
    )  # a line carried on past the last points never ends inside the metal
    smallest, largest = _extremes(cells, radius)
    shape = (len(sizes), CLOCKS)
    off = _residuals(squares, at, clock, depth, radius)
    farthest = int(np.argmax(np.abs(off)))
    return Grid(
        clock=_places(),
        depth=at,
        radius=np.sqrt(squares),
        largest_radius=np.where(largest < 0, np.nan, radius[largest]).reshape(shape),
        smallest_radius=np.where(smallest < 0, np.nan, radius[smallest]).reshape(shape),
        largest_index=largest.reshape(shape),
        smallest_index=smallest.reshape(shape),
        counts=cells.counts.astype(np.int64).reshape(shape),
        filled=filled,
        residual_rms=float(np.sqrt(np.mean(off**2))),
        residual_max=float(abs(off[farthest])),
        residual_index=farthest,
        coverage_deg=coverage_of(clock),
    )


def grid_volume(grid: Grid, length: float) -> float:
    """Return the volume of a gridded bore: pi times the mean square radius, by trapezoids, ends carried square. [m³]"""
    areas = np.pi * np.mean(grid.radius**2, axis=1)
    inside = float(np.sum(np.diff(grid.depth) * (areas[1:] + areas[:-1])) / 2)
    return inside + float(areas[0] * grid.depth[0] + areas[-1] * (length - grid.depth[-1]))
