"""Readings on clock x depth as one shape: section areas, volume along the depth, sizes."""

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from estimator.either import above_zero
from estimator.formula import Why, formula, is_recording
from estimator.geometry.frame import Frame, frame_of, in_bore
from estimator.geometry.points import Grid, gridded
from estimator.geometry.solve import dot, times
from estimator.job.job import Bore
from estimator.job.readings import TURNS, Readings, cell_mean

__all__ = [
    "Profile",
    "largest_diameter",
    "mean_diameter",
    "out_of_round",
    "profile_of",
    "smallest_diameter",
    "taper",
    "void_volume",
    "worn_volume",
]

Array = npt.NDArray[np.float64]
CONTRACT = "definition in the project's estimate document; trapezoidal rule"


@dataclass(frozen=True, eq=False)
class Profile:
    """A part or the whole of a turn of readings, sorted by depth and clock, with the share each stands for.

    `sizes`: stations x clock, the readings at 20 degC [m]; `diameters`: the same as diameters [m]; `shares`: share of
    the turn each clock position stands for; `lengths`: length of bore each station stands for [m]; `clock` [deg] and
    `depth` [m]: where they were read; `counts`: how often each was read, 0 where it was filled from beside; `worst`:
    the largest radius in each cell of points; `grid`: what points were laid on.
    """

    label: str
    radial: bool
    sizes: Array
    diameters: Array
    shares: Array
    lengths: Array
    clock: Array
    depth: Array
    counts: Array
    why: Why | None = None
    worst: Array | None = None
    grid: Grid | None = None

    @property
    def deepest(self) -> Array:
        """Largest size seen at each place: of a cell of points its farthest point. [m]"""
        return self.sizes if self.worst is None else self.worst

    def __str__(self) -> str:
        """Return what the profile is, for explanations."""
        return self.label

    def like(self, sizes: Array, label: str = "") -> "Profile":
        """Return a profile with other sizes at the same places."""
        return replace(self, sizes=sizes, label=label or self.label)


def _shares(clock: Array, turn: float) -> Array:
    """Return the share of a turn each clock position stands for: half the gap to each neighbour round the clock."""
    gaps = np.diff(clock, append=clock[0] + turn)
    shares: Array = (gaps + np.roll(gaps, 1)) / (2 * turn)
    return shares


def _lengths(depth: Array, length: float) -> Array:
    """Return the length each station stands for: trapezoids between, the ends carried square to the faces."""
    edges = np.concatenate(([0.0], (depth[1:] + depth[:-1]) / 2, [length]))
    lengths: Array = np.diff(edges)
    return lengths


def _opposite(radii: Array, clock: Array) -> Array:
    """Return the radius opposite each reading, linear between readings."""
    around = np.concatenate((clock, [clock[0] + 360.0]))
    at = (clock + 180.0 - clock[0]) % 360.0 + clock[0]
    index = np.clip(np.searchsorted(around, at, side="right") - 1, 0, len(clock) - 1)
    part = (at - around[index]) / (around[index + 1] - around[index])
    after = radii[:, (index + 1) % len(clock)]
    opposite: Array = radii[:, index] * (1 - part) + after * part
    return opposite


def filled(sizes: Array, clock: Array, turn: float) -> Array:
    """Return stations x clock with what was not read (NaN) laid linearly between its neighbours round the clock."""
    for row in sizes:
        gone = np.isnan(row)
        if gone.any():
            row[gone] = np.interp(clock[gone], clock[~gone], row[~gone], period=turn)
    return sizes


def _quick(bore: Bore) -> Profile:
    """Return the circle of a worst diameter."""
    flat, one = np.array([[bore.worn_diameter]], dtype=float), np.ones(1)
    label, length = f"a circle of the worst diameter, {bore.name}", np.array([bore.length])
    why = _why(f"worst diameter of bore {bore.name}")
    return Profile(
        label=label,
        radial=False,
        sizes=flat,
        diameters=flat,
        shares=one,
        lengths=length,
        clock=np.zeros(1),
        depth=length / 2,
        counts=np.ones((1, 1)),
        why=why,
    )


def profile_of(bore: Bore, expansion: float, reference: float) -> Profile:
    """Return the shape of a worn bore from its readings, or a circle of its worst diameter.

    Parameters
    ----------
    bore
        With `readings` on clock and depth, or `worn_diameter`.
    expansion
        Linear expansion of the steel. [1/K]
    reference
        Temperature at which sizes hold. [K]
    """
    readings = bore.readings
    if readings is None:
        return _quick(bore)
    if readings.kind == "points":
        return _of_points(bore, readings, expansion, reference)
    turn = TURNS[readings.kind]
    clock = np.array(readings.clock) % turn
    order, depth = np.argsort(clock), np.array(readings.depth, dtype=float)
    rows = np.argsort(depth)
    means = np.array([[cell_mean(cell) for cell in row] for row in readings.values], dtype=float)[rows][:, order]
    counts = np.array([[_times(cell) for cell in row] for row in readings.values], dtype=float)[rows][:, order]
    clock, depth = clock[order], depth[rows]
    sizes = filled(means, clock, turn)
    if readings.temperature is not None:
        sizes = sizes / (1 + expansion * (readings.temperature - reference))
    radial = readings.kind == "radius"
    diameters = sizes + _opposite(sizes, clock) if radial else sizes
    label = f"{sizes.shape[0]} x {sizes.shape[1]} readings of bore {bore.name}"
    lengths, why = _lengths(depth, bore.length), _why(label)
    return Profile(
        label=label,
        radial=radial,
        sizes=sizes,
        diameters=diameters,
        shares=_shares(clock, turn),
        lengths=lengths,
        clock=clock,
        depth=depth,
        counts=counts,
        why=why,
    )


def points_of(readings: Readings) -> tuple[Array, Frame | None]:
    """Return the points of a bore (n, 3) [m] and its place among them; None where they are in its own frame."""
    frame = readings.frame
    place = None if frame == "bore" else frame_of(frame.origin, frame.along, frame.up)
    return np.array(readings.values, dtype=float), place


def _of_points(bore: Bore, readings: Readings, expansion: float, reference: float) -> Profile:
    """Return the shape of a bore from points, as radii on a grid; each cell keeps the largest radius it saw.

    A part measured warm or cold is brought to size about the bore's own axis.
    """
    points, place = points_of(readings)
    placed = in_bore(points, place)
    if readings.temperature is not None:
        placed = placed / (1 + expansion * (readings.temperature - reference))
    grid = gridded(placed, None, bore.length, bore.nominal_diameter)
    sizes = grid.radius
    label = f"{len(points)} points of bore {bore.name} on a grid of {sizes.shape[0]} x {sizes.shape[1]}"
    diameters = sizes + _opposite(sizes, grid.clock)
    lengths, shares, why = _lengths(grid.depth, bore.length), _shares(grid.clock, 360.0), _why(label)
    worst = np.fmax(sizes, grid.largest_radius)
    counts = grid.counts.astype(float)
    return Profile(
        label=label,
        radial=True,
        sizes=sizes,
        diameters=diameters,
        shares=shares,
        lengths=lengths,
        clock=grid.clock,
        depth=grid.depth,
        counts=counts,
        why=why,
        worst=worst,
        grid=grid,
    )


def _times(cell: object) -> int:
    """Return how often a cell was read."""
    return 0 if cell is None else len(cell) if isinstance(cell, tuple) else 1


def _why(label: str) -> Why | None:
    return Why("given", "readings", f"{label}, as typed in the job document") if is_recording() else None


@formula("void_volume", CONTRACT, "computed", unit="m3")
def void_volume(profile: Profile) -> float:
    """Volume of the worn hole: mean square radius over the clock times pi, by trapezoids along the depth. [m³]"""
    area = (math.pi if profile.radial else math.pi / 4) * times(profile.sizes**2, profile.shares)
    return dot(area, profile.lengths)


@formula("worn_volume", CONTRACT, "computed", unit="m3")
def worn_volume(void_volume: float, nominal_diameter: float, length: float) -> float:
    """Metal worn away: the worn hole less the nominal cylinder, never below zero. [m³]"""
    return above_zero(void_volume - math.pi / 4 * nominal_diameter**2 * length)


@formula("mean_diameter", "geometry: diameter of the cylinder of equal volume", "computed", unit="m")
def mean_diameter(void_volume: float, length: float) -> float:
    """Diameter of the cylinder with the worn hole's volume. [m]"""
    return (4 * void_volume / (math.pi * length)) ** 0.5


@formula("largest_diameter", CONTRACT, "computed", unit="m")
def largest_diameter(profile: Profile) -> float:
    """Largest diameter read (a radius plus the one opposite). [m]"""
    return float(profile.diameters.max())


@formula("smallest_diameter", CONTRACT, "computed", unit="m")
def smallest_diameter(profile: Profile) -> float:
    """Smallest diameter read (a radius plus the one opposite). [m]"""
    return float(profile.diameters.min())


@formula("out_of_round", CONTRACT, "computed", unit="m")
def out_of_round(profile: Profile) -> float:
    """Largest less smallest diameter at the worst station. [m]"""
    return float((profile.diameters.max(axis=1) - profile.diameters.min(axis=1)).max())


@formula("taper", CONTRACT, "computed", unit="m")
def taper(profile: Profile) -> float:
    """Largest less smallest of the stations' mean diameters. [m]"""
    means: Any = times(profile.diameters, profile.shares)
    return float(means.max() - means.min())
