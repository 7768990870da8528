"""What one way out costs a year: first cost and downtime over its life."""

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from typing import Literal, get_args

from typing_extensions import TypedDict

from estimator.express import money
from estimator.formula import formula
from estimator.job.economics import Economics, Way
from estimator.tables.messages import Message, say, texts_of
from estimator.units import deci

__all__ = [
    "NAMES",
    "NO_GROWTH",
    "TEXTBOOK",
    "Choice",
    "Weighed",
    "annual_cost",
    "capital_recovery",
    "choice_of",
    "exact",
    "hourly",
    "rounded",
    "weighed",
]

WayName = Literal["repair", "sleeve", "replace"]
NAMES: tuple[WayName, ...] = get_args(WayName)
TEXTBOOK = "Newnan, Eschenbach, Lavelle, Engineering Economic Analysis: equivalent uniform annual cost, (A/P, i, n)"
NO_GROWTH = 1e-17  # interest below it is lost among the digits of a double
ROOMY = Context(prec=60)


class Choice(TypedDict):
    """One way out: what it costs a year, or why it cannot be costed."""

    name: WayName
    first_cost: str | None
    downtime_h: float
    downtime_cost: str
    life_h: float | None
    life_years: float | None
    annual_cost: str | None
    feasible: bool
    reasons: list[str]


@formula("capital_recovery", TEXTBOOK, "published")
def capital_recovery(rate: float, years: float) -> float:
    """Capital recovery factor, end of year; the years need not be whole. [1/year]"""
    growth = years * math.log1p(rate)
    return 1 / years if growth < NO_GROWTH else rate / -math.expm1(-growth)


@formula("annual_cost", TEXTBOOK, "published")
def annual_cost(outlay: Decimal, capital_recovery: Decimal) -> Decimal:
    """Annual cost of an outlay, not yet rounded. [currency/year]"""
    return outlay * capital_recovery


@dataclass(frozen=True)
class Weighed:
    """One way out, as far as it is known; `recovery` is its capital recovery factor."""

    name: WayName
    first_cost: Decimal | None
    downtime_h: float
    downtime_cost: Decimal
    life_h: float | None
    life_years: float | None
    recovery: Decimal
    annual: Decimal | None
    reasons: tuple[Message, ...]

    @property
    def outlay(self) -> Decimal:
        """First cost and downtime together. [currency]"""
        return (self.first_cost or Decimal(0)) + self.downtime_cost


def rounded(value: Decimal, minor: str) -> Decimal:
    """Return an amount at its currency's places. [currency]"""
    return value.quantize(Decimal(minor), ROUND_HALF_UP, ROOMY)


def exact(value: float) -> Decimal:
    """Return a number as the decimal it is printed as."""
    return Decimal(repr(float(value)))


def hourly(economics: Economics) -> Decimal:
    """Return what an hour of downtime costs; nothing where that is not said. [currency/h]"""
    return Decimal(0) if economics.downtime_cost is None else Decimal(economics.downtime_cost.amount)


def weighed(
    name: WayName, way: Way | None, first: Decimal | None, why: list[Message], economics: Economics, minor: str
) -> Weighed:
    """Return one choice with its annual cost, or the reasons why it has none."""
    reasons = list(why)
    if way is None:
        reasons.append(say("not_given", key=f"economics.{name}"))
    life = None if way is None or way.life is None else deci(way.life, "h")
    if way is not None and life is None:
        reasons.append(say("not_given", key=f"economics.{name}.life"))
    downtime = 0.0 if way is None or way.downtime is None else deci(way.downtime, "h")
    years = None if life is None else deci(life / economics.hours_per_year, "1")
    lost = rounded(exact(downtime) * hourly(economics), minor)
    first = None if first is None else rounded(first, minor)
    recovery = Decimal(0) if years is None else exact(capital_recovery(economics.discount_rate, years))
    annual = None
    if first is not None and years is not None and not reasons:
        annual = annual_cost(first + lost, recovery)
    return Weighed(
        name=name,
        first_cost=first,
        downtime_h=downtime,
        downtime_cost=lost,
        life_h=life,
        life_years=years,
        recovery=recovery,
        annual=annual,
        reasons=tuple(reasons),
    )


def choice_of(choice: Weighed, minor: str) -> Choice:
    """Return one way out as the document says it."""
    return {
        "name": choice.name,
        "first_cost": None if choice.first_cost is None else money(choice.first_cost, minor),
        "downtime_h": choice.downtime_h,
        "downtime_cost": money(choice.downtime_cost, minor),
        "life_h": choice.life_h,
        "life_years": choice.life_years,
        "annual_cost": None if choice.annual is None else money(rounded(choice.annual, minor), minor),
        "feasible": choice.annual is not None,
        "reasons": texts_of(choice.reasons),
    }
