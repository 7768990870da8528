"""What was read in a bore, as typed, in the estimate document."""

from typing import Literal, NotRequired

from typing_extensions import TypedDict

from estimator.bore.profile import Profile
from estimator.bore.survey import Survey
from estimator.express import digits, shown
from estimator.formula import leaf
from estimator.job.readings import cell_mean

__all__ = ["Readings", "read", "readings_of", "typed"]


class Readings(TypedDict):
    """Readings as typed, in millimetres."""

    kind: Literal["diameter", "radius", "three-point", "points"]
    clock_deg: list[float]
    depths_mm: list[float]
    clock_readings_mm: list[list[float | None]]
    points: NotRequired[int]
    seen_deg: NotRequired[float]
    residual_mm: NotRequired[float]
    largest_residual_mm: NotRequired[float]


def read(value: float, name: str) -> float:
    """Return a length as it was typed, at 20 degC. [m]"""
    return leaf(value, "given", name, "as typed in the job document, at 20 degC", unit="m")


def typed(value: float, name: str) -> float:
    """Return a place on the clock as it was typed. [deg]"""
    return digits("clock", leaf(float(value), "given", name, "as typed in the job document"))


def _gridded(profile: Profile) -> Readings:
    """Return points as the radii of the grid they were laid on, with what the grid leaves over."""
    grid = profile.grid
    assert grid is not None  # asked for points only
    radius, apart = "radius of a cell of points", "points against their grid"
    rest = leaf(grid.residual_rms, "given", "residual_mm", apart, unit="m")
    largest = leaf(grid.residual_max, "given", "largest_residual_mm", apart, unit="m")
    return {
        "kind": "points",
        "clock_deg": [typed(at, "clock") for at in profile.clock.tolist()],
        "depths_mm": [shown("depths_mm", read(at, "depth")) for at in profile.depth.tolist()],
        "clock_readings_mm": [
            [shown("clock_readings_mm", leaf(cell, "given", "reading", radius, unit="m")) for cell in row]
            for row in profile.sizes.tolist()
        ],
        "points": leaf(int(grid.counts.sum()), "given", "points", "points as typed"),
        "seen_deg": shown("seen_deg", leaf(grid.coverage_deg, "given", "seen", "the turn less the widest gap")),
        "residual_mm": shown("residual_mm", rest),
        "largest_residual_mm": shown("largest_residual_mm", largest),
    }


def readings_of(survey: Survey) -> Readings | None:
    """Return the readings as typed, in millimetres, sorted by depth and clock; what turns with the clock says so."""
    readings = survey.bore.readings
    if readings is None:
        return None
    if readings.kind == "points":
        return _gridded(survey.profile)
    columns = sorted(range(len(readings.clock)), key=readings.clock.__getitem__)
    rows = sorted(range(len(readings.depth)), key=readings.depth.__getitem__)
    clock = [leaf(float(readings.clock[n]), "given", "clock", "clock position as typed") for n in columns]
    return {
        "kind": readings.kind,
        "clock_deg": clock,
        "depths_mm": [shown("depths_mm", read(readings.depth[r], "depth")) for r in rows],
        "clock_readings_mm": [[_cell(readings.values[r][n]) for n in columns] for r in rows],
    }


def _cell(cell: float | tuple[float, ...] | None) -> float | None:
    """Return one cell as it was typed; the mean where it was read several times."""
    return None if cell is None else shown("clock_readings_mm", read(cell_mean(cell), "reading"))
