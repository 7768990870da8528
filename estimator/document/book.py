"""The price book that was used, in the estimate document."""

from typing_extensions import TypedDict

from estimator.book.pricebook import PriceBook
from estimator.express import digits, shown

__all__ = ["Book", "book_of"]


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


def book_of(book: PriceBook) -> Book:
    """Return which price book was used, and what of it pages need."""
    return {
        "name": book.name,
        "note": book.note,
        "invented": book.invented,
        "basis": book.rates.basis,
        "sha256": book.digest,
        "shift_h": shown("shift_h", book.number("shift_length")),
        "tax_fraction": digits("tax_fraction", book.number("tax")),
        "validity_day": shown("validity_day", book.number("validity")),
    }
