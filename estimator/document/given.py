"""What was asked and read of a bore, in the estimate document, so that pages need nothing else."""

from typing import Literal, NotRequired

from typing_extensions import TypedDict

from estimator.document.readings import Readings, readings_of, typed
from estimator.express import all_shown
from estimator.job.features import Sector
from estimator.plans import BoreFigures

__all__ = ["Given", "given_of"]

ClockPart = TypedDict("ClockPart", {"from": float, "to": float})


class Given(TypedDict):
    """What was asked and read; `roughness_um`: none where nobody asked for one, and nobody is promised one."""

    nominal_diameter_mm: float
    length_mm: float
    plate_thickness_mm: float
    outside_diameter_mm: float
    outside_given: bool
    tolerance: str
    roughness_um: NotRequired[float | None]
    material: str
    axis: Literal["horizontal", "vertical"]
    line: str | None
    wear: str | None
    part_of: str | None
    clock_sector: ClockPart | None
    clock_pocket: ClockPart | None
    cut_already: bool
    readings: Readings | None


RADIAL = ("radius", "points")


def given_of(one: BoreFigures) -> Given:
    """Return what was asked and read, so that pages need nothing but the estimate document."""
    bore, heat = one.plan.survey.bore, one.plan.heat
    return all_shown(
        Given(
            nominal_diameter_mm=bore.nominal_diameter,
            length_mm=bore.length,
            plate_thickness_mm=heat.boss.around.thickness,
            outside_diameter_mm=heat.outside,
            outside_given=bore.outside_diameter is not None,
            tolerance=bore.tolerance if isinstance(bore.tolerance, str) else "limits as given",
            roughness_um=bore.roughness,
            material=one.plan.base.name,
            axis=bore.axis,
            line=bore.line,
            wear=None if bore.readings is not None and bore.readings.kind in RADIAL else bore.wear,
            part_of=bore.part_of,
            clock_sector=_sector(bore.sector),
            clock_pocket=_sector(bore.pocket),
            cut_already=bore.cleanup_diameter is not None,
            readings=readings_of(one.plan.survey),
        )
    )


def _sector(sector: Sector | None) -> ClockPart | None:
    """Return a part of the clock as it was typed."""
    if sector is None:
        return None
    return {"from": typed(sector.start, "from"), "to": typed(sector.end, "to")}
