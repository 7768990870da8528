"""Decide where a deposit may be tempered: below Ac1, and below what a tempered part was tempered at."""

from dataclasses import dataclass

from estimator.formula import formula
from estimator.tables import Tables
from estimator.tables.messages import Message, say
from estimator.weld.steel import Base, ac1

__all__ = ["Tempering", "tempering"]

BELOW = "heat treatment after welding stays 30 to 50 degC below Ac1 (metallurgyzone)"


@dataclass(frozen=True)
class Tempering:
    """Where the steel begins to turn to austenite, and between which temperatures it may be tempered. [K]"""

    ac1: float
    low: float | None
    high: float | None
    said: Message


@formula("temper_to", BELOW, "published", unit="K")
def temper_most(ac1: float, below: float) -> float:
    """Highest temperature at which a deposit is tempered. [K]"""
    return ac1 - below


@formula("temper_to", "a tempered part keeps its strength below its own tempering", "from memory", unit="K")
def temper_under_own(temper_to: float, tempered_at: float, below: float) -> float:
    """Highest temperature at which the deposit of a tempered part is tempered. [K]"""
    return min(temper_to, tempered_at - below)


@formula("temper_from", BELOW + ": a band of 20 K under the highest", "published", unit="K")
def temper_least(temper_to: float, band: float) -> float:
    """Lowest temperature at which a deposit is tempered. [K]"""
    return temper_to - band


def tempering(base: Base, facts: Tables) -> Tempering:
    """Return between which temperatures a deposit on a steel may be tempered, if at all."""
    factors = (facts.constant(f"ac1_{name}") for name in ("base", "Mn", "Ni", "Si", "Cr"))
    turning = ac1(base.Mn, base.Ni, base.Si, base.Cr, *factors)
    most = temper_most(turning, facts.constant("temper_below_nearest"))
    if base.tempered_at is not None:
        most = temper_under_own(most, base.tempered_at, facts.constant("temper_below_nearest"))
    low = temper_least(most, facts.constant("temper_band"))
    if low < facts.constant("temper_least"):
        return Tempering(turning, None, None, say("temper_never", steel=base.name))
    magnet = facts.constant("magnet_lets_go")
    return Tempering(turning, low, most, say("temper", low=low, high=most, own=_own(base), magnet=magnet, ac1=turning))


def _own(base: Base) -> Message | str:
    """Return what is to be said of the part's own tempering."""
    if base.tempered_at is not None:
        return say("temper_own", at=base.tempered_at)
    if base.tempered or base.delivery == "unknown":
        return say("temper_own_unknown")
    return ""
