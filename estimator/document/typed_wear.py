"""How a bore is worn and what it is worked to, in the typed estimate document."""

from typing import Literal, NotRequired

from typing_extensions import TypedDict

__all__ = ["Sizes", "Wear"]


class ClockMap(TypedDict):
    """Wear a side on clock x depth; `of` says what was read."""

    of: Literal["diameter", "radius", "three-point", "points", "worst diameter"]
    clock: list[float]
    depth_mm: list[float]
    wear_mm: list[list[float]]


class Fit(TypedDict):
    """A circle or cylinder fitted to radii: its centre's offset from the readings' zero, the readings that fix it."""

    name: str
    diameter_mm: float
    offset_mm: float
    out_of_round_mm: float
    tilt_mm_m: NotRequired[float]
    clock_offset: float
    clock_deciding: list[float]
    clock_deciding_depths_mm: NotRequired[list[float]]


class Section(TypedDict):
    """The reference circles of one section."""

    depth_mm: float
    circles: list[Fit]


class Wear(TypedDict):
    """How a bore is worn."""

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
    clock_map: ClockMap
    clock_sections: list[Section]
    clock_cylinders: list[Fit]
    risks: list[str]


class ClockWalls(TypedDict):
    """Wall left round the clock."""

    clock: list[float]
    wall_left_mm: list[float]


class ClockAxis(TypedDict):
    """Where the axis of the line lies from the zero of the readings: to 3 and to 12 o'clock."""

    x_mm: float
    y_mm: float


class Sizes(TypedDict):
    """Diameters to work to."""

    finish_min_mm: float
    finish_max_mm: float
    cleanup_mm: float
    weld_mm: float
    wall_left_mm: NotRequired[float]
    clock_walls: NotRequired[ClockWalls]
    clock_axis: NotRequired[ClockAxis]
