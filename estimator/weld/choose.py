"""Choose how every bore of a job is welded: a search with each wire on the van, until one serves comfortably.

Whether another wire pays its change is for the whole job to say (`steps/wires.py`); here it is asked for by name.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from estimator.book.pricebook import PriceBook
from estimator.bore.survey import Survey
from estimator.errors import Fault, JobRefusedError
from estimator.tables.messages import Message, fault, say
from estimator.tables.rows import Gas
from estimator.weld import refuse
from estimator.weld.asked import Weighing, cases_for
from estimator.weld.cases import Candidate, Case
from estimator.weld.hand import ByHand, by_hand
from estimator.weld.plan import Alternative, WeldPlan, gas_for, wires_for
from estimator.weld.search import NOTHING, Found, search
from estimator.weld.settle import plan_weld
from estimator.weld.shadow import shadows
from estimator.weld.steel import Base

__all__ = ["Chosen", "choose_welds", "options_of"]


@dataclass(frozen=True)
class Option:
    """A wire with its gas for one bore: the case that is searched, what is found, what is to be said of the gas."""

    case: Case
    gas: Gas
    said: tuple[Message, ...]
    found: Found | None = None
    hand: ByHand | None = None


Chosen = tuple[WeldPlan, tuple[Message, ...]]


def choose_welds(
    numbers: Sequence[int],
    surveys: Sequence[Survey],
    bases: Sequence[Base],
    weighing: Weighing,
    wires: Sequence[str | None],
    *,
    beside: bool = False,
) -> list[Chosen]:
    """Choose wire, gas and layers of bores, each with what is to be said of its gas.

    `numbers`: those of the bores in their job; `wires`: the one to be tried first in each, None for the one mounted;
    `beside`: with what else there is, and what each limit costs.
    """
    book = weighing.book
    named = list(zip(numbers, surveys, strict=True))
    faults = [why for number, one in named for why in _both_ways(one, book, f"bores.{number}")]
    options: list[list[Option]] = []
    for (number, one), base, wire in zip(named, bases, wires, strict=True):
        own, wrong = options_of(one, base, weighing, f"bores.{number}")
        options.append(sorted(own, key=lambda option, first=wire: option.case.wire.name != first) if wire else own)
        faults += wrong
    if faults:
        raise JobRefusedError(faults)
    plans, found = list[Chosen](), list[tuple[Case, Found]]()
    for (number, one), own in zip(named, options, strict=True):
        tried = _all_tried(own, one, book) if beside else _tried_in_turn(own, one, book)
        serving = _serving(tried)
        if not serving:
            faults += dict.fromkeys(one for option in _nearest(tried) for one in _impossible(option, f"bores.{number}"))
            continue
        option = serving[0]
        plan = _planned(one, option, serving if beside else None, book)
        plans.append((replace(plan, others=_others(option, own, one)), option.said))
        found += [(option.case, option.found)] if option.found else []
    if faults:
        raise JobRefusedError(faults)
    return _with_shadows(plans, found, book) if beside else plans


def _with_shadows(plans: list[Chosen], found: list[tuple[Case, Found]], book: PriceBook) -> list[Chosen]:
    """Return plans with what each limit that binds them costs."""
    told = zip(plans, shadows(found, book.facts), strict=True)
    return [
        (replace(plan, beside=replace(plan.beside, shadows=one)), said)
        for (plan, said), one in told
        if plan.beside is not None
    ]


def _all_tried(own: list[Option], one: Survey, book: PriceBook) -> list[Option]:
    """Return every option of a bore with what was found for it, and beside it."""
    found = search([option.case for option in own], book.facts)
    return [_tried(option, each, one, book) for option, each in zip(own, found, strict=True)]


def _tried_in_turn(own: list[Option], one: Survey, book: PriceBook) -> list[Option]:
    """Return the options of a bore with what was found for them, up to the first that is comfortable: it is taken."""
    tried: list[Option] = []
    for option in own:
        by_hand_alone = one.bore.options.by_hand
        found = NOTHING if by_hand_alone else search([option.case], book.facts, beside=False)[0]
        tried.append(_tried(option, found, one, book))
        if _serving(tried[-1:]) and (last := tried[-1].found) is not None and last.comfortable:
            break
    return tried


def _tried(option: Option, found: Found, one: Survey, book: PriceBook) -> Option:
    """Return an option with what was found for it: by the search, or for the user's own layers."""
    if not one.bore.options.by_hand:
        return replace(option, found=found)
    hand = by_hand(option.case, one, found, book)
    return replace(option, found=hand.found, hand=hand)


def _others(chosen: Option, own: list[Option], one: Survey) -> tuple[Case, ...]:
    """Return the cases of the wires that stand by beside a comfortable one; none of a plan by hand."""
    if one.bore.options.by_hand or chosen.found is None or not chosen.found.comfortable:
        return ()
    return tuple(option.case for option in own if option.case.wire is not chosen.case.wire)


def options_of(one: Survey, base: Base, weighing: Weighing, path: str) -> tuple[list[Option], list[Fault]]:
    """Return the wires that may serve a bore, each with its gas; or why none does."""
    book = weighing.book
    wires, faults = wires_for(one, book, path)
    choices, said, wrong = [], list[tuple[Message, ...]](), list[Fault]()
    for wire in wires:
        gas, words, why = gas_for(one, wire, book, path)
        wrong += why
        if gas is not None:
            choices.append((wire, gas))
            said.append(tuple(words))
    if not choices:
        return [], [*faults, *dict.fromkeys(wrong)]
    thin = refuse.is_thin(one, book)
    cases = cases_for(one, choices, base, thin, weighing)
    return [Option(case, gas, words) for case, (_, gas), words in zip(cases, choices, said, strict=True)], faults


def _both_ways(one: Survey, book: PriceBook, path: str) -> list[Fault]:
    """Return why alternating layers, if pinned, cannot be had of the equipment."""
    if one.bore.options.rotation != "alternating" or book.equipment.turns_both_ways:
        return []
    return [fault(f"{path}.options.rotation", say("turns_one_way", rig=book.equipment.name))]


def _serving(tried: list[Option]) -> list[Option]:
    """Return the options that have a plan: those with a comfortable one first, the mounted wire before others.

    Another wire stands by as an alternative: what it saves in arc time it may lose in waits, which come after.
    """
    serving = [option for option in tried if option.found is not None and option.found.best is not None]
    return sorted(serving, key=lambda option: option.found is None or not option.found.comfortable)


def _nearest(tried: list[Option]) -> list[Option]:
    """Return the options whose reasons are told: all, or with a plan by hand the wire that it breaks least with."""
    hands = [(len(option.hand.faults), option) for option in tried if option.hand is not None]
    return [min(hands, key=lambda pair: pair[0])[1]] if hands else tried


def _planned(one: Survey, chosen: Option, serving: list[Option] | None, book: PriceBook) -> WeldPlan:
    """Return the plan of one bore; the other wires that serve, where asked for, stand by as alternatives."""
    others = None if serving is None else tuple(_alternative(each, book) for each in serving if each is not chosen)
    assert chosen.found is not None  # only what was searched serves
    hand = None
    if chosen.hand is not None:
        hand = chosen.hand.layers
        others = None if others is None else (*_searched(chosen, chosen.hand.searched), *others)
    return plan_weld(
        case=chosen.case, found=chosen.found, survey=one, gas=chosen.gas, others=others, book=book, hand=hand
    )


def _searched(option: Option, plan: Candidate | None) -> tuple[Alternative, ...]:
    """Return what the search would lay in place of the user's own layers, with the same wire."""
    if plan is None:
        return ()
    remark = say("alternative_searched")
    return (
        Alternative(
            name="searched",
            wire=option.case.wire.name,
            gas=option.gas.name,
            current=plan.current,
            layers=plan.layers,
            time=plan.time,
            remark=remark,
        ),
    )


def _best(option: Option) -> Candidate:
    """Return the best plan of an option that serves."""
    best = None if option.found is None else option.found.best
    assert best is not None  # only options that serve are asked
    return best


PINNED = {"current": "current", "step": "step", "step_ratio": "step", "layers": "layers", "layer_thickness": "layers"}


def _impossible(option: Option, path: str) -> list[Fault]:
    """Return why no plan with a wire is possible, at the option that the user pinned where it is to blame."""
    faults, case = [], option.case
    for place, why in option.hand.faults if option.hand else ():
        where = f"{path}.options.by_hand" + ("" if place is None else f".{place}")
        faults.append(fault(where, say("impossible", wire=case.wire.name, why=why)))
    for quantity, why in option.found.broken if option.found else ():
        pinned = PINNED.get(quantity, "")
        where = f"{path}.options.{pinned}" if getattr(case.ask, pinned or "build") and pinned else f"{path}.options"
        faults.append(fault(where, say("impossible", wire=case.wire.name, why=why)))
    return faults


def _change(book: PriceBook, code: str) -> float:
    return float(book.facts.rows("times")[code].duration)  # pyrefly: ignore[missing-attribute] # a row of the table of times


def _alternative(option: Option, book: PriceBook) -> Alternative:
    wire, plan = option.case.wire.name, _best(option)
    remark = say("alternative_wire", change=_change(book, "change_wire"))
    return Alternative(
        name=wire,
        wire=wire,
        gas=option.gas.name,
        current=plan.current,
        layers=plan.layers,
        time=plan.time,
        remark=remark,
    )
