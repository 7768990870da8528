"""The price: cost with margin or markup, rounding, minimum charge, tax."""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

from estimator.book.pricebook import PriceBook
from estimator.formula import formula, leaf
from estimator.job.job import Job
from estimator.money.lines import Line, minor_of, printed, to_minor, total_of

__all__ = [
    "Price",
    "Taxed",
    "discount_of",
    "discounted",
    "part_of",
    "price_of",
    "priced",
    "reached_margin",
    "share_of",
    "taxed",
    "with_margin",
    "with_markup",
]

TRADE = "price = cost / (1 - margin); price = cost (1 + markup) (engineeringtoolbox d_1706)"


@dataclass(frozen=True)
class Taxed:
    """What is taxed at one rate: the rate, its base and the tax on it."""

    fraction: float
    base: Decimal
    tax: Decimal


@dataclass(frozen=True)
class Price:
    """What the customer pays, and the margin reached; `listed`: before the discount; `taxes` where rates differ.

    `agreed`: what prices agreed for single bores add to the price by cost; it is in `listed`.
    """

    cost: Decimal
    listed: Decimal
    discount: Decimal
    before_tax: Decimal
    tax: Decimal
    total: Decimal
    margin: Decimal
    taxes: tuple[Taxed, ...] = ()
    agreed: Decimal = Decimal(0)


def _rounded(amount: Decimal, rounding: Decimal, minor: str) -> Decimal:
    """Return an amount rounded half up to whole steps of the book's rounding."""
    if rounding > 0:
        amount = (amount / rounding).quantize(Decimal(1), ROUND_HALF_UP) * rounding
    return to_minor(amount, minor)


@formula("before_tax", TRADE, "published")
def with_margin(
    bearing: Decimal, charged: Decimal, margin: Decimal, least: Decimal, rounding: Decimal, minor: str
) -> Decimal:
    """Price before tax by a margin on the price; work that is charged out stands as it is. [the currency]"""
    return max(_rounded(bearing / (1 - margin) + charged, rounding, minor), to_minor(least, minor))


@formula("before_tax", TRADE, "published")
def with_markup(
    bearing: Decimal, charged: Decimal, markup: Decimal, least: Decimal, rounding: Decimal, minor: str
) -> Decimal:
    """Price before tax by a markup on the cost; work that is charged out stands as it is. [the currency]"""
    return max(_rounded(bearing * (1 + markup) + charged, rounding, minor), to_minor(least, minor))


@formula("discount", "definition: a fraction of the price, rounded half up once on the whole", "computed")
def taken_off(listed: Decimal, discount: Decimal, minor: str) -> Decimal:
    """Discount on a price. [the currency]"""
    return to_minor(listed * discount, minor)


@formula("before_tax", "definition", "computed")
def discounted(listed: Decimal, reduction: Decimal) -> Decimal:
    """Price before tax, less its discount. [the currency]"""
    return listed - reduction


@formula("price", "definition: shared out by hours of work, never by cost; rounded parts add up", "computed")
def part_of(price: Decimal, time_before: float, time: float, time_whole: float, minor: str) -> Decimal:
    """Part of a price by time: what it comes to with that time, less what it came to before. [the currency]"""
    shares = (Decimal(f"{one / time_whole:.12g}") for one in (time_before + time, time_before))
    upto, before = (to_minor(price * share, minor) for share in shares)
    return upto - before


@formula("tax", "definition: a fraction of the price before tax, rounded half up once on the total", "computed")
def taxed(before_tax: Decimal, tax: Decimal, minor: str) -> Decimal:
    """Tax on a price. [the currency]"""
    return to_minor(before_tax * tax, minor)


@formula("total", "definition", "computed")
def with_tax(before_tax: Decimal, tax: Decimal) -> Decimal:
    """Price with tax. [the currency]"""
    return before_tax + tax


@formula(
    "margin",
    "definition: what is left of the price before tax, as reached after rounding and minimum charge",
    "computed",
)
def reached_margin(before_tax: Decimal, cost: Decimal) -> Decimal:
    """Margin as a fraction of the price before tax. [-]"""
    return (before_tax - cost) / before_tax if before_tax else Decimal(0)


def discount_of(job: Job, book: PriceBook) -> float:
    """Return what is taken off the price as a fraction: the job's own discount, else that of the customer's class."""
    if job.discount is not None:
        return job.discount
    name = job.customer.customer_class if job.customer else None
    if name is not None and name in book.classes:
        return book.number("classes", name, "discount")
    return leaf(0.0, "fact", "discount", "none was asked for")


def share_of(job: Job, book: PriceBook) -> tuple[Literal["margin", "markup"], float]:
    """Return how the price is made of the cost: by margin or markup, and how much, by class or book."""
    way: Literal["margin", "markup"] = "margin" if book.margin is not None else "markup"
    name = job.customer.customer_class if job.customer else None
    if name is not None and name in book.classes and getattr(book.classes[name], way) is not None:
        return way, book.number("classes", name, way)
    return way, book.number(way)


def price_of(lines: list[Line], job: Job, book: PriceBook) -> Price:
    """Return the price of a job from its cost lines, less its discount; tax at the usual rate."""
    name, fraction = share_of(job, book)
    minor, least, rounding = minor_of(book), book.price("minimum_charge"), book.price("rounding")
    bearing = total_of([one for one in lines if one.bears], minor)
    charged = total_of([one for one in lines if not one.bears], minor)
    share = printed(fraction, "", "0.000001")
    way = with_margin if name == "margin" else with_markup
    return priced(way(bearing, charged, share, least, rounding, minor), lines, job, book)


def priced(listed: Decimal, lines: list[Line], job: Job, book: PriceBook, agreed: Decimal = Decimal(0)) -> Price:
    """Return the price of a job from what it is listed at, less its discount; tax at the usual rate.

    Parameters
    ----------
    listed
        Price before tax and discount. [the currency]
    lines, job, book
        The cost lines, and what the discount and the tax hang on.
    agreed
        What prices agreed for single bores add; it is in `listed`. [the currency]
    """
    minor, discount = minor_of(book), discount_of(job, book)
    off = taken_off(listed, printed(discount, "", "0.000001"), minor) if discount else Decimal(0)
    before = discounted(listed, off) if discount else listed
    tax = taxed(before, printed(book.number("tax"), "", "0.000001"), minor)
    cost = total_of(lines, minor)
    return Price(
        cost=cost,
        listed=listed,
        discount=off,
        before_tax=before,
        tax=tax,
        total=with_tax(before, tax),
        margin=reached_margin(before, cost),
        agreed=agreed,
    )
