"""What is wrong with the XYZ points of one bore, each fault with its row and the cure.

First what concerns all points (units, columns, frame, two bores in one), since each such slip would fault every row;
then single rows.
"""

import math
from itertools import permutations
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from estimator.geometry.frame import Array, Frame, Whole, clock_of, coverage_of, in_bore, merged
from estimator.geometry.points import gridded
from estimator.geometry.solve import away, gram, solved, times

__all__ = ["LEAST_POINTS", "PointFault", "faults_of", "fits"]

LEAST_POINTS = 12
LEAST_RADIUS, MOST_RADIUS = 0.85, 2.0  # shares of half the nominal diameter, as for other readings
DEPTH_MARGIN = 0.05  # share of the length that a point may lie outside the faces
LEAST_COVERAGE = 200.0  # degrees of the clock
MOST_FAULTS = 20
MOSTLY, HARDLY = 0.9, 0.5  # shares of the points that fit
GROUP = 0.1  # share of the points that makes a second bore, not stray points
TWO_RADII = 0.1  # share of half the nominal diameter between two bores round one axis
SLIPS = ((25.4, "inches"), (1 / 25.4, "inches"), (10.0, "tenfold"), (0.1, "tenfold"), (1000.0, "1000"), (0.001, "1000"))
SLIP_ROOM = 1.3  # a diameter off by a unit's factor within this factor is that slip
Mask = npt.NDArray[np.bool_]


class PointFault(NamedTuple):
    """One thing wrong with points: the row it shows in, what is wrong, and what would be right."""

    row: int
    message: str
    hint: str

    def __str__(self) -> str:
        """Return the fault as one line without its row."""
        return f"{self.message}; {self.hint}"


def fits(placed: Array, length: float, nominal: float) -> Mask:
    """Return which points (n, 3) of a bore's frame lie about its wall: 0.7 to 2 of its radius, between its faces."""
    share = away(placed[:, 0], placed[:, 1]) / (nominal / 2)
    margin = DEPTH_MARGIN * length
    inside = (placed[:, 2] >= -margin) & (placed[:, 2] <= length + margin)
    found: Mask = (share >= LEAST_RADIUS) & (share <= MOST_RADIUS) & inside
    return found


def circle_of(x: Array, y: Array) -> tuple[float, float, float]:
    """Return centre and radius of the circle of least squares of the squares (Kasa 1976). [m]"""
    mid = np.array([x.mean(), y.mean()])
    basis = np.stack((x, y), axis=1) - mid
    squared = (basis**2).sum(axis=1)
    found = solved(gram(basis), times(basis.T, squared - squared.mean()))
    a, b = (0.0, 0.0) if found is None else found.tolist()
    return a / 2 + float(mid[0]), b / 2 + float(mid[1]), math.sqrt(float(squared.mean()) + (a * a + b * b) / 4)


def faults_of(points: Array, frame: Frame | None, length: float, nominal: float, rows: Whole) -> list[PointFault]:
    """Return what is wrong with the points of one bore, none if nothing is.

    Parameters
    ----------
    points
        (n, 3), in the readings' frame, in whatever state they came. [m]
    frame
        Where the bore lies among them; None: they are x to 3 o'clock, y to 12 o'clock, depth.
    length, nominal
        Length and nominal diameter of the bore. [m]
    rows
        (n,) the number that each point goes by in the user's file or document.
    """
    bad = ~np.isfinite(points).all(axis=1)
    if bad.any():
        return [
            PointFault(int(row), "is no finite place", "write three plain numbers") for row in rows[bad][:MOST_FAULTS]
        ]
    points, rows = merged(points, rows)
    if len(points) < LEAST_POINTS:
        said = f"{len(points)} different points make no bore"
        return [PointFault(int(rows.min()) if len(rows) else 0, said, f"{LEAST_POINTS} at least, all round the clock")]
    placed = in_bore(points, frame)
    good = fits(placed, length, nominal)
    whole = _as_a_whole(points, placed, frame, good, length, nominal)
    if whole is not None:
        odd = rows[~good] if not good.all() else rows
        return [PointFault(int(odd.min()), *whole)]
    return _row_by_row(placed, good, rows, length, nominal) or _on_the_wall(placed, rows, length, nominal)


def _as_a_whole(
    points: Array, placed: Array, frame: Frame | None, good: Mask, length: float, nominal: float
) -> tuple[str, str] | None:
    """Return what is wrong with most of the points at once, and the cure."""
    if np.mean(good) < HARDLY:
        found = _unit_slip(placed, length, nominal) or _columns(points, frame, length, nominal)
        if found is None and frame is None:
            hint = 'give "frame": {"origin": ..., "along": ..., "up": ...}, or read them with `boreworth read`'
            found = _groups(placed, good, length, nominal) or (f"{_off(good, placed, nominal)}, off its own axes", hint)
        hint = "check nominal diameter, length and frame; two bores in one?"
        return found or _groups(placed, good, length, nominal) or (_off(good, placed, nominal), hint)
    return _groups(placed, good, length, nominal) if np.mean(~good) > GROUP else None


def _off(good: Mask, placed: Array, nominal: float) -> str:
    share = 2 * circle_of(placed[:, 0], placed[:, 1])[2] / nominal
    return (
        f"{np.count_nonzero(~good)} of {len(good)} points lie off the bore, on {share:.3g} times its nominal diameter"
    )


def _unit_slip(placed: Array, length: float, nominal: float) -> tuple[str, str] | None:
    """Return the slip if the points would fit once another unit is read."""
    diameter = 2 * circle_of(placed[:, 0], placed[:, 1])[2]
    for scale, name in SLIPS:
        if not 1 / SLIP_ROOM < diameter / nominal / scale < SLIP_ROOM:
            continue
        if np.ptp(placed[:, 2]) > length * scale * (1 + 2 * DEPTH_MARGIN):
            continue
        size = f"they lie on a diameter {diameter / nominal:.3g} times the nominal one"
        if name == "inches":
            said = "millimetres were read as inches" if scale > 1 else "inches were read as millimetres"
            return f"{said}: {size}", f'give the unit as "{"mm" if scale > 1 else "in"}"'
        return f"the unit is wrong: {size}", f"the numbers are {1 / scale:g} of the unit that was said"
    return None


def _columns(points: Array, frame: Frame | None, length: float, nominal: float) -> tuple[str, str] | None:
    """Return which columns were swapped if the points fit another way round."""
    best, found = MOSTLY, None
    for order in sorted(permutations(range(3)), key=lambda way: sum(a != b for a, b in enumerate(way))):
        share = float(np.mean(fits(in_bore(points[:, order], frame), length, nominal)))
        if share > best:
            best, found = share, order
    if found is None:
        return None
    held = ", ".join(sorted(f"column {'xyz'[found[at]]} holds {'xyz'[at]}" for at in range(3) if found[at] != at))
    return f"the columns look swapped: {held}", f"put them in order; then {best:.0%} of the points lie on the bore"


def _groups(placed: Array, good: Mask, length: float, nominal: float) -> tuple[str, str] | None:
    """Return the two bores if the points fall into two groups, along the axis or across it."""
    cure = "give each bore a label of its own"
    for axis, far in ((2, length / 2), (0, nominal / 2), (1, nominal / 2)):
        at = np.sort(placed[:, axis])
        gaps = np.diff(at)
        split = int(np.argmax(gaps)) + 1
        counts = split, len(at) - split
        spread = max(at[split - 1] - at[0], at[-1] - at[split])
        if gaps[split - 1] > far and min(counts) > GROUP * len(at) and spread < MOST_RADIUS * max(length, nominal):
            return f"two groups of points, {counts[0]} and {counts[1]}, lie apart: two bores in one label", cure
    off = placed[~good]
    if len(off) > GROUP * len(placed) and len(off) >= LEAST_POINTS:
        x, y, radius = circle_of(off[:, 0], off[:, 1])
        apart = away(off[:, 0] - x, off[:, 1] - y)
        if (
            np.ptp(apart) < radius
            and LEAST_RADIUS < 2 * radius / nominal < MOST_RADIUS
            and math.hypot(x, y) > nominal / 4
        ):
            return f"{len(off)} of {len(placed)} points lie round another axis: two bores in one label", cure
    return None


def _row_by_row(placed: Array, good: Mask, rows: Whole, length: float, nominal: float) -> list[PointFault]:
    """Return the points that lie off the wall, by row."""
    found = []
    worst = np.flatnonzero(~good)
    for at in worst[np.argsort(rows[worst])][:MOST_FAULTS]:
        x, y, depth = placed[at]
        share = math.hypot(x, y) / (nominal / 2)
        if LEAST_RADIUS <= share <= MOST_RADIUS:
            said = f"lies {'before the machine-side face' if depth < 0 else 'beyond the other face'}"
            found.append(PointFault(int(rows[at]), f"{said}, at {depth / length:.3g} of the length", "leave it out"))
        else:
            said = f"lies off the bore, at {share:.3g} times its nominal radius"
            found.append(PointFault(int(rows[at]), said, "a slip, a touch of something else? leave it out"))
    return found


def _on_the_wall(placed: Array, rows: Whole, length: float, nominal: float) -> list[PointFault]:
    """Return what is wrong with points that all lie about the wall: too little of the clock, two walls."""
    clock, radius = clock_of(placed), away(placed[:, 0], placed[:, 1])
    seen = coverage_of(clock)
    if seen < LEAST_COVERAGE:
        said = f"the points see {seen:.0f} degrees of the clock"
        return [PointFault(int(rows.min()), said, f"{LEAST_COVERAGE:.0f} at least are due; measure the rest")]
    at = np.argsort(radius, kind="stable")
    gaps = np.diff(radius[at])
    split = int(np.argmax(gaps)) + 1
    both = at[:split], at[split:]
    all_round = all(len(one) > GROUP * len(at) and coverage_of(clock[one]) >= LEAST_COVERAGE for one in both)
    cure = "give each bore a label of its own"
    if gaps[split - 1] > TWO_RADII * nominal / 2 and all_round:
        small, large = 2 * radius[both[0]].max() / nominal, 2 * radius[both[1]].min() / nominal
        said = f"two bores in one: diameters up to {small:.3g} and from {large:.3g} of the nominal one"
        return [PointFault(int(rows[both[1]].min()), said, cure)]
    grid = gridded(placed, None, length, nominal)
    wide = (grid.largest_radius - grid.smallest_radius)[grid.counts > 1] > TWO_RADII * nominal / 2
    if len(wide) and np.mean(wide) > HARDLY:
        row = int(rows[grid.residual_index])
        return [
            PointFault(row, "in most places there are two walls, one behind the other: two bores in one label", cure)
        ]
    return []
