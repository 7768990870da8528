"""Where the repair costs a year what the cheapest other way costs, as the document says it."""

import math
from decimal import Decimal

from typing_extensions import TypedDict

from estimator.compare.annual import NO_GROWTH, TEXTBOOK, Terms, WayName, Weighed, rounded
from estimator.compare.later import life_of_repairs
from estimator.express import money
from estimator.formula import formula
from estimator.job.economics import Economics
from estimator.tables.messages import Message, say, text_of, texts_of

__all__ = [
    "FARTHEST",
    "LONGEST_LIFE",
    "SHORTEST_LIFE",
    "BreakEven",
    "break_even_downtime",
    "break_even_life",
    "break_even_of",
    "break_even_price",
    "cheapest",
]

SOLVED = TEXTBOOK + "; both annual costs set equal"
ALIKE = Decimal("1e-12")  # relative: downtimes a year this near are the same
SHORTEST_LIFE, LONGEST_LIFE = 1e-3, 1e9  # [h] what a document may say
FARTHEST = 200_000.0  # [h] no bore is asked how it stands after that
KEYS = ("replacement_price", "repair_life_h", "downtime_cost_per_h")  # of what is broken even
MOST = 10**12  # the largest price that a document may say
Found = tuple[Decimal | None, Message | None]


class Reason(TypedDict):
    """Why a break-even does not exist: its code, and in words."""

    code: str
    text: str


class BreakEven(TypedDict):
    """Where the repair costs a year what the cheapest other way does; null with a reason where that is nowhere.

    `against`: the best other way as things stand. `reasons`: a line each, key and words; `reasons_by_key`: the same
    apart.
    """

    against: WayName | None
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


def cheapest(ways: list[Weighed], minor: str) -> Weighed | None:
    """Return the way that costs least a year as printed, the first of equals; none where none can be costed."""
    costed = [way for way in ways if way.annual is not None]
    return min(costed, key=lambda way: rounded(way.annual or Decimal(0), minor), default=None)


def _yearly(way: Weighed) -> Decimal:
    return way.annual or Decimal(0)


def _price_even(repair: Weighed, replace: Weighed, others: list[Weighed]) -> Found:
    """Return the price of a new part at which the repair costs what the cheapest other way costs."""
    if replace.annual is None:
        return None, say("even_uncosted", missing=("replace",))
    less = [way for way in others if way is not replace and _yearly(way) < _yearly(repair)]
    if less:
        return None, say("even_price_other", name=min(less, key=_yearly).name)
    beside = (replace.downtime_cost * replace.lost - replace.salvage * replace.back) / replace.recovery
    price = break_even_price(_yearly(repair), replace.recovery, beside)
    if price < 0:
        return None, say("even_price_free")
    return (None, say("even_price_any")) if price > MOST else (price, None)


def _life_even(repair: Weighed, best: Weighed, economics: Economics) -> tuple[float | None, Message | None]:
    """Return the life of the repair in hours at which it costs a year what the best other way does."""
    terms, rate = Terms.of(economics), economics.discount_rate
    outlay, back, annual = float(repair.outlay), float(repair.salvage), float(_yearly(best))
    if outlay <= 0 or annual <= 0:
        return None, say("even_life_nothing")
    if terms.inflation:
        costs = (float(repair.first_cost or 0), float(repair.downtime_cost), back)
        hours = life_of_repairs(costs, annual, terms) * terms.hours_per_year
        return (None, say("even_life_steps")) if math.isnan(hours) else _within(hours, terms)
    sunk, spent = outlay - back, annual - back * rate  # what salvage brings back costs its interest alone
    if sunk < 0:
        sunk, spent = -sunk, -spent
    if sunk == 0 or spent <= 0:
        return None, say("even_life_nothing" if sunk == 0 else "even_life_interest")
    return _within(break_even_life(sunk, spent, rate) * terms.hours_per_year, terms)


def _within(hours: float, terms: Terms) -> tuple[float | None, Message | None]:
    """Return a life where it is one that may be said, or why not."""
    if math.isinf(hours):
        return None, say("even_life_interest")
    if hours < SHORTEST_LIFE:
        return None, say("even_life_short")
    if hours > terms.left:
        return None, say("even_life_machine", left=f"{terms.left:,.0f} h")
    if hours > LONGEST_LIFE:
        return None, say("even_life_never")
    if hours > FARTHEST:
        return None, say("even_life_far", most=f"{FARTHEST:,.0f} h")
    return hours, None


def _at(way: Weighed, hourly: Decimal) -> Decimal:
    """Return what a way costs a year at a cost of downtime."""
    return way.still + Decimal(repr(way.downtime_h)) * way.lost * hourly


def _downtime_even(repair: Weighed, others: list[Weighed], best: Weighed, now: Decimal) -> Found:
    """Return the cost of an hour of downtime, the one nearest to now, at which repair and cheapest other are even."""
    ours, evens, moves = Decimal(repr(repair.downtime_h)) * repair.lost, list[Decimal](), False
    for way in others:
        theirs = Decimal(repr(way.downtime_h)) * way.lost
        if abs(theirs - ours) <= ALIKE * (ours + theirs):
            continue
        moves = True
        hourly = break_even_downtime(repair.still - way.still, theirs - ours)
        if hourly < 0 or hourly > MOST:
            continue
        level = _at(way, hourly)
        if all(_at(one, hourly) >= level - abs(level) * ALIKE for one in others):
            evens.append(abs(hourly))
    if evens:
        return min(evens, key=lambda hourly: (abs(hourly - now), hourly)), None
    if not moves:
        return None, say("even_downtime_same")
    dearer = _yearly(repair) > _yearly(best)
    return None, say("even_downtime_any", cheaper=best.name if dearer else "repair")


def _told(why: dict[str, Message | None]) -> tuple[list[str], dict[str, Reason]]:
    """Return the reasons that there are, by key: each as one line, and with code and words apart."""
    there = {key: one for key, one in why.items() if one is not None}
    lines = texts_of([say("even_reason", key=key, why=one) for key, one in there.items()])
    return lines, {key: {"code": one.code, "text": text_of(one)} for key, one in there.items()}


def _nowhere(why: Message, against: WayName | None) -> BreakEven:
    reasons, by_key = _told(dict.fromkeys(KEYS, why))
    return {
        "against": against,
        "replacement_price": None,
        "repair_life_h": None,
        "downtime_cost_per_h": None,
        "reasons": reasons,
        "reasons_by_key": by_key,
    }


def break_even_of(choices: dict[str, Weighed], economics: Economics, now: Decimal, minor: str) -> BreakEven:
    """Return where the repair costs a year what the cheapest other way does; `now`: cost of an hour of downtime."""
    repair, others = choices["repair"], [way for way in choices.values() if way.name != "repair"]
    best, costed = cheapest(others, minor), [way for way in others if way.annual is not None]
    if repair.annual is None or best is None:
        missing = ("repair",) if repair.annual is None else tuple(way.name for way in others)
        return _nowhere(say("even_uncosted", missing=missing), None if best is None else best.name)
    price, no_price = _price_even(repair, choices["replace"], costed)
    life, no_life = _life_even(repair, best, economics)
    hourly, no_hourly = _downtime_even(repair, costed, best, now)
    reasons, by_key = _told(dict(zip(KEYS, (no_price, no_life, no_hourly), strict=True)))
    return {
        "against": best.name,
        "replacement_price": None if price is None else money(rounded(price, minor), minor),
        "repair_life_h": None if life is None else float(f"{life:.10g}"),
        "downtime_cost_per_h": None if hourly is None else f"{rounded(hourly, '0.000001'):f}",
        "reasons": reasons,
        "reasons_by_key": by_key,
    }
