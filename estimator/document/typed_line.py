"""One line of the typed estimate document: the axis of bores that share a pin."""

from typing import Literal, NotRequired

from typing_extensions import TypedDict

__all__ = ["Line"]


class PlacedBore(TypedDict):
    """A bore about an axis: where the axis lies at mid-length, its shift from the original centre, the clean-up."""

    name: str
    x_mm: float
    y_mm: float
    shift_mm: float
    cleanup_mm: float


class Axis(TypedDict):
    """One choice of axis: place at position 0, tilt, what it needs, whether it keeps every rule."""

    choice: str
    feasible: bool
    reasons: list[str]
    x_mm: float
    y_mm: float
    tilt_x_mm_m: float
    tilt_y_mm_m: float
    required_volume_mm3: float
    bores: list[PlacedBore]


class Saves(TypedDict):
    """What the chosen axis saves against a plain one."""

    against: str
    required_volume_mm3: float
    deposit_mass_kg: float


class Station(TypedDict):
    """A bore or datum on the line."""

    name: str
    kind: Literal["bore", "datum"]
    position_mm: float
    length_mm: float
    nominal_mm: NotRequired[float]
    original_x_mm: float
    original_y_mm: float
    worn_x_mm: NotRequired[float]
    worn_y_mm: NotRequired[float]
    position_tolerance_mm: NotRequired[float]


class Line(TypedDict):
    """The axis of one line."""

    name: str
    bores: list[str]
    chosen: str
    axes: list[Axis]
    saves: Saves | None
    stations: list[Station]
