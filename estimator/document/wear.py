"""How a bore is worn, in the estimate document: the wear map, circles fitted, what the gauge is worth."""

from collections.abc import Iterable
from typing import Literal, NotRequired, cast

from typing_extensions import TypedDict

from estimator.bore.form import Fit as Fitted
from estimator.bore.form import form_of, offset_of, out_of_form, size_of, tilt_of
from estimator.bore.survey import Survey
from estimator.document.readings import read, typed
from estimator.express import all_shown, shown
from estimator.formula import formula, is_recording, leaf

__all__ = ["Wear", "wear_of"]

Of = Literal["diameter", "radius", "three-point", "points", "worst diameter"]


class ClockMap(TypedDict):
    """Wear a side on clock x depth; `of` says what was read."""

    of: Of
    clock: list[float]
    depth_mm: list[float]
    wear_mm: list[list[float]]


class Form(TypedDict):
    """What a circle or cylinder was found to be: size, its centre's offset from the readings' zero, form, tilt."""

    name: str
    diameter_mm: float
    offset_mm: float
    out_of_round_mm: float
    tilt_mm_m: NotRequired[float]


class Fit(Form):
    """A circle or cylinder fitted to radii: its centre's offset from the readings' zero, the readings that fix it."""

    clock_offset: float
    clock_deciding: list[float]
    clock_deciding_depths_mm: NotRequired[list[float]]


class Section(TypedDict):
    """The reference circles of one section."""

    depth_mm: float
    circles: list[Fit]


class Worn(TypedDict):
    """The figures of a bore's wear, and what the gauge is worth."""

    worn_volume_mm3: float
    largest_diameter_mm: float
    smallest_diameter_mm: float
    mean_diameter_mm: float
    max_radial_wear_mm: float
    out_of_round_mm: float
    taper_mm: float
    wear_about_axis_mm: NotRequired[float]
    reading_uncertainty_mm: float
    diameter_uncertainty_mm: float
    radial_wear_uncertainty_mm: float
    worn_volume_uncertainty_mm3: float


class Wear(Worn):
    """How a bore is worn."""

    clock_map: ClockMap
    clock_sections: list[Section]
    clock_cylinders: list[Fit]
    risks: list[str]


@formula("wear", "definition: what a reading is beyond nominal, a side", "computed", unit="m")
def wear_at(reading: float, nominal: float, share: float) -> float:
    """Wear at one place, a side. [m]"""
    return (reading - nominal) * share


def _map(survey: Survey) -> ClockMap:
    """Return the wear, a side, on clock x depth; of a diameter half of what it is beyond nominal."""
    profile, bore = survey.profile, survey.bore
    share, nominal = (1.0, bore.nominal_diameter / 2) if profile.radial else (0.5, bore.nominal_diameter)
    clock = [typed(at, "clock") for at in profile.clock.tolist()]
    depth = [shown("depth_mm", read(float(at), "depth")) for at in profile.depth]
    if is_recording():
        share = leaf(share, "given", "share", "a radius as it is, half of a diameter")
        nominal = leaf(nominal, "given", "nominal", "nominal diameter, or half of it", unit="m")
        rows = [
            [shown("wear_mm", wear_at(read(float(cell), "reading"), nominal, share)) for cell in row]
            for row in profile.sizes
        ]
    else:
        rows = [[shown("wear_mm", cell) for cell in row] for row in ((profile.sizes - nominal) * share).tolist()]
    kind: Of = "worst diameter" if bore.readings is None else bore.readings.kind
    return {"of": kind, "clock": clock, "depth_mm": depth, "wear_mm": rows}


def wear_of(survey: Survey) -> Wear:
    """Return how a bore is worn."""
    wear, trust = survey.wear, survey.trust
    figures = Worn(
        worn_volume_mm3=wear.worn_volume,
        largest_diameter_mm=wear.largest_diameter,
        smallest_diameter_mm=wear.smallest_diameter,
        mean_diameter_mm=wear.mean_diameter,
        max_radial_wear_mm=wear.max_radial_wear,
        out_of_round_mm=wear.out_of_round,
        taper_mm=wear.taper,
        reading_uncertainty_mm=trust.reading,
        diameter_uncertainty_mm=trust.diameter,
        radial_wear_uncertainty_mm=trust.radial_wear,
        worn_volume_uncertainty_mm3=trust.volume,
    )
    if survey.about_axis is not None:
        figures["wear_about_axis_mm"] = survey.about_axis
    sections, cylinders = form_of(survey.profile, survey.bore.length)
    return {
        **all_shown(figures),
        "clock_map": _map(survey),
        "clock_sections": [_section(depth, fits) for depth, fits in sections],
        "clock_cylinders": [_fit(one, depth=True) for one in cylinders],
        "risks": list(survey.risks),
    }


def _fit(one: Fitted, depth: bool) -> Fit:
    """Return a fitted circle or cylinder; what turns with the clock says so."""
    form = Form(name=one.name, diameter_mm=size_of(one), offset_mm=offset_of(one), out_of_round_mm=out_of_form(one))
    if depth:
        form["tilt_mm_m"] = tilt_of(one)
    found = cast(Fit, all_shown(form))  # its places on the clock, which are as typed, follow
    found["clock_offset"] = typed(one.clock, "clock")
    found["clock_deciding"] = [typed(at, "clock") for at, _ in one.deciding]
    if depth:
        found["clock_deciding_depths_mm"] = [shown("depth_mm", read(at, "depth")) for _, at in one.deciding]
    return found


def _section(depth: float, fits: Iterable[Fitted]) -> Section:
    """Return the reference circles of one section."""
    return {"depth_mm": shown("depth_mm", read(depth, "depth")), "circles": [_fit(one, depth=False) for one in fits]}
