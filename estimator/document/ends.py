"""The bore's ends in the estimate document: how they are laid, whether they clean up, and what that takes."""

from typing_extensions import TypedDict

from estimator.book.pricebook import PriceBook
from estimator.express import all_shown
from estimator.formula import choice, formula, leaf, summed
from estimator.inputs import Inputs
from estimator.job.options import Ends as EndsLaid
from estimator.plans import BoreFigures
from estimator.tables.messages import Message, say, text_of
from estimator.weld.bead import cleans_up, left_to_bore, still_short
from estimator.weld.build import LayerFigures
from estimator.weld.plan import PAST, RINGS, WeldPlan, time_on

__all__ = ["Ends", "ends_of"]


class Ends(TypedDict):
    """How the bore's ends are laid so that boring cleans them up, and what that takes beside half a bead past a face.

    `dwell_layers`: the last layers in which the arc goes round one whole turn more without a step at both ends.
    """

    how: EndsLaid
    text: str
    dwell_layers: int
    turns_over: float
    shortfall_mm: float
    left_to_bore_mm: float
    cleans_up: bool
    extra_wire_kg: float
    extra_gas_L: float
    extra_arc_min: float
    extra_work_min: float


DWELT = "the last layers, as many as fill what the ends are short of beyond what boring takes off"
NONE = "nothing is laid for the ends but half a bead past each face"
WORK = "two rings fitted and cut off, or two beads cut off that stand proud: times of the table, before access"
EXTRA = "beads past the faces beyond half a one at each, and dwells of a whole turn at both ends"
BASES: dict[EndsLaid, tuple[str, ...]] = {PAST: ("past end",), RINGS: ("ring",)}


@formula("extra", "definition: the share of the beads that only the ends need", "computed", unit="s")
def extra_of(arc_time: float, extra_beads: float, beads: int) -> float:
    """Arc time of the beads of a layer that only the ends need. [s]"""
    return arc_time * extra_beads / beads


@formula("extra", "definition: a share of what the bore takes, by arc time", "computed")
def by_arc(whole: float, extra_time: float, arc_time: float) -> float:
    """What the extra beads take of something that the bore uses. [SI]"""
    return whole * extra_time / arc_time


def ends_of(one: BoreFigures, book: PriceBook, inputs: Inputs) -> Ends:
    """Return how the bore's ends are laid, how short they stay, and whether boring cleans up with what is left."""
    layers, weld = one.build.layers, one.plan.weld
    short = still_short(summed("end_shortfall", "m", *(layer.end_shortfall for layer in layers)))
    left = left_to_bore(one.plan.survey.sizes.finish, weld.layers[-1].end)
    arc = summed("extra", "s", *(_extra_arc(each, weld, book) for each in layers))
    return all_shown(
        Ends(
            how=weld.way.name,
            text=text_of(_told(weld, blind=one.plan.survey.bore.blind)),
            dwell_layers=choice(sum(layer.dwells for layer in weld.layers), "dwell_layers", DWELT),
            turns_over=weld.turns_over,
            shortfall_mm=short,
            left_to_bore_mm=left,
            cleans_up=cleans_up(short, layers[-1].valley, left),
            extra_wire_kg=by_arc(one.supplies.wire, arc, one.build.arc_time),
            extra_gas_L=by_arc(one.supplies.gas, arc, one.build.arc_time),
            extra_arc_min=arc,
            extra_work_min=_work(weld, book, inputs),
        )
    )


def _extra_arc(laid: LayerFigures, weld: WeldPlan, book: PriceBook) -> float:
    """Return the arc time of the beads of a layer that only the ends need; nothing where there are none. [s]"""
    beads = float(weld.turns_over) - book.facts.plain_constant("run_over_turns") + 2 * float(laid.layer.dwells)
    if not beads:
        return leaf(0.0, "fact", "extra", NONE, unit="s")
    return extra_of(laid.arc_time, choice(beads, "extra_beads", EXTRA), laid.layer.beads)


def _work(weld: WeldPlan, book: PriceBook, inputs: Inputs) -> float:
    """Return the time of fitting and cutting off rings, or of cutting off what stands proud of the faces. [s]"""
    bases = BASES.get(weld.way.name, ())
    time = 2 * time_on(book.facts, inputs, *bases)
    return choice(time, "work", WORK, unit="s") if bases else leaf(0.0, "fact", "work", NONE, unit="s")


def _told(weld: WeldPlan, *, blind: bool) -> Message:
    """Return in a line how the ends are laid; a blind bore has one face."""
    dwells, way = sum(layer.dwells for layer in weld.layers), say("ends_over_blind" if blind else "ends_over")
    if weld.way.name == PAST:
        way = say("ends_past")
    if weld.rings:
        way = say("ends_rings")
    return say("ends_dwell", way=way, layers=dwells, of=len(weld.layers)) if dwells else way
