"""What goes out: the typed estimate document. Keys are fixed; numbers carry their unit in the key.

Money stands as text with as many places as the currency has.
"""

from typing import Literal, NotRequired

from typing_extensions import TypedDict

from estimator.document.typed_bore import Bore, Consumption
from estimator.document.typed_line import Line
from estimator.document.typed_schedule import Schedule
from estimator.document.typed_times import ElementCount, TimesSum

__all__ = ["Budget", "Cost", "Estimate", "Price", "Totals"]


class Totals(Consumption):
    """The whole job."""

    arc_time_min: float
    on_site_min: float
    once_min: float
    fire_watch_min: float
    used_wait_min: float
    travel_min: float
    labour_h: float
    elapsed_h: float
    overtime_h: float
    standing_h: float
    nights: int
    trips: int
    people: int


class CostLine(TypedDict):
    """A cost line: printed quantity times printed unit cost, rounded half up."""

    code: str
    description: str
    bore: str | None
    quantity: float
    unit: str
    unit_cost: str
    amount: str
    price_key: str | None
    bears_margin: bool


class Cost(TypedDict):
    """Cost lines and their sum."""

    lines: list[CostLine]
    total: str


class PriceRule(TypedDict):
    """How the price is made of the cost: a margin is a fraction of the price, a markup one of the cost."""

    method: str
    fraction: float
    minimum_charge: str
    rounding: str
    tax: float


class Price(TypedDict):
    """What the customer pays."""

    currency: str
    before_tax: str
    tax: str
    total: str
    margin: float
    rule: PriceRule


class OtherWear(TypedDict):
    """What the other kind of wear would ask for."""

    name: str
    wear: str
    cleanup_mm: float
    deposit_mass_kg: float


class Budget(TypedDict):
    """What a budget price is worth and how to make an offer of it."""

    title: str
    bores: list[str]
    band_low: float
    band_high: float
    price_low: str
    price_high: str
    other_wear: list[OtherWear]
    other_price: str | None
    other_refused: list[str]
    measure: list[str]


class CutBore(TypedDict):
    """One bore as gauged and as really cut."""

    name: str
    planned_cleanup_mm: float
    cut_cleanup_mm: float
    deposit_more_kg: float


class Variation(TypedDict):
    """What the bores as really cut add; to be signed before work goes on."""

    bores: list[CutBore]
    on_site_more_min: float | None
    price_more: str | None
    refused: list[str]


class Way(TypedDict):
    """One way of building a bore up: what it takes against the full circle, or why it cannot be had."""

    way: str
    feasible: bool
    cleanup_mm: NotRequired[float]
    deposit_mass_kg: NotRequired[float]
    good_metal_kept_mm3: NotRequired[float]
    starts: NotRequired[float]
    interrupted_cut: NotRequired[bool]
    on_site_more_min: NotRequired[float]
    price_more: NotRequired[str]
    reasons: list[str]


class Ways(TypedDict):
    """A bore worn on one side only: the ways beside each other, and the one advised."""

    bore: str
    clock_from: float
    clock_to: float
    options: list[Way]
    advised: str
    why: str


class Book(TypedDict):
    """The price book that was used."""

    name: str
    note: str
    invented: bool
    basis: str
    sha256: str
    shift_h: float
    tax_fraction: float
    validity_day: float


class Machine(TypedDict):
    """The machine the part belongs to."""

    description: str
    machine_hours: float | None


class Place(TypedDict):
    """Where the machine stands."""

    access: str
    distance_km: float
    ambient_C: float | None
    wind_m_s: float | None


class JobSaid(TypedDict):
    """What the job says of customer, machine and place."""

    title: str | None
    note: str | None
    customer: str | None
    equipment: Machine | None
    site: Place


class Scope(TypedDict):
    """What is included, excluded, and left to the customer."""

    included: list[str]
    excluded: list[str]
    customer: list[str]


class ShadeRow(TypedDict):
    """Least filter shade over a range of current."""

    range: str
    minimum_shade: float
    source: str


class GradedWarning(TypedDict):
    """A warning and how grave it is: stop until it is settled, somebody must approve, or mind it."""

    grade: Literal["stop", "approve", "mind"]
    text: str


class Procedure(TypedDict):
    """What is not welded without a qualified procedure, who decides, and the bores of the job that it holds for."""

    case: str
    action: Literal["refuse", "approve", "warn"]
    who_decides: str
    why: str
    bores: list[str]


class Estimate(TypedDict):
    """The estimate of a job."""

    reference: str
    engine: str
    pricebook: Book
    input_sha256: str
    job: JobSaid
    bores: list[Bore]
    lines: list[Line]
    schedule: Schedule
    totals: Totals
    times: list[ElementCount]
    times_sum: TimesSum
    cost: Cost
    price: Price
    scope: Scope
    advice_to_welder: list[str]
    assumptions: list[str]
    shades: list[ShadeRow]
    warnings: list[str]
    warnings_graded: list[GradedWarning]
    procedures: list[Procedure]
    cautions: list[str]
    cautions_short: list[str]
    budget: NotRequired[Budget]
    variation: NotRequired[Variation]
    ways: NotRequired[list[Ways]]
