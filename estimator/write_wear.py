"""How a bore is worn, in the estimate document: what was read, the wear map, sizes, what the gauge is worth."""

from typing import Any

from estimator.bore.survey import Survey
from estimator.express import all_shown, shown
from estimator.formula import formula, is_recording, leaf
from estimator.job import Bore

__all__ = ["RADIAL", "readings_of", "sizes_of", "wear_of"]

RADIAL = ("radius", "points")


@formula("wear", "definition: what a reading is beyond nominal, a side", "computed", unit="m")
def wear_at(reading: float, nominal: float, share: float) -> float:
    """Wear at one place, a side. [m]"""
    return (reading - nominal) * share


def _read(value: float, name: str) -> float:
    return leaf(value, "given", name, "as typed in the job document, at 20 degC", unit="m")


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
    return {**all_shown(keys), "clock_map": _map(survey), "risks": list(survey.risks)}


def sizes_of(survey: Survey) -> dict[str, Any]:
    """Return the diameters to work to."""
    sizes = survey.sizes
    keys = {"finish_min_mm": sizes.finish_min, "finish_max_mm": sizes.finish_max}
    return all_shown({**keys, "cleanup_mm": sizes.cleanup, "weld_mm": sizes.weld})


def readings_of(bore: Bore) -> dict[str, Any] | None:
    """Return the readings as typed, in millimetres, sorted by depth and clock; what turns with the clock says so."""
    readings = bore.readings
    if readings is None:
        return None
    columns = sorted(range(len(readings.clock)), key=readings.clock.__getitem__)
    rows = sorted(range(len(readings.depth)), key=readings.depth.__getitem__)
    clock = [leaf(float(readings.clock[n]), "given", "clock", "clock position as typed") for n in columns]
    return {
        "kind": readings.kind,
        "clock_deg": clock,
        "depths_mm": [shown("depths_mm", _read(readings.depth[r], "depth")) for r in rows],
        "clock_readings_mm": [[_cell(readings.values[r][n]) for n in columns] for r in rows],
    }


def _cell(cell: Any) -> Any:  # noqa: ANN401  # a size, several, or none
    """Return one cell as it was typed."""
    if isinstance(cell, tuple):
        return [shown("clock_readings_mm", _read(one, "reading")) for one in cell]
    return None if cell is None else shown("clock_readings_mm", _read(cell, "reading"))
