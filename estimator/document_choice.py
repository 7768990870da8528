"""The typed documents of a comparison and an order. Money stands as text, as in the estimate."""

from typing import Literal

from typing_extensions import TypedDict

__all__ = ["Comparison", "Order"]


class Book(TypedDict):
    """The price book that was used."""

    name: str
    invented: bool
    note: str


class Choice(TypedDict):
    """One way out: what it costs a year, or why it cannot be costed."""

    name: Literal["repair", "sleeve", "replace"]
    first_cost: str | None
    downtime_h: float
    downtime_cost: str
    life_h: float | None
    life_years: float | None
    annual_cost: str | None
    feasible: bool
    reasons: list[str]


class BreakEven(TypedDict):
    """Where repair and replacement cost the same a year; null with a reason where that is nowhere."""

    replacement_price: str | None
    repair_life_h: float | None
    downtime_cost_per_h: str | None
    reasons: list[str]


class Comparison(TypedDict):
    """Repair, sleeve and replacement by annual cost."""

    reference: str
    currency: str
    pricebook: Book
    discount_rate: float
    hours_per_year: float
    downtime_cost_per_h: float
    choices: list[Choice]
    best: str | None
    reasons: list[str]
    break_even: BreakEven
    warnings: list[str]


class OrderLine(TypedDict):
    """One item: expected use, what covers it, what to order."""

    item: str
    kind: Literal["wire", "gas", "part"]
    unit: str
    expected: float
    to_cover: float
    on_hand: float
    pack_size: float
    packs: int
    quantity: float
    cost: str
    article: str | None


class Order(TypedDict):
    """What to take and to order for several jobs."""

    service_level: float
    jobs: int
    currency: str
    lines: list[OrderLine]
    total: str
    warnings: list[str]
