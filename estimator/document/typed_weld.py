"""How a bore is built up, in the typed estimate document. Keys are fixed; numbers carry their unit in the key."""

from typing import Literal, NotRequired

from typing_extensions import TypedDict

__all__ = ["Buildup", "Layer"]


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
