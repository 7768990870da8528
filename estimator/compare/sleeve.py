"""What a sleeve costs where nobody says: the repair's own bill without its welding, a ring turned, and its fitting.

The bore is opened as for the repair and on to the seat of the ring, so that set-up, boring, travel and what is sold
beside stay as they are in the bill. A ring needs a wall, and leaves one in the boss.
"""

import math
from collections import Counter
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from estimator.job.job import Job
from estimator.tables import Tables
from estimator.tables.messages import Message, say
from estimator.units import deci

__all__ = ["Sleeve", "priced_sleeve"]

WELDING = ("labour-welding", "wire", "gas", "tips", "nozzles", "liners", "anti-spatter", "burner-gas")
LABOUR, WIRE = "labour-boring", "wire"
HOUR = 3600.0  # [s]


@dataclass(frozen=True)
class Sleeve:
    """The price of a ring fitted in every bore, before tax; or why it cannot be."""

    price: Decimal | None
    why: tuple[Message, ...] = ()


def wall_of(finished: float, facts: Tables) -> float:
    """Return the wall of a ring for a finished bore. [m]"""
    return max(facts.plain_constant("sleeve_wall"), facts.plain_constant("sleeve_wall_share") * finished)


def blank_mass(finished: float, seat: float, length: float, facts: Tables) -> float:
    """Return the mass of the blank of a ring. [kg]"""
    more = facts.plain_constant("sleeve_blank")
    outer, inner = seat + more, max(0.0, finished - more)
    return math.pi / 4 * (outer**2 - inner**2) * (length + more) * facts.plain_constant("steel_density")


def _sums(found: Any) -> tuple[Counter[str], Counter[str]]:  # noqa: ANN401  # an estimate document
    """Return amount and quantity of the cost lines by code, those of several bores together; shares left out."""
    amounts, quantities = Counter[str](), Counter[str]()
    for line in found["cost"]["lines"]:
        if line["kind"] != "share":
            amounts[line["code"]] += float(line["amount"])  # pyrefly: ignore[unsupported-operation]  # amounts of money
            quantities[line["code"]] += float(line["quantity"])  # pyrefly: ignore[unsupported-operation]  # the same
    return amounts, quantities


def priced_sleeve(found: Any, job: Job, facts: Tables) -> Sleeve:  # noqa: ANN401  # an estimate document
    """Return what sleeves in all bores cost, from the estimate of their repair."""
    amounts, quantities = _sums(found)
    base = sum(amounts.values())
    if base <= 0 or not quantities[WIRE] or not quantities[LABOUR]:
        return Sleeve(None, (say("not_given", key="economics.sleeve.price"),))
    a_kilogram = amounts[WIRE] / quantities[WIRE]  # the book has no other steel
    an_hour = amounts[LABOUR] / quantities[LABOUR]
    hours = sum(facts.plain_constant(name) for name in ("sleeve_turning", "sleeve_fitting")) / HOUR
    least, kept = facts.plain_constant("sleeve_left"), base - sum(amounts[code] for code in WELDING)
    for bore, told in zip(job.bores, found["bores"], strict=True):
        finished, outside = float(bore.nominal_diameter), bore.outside_diameter
        seat = max(finished + 2 * wall_of(finished, facts), float(told["sizes"]["cleanup_mm"]) / 1000)
        if outside is not None and (left := (float(outside) - seat) / 2) < least:
            figures = {"left": deci(left, "mm"), "least": deci(least, "mm")}
            return Sleeve(None, (say("sleeve_thin", bore=bore.name, **figures),))
        kept += blank_mass(finished, seat, float(bore.length), facts) * a_kilogram + hours * an_hour
    return Sleeve(Decimal(found["price"]["before_tax"]) * Decimal(repr(kept / base)))
