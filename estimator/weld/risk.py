"""Decide the risk of a bore's steel: preheat by a published table, how hard the deposit comes out, the odds of it."""

import math
from dataclasses import dataclass

from estimator.formula import choice, formula, leaf
from estimator.tables import Tables
from estimator.tables.messages import Message, say
from estimator.tables.rows import TablePreheat
from estimator.weld.edge import Edge, cooled_hardness, edge_of
from estimator.weld.plan import WeldPlan
from estimator.weld.steel import ELEMENTS, Base, diluted
from estimator.weld.temper import Tempering, tempering

__all__ = ["Risk", "TableFigure", "risk_of", "table_preheat"]

WARMED = "measured weld metal, shifted by what the formula makes of base metal in it and of another cooling time"


@dataclass(frozen=True)
class TableFigure:
    """Preheat by a published table [K], or none; with the table's name and edition and how the steel stands in it."""

    preheat: float | None
    said: Message


@dataclass(frozen=True)
class Risk:
    """How hard the worst of the layers that are cut comes out: first beads, laid at the preheat, and last ones. [HV]

    `edge`: how hard the base metal beside the first bead comes out. `told`: the odds are worth a word; `priced`: they
    are worth an allowance.
    """

    layer: int
    first: float
    last: float
    edge: Edge
    limit: float
    scatter: float
    odds: float
    told: bool
    priced: bool
    tempering: Tempering


@formula("hardness", WARMED, "from memory")
def shifted_hardness(measured: float, diluted: float, plain: float) -> float:
    """Hardness of a deposit with base metal in it; `plain` is the wire alone, cooled as the measured one was. [HV]"""
    return measured + diluted - plain


@formula(
    "too_hard_odds",
    "normal distribution about the computed hardness; its deviation: scatter over the factor of coverage",
    "computed",
)
def too_hard_odds(hardness: float, hardness_limit: float, scatter: float, coverage: float) -> float:
    """Odds that a deposit is harder than a limit. [-]"""
    return math.erfc((hardness_limit - hardness) * coverage / scatter / math.sqrt(2)) / 2


@formula("too_hard_odds", "that a layer laid over it may temper it: common practice, no source", "from memory")
def tempered_odds(odds: float, layer_saves: float) -> float:
    """Odds that a layer is still too hard after another was laid over it. [-]"""
    return odds * (1 - layer_saves)


def table_preheat(base: Base, thickness: float, facts: Tables) -> TableFigure:
    """Return the preheat of a published table for a steel and thickness; none where the table does not name it."""
    rows = list(facts.every("preheat_table", TablePreheat))
    own = [row for row in rows if row.category == base.table_category and row.above < thickness <= row.up_to]
    if not own:
        return TableFigure(None, say("table_not_named", tables=tuple(dict.fromkeys(row.table for row in rows))))
    named = {"table": own[0].table, "category": own[0].category, "steel": base.name, "note": base.table_note}
    return TableFigure(own[0].preheat, say("table_named", **named))


def _deposit(base: Base, weld: WeldPlan, number: int, start: float, heat: float, facts: Tables) -> float:
    """Return the hardness of a bead of one layer, laid on metal that warm. [HV]"""
    layers = choice(number, "layers", "layers laid up to the one that is cut")
    mixed, plain = {}, {}
    for name in ELEMENTS:
        wire = getattr(weld.wire, name, None)
        plain[name] = leaf(0.0, "fact", f"wire {name}", "not in the wire's row") if wire is None else wire
        mixed[name] = diluted(getattr(base, name), plain[name], facts.constant("dilution_first"), layers)
    alone = cooled_hardness(plain, facts.constant("wire_hardness_interpass"), heat, facts)
    return shifted_hardness(facts.constant("wire_hardness"), cooled_hardness(mixed, start, heat, facts), alone)


def _odds(hard: float, covered: bool, facts: Tables) -> float:
    """Return the odds that a layer is too hard when it is cut."""
    names = ("hardness_machinable", "hardness_scatter", "coverage_factor")
    odds = too_hard_odds(hard, *(facts.constant(name) for name in names))
    return tempered_odds(odds, facts.constant("layer_saves")) if covered else odds


def risk_of(
    base: Base, weld: WeldPlan, finish: float, preheat: float, interpass: float, heat: float, facts: Tables
) -> Risk:
    """Return how hard a bore's deposit comes out and what may be done about it: of the layers cut, the worst.

    Parameters
    ----------
    base, weld
        The steel and how it is welded.
    finish
        Diameter that the bore is cut to. [m]
    preheat, interpass
        Temperatures that the first and the last beads of a layer are laid at. [K]
    heat
        Heat input of the last layer. [J/m]
    facts
        The tables.
    """
    last = weld.layers[-1].number
    cut = [layer.number for layer in weld.layers if layer.end < finish or layer.number == last]
    firsts = {number: _deposit(base, weld, number, preheat, heat, facts) for number in cut}
    odds = {number: _odds(hard, number < last, facts) for number, hard in firsts.items()}
    worst = max(cut, key=odds.__getitem__)
    edge = edge_of(base, weld.layers[0].step, preheat, heat, facts)
    told, priced = (bool(odds[worst] >= facts.plain_constant(f"hardness_odds_{name}")) for name in ("told", "due"))
    return Risk(
        layer=choice(worst, "hardness_layer", "of the layers that are cut, the one most likely too hard"),
        first=firsts[worst],
        last=_deposit(base, weld, worst, interpass, heat, facts),
        edge=edge,
        limit=facts.constant("hardness_machinable"),
        scatter=facts.constant("hardness_scatter"),
        odds=odds[worst],
        told=told,
        priced=priced,
        tempering=tempering(base, facts),
    )
