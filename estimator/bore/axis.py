"""The common axis of a line of bores: where it costs the least weld metal, or else which rules forbid every axis."""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from estimator.bore.axis_distance import search
from estimator.bore.axis_line import (
    Axis,
    AxisChoice,
    CentreDistance,
    Datum,
    Ring,
    measure,
    rules_of,
)
from estimator.bore.axis_search import line_of
from estimator.formula import choice
from estimator.geometry.solve import dot, gram, solved, times

__all__ = [
    "AxisChoice",
    "CentreDistance",
    "Datum",
    "Ring",
    "axis_at",
    "least_deposit_axis",
    "plain_axes",
]

ONE_LINE = 1e-18  # of the points' spread, squared: they fix no circle
LEAST = "of all axes that keep every rule, the one that needs the least weld metal"
BARRED = "no axis keeps every rule; this one breaks the worst broken rule least"


def axis_at(
    rings: Sequence[Ring],
    datums: Sequence[Datum],
    distance: CentreDistance | None,
    x0: float,
    y0: float,
    sx: float,
    sy: float,
) -> AxisChoice:
    """Return what the axis x0 + sx z, y0 + sy z costs and which rules it breaks, by how much. [m, m, -, -]"""
    return _at(rings, datums, distance, (x0, y0, sx, sy), "as given")


def _at(
    rings: Sequence[Ring], datums: Sequence[Datum], distance: CentreDistance | None, axis: Axis, reason: str
) -> AxisChoice:
    return measure(rings, rules_of(rings, datums, distance), _chosen(axis, reason))


def _chosen(axis: Axis, reason: str) -> Axis:
    """Return an axis whose numbers know why, while recording."""
    x0, y0, sx, sy = axis
    return (
        choice(x0, "x0", reason, unit="m"),
        choice(y0, "y0", reason, unit="m"),
        choice(sx, "sx", reason),
        choice(sy, "sy", reason),
    )


def least_deposit_axis(
    rings: Sequence[Ring], datums: Sequence[Datum] = (), distance: CentreDistance | None = None
) -> AxisChoice:
    """Return the axis that keeps every rule and needs the least weld metal, with the proof how near it is to the best.

    Where no axis keeps every rule, the one under which every rule gives the same least amount (`loosening`); `binding`
    then names the rules that forbid an axis together.

    Parameters
    ----------
    rings
        The worn bores, one at least, each with one surface point at least. [m]
    datums
        Undamaged bores the axis has to run through. [m]
    distance
        From another line's centre. Its least side is not convex; `axis_distance` says how it is met and proven.
    """
    rules = rules_of(rings, datums, distance)
    line = line_of(rings, datums, rules, _original(rings))
    found = search(line)
    reason = BARRED if found.loosening > 0 else LEAST
    chosen = measure(rings, rules, _chosen(line.axis(found.ends), reason))
    scale = math.pi * line.size**2 * math.fsum(ring.length for ring in rings)
    least = scale * found.bound - math.fsum(math.pi * ring.weld_radius**2 * ring.length for ring in rings)
    if found.loosening > 0:
        gap = (found.loosening - found.forbidden) / found.loosening
        loosening = choice(found.loosening * line.size, "loosening", "the least with which an axis exists", unit="m")
        return replace(chosen, binding=found.binding, gap=gap, feasible=False, loosening=loosening)
    return replace(chosen, binding=found.binding, gap=_relative(chosen.required_volume, least))


def _relative(volume: float, least: float) -> float:
    """Return how far a volume lies above the least, relative to it."""
    return max(0.0, volume - least) / abs(volume) if volume else math.inf


def plain_axes(
    rings: Sequence[Ring], datums: Sequence[Datum] = (), distance: CentreDistance | None = None
) -> dict[str, AxisChoice]:
    """Return the axes a shop takes without reckoning: through the original centres, through the worn holes."""
    axes = {"original centres": _original(rings), "worn holes": _straight(rings, [_centre(ring) for ring in rings])}
    return {
        name: _at(rings, datums, distance, axis, f"line of least squares through the {name}, each over its length")
        for name, axis in axes.items()
    }


def _original(rings: Sequence[Ring]) -> Axis:
    return _straight(rings, [ring.original for ring in rings])


def _straight(rings: Sequence[Ring], centres: Sequence[tuple[float, float]]) -> Axis:
    """Return the line of least squares along bores of given centres, each over its whole length."""
    length, start = np.array([ring.length for ring in rings]), np.array([ring.start for ring in rings])
    middle, at = start + length / 2, np.array(centres, dtype=float)
    share = length / length.sum()
    mean, place = times(at.T, share), dot(share, middle)
    spread = dot(share, (middle - place) ** 2 + length**2 / 12)
    tilt = times((at - mean).T, share * (middle - place)) / spread
    x0, y0, sx, sy = (*map(float, mean - tilt * place), *map(float, tilt))
    return x0, y0, sx, sy


def _centre(ring: Ring) -> tuple[float, float]:
    """Return the centre of the least-squares circle of a bore's points (Kåsa 1976), else its original centre. [m]"""
    x, y = ring.x - ring.original[0], ring.y - ring.original[1]
    size = ring.least_radius
    rows = np.stack((x / size, y / size), axis=1)
    mean = rows.mean(axis=0)
    rows = rows - mean
    squared, square = (rows**2).sum(axis=1), gram(rows)
    found = solved(square, times(rows.T, squared - squared.mean()) / 2)
    if found is None or square[0, 0] * square[1, 1] - square[0, 1] ** 2 <= ONE_LINE * square.trace() ** 2:
        return ring.original
    across, up = (mean + found).tolist()
    return ring.original[0] + across * size, ring.original[1] + up * size
