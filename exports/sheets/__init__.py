"""The sheets of the quote workbook, one file a sheet, in the order they stand."""

from exports.cells import Builder
from exports.sheets import basis, bores, card, cautions, cutting, hours, inputs, offer, parts, price, weld

__all__ = ["QUOTE"]

QUOTE: tuple[Builder, ...] = (
    offer.sheet,
    bores.sheet,
    weld.sheet,
    card.sheets,
    cutting.sheet,
    parts.sheet,
    hours.sheet,
    price.sheet,
    inputs.sheet,
    basis.sheet,
    cautions.sheet,
)
