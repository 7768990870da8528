"""What a sleeve costs where nobody says: the repair's own bill without its welding, a ring turned, and its fitting.

The bore is opened as for the repair and on to the seat of the ring, so that set-up, boring, travel and what is sold
beside stay as they are in the bill. A ring needs a wall, and leaves one in the boss.
"""

import math
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from estimator.job.job import Job
from estimator.tables.messages import Message, say
from estimator.units import deci

__all__ = ["Sleeve", "priced_sleeve"]

WELDING = ("labour-welding", "wire", "gas", "tips", "nozzles", "liners", "anti-spatter", "burner-gas")
LABOUR, OVER = "labour-boring", ("overhead", "contingency")
# Common practice, no source, from here to the end of these lines.
THINNEST, SHARE = 5.0, 0.06  # wall of a ring: [mm] at least, and of the finished bore
LEAST_LEFT = 8.0  # [mm] of the boss around a ring pressed in
TURNING_H, FITTING_H = 1.5, 0.75  # a ring made in the shop; measured, cooled and put in place
STEEL = 7.85e-6  # [kg/mm3]
BLANK = 6.0  # [mm] that a blank is larger all round


@dataclass(frozen=True)
class Sleeve:
    """The price of a ring fitted in every bore, before tax; or why it cannot be."""

    price: Decimal | None
    why: tuple[Message, ...] = ()


def _wall(finished: float) -> float:
    """Return the wall of a ring for a finished bore. [mm]"""
    return max(THINNEST, SHARE * finished)


def _mass(finished: float, seat: float, length: float) -> float:
    """Return the mass of the blank of a ring, sizes in mm. [kg]"""
    outer, inner = seat + BLANK, max(0.0, finished - BLANK)
    return math.pi / 4 * (outer**2 - inner**2) * (length + BLANK) * STEEL


def priced_sleeve(found: Any, job: Job) -> Sleeve:  # noqa: ANN401  # an estimate document
    """Return what sleeves in all bores cost, from the estimate of their repair."""
    lines = {line["code"]: line for line in found["cost"]["lines"]}
    base = sum(float(line["amount"]) for code, line in lines.items() if code not in OVER)
    wire, labour = lines.get("wire"), lines.get(LABOUR)
    if base <= 0 or wire is None or labour is None or not float(labour["quantity"]) or not float(wire["quantity"]):
        return Sleeve(None, (say("not_given", key="economics.sleeve.price"),))
    a_kilogram = float(wire["amount"]) / float(wire["quantity"])  # the book has no other steel
    an_hour = float(labour["amount"]) / float(labour["quantity"])
    kept = base - sum(float(lines[code]["amount"]) for code in WELDING if code in lines)
    for bore, told in zip(job.bores, found["bores"], strict=True):
        finished, length = deci(bore.nominal_diameter, "mm"), deci(bore.length, "mm")
        seat = max(finished + 2 * _wall(finished), float(told["sizes"]["cleanup_mm"]))
        outside = bore.outside_diameter
        if outside is not None and (left := (deci(outside, "mm") - seat) / 2) < LEAST_LEFT:
            return Sleeve(None, (say("sleeve_thin", bore=bore.name, left=left, least=LEAST_LEFT),))
        kept += _mass(finished, seat, length) * a_kilogram + (TURNING_H + FITTING_H) * an_hour
    return Sleeve(Decimal(found["price"]["before_tax"]) * Decimal(repr(kept / base)))
