"""How a bore is worn, in the estimate document: what was read, the wear map, sizes, what the gauge is worth."""

from typing import Any

from estimator.bore.form import Fit, form_of, offset_of, out_of_form, size_of, tilt_of
from estimator.bore.pocket import wall_of
from estimator.bore.profile import Profile
from estimator.bore.survey import Survey
from estimator.bore.walls import walls_left
from estimator.express import all_shown, shown
from estimator.formula import formula, is_recording, leaf
from estimator.job.readings import cell_mean

__all__ = ["RADIAL", "readings_of", "sizes_of", "typed", "wear_of"]

RADIAL = ("radius", "points")


@formula("wear", "definition: what a reading is beyond nominal, a side", "computed", unit="m")
def wear_at(reading: float, nominal: float, share: float) -> float:
    """Wear at one place, a side. [m]"""
    return (reading - nominal) * share


def _read(value: float, name: str) -> float:
    return leaf(value, "given", name, "as typed in the job document, at 20 degC", unit="m")


def typed(value: float, name: str) -> float:
    """Return a place on the clock as it was typed. [deg]"""
    return leaf(float(f"{value:.12g}"), "given", name, "as typed in the job document")


def _map(survey: Survey) -> dict[str, Any]:
    """Return the wear, a side, on clock x depth; of a diameter half of what it is beyond nominal."""
    profile, bore = survey.profile, survey.bore
    share, nominal = (1.0, bore.nominal_diameter / 2) if profile.radial else (0.5, bore.nominal_diameter)
    kind = "worst diameter" if bore.readings is None else bore.readings.kind
    clock = [leaf(float(f"{at:.12g}"), "given", "clock", "clock position as typed") for at in profile.clock]
    depth = [shown("depth_mm", _read(float(at), "depth")) for at in profile.depth]
    if is_recording():
        share = leaf(share, "given", "share", "a radius as it is, half of a diameter")
        nominal = leaf(nominal, "given", "nominal", "nominal diameter, or half of it", unit="m")
        rows = [
            [shown("wear_mm", wear_at(_read(float(cell), "reading"), nominal, share)) for cell in row]
            for row in profile.sizes
        ]
    else:
        rows = [[shown("wear_mm", cell) for cell in row] for row in ((profile.sizes - nominal) * share).tolist()]
    return {"of": kind, "clock": clock, "depth_mm": depth, "wear_mm": rows}


def wear_of(survey: Survey) -> dict[str, Any]:
    """Return how a bore is worn."""
    wear, trust = survey.wear, survey.trust
    keys = {
        "worn_volume_mm3": wear.worn_volume,
        "largest_diameter_mm": wear.largest_diameter,
        "smallest_diameter_mm": wear.smallest_diameter,
        "mean_diameter_mm": wear.mean_diameter,
        "max_radial_wear_mm": wear.max_radial_wear,
        "out_of_round_mm": wear.out_of_round,
        "taper_mm": wear.taper,
        "reading_uncertainty_mm": trust.reading,
        "diameter_uncertainty_mm": trust.diameter,
        "radial_wear_uncertainty_mm": trust.radial_wear,
        "worn_volume_uncertainty_mm3": trust.volume,
    }
    about = survey.about_axis
    keys |= {} if about is None else {"wear_about_axis_mm": about}
    return {**all_shown(keys), "clock_map": _map(survey), **_form(survey), "risks": list(survey.risks)}


def _fit(one: Fit, depth: bool) -> dict[str, Any]:
    """Return a fitted circle or cylinder; what turns with the clock says so."""
    keys = {"diameter_mm": size_of(one), "offset_mm": offset_of(one), "out_of_round_mm": out_of_form(one)}
    keys |= {"tilt_mm_m": tilt_of(one)} if depth else {}
    places = {
        "clock_offset": typed(one.clock, "clock"),
        "clock_deciding": [typed(at, "clock") for at, _ in one.deciding],
    }
    if depth:
        places["clock_deciding_depths_mm"] = [shown("depth_mm", _read(at, "depth")) for _, at in one.deciding]
    return {"name": one.name, **all_shown(keys), **places}


def _form(survey: Survey) -> dict[str, Any]:
    """Return the reference circles of each section and the cylinders through all, where radii were read."""
    sections, cylinders = form_of(survey.profile, survey.bore.length)
    return {
        "clock_sections": [
            {"depth_mm": shown("depth_mm", _read(depth, "depth")), "circles": [_fit(one, depth=False) for one in fits]}
            for depth, fits in sections
        ],
        "clock_cylinders": [_fit(one, depth=True) for one in cylinders],
    }


def sizes_of(survey: Survey) -> dict[str, Any]:
    """Return the diameters to work to."""
    sizes = survey.sizes
    keys = {"finish_min_mm": sizes.finish_min, "finish_max_mm": sizes.finish_max}
    keys |= {"cleanup_mm": sizes.cleanup, "weld_mm": sizes.weld}
    wall = wall_of(survey)
    if wall is not None:
        keys["wall_left_mm"] = wall
    return {**all_shown(keys), **_walls(survey), **_axis(survey)}


def _axis(survey: Survey) -> dict[str, Any]:
    """Return where the line's axis lies from the readings' zero, where the line moved it."""
    if survey.placed is None:
        return {}
    said = "place of the line's axis at mid-length, from the readings' zero"
    x, y = (leaf(at, "choice", name, said, unit="m") for name, at in zip("xy", survey.placed.beside, strict=True))
    return {"clock_axis": all_shown({"x_mm": x, "y_mm": y})}


def _walls(survey: Survey) -> dict[str, Any]:
    """Return the wall left round the clock, where it was measured."""
    walls = survey.bore.walls
    if walls is None:
        return {}
    left = [
        shown("wall_left_mm", wall)
        for wall in walls_left(survey.bore, survey.sizes.cleanup, survey.placed.moved if survey.placed else ())
    ]
    return {"clock_walls": {"clock": [typed(at, "clock") for at in walls.clock], "wall_left_mm": left}}


def _gridded(profile: Profile) -> dict[str, Any]:
    """Return points as the radii of the grid they were laid on, with what the grid leaves over."""
    grid = profile.grid
    assert grid is not None  # asked for points only
    said = "radius of a cell of points"
    keys = {"residual_mm": grid.residual_rms, "largest_residual_mm": grid.residual_max}
    residuals = {key: leaf(value, "given", key, "points against their grid", unit="m") for key, value in keys.items()}
    points = int(grid.counts.sum())
    return {
        "kind": "points",
        "clock_deg": [typed(at, "clock") for at in profile.clock.tolist()],
        "depths_mm": [shown("depths_mm", _read(at, "depth")) for at in profile.depth.tolist()],
        "clock_readings_mm": [
            [shown("clock_readings_mm", leaf(cell, "given", "reading", said, unit="m")) for cell in row]
            for row in profile.sizes.tolist()
        ],
        "points": leaf(points, "given", "points", "points as typed"),
        "seen_deg": leaf(float(f"{grid.coverage_deg:.12g}"), "given", "seen", "the turn less the widest gap"),
        **all_shown(residuals),
    }


def readings_of(survey: Survey) -> dict[str, Any] | None:
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
        "depths_mm": [shown("depths_mm", _read(readings.depth[r], "depth")) for r in rows],
        "clock_readings_mm": [[_cell(readings.values[r][n]) for n in columns] for r in rows],
    }


def _cell(cell: float | tuple[float, ...] | None) -> float | None:
    """Return one cell as it was typed; the mean where it was read several times."""
    return None if cell is None else shown("clock_readings_mm", _read(cell_mean(cell), "reading"))
