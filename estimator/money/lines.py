"""Cost lines: a printed quantity times a printed unit cost, rounded half up to the currency's minor unit."""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from estimator.book.pricebook import PriceBook
from estimator.formula import formula
from estimator.units import deci

__all__ = ["ODDS", "Line", "allowance_line", "amount_of", "line", "minor_of", "printed", "share_line", "total_of"]

CUSTOM = "half up, as on published rate sheets; quantities and rates as printed"
PLACES = {
    "h": "0.01",
    "machine h": "0.01",
    "overtime h": "0.01",
    "kg": "0.001",
    "L": "0.1",
    "each": "0.001",
    "kWh": "0.01",
    "km": "0.1",
    "night": "1",
}
SI_UNIT = {"machine h": "h", "overtime h": "h"}
ODDS = "odds"
PLAIN = ("each", "night")


@dataclass(frozen=True)
class Line:
    """One cost line: `price_key` is where its unit cost stands in the book, `bears` whether margin is laid on it."""

    code: str
    description: str
    bore: str | None
    quantity: Decimal
    unit: str
    unit_cost: Decimal
    amount: Decimal
    price_key: str | None = None
    bears: bool = True


def minor_of(book: PriceBook) -> str:
    """Return the smallest amount of the book's currency, as text ("0.01")."""
    return str(Decimal(1).scaleb(-book.places()))


@formula("quantity", CUSTOM, "published")
def printed(quantity: float, unit: str, step: str) -> Decimal:
    """Quantity as it is printed. [the line's unit]"""
    number = quantity if unit == "" else deci(quantity, unit)
    return Decimal(repr(float(f"{number:.12g}"))).quantize(Decimal(step), ROUND_HALF_UP)


@formula("amount", CUSTOM, "published")
def amount_of(quantity: Decimal, unit_cost: Decimal, minor: str) -> Decimal:
    """Amount of a line: quantity times unit cost. [the currency]"""
    return (quantity * unit_cost).quantize(Decimal(minor), ROUND_HALF_UP)


@formula("total", "definition: sum of rounded lines", "computed")
def _sum_of(minor: str, **amounts: Decimal) -> Decimal:
    """Sum of amounts. [the currency]"""
    return sum(amounts.values(), Decimal(0)).quantize(Decimal(minor))


def total_of(lines: list[Line], minor: str) -> Decimal:
    """Return the sum of lines. [the currency]"""
    return _sum_of(minor, **{f"line_{number}": one.amount for number, one in enumerate(lines, 1)})


def line(
    code: str,
    description: str,
    bore: str | None,
    quantity: float,
    unit: str,
    path: tuple[str, ...],
    book: PriceBook,
    step: str = "",
) -> Line:
    """Return the line of a quantity at the price that stands at a path of the book; `step` is what it is printed to."""
    symbol = "" if unit in PLAIN else SI_UNIT.get(unit, unit)
    count, cost = printed(quantity, symbol, step or PLACES[unit]), book.price(*path)
    charged = "labour" in path[-1] and book.rates.basis == "charge-out"
    return Line(
        code, description, bore, count, unit, cost, amount_of(count, cost, minor_of(book)), ".".join(path), not charged
    )


def allowance_line(code: str, description: str, bore: str, odds: float, parts: list[Line], book: PriceBook) -> Line:
    """Return a line that lays the odds of some work on what all of it would cost; the parts stand in no bill."""
    base = total_of(parts, minor_of(book))
    count = printed(odds, "", "0.0001")
    bears = all(one.bears for one in parts)
    return Line(
        code, description, bore, count, ODDS, base, amount_of(count, base, minor_of(book)), price_key=None, bears=bears
    )


def share_line(code: str, description: str, share: float, lines: list[Line], book: PriceBook) -> Line:
    """Return a line that lays a share on all lines that bear one."""
    base = total_of([one for one in lines if one.bears], minor_of(book))
    count = printed(share, "", "0.000001")
    return Line(code, description, None, count, "of cost", base, amount_of(count, base, minor_of(book)))
