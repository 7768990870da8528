"""The cost lines of the estimate document and their sum. Money stands as text."""

from decimal import Decimal
from typing import cast

from typing_extensions import TypedDict

from estimator.express import money, rate
from estimator.formula import is_recording
from estimator.money.bill import Bill
from estimator.money.lines import Kind, Line

__all__ = ["Cost", "cost_of", "quantity_shown"]


class CostLine(TypedDict):
    """A cost line: printed quantity times printed unit cost, rounded half up.

    `kind`: a quantity at a price of the book, odds laid on what some work would cost, or a share of the lines before.
    """

    code: str
    kind: Kind
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


def _line(line: Line, minor: str) -> CostLine:
    return {
        "code": line.code,
        "kind": line.kind,
        "description": line.description,
        "bore": line.bore,
        "quantity": quantity_shown(line.quantity),
        "unit": line.unit,
        "unit_cost": rate(line.unit_cost),
        "amount": money(line.amount, minor),
        "price_key": line.price_key,
        "bears_margin": line.bears,
    }


def quantity_shown(printed: Decimal) -> float:
    """Return a printed quantity as a number; while recording, as the decimal that knows why."""
    return cast(float, printed) if is_recording() else float(printed)  # whoever explains takes any number


def cost_of(bill: Bill, minor: str) -> Cost:
    """Return the cost lines of a bill and their sum."""
    return {"lines": [_line(line, minor) for line in bill.lines], "total": money(bill.price.cost, minor)}
