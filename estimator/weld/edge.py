"""How hard the base metal beside a bead comes out, held against what a procedure test allows, and what tempers it."""

import math
from dataclasses import dataclass

from estimator.formula import formula
from estimator.tables import Tables
from estimator.tables.messages import Message, say
from estimator.weld.steel import ELEMENTS, Base, ac1, cooling_time, hardness
from estimator.weld.technique import ELEMENT, Situation, bound

__all__ = ["Edge", "cooled_hardness", "edge_of", "peak_temperature", "tempered_depth"]

ANYWHERE = Situation("any", "any")
COOLING = ("temperature_zero", "temperature_800", "temperature_500", "cooling_constant", "cooling_slope")
THICK = "Rosenthal 1946: peak temperature beside a point source that moves over a thick plate"


@dataclass(frozen=True)
class Edge:
    """The base metal beside the first bead as laid, or None where no formula or no limit holds. [HV]

    `tempered`: share of the hardened depth that the next turn warms to where steel tempers, and not beyond; `said`: the
    verdict; `asked`: the same where somebody must approve it.
    """

    hard: float | None
    limit: float | None
    tempered: float | None
    said: Message
    asked: tuple[Message, ...] = ()


def cooled_hardness(composition: dict[str, float], start: float, heat: float, facts: Tables) -> float:
    """Return the hardness by formula of a composition, cooled after a bead laid on metal that warm. [HV]"""
    time = cooling_time(start, heat, *(facts.constant(name) for name in COOLING))
    return hardness(**composition, cooling_time=time, one_second=facts.constant("one_second"))


@formula("peak_temperature", THICK, "published", unit="K")
def peak_temperature(start_temperature: float, heat_input: float, volume_heat: float, away: float) -> float:
    """Warmest that metal gets at a distance from the line of a bead. [K]"""
    return start_temperature + 2 * heat_input / (math.pi * math.e * volume_heat * away**2)


@formula("tempered_share", THICK + ", under one turn and one step beside the next", "computed")
def tempered_depth(
    start_temperature: float,
    heat_input: float,
    volume_heat: float,
    step: float,
    melts: float,
    ac1: float,
    temper_least: float,
) -> float:
    """Share of the depth hardened under one turn that the next turn warms to where steel tempers, below Ac1. [-]"""
    strength = 2 * heat_input / (math.pi * math.e * volume_heat)
    molten, turned, tempers = (strength / (at - start_temperature) for at in (melts, ac1, temper_least))
    nearest, farthest = max(molten, turned - step**2), min(turned, tempers - step**2)
    if farthest <= nearest:
        return 0.0
    return (math.sqrt(farthest) - math.sqrt(nearest)) / (math.sqrt(turned) - math.sqrt(molten))


def _gaps(base: Base, time: float, facts: Tables) -> list[Message]:
    """Return where a steel or its cooling leaves the range of the hardness formula."""
    windows = {name: bound(facts, f"hardness {name}", ANYWHERE, "comfort") for name in ELEMENTS}
    cooled = bound(facts, "hardness cooling time", ANYWHERE, "comfort")
    gaps = [
        windows[name].why_not(getattr(base, name), say("element_name", name=name), ELEMENT)
        for name in ELEMENTS
        if not windows[name].holds(getattr(base, name))
    ]
    return gaps if cooled.holds(time) else [*gaps, cooled.why_not(time)]


def _limit(base: Base, facts: Tables) -> float | None:
    """Return the hardest edge that a procedure test allows; None for steel of a group without a row. [HV]"""
    plain = not base.tempered and facts.plain_constant("haz_group_carbon") >= base.C
    return facts.constant("haz_hardness_most") if plain else None


def _share(base: Base, step: float, start: float, heat: float, facts: Tables) -> float:
    """Return the share of the hardened depth that the next turn tempers. [-]"""
    factors = (facts.constant(f"ac1_{name}") for name in ("base", "Mn", "Ni", "Si", "Cr"))
    turning = ac1(base.Mn, base.Ni, base.Si, base.Cr, *factors)
    heats = facts.constant("weld_volume_heat"), step, facts.constant("steel_melts")
    return tempered_depth(start, heat, *heats, turning, facts.constant("temper_least"))


def edge_of(base: Base, step: float, start: float, heat: float, facts: Tables) -> Edge:
    """Return how hard the base metal beside a bead comes out, and the verdict.

    Parameters
    ----------
    base
        The steel.
    step
        From one turn to the next. [m]
    start
        Temperature that the bead is laid at. [K]
    heat
        Its heat input. [J/m]
    facts
        The tables.
    """
    limit = _limit(base, facts)
    time = cooling_time(start, heat, *(facts.constant(name) for name in COOLING))
    if gaps := _gaps(base, time, facts):
        return Edge(None, limit, None, say("no_edge", gaps=tuple(gaps)))
    hard = cooled_hardness({name: getattr(base, name) for name in ELEMENTS}, start, heat, facts)
    share, scatter = _share(base, step, start, heat, facts), facts.plain_constant("hardness_scatter")
    figures = {"hard": hard, "scatter": scatter}
    if limit is None:
        return Edge(hard, limit, share, say("edge_no_limit", **figures))
    if hard <= limit:
        return Edge(hard, limit, share, say("edge_within", limit=limit, **figures))
    if hard <= limit + scatter or share >= facts.plain_constant("edge_tempered_least"):
        return Edge(hard, limit, share, say("edge_above", limit=limit, share=share, **figures))
    said = say("edge_hard", limit=limit, share=share, **figures)
    return Edge(hard, limit, share, said, (said,))
