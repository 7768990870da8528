"""What the customer pays, in the estimate document, and how it is made of the cost. Money stands as text."""

from collections.abc import Iterator
from typing import Literal, NotRequired

from typing_extensions import TypedDict

from estimator.book.pricebook import PriceBook
from estimator.days.taken import taken_in_order
from estimator.document.cost import quantity_shown
from estimator.express import digits, money, rate
from estimator.formula import leaf, summed
from estimator.money.bill import Bill
from estimator.money.lines import SOLD, Line, total_of
from estimator.money.price import discount_of, discounted, part_of
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


class PricePart(TypedDict):
    """A part of the price before tax: of a bore, of what is done once a job, of travel, of an extra, the discount.

    Of an extra also what it is and how it is priced, of a discount its fraction.
    """

    bore: str | None
    part: Literal["bore", "once", "travel", "extra", "discount"]
    amount: str
    text: NotRequired[str]
    quantity: NotRequired[float]
    unit: NotRequired[str]
    price: NotRequired[str]
    fraction: NotRequired[float]


class Price(TypedDict):
    """What the customer pays; `bores` add up to `before_tax`."""

    currency: str
    bores: list[PricePart]
    before_tax: str
    tax: str
    total: str
    margin: float
    rule: PriceRule


def _rule(book: PriceBook, discount: float, minor: str) -> PriceRule:
    """Return how the price is made of the cost, for the workbook's formulas."""
    return {
        "method": "margin" if book.margin is not None else "markup",
        "fraction": digits("margin", book.number("margin" if book.margin is not None else "markup")),
        "minimum_charge": money(book.price("minimum_charge"), minor),
        "discount": digits("discount", discount),
        "rounding": rate(book.price("rounding")),
        "tax": digits("tax_fraction", book.number("tax")),
    }


def _shares(figures: Figures) -> Iterator[tuple[str | None, Literal["bore", "once", "travel"], float]]:
    """Yield what the work's price is shared out on, with its time [s]; bores as they are taken, so that cents stay."""
    whole = figures.schedule
    for number in taken_in_order([one.plan.survey.bore for one in figures.bores]):
        one = figures.bores[number]
        yield one.plan.survey.bore.name, "bore", one.time.total
    yield None, "once", summed("time", "s", whole.once, whole.fire_watch)
    if whole.travel > 0:
        yield None, "travel", whole.travel


def _parts(figures: Figures, bill: Bill, minor: str) -> list[PricePart]:
    """Return the parts of the price before tax, in the order of a quote."""
    sold = [one for one in bill.lines if one.code == SOLD]
    work = discounted(bill.price.listed, total_of(sold, minor)) if sold else bill.price.listed
    shares = list(_shares(figures))
    times = [time for _, _, time in shares]
    start, together = leaf(0.0, "fact", "time_before", "the first part", unit="s"), summed("time", "s", *times)
    found = list[PricePart]()
    for number, (bore, part, time) in enumerate(shares):
        before = summed("time", "s", *times[:number]) if number else start
        amount = part_of(work, before, time, together, minor)
        found.append({"bore": bore, "part": part, "amount": money(amount, minor)})
    names = [one.plan.survey.bore.name for one in figures.bores]
    found.sort(key=lambda one: names.index(one["bore"]) if one["bore"] in names else len(names))  # as the job has them
    return [*found, *(_extra(one, minor) for one in sold), *_discount(figures, bill, minor)]


def _extra(one: Line, minor: str) -> PricePart:
    return {
        "bore": None,
        "part": "extra",
        "amount": money(one.amount, minor),
        "text": one.description,
        "quantity": quantity_shown(one.quantity),
        "unit": one.unit,
        "price": rate(one.unit_cost),
    }


def _discount(figures: Figures, bill: Bill, minor: str) -> list[PricePart]:
    if not bill.price.discount:
        return []
    fraction = digits("discount", discount_of(figures.plan.job, figures.plan.book))
    off = money(discounted(bill.price.before_tax, bill.price.listed), minor)
    return [{"bore": None, "part": "discount", "amount": off, "fraction": fraction}]


def price_of(bill: Bill, figures: Figures, minor: str) -> Price:
    """Return what the customer pays."""
    price, book = bill.price, figures.plan.book
    return {
        "currency": book.currency,
        "bores": _parts(figures, bill, minor),
        "before_tax": money(price.before_tax, minor),
        "tax": money(price.tax, minor),
        "total": money(price.total, minor),
        "margin": digits("margin", price.margin),
        "rule": _rule(book, discount_of(figures.plan.job, book), minor),
    }
