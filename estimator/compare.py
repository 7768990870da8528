"""Repair, sleeve or replace: annual cost with downtime, and what would have to change for the answer to change."""

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from typing import Any

from estimator.book.pricebook import PriceBook
from estimator.errors import DocumentError, Fault, JobRefusedError, OutOfRangeError
from estimator.estimate import estimate_job, read_job
from estimator.express import money
from estimator.formula import formula, is_recording
from estimator.job.economics import Economics, Way
from estimator.job.job import Job
from estimator.money.lines import minor_of
from estimator.strict import parse
from estimator.units import deci

__all__ = ["annual_cost", "break_even_downtime", "break_even_life", "break_even_price", "capital_recovery", "compare"]

NAMES = ("repair", "sleeve", "replace")
TEXTBOOK = "Newnan, Eschenbach, Lavelle, Engineering Economic Analysis: equivalent uniform annual cost, (A/P, i, n)"
SOLVED = TEXTBOOK + "; both annual costs set equal"
NO_GROWTH = 1e-17  # interest below it is lost among the digits of a double
Repair = tuple[Decimal | None, float, list[str], list[str]]
ALIKE = Decimal("1e-12")  # relative: downtimes a year this near are the same
SHORTEST_LIFE, LONGEST_LIFE, LONGEST_DOWNTIME = 1e-3, 1e9, 1e6  # [h] what a document may say
MOST = 10**12  # the largest price that a document may say
ROOMY = Context(prec=60)


@formula("capital_recovery", TEXTBOOK, "published")
def capital_recovery(rate: float, years: float) -> float:
    """Capital recovery factor, end of year; the years need not be whole. [1/year]"""
    growth = years * math.log1p(rate)
    return 1 / years if growth < NO_GROWTH else rate / -math.expm1(-growth)


@formula("annual_cost", TEXTBOOK, "published")
def annual_cost(outlay: Decimal, capital_recovery: Decimal) -> Decimal:
    """Annual cost of an outlay, not yet rounded. [currency/year]"""
    return outlay * capital_recovery


@formula("break_even_life", TEXTBOOK + ", solved for the life", "published")
def break_even_life(outlay: float, annual: float, rate: float) -> float:
    """Years after which an outlay costs that much a year; infinite where its interest alone costs more. [year]"""
    interest = outlay * rate / annual
    if interest >= 1:
        return math.inf
    return outlay / annual if interest < NO_GROWTH else -math.log1p(-interest) / math.log1p(rate)


@formula("break_even_price", SOLVED, "published")
def break_even_price(annual: Decimal, capital_recovery: Decimal, downtime_cost: Decimal) -> Decimal:
    """First cost that comes to an annual cost, its downtime counted; below zero where there is none. [currency]"""
    return annual / capital_recovery - downtime_cost


@formula("break_even_downtime", SOLVED, "published")
def break_even_downtime(first_cost_gap: Decimal, downtime_gap: Decimal) -> Decimal:
    """Cost of an hour of downtime at which less first cost a year is eaten up by more downtime a year. [currency/h]"""
    return first_cost_gap / downtime_gap


@dataclass(frozen=True)
class Choice:
    """One way out, as far as it is known; `recovery` is its capital recovery factor."""

    name: str
    first_cost: Decimal | None
    downtime_h: float
    downtime_cost: Decimal
    life_h: float | None
    life_years: float | None
    recovery: Decimal
    annual: Decimal | None
    reasons: tuple[str, ...]

    @property
    def outlay(self) -> Decimal:
        """First cost and downtime together. [currency]"""
        return (self.first_cost or Decimal(0)) + self.downtime_cost


def _rounded(value: Decimal, minor: str) -> Decimal:
    return value.quantize(Decimal(minor), ROUND_HALF_UP, ROOMY)


def _exact(value: float) -> Decimal:
    return Decimal(repr(float(value)))


def _choice(
    name: str, way: Way | None, first: Decimal | None, why: list[str], economics: Economics, minor: str
) -> Choice:
    """Return one choice with its annual cost, or the reasons why it has none."""
    reasons = list(why)
    if way is None:
        reasons.append(f"economics.{name} is not given")
    life = None if way is None or way.life is None else deci(way.life, "h")
    if way is not None and life is None:
        reasons.append(f"economics.{name}.life is not given")
    downtime = 0.0 if way is None or way.downtime is None else deci(way.downtime, "h")
    years = None if life is None else deci(life / economics.hours_per_year, "1")
    lost = _rounded(_exact(downtime) * _hourly(economics), minor)
    first = None if first is None else _rounded(first, minor)
    recovery = Decimal(0) if years is None else _exact(capital_recovery(economics.discount_rate, years))
    annual = None
    if first is not None and years is not None and not reasons:
        annual = annual_cost(first + lost, recovery)
    return Choice(name, first, downtime, lost, life, years, recovery, annual, tuple(reasons))


def _hourly(economics: Economics) -> Decimal:
    return Decimal(0) if economics.downtime_cost is None else Decimal(economics.downtime_cost.amount)


def _repair_price(job: Job, book: PriceBook, data: dict[str, Any]) -> Repair:
    """Return the repair's price before tax and seconds on site, or why it is refused, and its warnings."""
    try:
        found = estimate_job(job, book, data)
    except JobRefusedError as error:
        return None, 0.0, [f"must not be repaired as described: {fault}" for fault in error.faults], []
    except OutOfRangeError as error:
        return None, 0.0, [f"no plan lies within the range of the formulas: {error}"], []
    said = [f"repair: {warning}" for warning in found["warnings"] if "approval" in warning]
    if "budget" in found:
        low, high = (100 * found["budget"][key] for key in ("band_low", "band_high"))
        said.append(f"repair: its first cost is a budget price, good to {low:+.0f} to {high:+.0f} %; measure first")
    way = None if job.economics is None else job.economics.repair
    if way is not None and way.downtime is None:
        hours = f"the {found['totals']['on_site_min'] / 60:.1f} h that the work takes on site"
        said.append(f"economics.repair.downtime is not given: counted as {hours}")
    return Decimal(found["price"]["before_tax"]), 60 * found["totals"]["on_site_min"], [], said


def _document(choice: Choice, minor: str) -> dict[str, Any]:
    return {
        "name": choice.name,
        "first_cost": None if choice.first_cost is None else money(choice.first_cost, minor),
        "downtime_h": choice.downtime_h,
        "downtime_cost": money(choice.downtime_cost, minor),
        "life_h": choice.life_h,
        "life_years": choice.life_years,
        "annual_cost": None if choice.annual is None else money(_rounded(choice.annual, minor), minor),
        "feasible": choice.annual is not None,
        "reasons": list(choice.reasons),
    }


def _price_even(repair: Choice, replace: Choice) -> tuple[Decimal | None, str]:
    """Return the price of a new part at which both cost the same a year."""
    price = break_even_price(repair.annual or Decimal(0), replace.recovery, replace.downtime_cost)
    if price < 0:
        return None, "replacement_price: repair costs less a year even if the new part were free"
    if price > MOST:
        return None, "replacement_price: replacing costs less a year at any price that a part can have"
    return price, ""


def _life_even(repair: Choice, replace: Choice, economics: Economics) -> tuple[float | None, str]:
    """Return the life of the repair in hours at which both cost the same a year."""
    outlay, annual = float(repair.outlay), float(replace.annual or 0)
    if outlay <= 0 or annual <= 0:
        return None, "repair_life_h: one of the two costs nothing, so no life makes them equal"
    hours = break_even_life(outlay, annual, economics.discount_rate) * economics.hours_per_year
    if math.isinf(hours):
        return None, "repair_life_h: the interest on the repair alone costs more a year than replacing"
    if not SHORTEST_LIFE <= hours <= LONGEST_LIFE:
        side = "however short it lasts" if hours < SHORTEST_LIFE else "at no life that a bore can have"
        return None, f"repair_life_h: the repair pays {side}"
    return hours, ""


def _downtime_even(repair: Choice, replace: Choice) -> tuple[Decimal | None, str]:
    """Return the cost of an hour of downtime at which both cost the same a year."""
    ours, theirs = _exact(repair.downtime_h) * repair.recovery, _exact(replace.downtime_h) * replace.recovery
    gap = (repair.first_cost or 0) * repair.recovery - (replace.first_cost or 0) * replace.recovery
    if abs(theirs - ours) <= ALIKE * (ours + theirs):
        return None, "downtime_cost_per_h: both lose the same downtime a year, so its cost decides nothing"
    hourly = break_even_downtime(gap, theirs - ours)
    if hourly < 0 or hourly > MOST:
        cheaper = "repair" if gap < 0 else "replace"
        return None, f"downtime_cost_per_h: {cheaper} costs less a year at any cost of downtime"
    return abs(hourly), ""


def _break_even(choices: dict[str, Choice], economics: Economics, minor: str) -> dict[str, Any]:
    repair, replace = choices["repair"], choices["replace"]
    missing = [name for name in ("repair", "replace") if choices[name].annual is None]
    keys = ("replacement_price", "repair_life_h", "downtime_cost_per_h")
    if missing:
        reasons = [f"{key}: {' and '.join(missing)} cannot be costed" for key in keys]
        return {**dict.fromkeys(keys), "reasons": reasons}
    price, no_price = _price_even(repair, replace)
    life, no_life = _life_even(repair, replace, economics)
    hourly, no_hourly = _downtime_even(repair, replace)
    return {
        "replacement_price": None if price is None else money(_rounded(price, minor), minor),
        "repair_life_h": None if life is None else float(f"{life:.12g}"),
        "downtime_cost_per_h": None if hourly is None else f"{_rounded(hourly, '0.000001'):f}",
        "reasons": [why for why in (no_price, no_life, no_hourly) if why],
    }


def _warnings(economics: Economics) -> list[str]:
    said = []
    if economics.downtime_cost is None:
        said.append("economics.downtime_cost is not given: downtime counts nothing here")
    for name in NAMES:
        way: Way | None = getattr(economics, name)
        if way is not None and way.downtime is None and name != "repair":
            said.append(f"economics.{name}.downtime is not given: counted as none")
        if way is not None and way.lead_time:
            days = deci(way.lead_time, "day")
            runs = "adds no downtime here: the machine runs until the part is there"
            said.append(f"{name}: a lead time of {days:g} days {runs}")
    if economics.repair is not None and economics.repair.price is not None:
        said.append("economics.repair.price is not used: the repair's first cost is its estimate before tax")
    return said


def _why(best: Choice, choices: dict[str, Choice], minor: str, currency: str) -> list[str]:
    """Return in words by how much the best is better than the others, from the printed amounts."""
    said = []
    for other in choices.values():
        if other.annual is not None and best.annual is not None and other.name != best.name:
            more = _rounded(other.annual, minor) - _rounded(best.annual, minor)
            much = f"{currency} {money(more, minor)} a year more than" if more else "the same a year as"
            said.append(f"{other.name} costs {much} {best.name}")
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
        said = "is missing; give discount_rate, hours_per_year, and what each way costs"
        raise DocumentError([Fault("economics", said)])
    _check(economics, book)
    minor = minor_of(book)
    first, on_site, refused, warnings = _repair_price(job, book, data)
    if (repair := economics.repair) is not None and repair.downtime is None:
        repair = repair.model_copy(update={"downtime": on_site})
    choices = {"repair": _choice("repair", repair, first, refused, economics, minor)}
    for name in NAMES[1:]:
        way: Way | None = getattr(economics, name)
        price = None if way is None or way.price is None else way.price.amount
        why = [f"economics.{name}.price is not given"] if way is not None and price is None else []
        choices[name] = _choice(name, way, price, why, economics, minor)
    feasible = [choice for choice in choices.values() if choice.annual is not None]
    best = min(feasible, key=lambda choice: _rounded(choice.annual or Decimal(0), minor), default=None)
    assert not is_recording()  # a comparison is not recorded: its prices are texts
    return {
        "reference": job.reference,
        "currency": book.currency,
        "pricebook": {"name": book.name, "invented": book.invented, "note": book.note},
        "discount_rate": economics.discount_rate,
        "hours_per_year": economics.hours_per_year,
        "downtime_cost_per_h": float(_hourly(economics)),
        "choices": [_document(choice, minor) for choice in choices.values()],
        "best": None if best is None else best.name,
        "reasons": [] if best is None else _why(best, choices, minor, book.currency),
        "break_even": _break_even(choices, economics, minor),
        "warnings": _warnings(economics) + warnings,
    }


def _check(economics: Economics, book: PriceBook) -> None:
    """Raise `DocumentError` where a price is in another currency than the book's, or a time beyond reason."""
    wrong, priced = [], {"economics.downtime_cost": economics.downtime_cost}
    if economics.hours_per_year < 1:
        wrong.append(Fault("economics.hours_per_year", "must be 1 at least: hours the machine runs in a year"))
    for name in NAMES:
        way: Way | None = getattr(economics, name)
        if way is None:
            continue
        priced[f"economics.{name}.price"] = way.price
        if way.life is not None and not SHORTEST_LIFE <= deci(way.life, "h") <= LONGEST_LIFE:
            said = f"must be from {SHORTEST_LIFE:g} to {LONGEST_LIFE:g} h"
            wrong.append(Fault(f"economics.{name}.life", said))
        if way.downtime is not None and deci(way.downtime, "h") > LONGEST_DOWNTIME:
            wrong.append(Fault(f"economics.{name}.downtime", f"must be {LONGEST_DOWNTIME:g} h at most"))
    wrong += [
        Fault(path, f"{price.currency} is not the price book's currency {book.currency}")
        for path, price in priced.items()
        if price is not None and price.currency != book.currency
    ]
    if wrong:
        raise DocumentError(wrong)
