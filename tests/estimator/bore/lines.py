"""Lines of worn bores for tests, and what any number of axes costs there, reckoned a second time."""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from estimator.bore.axis import AxisChoice, CentreDistance, Datum, Ring

Array = npt.NDArray[np.float64]
MM = 1e-3


@dataclass(frozen=True)
class WornLine:
    """A line with its rules."""

    rings: list[Ring]
    datums: list[Datum]
    distance: CentreDistance | None


def hole(
    radius: float, x: float = 0.0, y: float = 0.0, z: float = 0.0, count: int = 12, turn: float = 0.0
) -> tuple[Array, Array, Array]:
    """Return points of a round hole about (x, y) at the place z. [mm in, m out]"""
    clock = turn + 2 * math.pi * np.arange(count) / count
    return (x + radius * np.sin(clock)) * MM, (y + radius * np.cos(clock)) * MM, np.full(count, z * MM)


def ring(
    name: str,
    start: float,
    length: float,
    *holes: tuple[Array, Array, Array],
    least: float = 40.0,
    weld: float = 38.5,
    allowance: float = 0.5,
    original: tuple[float, float] = (0.0, 0.0),
    position: float | None = None,
    most: float | None = None,
) -> Ring:
    """Return a bore of an 80 mm pin out of holes. [mm in]"""
    x, y, z = (np.concatenate([one[way] for one in holes]) for way in range(3))
    return Ring(
        name, start * MM, length * MM, x, y, z, least * MM, weld * MM, allowance * MM,
        (original[0] * MM, original[1] * MM),
        None if position is None else position * MM,
        None if most is None else most * MM,
    )  # fmt: skip


def _worn(rng: np.random.Generator, name: str, start: float, tight: float) -> Ring:
    """Return a bore worn to one side somewhere, along a tilted hole, off its original centre by a little."""
    length, count, depths = rng.uniform(40, 120), int(rng.integers(6, 15)), int(rng.integers(1, 4))
    clock = np.tile(2 * np.pi * np.arange(count) / count, depths)
    depth = np.repeat(np.sort(rng.uniform(0.05, 0.95, depths)) * length, count)
    towards, wear = rng.uniform(0, 2 * np.pi), rng.uniform(0.2, 4.0)
    deeper = 1 + rng.uniform(-0.5, 0.5) * (depth / length - 0.5)
    radius = 40 + wear * deeper * np.maximum(0, np.cos(clock - towards)) ** 1.5 + rng.uniform(0, 0.08, clock.size)
    original = rng.normal(0, 0.15, 2)
    x, y = original[0] + radius * np.sin(clock), original[1] + radius * np.cos(clock)
    position = float(rng.uniform(0.3, 2.5)) * tight if rng.random() < 0.5 else None
    most = float(radius.max() + rng.uniform(0.9, 2.0)) if rng.random() < 0.3 else None
    found = (x * MM, y * MM, (start + depth) * MM)
    return ring(name, start, length, found, original=(original[0], original[1]), position=position, most=most)


def worn_line(seed: int, tight: float = 1.0) -> WornLine:
    """Return a line of 2 to 5 bores with random wear, tolerances, datums and distance; tight is below 1."""
    rng = np.random.default_rng(seed)
    starts = np.cumsum(rng.uniform(130, 500, int(rng.integers(2, 6))))
    rings = [_worn(rng, name, start, tight) for name, start in zip("ABCDE", starts, strict=False)]
    datums = []
    if rng.random() < 0.4:
        x, y = rng.normal(0, 0.1, 2)
        datums = [Datum("counterbore", 0.0, 20 * MM, x * MM, y * MM, rng.uniform(0.4, 2.0) * tight * MM)]
    distance = None
    if rng.random() < 0.5:
        towards, far = rng.uniform(0, 2 * np.pi), rng.uniform(300, 1500)
        nominal, tolerance = far + rng.normal(0, 0.2), rng.uniform(0.3, 1.0) * tight
        x, y = far * math.cos(towards), far * math.sin(towards)
        distance = CentreDistance(x * MM, y * MM, nominal * MM, tolerance * MM)
    return WornLine(rings, datums, distance)


def radii(line: WornLine, axes: Array) -> Array:
    """Return the clean-up radius of each bore about each axis [axes, bores] from rows x0, y0, sx, sy. [m]"""
    columns = []
    for one in line.rings:
        x, y = axes[:, :1] + axes[:, 2:3] * one.z - one.x, axes[:, 1:2] + axes[:, 3:4] * one.z - one.y
        farthest = np.sqrt((x * x + y * y).max(axis=1))
        columns.append(np.maximum(one.least_radius, farthest + one.allowance))
    return np.stack(columns, axis=1)


def volumes(line: WornLine, axes: Array) -> Array:
    """Return the volume between clean-up and weld bores of all bores about each axis. [m3]"""
    lengths, welds = np.array([[one.length, one.weld_radius] for one in line.rings]).T
    found: Array = math.pi * (radii(line, axes) ** 2 - welds**2) @ lengths
    return found


def _away(axes: Array, z: float, x: float, y: float) -> Array:
    away: Array = np.hypot(axes[:, 0] + axes[:, 2] * z - x, axes[:, 1] + axes[:, 3] * z - y)
    return away


def breach(line: WornLine, axes: Array) -> Array:
    """Return by how much each axis breaks the rule it breaks most, below zero where it keeps all. [m]"""
    found = [np.full(len(axes), -1.0)]
    for one, radius in zip(line.rings, radii(line, axes).T, strict=True):
        for z in (one.start, one.start + one.length):
            shift = _away(axes, z, *one.original)
            if one.position_tolerance is not None:
                found.append(shift - one.position_tolerance / 2)
            if one.most_radius is not None:
                found.append(shift + radius - one.most_radius)
    for datum in line.datums:
        for z in (datum.start, datum.start + datum.length):
            found.append(_away(axes, z, datum.x, datum.y) - datum.tolerance / 2)
    if line.distance is not None:
        for z in (line.rings[0].start, line.rings[-1].start + line.rings[-1].length):
            off = _away(axes, z, line.distance.x, line.distance.y) - line.distance.nominal
            found.append(np.abs(off) - line.distance.tolerance)
    worst: Array = np.max(found, axis=0)
    return worst


def proven(choice: AxisChoice) -> float:
    """Return the volume that no axis goes below, as proven. [mm3]"""
    return choice.required_volume * (1 - choice.gap) / MM**3


def between_bound_and_found(choice: AxisChoice, exact: float) -> bool:
    """Say whether the exact volume [mm3] lies between proof and answer, to rounding: a billionth of the proof's gap."""
    return proven(choice) <= exact * (1 + 1e-15) and exact <= choice.required_volume / MM**3 * (1 + 1e-12)
