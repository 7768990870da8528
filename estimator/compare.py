"""Repair, sleeve or replace: annual cost with downtime, and what would have to change for the answer to change."""

import math
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from estimator.errors import DocumentError, Fault, JobRefusedError
from estimator.estimate import estimate_job, read_job
from estimator.express import money
from estimator.formula import formula, is_recording
from estimator.job import Economics, Job, Way
from estimator.money.lines import minor_of
from estimator.pricebook import PriceBook
from estimator.strict import parse
from estimator.units import deci

__all__ = ["annual_cost", "break_even_life", "capital_recovery", "compare"]

NAMES = ("repair", "sleeve", "replace")
TEXTBOOK = "Newnan, Eschenbach, Lavelle, Engineering Economic Analysis: equivalent uniform annual cost, (A/P, i, n)"


@formula("capital_recovery", TEXTBOOK, "published")
def capital_recovery(rate: float, years: float) -> float:
    """Capital recovery factor, end of year; the years need not be whole. [1/year]"""
    if rate == 0:
        return 1 / years
    return rate / -math.expm1(-years * math.log1p(rate))


@formula("annual_cost", TEXTBOOK, "published")
def annual_cost(outlay: float, capital_recovery: float) -> float:
    """Annual cost of an outlay. [currency/year]"""
    return outlay * capital_recovery


@formula("break_even_life", TEXTBOOK + ", solved for the life", "published")
def break_even_life(outlay: float, annual: float, rate: float) -> float:
    """Years after which an outlay costs that much a year; infinite where its interest alone costs more. [year]"""
    if rate == 0:
        return outlay / annual
    left = 1 - outlay * rate / annual
    return -math.log(left) / math.log1p(rate) if left > 0 else math.inf


@dataclass(frozen=True)
class Choice:
    """One way out, as far as it is known."""

    name: str
    first_cost: Decimal | None
    downtime_h: float
    downtime_cost: float
    life_h: float | None
    life_years: float | None
    annual: float | None
    reasons: tuple[str, ...]

    @property
    def outlay(self) -> float:
        """First cost and downtime together. [currency]"""
        return float(self.first_cost or 0) + self.downtime_cost


def _choice(
    name: str, way: Way | None, first: Decimal | None, why: list[str], economics: Economics, hourly: float
) -> Choice:
    """Return one choice with its annual cost, or the reasons why it has none."""
    reasons = list(why)
    if way is None:
        reasons.append(f"economics.{name} is not given")
    life = None if way is None or way.life is None else deci(way.life, "h")
    if way is not None and life is None:
        reasons.append(f"economics.{name}.life is not given")
    downtime = 0.0 if way is None or way.downtime is None else deci(way.downtime, "h")
    years = None if life is None else life / economics.hours_per_year
    lost = downtime * hourly
    annual = None
    if first is not None and years is not None and not reasons:
        annual = annual_cost(float(first) + lost, capital_recovery(economics.discount_rate, years))
    return Choice(name, first, downtime, lost, life, years, annual, tuple(reasons))


def _repair_price(job: Job, book: PriceBook, data: dict[str, Any]) -> tuple[Decimal | None, list[str], list[str]]:
    """Return the repair's price before tax, or why it is refused, and its warnings."""
    try:
        found = estimate_job(job, book, data)
    except JobRefusedError as error:
        return None, [f"must not be repaired as described: {fault}" for fault in error.faults], []
    return Decimal(found["price"]["before_tax"]), [], [w for w in found["warnings"] if "approval" in w]


def _document(choice: Choice, minor: str) -> dict[str, Any]:
    return {
        "name": choice.name,
        "first_cost": None if choice.first_cost is None else money(choice.first_cost, minor),
        "downtime_h": choice.downtime_h,
        "downtime_cost": _cents(choice.downtime_cost, minor),
        "life_h": choice.life_h,
        "life_years": choice.life_years,
        "annual_cost": None if choice.annual is None else _cents(choice.annual, minor),
        "feasible": choice.annual is not None,
        "reasons": list(choice.reasons),
    }


def _cents(value: float, minor: str) -> str | Decimal:
    return money(Decimal(repr(value)).quantize(Decimal(minor), "ROUND_HALF_UP"), minor)


def _price_even(repair: Choice, replace: Choice, rate: float) -> tuple[float | None, str]:
    """Return the price of a new part at which both cost the same a year."""
    assert repair.annual is not None and replace.life_years is not None  # noqa: PT018  # both are feasible
    price = repair.annual / capital_recovery(rate, replace.life_years) - replace.downtime_cost
    if price < 0:
        return None, "replacement_price: repair costs more a year even if the new part were free"
    return price, ""


def _life_even(repair: Choice, replace: Choice, economics: Economics) -> tuple[float | None, str]:
    """Return the life of the repair in hours at which both cost the same a year."""
    assert replace.annual is not None  # both are feasible
    if repair.outlay <= 0 or replace.annual <= 0:
        return None, "repair_life_h: one of the two costs nothing, so no life makes them equal"
    years = break_even_life(repair.outlay, replace.annual, economics.discount_rate)
    if not math.isfinite(years):
        return None, "repair_life_h: the interest on the repair alone costs more a year than replacing"
    return years * economics.hours_per_year, ""


def _downtime_even(repair: Choice, replace: Choice, rate: float) -> tuple[float | None, str]:
    """Return the cost of an hour of downtime at which both cost the same a year."""
    assert repair.life_years is not None and replace.life_years is not None  # noqa: PT018  # both are feasible
    ours, theirs = capital_recovery(rate, repair.life_years), capital_recovery(rate, replace.life_years)
    gap = float(repair.first_cost or 0) * ours - float(replace.first_cost or 0) * theirs
    slope = replace.downtime_h * theirs - repair.downtime_h * ours
    if abs(slope) <= 1e-12 * (abs(repair.downtime_h * ours) + abs(replace.downtime_h * theirs)):
        return None, "downtime_cost_per_h: both lose the same downtime a year, so its cost decides nothing"
    if gap / slope < 0:
        return None, "downtime_cost_per_h: the same one is cheaper at any cost of downtime"
    return gap / slope, ""


def _break_even(choices: dict[str, Choice], economics: Economics, minor: str) -> dict[str, Any]:
    repair, replace, rate = choices["repair"], choices["replace"], economics.discount_rate
    missing = [name for name in ("repair", "replace") if choices[name].annual is None]
    keys = ("replacement_price", "repair_life_h", "downtime_cost_per_h")
    if missing:
        reasons = [f"{key}: {' and '.join(missing)} cannot be costed" for key in keys]
        return {**dict.fromkeys(keys), "reasons": reasons}
    found = (
        _price_even(repair, replace, rate),
        _life_even(repair, replace, economics),
        _downtime_even(repair, replace, rate),
    )
    price, life, downtime = (value for value, _ in found)
    return {
        "replacement_price": None if price is None else _cents(price, minor),
        "repair_life_h": None if life is None else float(f"{life:.12g}"),
        "downtime_cost_per_h": None if downtime is None else f"{downtime:.6f}",
        "reasons": [why for _, why in found if why],
    }


def _warnings(economics: Economics) -> list[str]:
    said = []
    if economics.downtime_cost is None:
        said.append("economics.downtime_cost is not given: downtime counts nothing here")
    for name in NAMES:
        way = getattr(economics, name)
        if way is not None and way.lead_time:
            days = deci(way.lead_time, "day")
            said.append(
                f"{name}: a lead time of {days:g} days adds no downtime here: the machine runs until the part is there"
            )
    if economics.repair is not None and economics.repair.price is not None:
        said.append("economics.repair.price is not used: the repair's first cost is its estimate before tax")
    return said


def _why(best: Choice, choices: dict[str, Choice], minor: str, currency: str) -> list[str]:
    """Return in words by how much the best is better than the others."""
    said = []
    for other in choices.values():
        if other.annual is not None and best.annual is not None and other.name != best.name:
            more = _cents(other.annual - best.annual, minor)
            said.append(f"{other.name} costs {currency} {more} a year more than {best.name}")
    return said


def compare(document: bytes | str | dict[str, Any], book: PriceBook) -> dict[str, Any]:
    """Return the comparison document of a job: repair, sleeve, replace.

    Raises
    ------
    DocumentError
        If the job document is wrong or says nothing of `economics`.
    """
    data = document if isinstance(document, dict) else parse(document)
    job = read_job(data, book)
    economics = job.economics
    if economics is None:
        raise DocumentError(
            [Fault("economics", "is missing; give discount_rate, hours_per_year, and what each way costs")]
        )
    _same_currency(economics, book)
    minor = minor_of(book)
    first, refused, warnings = _repair_price(job, book, data)
    hourly = 0.0 if economics.downtime_cost is None else float(economics.downtime_cost.amount)
    choices = {"repair": _choice("repair", economics.repair, first, refused, economics, hourly)}
    for name in NAMES[1:]:
        way: Way | None = getattr(economics, name)
        price = None if way is None or way.price is None else way.price.amount
        why = [f"economics.{name}.price is not given"] if way is not None and price is None else []
        choices[name] = _choice(name, way, price, why, economics, hourly)
    feasible = [choice for choice in choices.values() if choice.annual is not None]
    best = min(feasible, key=lambda choice: choice.annual or 0.0, default=None)
    assert not is_recording()  # a comparison is not recorded: its prices are texts
    return {
        "reference": job.reference,
        "currency": book.currency,
        "pricebook": {"name": book.name, "invented": book.invented, "note": book.note},
        "discount_rate": economics.discount_rate,
        "hours_per_year": economics.hours_per_year,
        "downtime_cost_per_h": hourly,
        "choices": [_document(choice, minor) for choice in choices.values()],
        "best": None if best is None else best.name,
        "reasons": [] if best is None else _why(best, choices, minor, book.currency),
        "break_even": _break_even(choices, economics, minor),
        "warnings": _warnings(economics) + warnings,
    }


def _same_currency(economics: Economics, book: PriceBook) -> None:
    """Raise `DocumentError` where a price of the economics is in another currency than the book's."""
    priced = {"economics.downtime_cost": economics.downtime_cost}
    for name in NAMES:
        way = getattr(economics, name)
        priced[f"economics.{name}.price"] = None if way is None else way.price
    wrong = [
        Fault(path, f"{price.currency} is not the price book's currency {book.currency}")
        for path, price in priced.items()
        if price is not None and price.currency != book.currency
    ]
    if wrong:
        raise DocumentError(wrong)
