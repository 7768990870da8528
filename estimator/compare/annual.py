"""What one way out costs a year: first cost and downtime over its life, less what it still brings at its end."""

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from typing import Literal, NamedTuple, get_args

from typing_extensions import TypedDict

from estimator.express import money
from estimator.formula import formula
from estimator.job.economics import Economics, Way
from estimator.tables.messages import Message, say, texts_of
from estimator.units import deci

__all__ = [
    "LEAVE",
    "NAMES",
    "NO_GROWTH",
    "TEXTBOOK",
    "Choice",
    "Factors",
    "Terms",
    "WayName",
    "Weighed",
    "annual_cost",
    "capital_recovery",
    "choice_of",
    "exact",
    "factors_of",
    "hourly",
    "rounded",
    "weighed",
]

WayName = Literal["leave", "repair", "sleeve", "replace"]
LEAVE, *PRICED = get_args(WayName)
NAMES: tuple[WayName, ...] = tuple(PRICED)
TEXTBOOK = "Newnan, Eschenbach, Lavelle, Engineering Economic Analysis: equivalent uniform annual cost, (A/P, i, n)"
GRADIENT = "Newnan, Eschenbach, Lavelle, Engineering Economic Analysis: geometric gradient, (P/A, g, i, n)"
NO_GROWTH = 1e-17  # interest below it is lost among the digits of a double
NEARLY = 1e-9  # of a life: so little more than a whole number of lives asks for no further one
ROOMY = Context(prec=60)


class Choice(TypedDict):
    """One way out: what it costs a year, or why it cannot be costed."""

    name: WayName
    first_cost: str | None
    downtime_h: float
    downtime_cost: str
    life_h: float | None
    life_years: float | None
    salvage: str
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


@formula("series_worth", GRADIENT, "published")
def series_worth(count: float, growth: float) -> float:
    """Worth of so many payments of one, each grown by a share of the one before; the first is due now. [-]"""
    if growth == 0 or count == 1:
        return count
    return math.expm1(count * math.log1p(growth)) / growth


@dataclass(frozen=True)
class Terms:
    """What holds for all ways alike; `left`: how long the machine still runs, infinite where that is not said. [h]"""

    rate: float
    inflation: float
    hours_per_year: float
    left: float

    @classmethod
    def of(cls, economics: Economics) -> "Terms":
        """Return the terms that a job's economics say."""
        left = math.inf if economics.remaining_life is None else deci(economics.remaining_life, "h")
        return cls(economics.discount_rate, economics.inflation or 0.0, economics.hours_per_year, left)

    @property
    def years(self) -> float:
        """How long the machine still runs. [year]"""
        return self.left / self.hours_per_year

    def counted(self, life: float) -> float:
        """Return a life in hours as years that count: a part that outlives the machine is worth no more. [year]"""
        return deci(min(life, self.left) / self.hours_per_year, "1")


class Factors(NamedTuple):
    """What one unit of money comes to a year: as first cost, as cost of downtime, as salvage. [1/year]"""

    first: float
    downtime: float
    salvage: float


def factors_of(life: float, terms: Terms) -> Factors:
    """Return a way's factors from its life in years; with inflation over all its lives until the machine ends."""
    loss = -math.log1p(terms.rate)
    if not terms.inflation:
        recovery = capital_recovery(terms.rate, life)
        return Factors(recovery, recovery, recovery * math.exp(life * loss))
    count = max(1, math.ceil(terms.years / life * (1 - NEARLY)))
    recovery = capital_recovery(terms.rate, terms.years)
    each = math.expm1(life * loss)
    dearer = math.expm1(life * (loss + math.log1p(terms.inflation)))
    later = series_worth(count, each) - 1 + math.exp(terms.years * loss)
    return Factors(recovery * series_worth(count, dearer), recovery * series_worth(count, each), recovery * later)


@dataclass(frozen=True)
class Weighed:
    """One way out, as far as it is known; `recovery`, `lost`, `back`: its factors, [1/year]."""

    name: WayName
    first_cost: Decimal | None
    downtime_h: float
    downtime_cost: Decimal
    salvage: Decimal
    life_h: float | None
    life_years: float | None
    recovery: Decimal
    lost: Decimal
    back: Decimal
    annual: Decimal | None
    reasons: tuple[Message, ...]

    @property
    def outlay(self) -> Decimal:
        """First cost and downtime together. [currency]"""
        return (self.first_cost or Decimal(0)) + self.downtime_cost

    @property
    def still(self) -> Decimal:
        """Annual cost without that of downtime. [currency/year]"""
        return (self.first_cost or Decimal(0)) * self.recovery - self.salvage * self.back

    @classmethod
    def left(cls, minor: str) -> "Weighed":
        """Return the way of a bore that needs nothing."""
        none = Decimal(minor) * 0
        factors = {"recovery": none, "lost": none, "back": none}
        return cls(
            name="leave",
            first_cost=none,
            downtime_h=0.0,
            downtime_cost=none,
            salvage=none,
            life_h=None,
            life_years=None,
            annual=none,
            reasons=(),
            **factors,
        )


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
    name: WayName,
    way: Way | None,
    first: Decimal | None,
    why: list[Message],
    economics: Economics,
    minor: str,
    *,
    downtime: float = 0.0,
) -> Weighed:
    """Return one choice with its annual cost, or the reasons why it has none; `downtime`: hours the machine stands."""
    reasons, terms = list(why), Terms.of(economics)
    if way is None:
        reasons.append(say("not_given", key=f"economics.{name}"))
    said = None if way is None or way.likely is None else deci(way.likely, "h")
    if way is not None and said is None:
        reasons.append(say("not_given", key=f"economics.{name}.life"))
    years = None if said is None else terms.counted(said)
    lost = rounded(exact(downtime) * hourly(economics), minor)
    back = Decimal(0) if way is None or way.salvage is None else rounded(Decimal(way.salvage.amount), minor)
    first = None if first is None else rounded(first, minor)
    factors = Factors(0.0, 0.0, 0.0) if years is None else factors_of(years, terms)
    recovery, down, later = (exact(factor) for factor in factors)
    annual = None
    if first is not None and years is not None and not reasons:
        annual = annual_cost(first, recovery) + annual_cost(lost, down) - annual_cost(back, later)
    return Weighed(
        name=name,
        first_cost=first,
        downtime_h=downtime,
        downtime_cost=lost,
        salvage=back,
        life_h=None if said is None else min(said, terms.left),
        life_years=years,
        recovery=recovery,
        lost=down,
        back=later,
        annual=annual,
        reasons=tuple(reasons),
    )


def _told(life: float | None) -> float | None:
    """Return a life to the ten digits that a document tells."""
    return None if life is None else float(f"{life:.10g}")


def choice_of(choice: Weighed, minor: str) -> Choice:
    """Return one way out as the document says it."""
    return {
        "name": choice.name,
        "first_cost": None if choice.first_cost is None else money(choice.first_cost, minor),
        "downtime_h": choice.downtime_h,
        "downtime_cost": money(choice.downtime_cost, minor),
        "life_h": _told(choice.life_h),
        "life_years": _told(choice.life_years),
        "salvage": money(choice.salvage, minor),
        "annual_cost": None if choice.annual is None else money(rounded(choice.annual, minor), minor),
        "feasible": choice.annual is not None,
        "reasons": texts_of(choice.reasons),
    }
