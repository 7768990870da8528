"""A plan by hand: the user's own layers, checked against the same limits and weighed as the search weighs its own."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from estimator.book.pricebook import PriceBook
from estimator.bore.survey import Survey
from estimator.formula import formula
from estimator.job.options import Turning
from estimator.tables.messages import Message, say
from estimator.weld.cases import Candidate, Case
from estimator.weld.grid import Grid, passes_over
from estimator.weld.plan import (
    UPRIGHT,
    Layer,
    layer_end,
    left_thickness,
    part_turns,
    turns_one_way,
    whole_turns,
    with_dwells,
)
from estimator.weld.search import Found, broken_at, outside_of
from estimator.weld.technique import SLACK, Situation, Window, bound

__all__ = ["ByHand", "by_hand"]

AGAINST: dict[Turning, Turning] = {"clockwise": "counter-clockwise", "counter-clockwise": "clockwise"}
HELD = say("hand_held")


@dataclass(frozen=True)
class ByHand:
    """The user's layers, what they come to, what was searched, and why they cannot be laid: (layer or None, reason)."""

    layers: tuple[Layer, ...]
    found: Found
    searched: Candidate | None
    faults: tuple[tuple[int | None, Message], ...]


def _rotations(survey: Survey, book: PriceBook) -> list[Turning]:
    """Return how each layer turns: as said, else against the one before, or the one way that the equipment turns."""
    turned: list[Turning] = []
    for layer in survey.bore.options.by_hand:
        before = turned[-1] if turned else "counter-clockwise"
        usual = (turned[-1] if turned else "clockwise") if turns_one_way(survey, book) else AGAINST[before]
        turned.append(layer.rotation or usual)
    return turned


@formula(
    "length", "a step is typed to a hundredth: the rest of a turn that comes of it is not laid", "from memory", unit="m"
)
def shortened(length: float, step: float, turn_slack: float) -> float:
    """Length over which whole turns are counted: the bore's, less what the run-over covers. [m]"""
    return length - turn_slack * step


def _layers(survey: Survey, case: Case, book: PriceBook) -> tuple[Layer, ...]:
    """Return the layers as they come to lie, each joining the one before."""
    facts, hands, turned = book.facts, survey.bore.options.by_hand, _rotations(survey, book)
    over, start, layers = case.ask.ways[0].turns_over, survey.sizes.cleanup, []
    for number, hand in enumerate(hands, 1):
        follows = number < len(hands) and survey.bore.axis != UPRIGHT and turned[number] == turned[number - 1]
        left = left_thickness(hand.thickness, facts.constant("skim_depth")) if follows else hand.thickness
        beads = whole_turns(shortened(survey.bore.length, hand.step, facts.constant("turn_slack")), hand.step, over)
        beads = with_dwells(beads, int(hand.dwell)) if hand.dwell else beads
        turns = beads if survey.bore.sector is None else part_turns(beads, survey.share)
        end = layer_end(start, left)
        own = (
            number,
            hand.thickness,
            left,
            start,
            end,
            hand.step,
            beads,
            turns,
            turned[number - 1],
            hand.current,
            int(hand.dwell),
        )
        layers.append(Layer(*own))
        start = end
    return tuple(layers)


def _case(case: Case, layer: Layer) -> Case:
    """Return a case of the search that holds one layer alone, pinned in all that is chosen."""
    skim = layer.laid - layer.thickness
    ask = replace(
        case.ask,
        build=layer.thickness,
        length=(layer.beads - 2 * layer.dwells - case.ask.ways[0].turns_over) * layer.step,
        cleanup=layer.start + skim,  # so that the middle of what is laid lies where the layer's own does
        skim=0.0,
        gap_time=0.0,
        once=0.0,
        current=layer.current,
        step=layer.step,
        layers=1,
        thickness=layer.laid,
        dwells=layer.dwells,
    )
    windows = {scope: {**own, "layers": Window("layers")} for scope, own in case.windows.items()}
    worth = replace(case.worth, passes=None)  # of all layers together
    first = case.first if layer.number == 1 else None
    return replace(case, ask=ask, windows=windows, worth=worth, first=first)


def _faults(case: Case, layers: Sequence[Layer], survey: Survey, book: PriceBook) -> list[tuple[int | None, Message]]:
    """Return what is wrong with the layers as a whole: their number, where they end, how they turn."""
    said: list[tuple[int | None, Message]] = []
    must, weld, wire = case.windows["must"]["layers"], survey.sizes.weld, case.wire
    if not must.holds(len(layers)):
        said.append((None, must.why_not(len(layers))))
    least = min(bound(book.facts, "bore", Situation("any", "any"), "must").low, weld)
    for layer in layers:
        place = layer.number - 1
        if layer.start < least * (1 - SLACK):
            said.append((place, say("hand_small", start=layer.start)))
        if layer.thickness <= 0:
            said.append((place, say("hand_skimmed", laid=layer.laid)))
        if not wire.current_low * (1 - SLACK) <= layer.current <= wire.current_high * (1 + SLACK):
            own = say("hand_current", current=layer.current, low=wire.current_low, high=wire.current_high)
            said.append((place, own))
    if not book.equipment.turns_both_ways and len({layer.rotation for layer in layers}) > 1:
        said.append((None, say("hand_one_way", rig=book.equipment.name)))
    if layers[-1].end > weld * (1 + SLACK):
        more = (layers[-1].end - weld) / 2
        said.append((None, say("hand_short", end=layers[-1].end, weld=weld, more=more)))
    return said


def _summed(case: Case, layers: Sequence[Layer], parts: list[Candidate]) -> Candidate:
    """Return the layers as one plan of the search, with the first layer's settings.

    Its odds are the layers' own, each weighed with the work it would cost again, so that they cost the same.
    """
    skims = sum(case.ask.skim_time for layer in layers if layer.skimmed)
    plain = case.ask.gap_time - case.ask.skim_time
    between, more = plain * (len(layers) - 1) + skims + case.ask.once, case.worth.passes
    over = sum(layer.thickness for layer in layers) - case.ask.build
    passes = 0.0 if more is None else float(passes_over(np.array(over), more))
    own = (0.0, 0.0) if more is None else (passes * more.time, passes * more.worth)
    arc_time = sum(one.arc_time for one in parts)
    work = [case.worth.rework + one.arc_time for one in parts]
    odds = sum(one.odds * each for one, each in zip(parts, work, strict=True)) / sum(work)
    return replace(
        parts[0],
        layers=len(layers),
        arc_time=arc_time,
        time=sum(one.time for one in parts) + between,
        hours=sum(one.hours for one in parts) + between + own[0],
        cost=sum(one.cost for one in parts) + between * case.worth.time + own[1],
        heat=sum(one.heat for one in parts),
        odds=odds,
    )


def by_hand(case: Case, survey: Survey, found: Found, book: PriceBook) -> ByHand:
    """Return the user's own layers with one wire, checked and weighed.

    Parameters
    ----------
    case
        The bore with a wire and a gas: windows, worth, the cooler first bead.
    survey
        The bore; its options hold the layers.
    found
        What the search found for the same case: its efficient plans stay beside.
    book
        Tables and equipment.
    """
    layers = _layers(survey, case, book)
    faults = _faults(case, layers, survey, book)
    whole = [layer for layer in layers if layer.thickness > 0]
    parts, outside = [], list[Message]()
    for layer in whole:
        grid = Grid(_case(case, layer), book.facts)
        plans = grid.at([(0, 0, 0)])
        faults += [(layer.number - 1, why) for _, why in broken_at(grid, plans, 0)]
        left = outside_of(grid.case, grid.values(plans, 0))
        outside += [say("layer_outside", number=layer.number, said=why) for why in left]
        parts.append(grid.candidate(plans, grid.worths(plans), 0))
    best = None if faults else _summed(case, layers, parts)
    own = replace(found, best=best, quick=None, outside=tuple(outside), held=(HELD,), broken=(), values={}, beside=())
    return ByHand(layers, replace(own, comfortable=not outside), found.best, tuple(dict.fromkeys(faults)))
