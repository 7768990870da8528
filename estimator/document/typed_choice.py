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


class PackTaken(TypedDict):
    """How many packs of one size."""

    pack_size: float
    packs: int
    article: str | None


class OrderLine(TypedDict):
    """One item: expected use, what covers it, what to order.

    `expected` is by chance, `planned` by rule. `packs` and `quantity` are of the usual pack; `mix` is what to order
    where an item comes in several sizes, and `cost` is that of the mix. `service` is the likelihood that `to_cover` is
    enough.
    """

    item: str
    kind: Literal["wire", "gas", "part", "bulk"]
    unit: str
    supplier: str
    expected: float
    planned: float
    deviation: float
    to_cover: float
    service: float
    on_hand: float
    pack_size: float
    packs: int
    quantity: float
    mix: list[PackTaken]
    cost: str
    article: str | None
    advised_service_level: float | None
    advised_cover: float | None


class Group(TypedDict):
    """The items of one supplier."""

    supplier: str
    items: list[str]


class RunsOut(TypedDict):
    """After how many arc hours an item is used up, and where; no job and bore where it outlasts all of them."""

    item: str
    arc_h: float
    job: str | None
    bore: str | None
    stock: Literal["on hand", "as ordered"]


class Taken(TypedDict):
    """What to put on the van of one item."""

    item: str
    unit: str
    expected: float
    take: float


class VanDay(TypedDict):
    """What to put on the van when it leaves: first and last day, jobs, hours with travel."""

    day: int
    until: int
    jobs: list[str]
    hours: float
    take: list[Taken]


class Order(TypedDict):
    """What to take and to order for several jobs.

    `together` is the likelihood that no item at all runs short, `level_for_all` the level to ask for so that this
    reaches the service level; both as if items ran short independently.
    """

    service_level: float
    together: float
    level_for_all: float
    jobs: int
    currency: str
    lines: list[OrderLine]
    suppliers: list[Group]
    runs_out: list[RunsOut]
    days: list[VanDay]
    total: str
    warnings: list[str]
