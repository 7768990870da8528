"""One bore of the typed estimate document. Keys are fixed; numbers carry their unit in the key."""

from typing import Literal, NotRequired

from typing_extensions import TypedDict

__all__ = ["Bore", "Buildup", "Consumption", "Heat", "Layer", "Machining"]


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


class FirstBead(TypedDict):
    """Settings of the first bead, or of what follows it."""

    current_A: float
    wire_feed_m_min: float
    travel_mm_min: float


class Layer(TypedDict):
    """One layer; settings are means over arc time."""

    number: int
    thickness_mm: float
    laid_thickness_mm: float
    start_diameter_mm: float
    end_diameter_mm: float
    step_mm: float
    turns: float
    beads: int
    rotation: Literal["clockwise", "counter-clockwise"]
    current_A: float
    voltage_V: float
    wire_feed_m_min: float
    travel_mm_min: float
    heat_input_kJ_mm: float
    volume_mm3: float
    arc_time_min: float
    bead_width_mm: float
    valley_mm: float
    first_bead: NotRequired[FirstBead]
    after_first: NotRequired[FirstBead]


class Alternative(TypedDict):
    """Another plan that was weighed."""

    name: str
    wire: str
    gas: str
    layers: int
    current_A: float
    saved_min: float
    remark: str


class Buildup(TypedDict):
    """How a bore is built up."""

    wire: str
    wire_kind: str
    gas: str
    gas_symbol: str
    gas_reason: str
    slag: str
    wire_g_m: float
    density_kg_m3: float
    deposition_efficiency: float
    feed_scatter: float
    voltage_scatter_V: float
    gas_flow_L_min: float
    required_volume_mm3: float
    deposit_volume_mm3: float
    deposit_mass_kg: float
    deposition_rate_kg_h: float
    arc_time_min: float
    limits: list[str]
    layers: list[Layer]
    alternatives: list[Alternative]


class Heat(TypedDict):
    """Preheat, interpass, cooling."""

    carbon_equivalent: float
    cet: float
    preheat_C: float
    interpass_max_C: float
    interpass_wait_min: float
    cooldown_min: float
    finish_cut_max_C: float
    burners: int
    machinable: bool
    advice: list[str]


class Pass(TypedDict):
    """One pass of the boring bar."""

    purpose: str
    from_mm: float
    to_mm: float
    depth_mm: float
    speed_m_min: float
    rpm: float
    feed_mm_rev: float
    time_min: float
    power_kW: float


class Machining(TypedDict):
    """What is cut."""

    precut_volume_mm3: float
    finish_volume_mm3: float
    time_min: float
    passes: list[Pass]


class Consumption(TypedDict):
    """What is used up; parts are expected numbers."""

    wire_kg: float
    gas_L: float
    tips: float
    nozzles: float
    inserts: float
    energy_kWh: float


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
