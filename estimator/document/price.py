"""What the customer pays, in the estimate document, and how it is made of the cost. Money stands as text."""

from typing_extensions import TypedDict

from estimator.book.pricebook import PriceBook
from estimator.express import digits, money, rate
from estimator.money.bill import Bill

__all__ = ["Price", "price_of"]


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


def _rule(book: PriceBook, minor: str) -> PriceRule:
    """Return how the price is made of the cost, for the workbook's formulas."""
    return {
        "method": "margin" if book.margin is not None else "markup",
        "fraction": digits("margin", book.number("margin" if book.margin is not None else "markup")),
        "minimum_charge": money(book.price("minimum_charge"), minor),
        "rounding": rate(book.price("rounding")),
        "tax": digits("tax_fraction", book.number("tax")),
    }


def price_of(bill: Bill, book: PriceBook, minor: str) -> Price:
    """Return what the customer pays."""
    price = bill.price
    return {
        "currency": book.currency,
        "before_tax": money(price.before_tax, minor),
        "tax": money(price.tax, minor),
        "total": money(price.total, minor),
        "margin": digits("margin", price.margin),
        "rule": _rule(book, minor),
    }
