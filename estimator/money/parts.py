"""Parts of the price before tax: by bore, once a job, travel, call-out, extras, discount; and tax by rate on them.

The work's price is shared out by hours, never by cost; what is sold beside stands at its own price.
"""

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from estimator.book.pricebook import PriceBook
from estimator.days.taken import taken_in_order
from estimator.formula import formula, leaf, summed
from estimator.job.job import Job
from estimator.job.order import Extra
from estimator.money.lines import CALL_OUT, SOLD, Line, amount_of, minor_of, printed, to_minor
from estimator.money.price import Price, Taxed, discounted, part_of, priced, share_of, taxed, with_tax
from estimator.plans import Figures

__all__ = ["Kind", "PartOfPrice", "parts_of", "several_rates", "shared_off", "tax_by_rate", "with_agreed"]

Kind = Literal["bore", "once", "travel", "call_out", "extra", "discount"]


@dataclass(frozen=True)
class PartOfPrice:
    """A part of the price before tax, and the rate that it is taxed at; of an extra also its line and unit price."""

    kind: Kind
    amount: Decimal
    tax: float
    bore: str | None = None
    line: Line | None = None
    each: Decimal | None = None


def _shares(figures: Figures) -> Iterator[tuple[str | None, Literal["bore", "once", "travel"], float]]:
    """Yield what the work's price is shared out on, with its time [s]; bores as they are taken, so that cents stay."""
    whole = figures.schedule
    for number in taken_in_order([one.plan.survey.bore for one in figures.bores]):
        one = figures.bores[number]
        yield one.plan.survey.bore.name, "bore", one.time.total
    yield None, "once", summed("time", "s", whole.once, whole.fire_watch)
    if whole.travel > 0:
        yield None, "travel", whole.travel


@formula("price", "price = cost / (1 - margin), rounded half up (engineeringtoolbox d_1706)", "published")
def margin_on(unit_cost: Decimal, margin: Decimal, minor: str) -> Decimal:
    """Price of something bought for a job, by a margin on the price. [the currency]"""
    return to_minor(unit_cost / (1 - margin), minor)


@formula("price", "price = cost (1 + markup), rounded half up (engineeringtoolbox d_1706)", "published")
def markup_on(unit_cost: Decimal, markup: Decimal, minor: str) -> Decimal:
    """Price of something bought for a job, by a markup on the cost. [the currency]"""
    return to_minor(unit_cost * (1 + markup), minor)


def _charged(line: Line, figures: Figures, minor: str) -> tuple[Decimal, Decimal]:
    """Return what an extra is charged at, each and in all: its price as it stands, or its cost with margin."""
    if not line.bears:
        return line.unit_cost, line.amount
    way, fraction = share_of(figures.plan.job, figures.plan.book)
    laid = margin_on if way == "margin" else markup_on
    each = laid(line.unit_cost, printed(fraction, "", "0.000001"), minor)
    return each, amount_of(line.quantity, each, minor)


def _rate(kind: str, book: PriceBook) -> float:
    """Return the rate of tax of a kind of part."""
    own = getattr(book.taxes, kind, None)
    return book.number("tax") if own is None else book.number("taxes", kind)


def several_rates(job: Job, book: PriceBook) -> bool:
    """Return whether a job's parts may be taxed at other rates than the usual one."""
    return book.taxes.differ() or any(one.tax is not None for one in job.extras)


def _sold(figures: Figures, lines: list[Line], minor: str) -> Iterator[PartOfPrice]:
    """Yield the parts that are sold beside the work: the call-out, and the extras in the order of the job."""
    book, extras = figures.plan.book, iter(figures.plan.job.extras)
    for line in lines:
        if line.code == CALL_OUT:
            yield PartOfPrice("call_out", line.amount, _rate("call_out", book))
        elif line.code == SOLD:
            each, amount = _charged(line, figures, minor)
            yield PartOfPrice("extra", amount, _rate_of(next(extras), book), line=line, each=each)


def _rate_of(extra: Extra, book: PriceBook) -> float:
    return _rate("extra", book) if extra.tax is None else leaf(extra.tax, "given", "tax", f"of {extra.text!r}")


def _work(price: Price, sold: list[PartOfPrice]) -> Decimal:
    """Return what of a listed price is for the work, as it follows from the cost."""
    beside = [*(one.amount for one in sold), *([price.agreed] if price.agreed else [])]
    return discounted(price.listed, summed("reduction", "the currency", *beside)) if beside else price.listed


def _by_time(figures: Figures, work: Decimal, minor: str) -> Iterator[tuple[str | None, Kind, Decimal]]:
    """Yield what the price of the work comes to on each of its shares."""
    shares = list(_shares(figures))
    times = [time for _, _, time in shares]
    start, together = leaf(0.0, "fact", "time_before", "the first part", unit="s"), summed("time", "s", *times)
    for number, (bore, kind, time) in enumerate(shares):
        before = summed("time", "s", *times[:number]) if number else start
        yield bore, kind, part_of(work, before, time, together, minor)


def agreed_prices(figures: Figures) -> dict[str | None, Decimal]:
    """Return the prices that were agreed for single bores, by their names."""
    bores = (one.plan.survey.bore for one in figures.bores)
    return {
        bore.name: leaf(bore.price.amount, "given", "price", f"agreed for bore {bore.name}")
        for bore in bores
        if bore.price is not None
    }


def with_agreed(price: Price, figures: Figures, lines: list[Line]) -> Price:
    """Return a price in which the parts of bores are those that were agreed for them, if any were."""
    fixed, minor = agreed_prices(figures), minor_of(figures.plan.book)
    if not fixed:
        return price
    work = _work(price, list(_sold(figures, lines, minor)))
    parts = {bore: amount for bore, _, amount in _by_time(figures, work, minor) if bore in fixed}
    agreed, shares = (
        summed("price", "the currency", *each.values(), of=[f"of bore {bore}" for bore in each])
        for each in (fixed, parts)
    )
    more = discounted(agreed, shares)
    listed = discounted(price.listed, -more)
    return priced(listed, lines, figures.plan.job, figures.plan.book, more)


def parts_of(figures: Figures, lines: list[Line], price: Price) -> list[PartOfPrice]:
    """Return the parts of the price before tax, in the order of a quote; they add up to it.

    Parameters
    ----------
    figures
        What the job takes.
    lines, price
        Its bill; of the price only what is before tax is read.
    """
    book, minor = figures.plan.book, minor_of(figures.plan.book)
    sold = list(_sold(figures, lines, minor))
    fixed = agreed_prices(figures)
    work = _work(price, sold)
    found = [PartOfPrice(kind, fixed.get(bore, amount), _rate(kind, book), bore)
             for bore, kind, amount in _by_time(figures, work, minor)]  # fmt: skip
    names = [one.plan.survey.bore.name for one in figures.bores]
    found.sort(key=lambda one: names.index(one.bore) if one.bore in names else len(names))  # as the job has them
    off = [PartOfPrice("discount", discounted(price.before_tax, price.listed), 0.0)] if price.discount else []
    return [*found, *sold, *off]


# ---------------------------------------------------------------- tax


def shared_off(off: Decimal, bases: list[Decimal], minor: str) -> list[Decimal]:
    """Return a discount shared out on amounts by their size; the rounded shares add up to it."""
    whole, found, before, upto = sum(bases, Decimal(0)), list[Decimal](), Decimal(0), Decimal(0)
    for base in bases:
        upto += base
        reached = to_minor(off * upto / whole, minor) if whole else off
        found.append(reached - before)
        before = reached
    return found


@formula("tax", "definition: the sum of the tax by rate, each rounded half up once on its own base", "computed")
def _sum_of(**amounts: Decimal) -> Decimal:
    """Tax of several rates. [the currency]"""
    return sum(amounts.values(), Decimal(0))


def tax_by_rate(price: Price, parts: list[PartOfPrice], minor: str) -> Price:
    """Return a price with its tax by rate, highest first: a discount lowers each base by its share."""
    bases = dict[float, Decimal]()
    for one in sorted((one for one in parts if one.kind != "discount"), key=lambda one: -one.tax):
        bases[one.tax] = bases.get(one.tax, Decimal(0)) + one.amount
    less = shared_off(price.discount, list(bases.values()), minor)
    found = []
    for (fraction, base), off in zip(bases.items(), less, strict=True):
        due = taxed(base - off, printed(fraction, "", "0.000001"), minor)
        found.append(Taxed(fraction, base - off, due))
    tax = _sum_of(**{f"tax_{number}": one.tax for number, one in enumerate(found, 1)})
    return dataclasses.replace(price, tax=tax, total=with_tax(price.before_tax, tax), taxes=tuple(found))
