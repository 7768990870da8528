"""Cost lines: a printed quantity times a printed unit cost, rounded half up to the currency's minor unit."""

import functools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

from estimator.book.pricebook import PriceBook
from estimator.book.scale import bears
from estimator.formula import formula, is_recording
from estimator.money.recipe import Entry, Odds, Part, Share, Sold
from estimator.units import deci

__all__ = [
    "CALL_OUT",
    "ODDS",
    "PLACES",
    "SOLD",
    "Kind",
    "Line",
    "amount_of",
    "line",
    "lines_of",
    "minor_of",
    "printed",
    "share_line",
    "share_of",
    "symbol_of",
    "to_minor",
    "total_of",
]

CUSTOM = "half up, as on published rate sheets; quantities and rates as printed"
PLACES = {
    "h": "0.01",
    "rig h": "0.01",
    "overtime h": "0.01",
    "night h": "0.01",
    "weekend h": "0.01",
    "kg": "0.001",
    "L": "0.1",
    "each": "0.001",
    "kWh": "0.01",
    "km": "0.1",
    "night": "1",
}
SI_UNIT = {"rig h": "h", "overtime h": "h", "night h": "h", "weekend h": "h"}
ODDS = "odds"
Kind = Literal["priced", "odds", "share", "sold"]
SOLD, CALL_OUT = "extra", "call-out"
PLAIN = ("each", "night")


@dataclass(frozen=True)
class Line:
    """One cost line.

    `kind`: a quantity at a price of the book, odds laid on what some work would cost, a share of the lines before, or
    something sold at the job's own price;
    `price_key`: where the price stands in the book; `bears`: whether margin is laid on it.
    """

    code: str
    description: str
    bore: str | None
    quantity: Decimal
    unit: str
    unit_cost: Decimal
    amount: Decimal
    kind: Kind
    price_key: str | None = None
    bears: bool = True


def minor_of(book: PriceBook) -> str:
    """Return the smallest amount of the book's currency, as text ("0.01")."""
    return _minor(book.places())


@functools.cache
def _minor(places: int) -> str:
    return str(Decimal(1).scaleb(-places))


def symbol_of(unit: str) -> str:
    """Return the unit that a line's quantity is converted to; none for what is counted."""
    return "" if unit in PLAIN else SI_UNIT.get(unit, unit)


@formula("quantity", CUSTOM, "published")
def printed(quantity: float, unit: str, printed_step: str) -> Decimal:
    """Quantity as it is printed. [the line's unit]"""
    number = quantity if unit == "" else deci(quantity, unit)
    return Decimal(repr(float(f"{number:.12g}"))).quantize(Decimal(printed_step), ROUND_HALF_UP)


def to_minor(amount: Decimal, minor: str) -> Decimal:
    """Return an amount rounded half up to its currency's places. [the currency]"""
    return amount.quantize(Decimal(minor), ROUND_HALF_UP)


@formula("amount", CUSTOM, "published")
def amount_of(quantity: Decimal, unit_cost: Decimal, minor: str) -> Decimal:
    """Amount of a line: quantity times unit cost. [the currency]"""
    return to_minor(quantity * unit_cost, minor)


@formula("total", "definition: sum of rounded lines", "computed")
def _sum_of(minor: str, **amounts: Decimal) -> Decimal:
    """Sum of amounts. [the currency]"""
    return sum(amounts.values(), Decimal(0)).quantize(Decimal(minor))


def total_of(lines: list[Line], minor: str) -> Decimal:
    """Return the sum of lines. [the currency]"""
    if not is_recording():
        return sum((one.amount for one in lines), Decimal(0)).quantize(Decimal(minor))
    return _sum_of(minor, **{f"line_{number} {_named(one)}": one.amount for number, one in enumerate(lines, 1)})


def _named(one: Line) -> str:
    """Return what a line is for, as an explanation names it: "welding, bore A"."""
    return one.description if one.bore is None else f"{one.description}, bore {one.bore}"


def line(one: Entry, book: PriceBook) -> Line:
    """Return the line of a quantity at its price."""
    count, cost = printed(one.quantity, symbol_of(one.unit), one.step or PLACES[one.unit]), book.price(*one.path)
    return Line(
        code=one.code,
        description=one.description,
        bore=one.bore,
        quantity=count,
        unit=one.unit,
        unit_cost=cost,
        amount=amount_of(count, cost, minor_of(book)),
        kind="priced",
        price_key=".".join(one.path),
        bears=bears(one.path, book),
    )


def odds_line(one: Odds, book: PriceBook) -> Line:
    """Return a line that lays the odds of some work on what all of it would cost; the parts stand in no bill."""
    minor, parts = minor_of(book), [line(part, book) for part in one.parts]
    base, count = total_of(parts, minor), printed(one.odds, "", "0.0001")
    return Line(
        code=one.code,
        description=one.description,
        bore=one.bore,
        quantity=count,
        unit=ODDS,
        unit_cost=base,
        amount=amount_of(count, base, minor),
        kind="odds",
        bears=all(part.bears for part in parts),
    )


def sold_line(one: Sold, book: PriceBook) -> Line:
    """Return the line of something sold beside the repair: at its own price, or at cost with margin on it."""
    count = printed(one.quantity, "", "0.001")
    return Line(
        code=SOLD,
        description=one.description,
        bore=None,
        quantity=count,
        unit=one.unit,
        unit_cost=one.price,
        amount=amount_of(count, one.price, minor_of(book)),
        kind="sold",
        bears=one.at_cost,
    )


def share_of(one: Share, book: PriceBook) -> float:
    """Return the fraction of a share: as it was worked out, else as it stands in the book."""
    return book.number(one.path) if one.fraction is None else one.fraction


def share_line(one: Share, lines: list[Line], book: PriceBook) -> Line:
    """Return a line that lays a share on all lines before it that bear one."""
    minor = minor_of(book)
    base, count = (
        total_of([each for each in lines if each.bears], minor),
        printed(share_of(one, book), "", "0.000001"),
    )
    amount = amount_of(count, base, minor)
    return Line(
        code=one.code,
        description=one.code,
        bore=None,
        quantity=count,
        unit="of cost",
        unit_cost=base,
        amount=amount,
        kind="share",
    )


def lines_of(parts: Iterable[Part], book: PriceBook, before: Sequence[Line] = ()) -> list[Line]:
    """Return the lines of a recipe below those `before`; what is spare and prints as nothing has none."""
    lines = list(before)
    for one in parts:
        if isinstance(one, Share):
            lines.append(share_line(one, lines, book))
        elif isinstance(one, Odds):
            lines.append(odds_line(one, book))
        elif isinstance(one, Sold):
            lines.append(sold_line(one, book))
        else:
            found = line(one, book)
            lines += [] if one.spare and not found.quantity else [found]
    return lines
