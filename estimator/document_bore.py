"""One bore of the typed estimate document. Keys are fixed; numbers carry their unit in the key."""

from typing import Literal, NotRequired

from typing_extensions import TypedDict

from estimator.document_wear import Sizes, Wear

__all__ = ["Bore", "Buildup", "Consumption", "Heat", "Layer", "Machining"]


class FirstBead(TypedDict):
    """Settings of the first bead, or of what follows it."""

    current_A: float
    wire_feed_m_min: float
    travel_mm_min: float


class Composition(TypedDict):
    """What a layer is made of, in percent by mass."""

    C: float
    Si: float
    Mn: float


class Transfer(TypedDict):
    """How metal goes over in the arc, by which row of its table and why."""

    mode: Literal["short arc", "pulse", "large drops", "spray", "spray under slag", "unknown"]
    row: str
    reason: str
    source: str


class Charts(TypedDict):
    """The printed charts behind a wire's burn-off law, and how far it lies from them."""

    points: int
    charts: list[str]
    published: bool
    feed_band_low: float
    feed_band_high: float


class OwnArc(TypedDict):
    """By what share the shop's own arc moved the wire's row."""

    text: str
    feed_moved: float
    aspect_moved: float


class Ends(TypedDict):
    """How the bore's ends are laid, how short a side they stay, and what boring takes off."""

    how: Literal["run over", "run-off rings"]
    turns_over: float
    shortfall_mm: float
    left_to_bore_mm: float
    cleans_up: bool


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
    bead_height_mm: float
    overlap: float
    valley_mm: float
    composition: Composition
    dilution: float
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


class Weighed(TypedDict):
    """A plan that the search weighed; `cost` is what the weld is worth in the choice, not what is billed."""

    layers: int
    current_A: float
    step_mm: float
    thickness_mm: float
    time_min: float
    heat_kJ: float
    rework_odds: float
    cost: NotRequired[str]
    why_not: NotRequired[str]


class Saves(TypedDict):
    """What loosening a limit saves, by the plan's aim."""

    cost: NotRequired[str]
    time_min: NotRequired[float]
    heat_kJ: NotRequired[float]


class ShadowPrice(TypedDict):
    """What one limit costs: loosened by one unit it would save that much."""

    limit: str
    reason: str
    quantity: str
    loosened_by: str
    saves: Saves


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
    transfer: Transfer
    charts: Charts | None
    own_arc: OwnArc | None
    ends: Ends
    aim: Literal["cost", "hours", "heat"]
    rework_odds: float
    frontier: list[Weighed]
    neighbours: list[Weighed]
    shadow_prices: list[ShadowPrice]
    limits: list[str]
    layers: list[Layer]
    alternatives: list[Alternative]


class Warm(TypedDict):
    """How warm the bore is before and after a layer, and the burner that keeps it warm meanwhile."""

    layer: int
    start_C: float
    end_C: float
    keep_kW: float


class Wait(TypedDict):
    """A wait where it comes: in which layer, after which bead, at what temperature of the bore, in how many stops."""

    layer: int
    after_bead: int
    from_C: float
    wait_min: float
    stops: int


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
    boss_kg: float
    burner_min: float
    wait_saving_min: float
    course: list[Warm]
    waits: list[Wait]
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
