"""One bore of the typed estimate document. Keys are fixed; numbers carry their unit in the key."""

from typing import Literal, NotRequired

from typing_extensions import TypedDict

from estimator.document.typed_heat import Heat
from estimator.document.typed_setup import Setup
from estimator.document.typed_wear import Sizes, Wear
from estimator.document.typed_weld import Buildup, Layer

__all__ = ["Bore", "Buildup", "Consumption", "Heat", "Layer", "Machining"]


class Pass(TypedDict):
    """One pass: `limit` says what held its depth; bending of the bar and roughness of the bar's own passes only."""

    purpose: str
    from_mm: float
    to_mm: float
    depth_mm: float
    speed_m_min: float
    rpm: float
    feed_mm_rev: float
    time_min: float
    power_kW: float
    force_N: float
    torque_Nm: float
    edge_life_min: float
    edges: float
    deflection_mm: NotRequired[float]
    ra_um: NotRequired[float]
    rz_um: NotRequired[float]
    limit: str


class Machining(TypedDict):
    """What is cut, and with which bar; `bearing_after_mm` is null where the bar is overhung."""

    precut_volume_mm3: float
    finish_volume_mm3: float
    time_min: float
    chips_L: float
    machine: str
    bar: str
    bar_diameter_mm: float
    supports: str
    bearing_before_mm: float
    bearing_after_mm: float | None
    roughness_um: float
    measuring_stops: int
    edges: float
    passes: list[Pass]


class Consumption(TypedDict):
    """What is used up; parts are expected numbers, what is planned by rule (`planned_…`) included."""

    wire_kg: float
    gas_L: float
    tips: float
    nozzles: float
    inserts: float
    energy_kWh: float
    liners: float
    discs: float
    brackets: float
    anti_spatter_L: float
    burner_gas_kg: float
    fuel_L: float
    planned_tips: float
    planned_nozzles: float
    planned_inserts: float
    planned_liners: float
    arc_starts: float


class Time(TypedDict):
    """Where the time of a bore goes."""

    setup_min: float
    precut_min: float
    preheat_min: float
    weld_min: float
    cooldown_min: float
    finish_min: float
    inspection_min: float
    teardown_min: float
    total_min: float


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


ClockPart = TypedDict("ClockPart", {"from": float, "to": float})


class Given(TypedDict):
    """What was asked and read."""

    nominal_diameter_mm: float
    length_mm: float
    plate_thickness_mm: float
    outside_diameter_mm: float
    outside_given: bool
    tolerance: str
    material: str
    axis: Literal["horizontal", "vertical"]
    line: str | None
    wear: str | None
    part_of: str | None
    clock_sector: ClockPart | None
    clock_pocket: ClockPart | None
    cut_already: bool
    readings: Readings | None


class Feature(TypedDict):
    """What a bore has besides a plain cylinder, and what it takes."""

    code: str
    name: str
    text: str
    fill_volume_mm3: float
    fill_mass_kg: float
    arc_time_min: float
    removed_volume_mm3: float
    ground_volume_mm3: float
    grinding_min: float
    time_min: float
    passes: list[Pass]


class Watch(TypedDict):
    """What may be seen while welding, and what to do about it."""

    see: str
    do: str


class Card(TypedDict):
    """What stands on the bore's card besides its figures: the order of work, and what to watch."""

    order: list[str]
    watch: list[Watch]


class Bore(TypedDict):
    """One bore of the estimate."""

    name: str
    given: Given
    budget: bool
    wear: Wear
    sizes: Sizes
    buildup: Buildup
    heat: Heat
    machining: Machining
    consumption: Consumption
    time: Time
    features: list[Feature]
    card: Card
    setup: Setup
