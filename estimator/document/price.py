"""What the customer pays, in the estimate document, and how it is made of the cost. Money stands as text."""

from decimal import Decimal
from typing import NotRequired

from typing_extensions import TypedDict

from estimator.document.cost import quantity_shown
from estimator.express import digits, money, rate
from estimator.money.bill import Bill
from estimator.money.parts import Kind, PartOfPrice, parts_of, several_rates
from estimator.money.price import Taxed, discount_of, share_of
from estimator.plans import Figures

__all__ = ["Price", "price_of"]


class PriceRule(TypedDict):
    """How the price is made of the cost: a margin is a fraction of the price, a markup one of the cost."""

    method: str
    fraction: float
    minimum_charge: str
    discount: float
    rounding: str
    tax: float
    agreed: NotRequired[str]


class PricePart(TypedDict):
    """A part of the price before tax: of a bore, of what is done once a job, of travel, of an extra, the discount.

    Of an extra also what it is and how it is priced, of a discount its fraction.
    """

    bore: str | None
    part: Kind
    amount: str
    text: NotRequired[str]
    quantity: NotRequired[float]
    unit: NotRequired[str]
    price: NotRequired[str]
    fraction: NotRequired[float]
    tax_fraction: NotRequired[float]


class TaxAt(TypedDict):
    """What is taxed at one rate: the rate, the part of the price before tax that it is on, and the tax."""

    tax_fraction: float
    before_tax: str
    tax: str


class Price(TypedDict):
    """What the customer pays; `bores` add up to `before_tax`; `taxes`, by rate, is there where rates differ."""

    currency: str
    bores: list[PricePart]
    before_tax: str
    tax: str
    taxes: NotRequired[list[TaxAt]]
    total: str
    margin: float
    rule: PriceRule


def _rule(figures: Figures, agreed: Decimal, minor: str) -> PriceRule:
    """Return how the price is made of the cost, for the workbook's formulas; `agreed`: what agreed prices add."""
    book, (way, fraction) = figures.plan.book, share_of(figures.plan.job, figures.plan.book)
    found: PriceRule = {
        "method": way,
        "fraction": digits("margin", fraction),
        "minimum_charge": money(book.price("minimum_charge"), minor),
        "discount": digits("discount", discount_of(figures.plan.job, book)),
        "rounding": rate(book.price("rounding")),
        "tax": digits("tax_fraction", book.number("tax")),
    }
    if agreed:
        found["agreed"] = money(agreed, minor)
    return found


def _part(one: PartOfPrice, figures: Figures, minor: str) -> PricePart:
    """Return a part of the price; of an extra also what it is, of a discount its fraction."""
    found: PricePart = {"bore": one.bore, "part": one.kind, "amount": money(one.amount, minor)}
    if one.line is not None and one.each is not None:
        line = one.line
        found["text"], found["unit"] = line.description, line.unit
        found["quantity"], found["price"] = quantity_shown(line.quantity), rate(one.each)
    if one.kind == "discount":
        found["fraction"] = digits("discount", discount_of(figures.plan.job, figures.plan.book))
    elif several_rates(figures.plan.job, figures.plan.book):
        found["tax_fraction"] = digits("tax_fraction", one.tax)
    return found


def price_of(bill: Bill, figures: Figures, minor: str) -> Price:
    """Return what the customer pays."""
    price, book = bill.price, figures.plan.book
    found: Price = {
        "currency": book.currency,
        "bores": [_part(one, figures, minor) for one in parts_of(figures, list(bill.lines), price)],
        "before_tax": money(price.before_tax, minor),
        "tax": money(price.tax, minor),
        "total": money(price.total, minor),
        "margin": digits("margin", price.margin),
        "rule": _rule(figures, price.agreed, minor),
    }
    if len(price.taxes) > 1 or any(one.fraction != book.tax for one in price.taxes):
        found["taxes"] = [_taxed(one, minor) for one in price.taxes]
    return found


def _taxed(one: Taxed, minor: str) -> TaxAt:
    return {
        "tax_fraction": digits("tax_fraction", one.fraction),
        "before_tax": money(one.base, minor),
        "tax": money(one.tax, minor),
    }
