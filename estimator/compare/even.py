"""Where repair and replacement cost the same a year, as the document says it."""

import math
from decimal import Decimal

from typing_extensions import TypedDict

from estimator.compare.annual import NO_GROWTH, TEXTBOOK, Weighed, exact, rounded
from estimator.express import money
from estimator.formula import formula
from estimator.job.economics import Economics
from estimator.tables.messages import Message, say, text_of, texts_of

__all__ = [
    "LONGEST_LIFE",
    "SHORTEST_LIFE",
    "BreakEven",
    "break_even_downtime",
    "break_even_life",
    "break_even_of",
    "break_even_price",
]

SOLVED = TEXTBOOK + "; both annual costs set equal"
ALIKE = Decimal("1e-12")  # relative: downtimes a year this near are the same
SHORTEST_LIFE, LONGEST_LIFE = 1e-3, 1e9  # [h] what a document may say
KEYS = ("replacement_price", "repair_life_h", "downtime_cost_per_h")  # of what is broken even
MOST = 10**12  # the largest price that a document may say


class Reason(TypedDict):
    """Why a break-even does not exist: its code, and in words."""

    code: str
    text: str


class BreakEven(TypedDict):
    """Where repair and replacement cost the same a year; null with a reason where that is nowhere.

    `reasons`: a line each, key and words; `reasons_by_key`: the same apart.
    """

    replacement_price: str | None
    repair_life_h: float | None
    downtime_cost_per_h: str | None
    reasons: list[str]
    reasons_by_key: dict[str, Reason]


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


def _price_even(repair: Weighed, replace: Weighed) -> tuple[Decimal | None, Message | None]:
    """Return the price of a new part at which both cost the same a year."""
    price = break_even_price(repair.annual or Decimal(0), replace.recovery, replace.downtime_cost)
    if price < 0:
        return None, say("even_price_free")
    if price > MOST:
        return None, say("even_price_any")
    return price, None


def _life_even(repair: Weighed, replace: Weighed, economics: Economics) -> tuple[float | None, Message | None]:
    """Return the life of the repair in hours at which both cost the same a year."""
    outlay, annual = float(repair.outlay), float(replace.annual or 0)
    if outlay <= 0 or annual <= 0:
        return None, say("even_life_nothing")
    hours = break_even_life(outlay, annual, economics.discount_rate) * economics.hours_per_year
    if math.isinf(hours):
        return None, say("even_life_interest")
    if not SHORTEST_LIFE <= hours <= LONGEST_LIFE:
        return None, say("even_life_short" if hours < SHORTEST_LIFE else "even_life_never")
    return hours, None


def _downtime_even(repair: Weighed, replace: Weighed) -> tuple[Decimal | None, Message | None]:
    """Return the cost of an hour of downtime at which both cost the same a year."""
    ours, theirs = exact(repair.downtime_h) * repair.recovery, exact(replace.downtime_h) * replace.recovery
    gap = (repair.first_cost or 0) * repair.recovery - (replace.first_cost or 0) * replace.recovery
    if abs(theirs - ours) <= ALIKE * (ours + theirs):
        return None, say("even_downtime_same")
    hourly = break_even_downtime(gap, theirs - ours)
    if hourly < 0 or hourly > MOST:
        return None, say("even_downtime_any", cheaper="repair" if gap < 0 else "replace")
    return abs(hourly), None


def _told(why: dict[str, Message | None]) -> tuple[list[str], dict[str, Reason]]:
    """Return the reasons that there are, by key: each as one line, and with code and words apart."""
    there = {key: one for key, one in why.items() if one is not None}
    lines = texts_of([say("even_reason", key=key, why=one) for key, one in there.items()])
    return lines, {key: {"code": one.code, "text": text_of(one)} for key, one in there.items()}


def break_even_of(choices: dict[str, Weighed], economics: Economics, minor: str) -> BreakEven:
    """Return where repair and replacement cost the same a year."""
    repair, replace = choices["repair"], choices["replace"]
    missing = tuple(name for name in ("repair", "replace") if choices[name].annual is None)
    if missing:
        why = say("even_uncosted", missing=missing)
        reasons, by_key = _told(dict.fromkeys(KEYS, why))
        return {
            "replacement_price": None,
            "repair_life_h": None,
            "downtime_cost_per_h": None,
            "reasons": reasons,
            "reasons_by_key": by_key,
        }
    price, no_price = _price_even(repair, replace)
    life, no_life = _life_even(repair, replace, economics)
    hourly, no_hourly = _downtime_even(repair, replace)
    reasons, by_key = _told(dict(zip(KEYS, (no_price, no_life, no_hourly), strict=True)))
    return {
        "replacement_price": None if price is None else money(rounded(price, minor), minor),
        "repair_life_h": None if life is None else float(f"{life:.12g}"),
        "downtime_cost_per_h": None if hourly is None else f"{rounded(hourly, '0.000001'):f}",
        "reasons": reasons,
        "reasons_by_key": by_key,
    }
