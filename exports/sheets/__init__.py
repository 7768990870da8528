"""The sheets of the quote workbook, one file a sheet, in the order they stand."""

from estimator.estimate import Estimate
from exports.cells import Builder
from exports.format import has
from exports.sheets import (
    as_found,
    basis,
    card,
    cautions,
    cutting,
    day,
    hours,
    inputs,
    order_of_work,
    parts,
    price,
    quote,
    sizes,
    spread,
    weld,
)

__all__ = ["QUOTE", "quote_sheets"]

QUOTE: tuple[Builder, ...] = (
    quote.sheet,
    sizes.sheet,
    as_found.sheet,
    weld.sheet,
    card.sheets,
    day.sheets,
    cutting.sheet,
    parts.sheet,
    hours.sheet,
    order_of_work.sheet,
    price.sheet,
    spread.sheets,
    inputs.sheet,
    basis.sheet,
    cautions.sheet,
)
COSTED: tuple[Builder, ...] = (price.sheet, spread.sheets, inputs.sheet)
PRICED: tuple[Builder, ...] = (quote.sheet,)


def quote_sheets(estimate: Estimate) -> tuple[Builder, ...]:
    """Return the sheets for an estimate document; without those of the cost, or of any money, where it holds none."""
    left = () if has(estimate, "cost") else COSTED
    left += () if has(estimate, "price") else PRICED
    return tuple(sheet for sheet in QUOTE if sheet not in left)
