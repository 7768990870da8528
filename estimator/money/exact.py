"""The bill's unrounded twin: the same recipe on floats, one number each or arrays of one length, up to the price.

Quantities and amounts stand as they come, where the printed bill rounds both. The price before tax is cost with margin
or markup, and not below the minimum charge; the book's rounding of prices is left out, since a step in it would hide a
small change, and so is tax.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.book.pricebook import PriceBook
from estimator.either import larger
from estimator.money.lines import SOLD, bears, share_of, symbol_of
from estimator.money.price import discount_of
from estimator.money.price import share_of as way_of
from estimator.money.recipe import Entry, Odds, Part, Share, Sold, recipe_of
from estimator.plans import Figures
from estimator.units import factor

__all__ = ["ExactBill", "ExactLine", "exact_of"]


@dataclass(frozen=True)
class ExactLine:
    """One line of the twin: which one it is, its amount [the currency], and whether margin is laid on it."""

    code: str
    bore: str | None
    amount: float
    bears: bool = True


@dataclass(frozen=True)
class ExactBill:
    """The twin of a bill. [the currency]"""

    lines: tuple[ExactLine, ...]
    cost: float
    before_tax: float


def _amount(one: Entry, book: PriceBook) -> float:
    symbol = symbol_of(one.unit)
    return one.quantity / (factor(symbol) if symbol else 1.0) * float(book.price(*one.path))


def _line(one: Part, lines: Sequence[ExactLine], book: PriceBook) -> ExactLine:
    """Return the line of one part of the recipe below the lines before it."""
    if isinstance(one, Share):
        return ExactLine(one.code, None, share_of(one, book) * _sum([each for each in lines if each.bears]))
    if isinstance(one, Odds):
        base, bearing = (
            sum(_amount(part, book) for part in one.parts),
            all(bears(part.path, book) for part in one.parts),
        )
        return ExactLine(one.code, one.bore, one.odds * base, bearing)
    if isinstance(one, Sold):
        return ExactLine(SOLD, None, one.quantity * float(one.price), one.at_cost)
    return ExactLine(one.code, one.bore, _amount(one, book), bears(one.path, book))


def _sum(lines: Sequence[ExactLine]) -> float:
    return sum((one.amount for one in lines), 0.0)


def _agreed(figures: Figures, listed: float) -> float:
    """Return what prices agreed for single bores add to a listed price."""
    fixed = [one for one in figures.bores if one.plan.survey.bore.price is not None]
    if not fixed:
        return 0.0
    whole, sold = figures.schedule, sum(one.quantity * float(one.paid.amount) for one in figures.plan.job.extras)
    together = sum(one.time.total for one in figures.bores) + whole.once + whole.fire_watch + whole.travel
    prices = sum(float(one.plan.survey.bore.price.amount) for one in fixed if one.plan.survey.bore.price is not None)
    return prices - sum(one.time.total for one in fixed) / together * (listed - sold)


def exact_of(figures: Figures) -> ExactBill:
    """Return the unrounded twin of the bill of a job; scalars or arrays of one length."""
    book, lines = figures.plan.book, list[ExactLine]()
    for one in recipe_of(figures):
        lines.append(_line(one, lines, book))
    bearing, charged = (_sum([one for one in lines if one.bears is kind]) for kind in (True, False))
    way, fraction = way_of(figures.plan.job, book)
    dearer = 1 / (1 - fraction) if way == "margin" else 1 + fraction
    least = float(book.price("minimum_charge"))
    listed = larger(bearing * dearer + charged, least)
    before = (listed + _agreed(figures, listed)) * (1 - discount_of(figures.plan.job, book))
    return ExactBill(tuple(lines), _sum(lines), before)
