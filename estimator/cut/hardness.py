"""Hard weld metal and hard skins: a harder steel is cut slower and pushes back more."""

import itertools
from dataclasses import dataclass

from estimator.bore.survey import Survey
from estimator.formula import formula
from estimator.tables import Tables
from estimator.tables.rows import Cutting, HardnessCut
from estimator.weld.risk import Risk

__all__ = ["Hardness", "at_hardness", "hardness_of_base", "hardness_of_weld"]

TABLE = "Ferrous Metals Data Book Table 9-3: speed over hardness, straight lines between its rows"


@dataclass(frozen=True)
class Hardness:
    """How a metal cuts at its hardness: Kienzle's constant [Pa] and table speed [m/s]."""

    kc: float
    speed: float


@formula("speed_share", TABLE, "computed")
def between_rows(hardness: float, low_hardness: float, high_hardness: float, at_low: float, at_high: float) -> float:
    """Cutting speed of a steel of a hardness over that of a soft one. [-]"""
    place = (min(max(hardness, low_hardness), high_hardness) - low_hardness) / (high_hardness - low_hardness)
    return at_low + place * (at_high - at_low)


@formula("speed", TABLE, "computed", unit="m/s")
def slowed(table_speed: float, share: float, own_share: float) -> float:
    """Turning speed at a hardness, from the speed at the row's own. [m/s]"""
    return table_speed * share / own_share


@formula("kc", "force over hardness by a power, as handbooks correct it for strength", "from memory", unit="Pa")
def pushed_back(kc: float, hardness: float, own: float, power_of: float) -> float:
    """Kienzle's constant at a hardness, from that at the row's own. [Pa]"""
    return kc * (hardness / own) ** power_of


@formula("hardness", "ISO 18265 table A.1 as a ratio", "from memory")
def brinell(hardness: float, per_vickers: float) -> float:
    """Brinell hardness of a Vickers hardness. [HB]"""
    return hardness * per_vickers


def _share(hardness: float, facts: Tables) -> float:
    rows = sorted(facts.every("hardness_cut", HardnessCut), key=lambda row: row.hardness)
    low, high = next((pair for pair in itertools.pairwise(rows) if hardness <= pair[1].hardness), (rows[-2], rows[-1]))
    return between_rows(hardness, low.hardness, high.hardness, low.speed, high.speed)


def at_hardness(row: Cutting, hardness: float | None, facts: Tables) -> Hardness:
    """Return how a metal cuts at a hardness [HB]; as its row says where it is no harder than that."""
    if hardness is None or hardness <= row.hardness:
        return Hardness(row.kc, row.speed)
    kc = pushed_back(row.kc, hardness, row.hardness, facts.constant("hardness_force"))
    return Hardness(kc, slowed(row.speed, _share(hardness, facts), _share(row.hardness, facts)))


def hardness_of_weld(risk: Risk, facts: Tables) -> float | None:
    """Return the hardness [HB] at which weld metal is cut; None where a hard deposit is not worth a word."""
    return brinell(risk.first, facts.constant("brinell_per_vickers")) if risk.told else None


def hardness_of_base(survey: Survey, facts: Tables) -> float | None:
    """Return the hardness [HB] at which a hardened bore is cleaned up, or None."""
    return facts.constant("hardened_skin") if survey.bore.condition.hardened == "yes" else None
