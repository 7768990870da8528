"""What the search is asked of a bore with each wire: what to build, what the user pinned, how the ends may be laid."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from estimator.book.pricebook import PriceBook
from estimator.bore.survey import Survey
from estimator.formula import leaf
from estimator.inputs import Inputs
from estimator.tables import Tables
from estimator.tables.rows import Gas, Wire
from estimator.weld.bead import left_to_bore
from estimator.weld.cases import AS_IS, Ask, Case, EndWay, Worth
from estimator.weld.plan import PAST, RINGS, build_of, duty_limit, situation_of, skims, time_on
from estimator.weld.steel import Base
from estimator.weld.technique import Windows, bound, windows_of

__all__ = ["Weighing", "cases_for", "ways_of"]

UNCUT = "laid both ways in turn: no cut between layers"


@dataclass(frozen=True)
class Weighing:
    """What plans are weighed with: the book, the day that is planned for, and what weighs in a bore with a wire."""

    book: PriceBook
    day: Inputs
    worth: Callable[[Survey, Wire, Gas], Worth]


def ways_of(survey: Survey, facts: Tables, day: Inputs) -> tuple[EndWay, ...]:
    """Return how the bore's ends may be laid, the plainest first: as the user says, or as there is room for.

    A user's own way costs every plan the same, so its time is not weighed.
    """
    own, bore = survey.bore.options.ends, survey.bore
    over, past = facts.constant("run_over_turns"), facts.constant("ring_turns")
    if own is not None or bore.options.by_hand:
        return (EndWay(own or AS_IS.name, past if own in (PAST, RINGS) else over),)
    free = [room for room in (bore.clear_room.machine, bore.clear_room.far) if room is not None]
    ways, room = [EndWay(AS_IS.name, over)], min(free, default=math.inf)
    if not bore.blind and room >= facts.plain_constant("past_room"):
        ways.append(EndWay(PAST, past, 2 * time_on(facts, day, "past end")))
    if not bore.blind and room >= facts.plain_constant("ring_room"):
        ways.append(EndWay(RINGS, past, 2 * time_on(facts, day, "ring")))
    return tuple(ways)


FURTHER_LAYER = ("gap", "layer")  # what each further layer costs besides its arc; slag of cored wire besides


def gap_time(survey: Survey, wire: Wire, facts: Tables, day: Inputs) -> float:
    """Return the time that each further layer costs besides its arc, but for a cut between two of them. [s]"""
    slag = wire.slag == "yes" and survey.bore.options.slag != "at the end"
    return time_on(facts, day, *FURTHER_LAYER, *(("slag layer",) if slag else ()))


def bead_loss(survey: Survey, facts: Tables, day: Inputs) -> float:
    """Return the time each bead of a sector costs besides its arc: start, and the way back if laid one way. [s]"""
    return time_on(facts, day, *(("bead", "return") if survey.lays_one_way else ("bead",)))


def cases_for(
    survey: Survey,
    choices: list[tuple[Wire, Gas]],
    base: Base,
    thin: bool,
    weighing: Weighing,
) -> list[Case]:
    """Return one case of the search for each wire with its gas."""
    book, day, options = weighing.book, weighing.day, survey.bore.options
    facts = book.facts
    one_way = skims(survey, book)
    skim = facts.constant("skim_depth") if one_way else leaf(0.0, "fact", "skim_depth", UNCUT, unit="m")
    cut = time_on(facts, day, "skim") if one_way else 0.0
    duty = duty_limit(book)
    cases = []
    for wire, gas in choices:
        here = situation_of(survey, wire, base, thin, book)
        first = bound(facts, "current", here, "first bead")
        middle = (first.low + first.high) / 2 if first.low_row else None
        ask = Ask(
            build=build_of(survey.sizes.cleanup, survey.sizes.weld),
            length=survey.bore.length,
            cleanup=survey.sizes.cleanup,
            skim=skim,
            gap_time=gap_time(survey, wire, facts, day) + cut,
            current=options.current,
            step=options.step,
            layers=options.layers,
            share=survey.share,
            bead_loss=0.0 if survey.bore.sector is None else bead_loss(survey, facts, day),
            ways=ways_of(survey, facts, day),
            left=left_to_bore(survey.sizes.finish, survey.sizes.weld),
            skim_time=cut,
            once=time_on(facts, day, "slag layer") if wire.slag == "yes" else 0.0,
        )
        windows = _with_pins(windows_of(facts, here, duty), ask)
        cases.append(
            Case(
                ask=ask,
                wire=wire,
                windows=windows,
                first=middle,
                here=here,
                worth=weighing.worth(survey, wire, gas),
                aim=options.aim,
            )
        )
    return cases


def _with_pins(windows: Windows, ask: Ask) -> Windows:
    """Return the windows with comfort widened to what must be kept, for what the user pinned."""
    pinned = {"current": ask.current, "step": ask.step}
    own = {name: windows["must"][name] for name, value in pinned.items() if value is not None}
    return {**windows, "comfort": {**windows["comfort"], **own}} if own else windows
