"""What the search is asked of a bore with each wire: what to build, what the user pinned, how the ends may be laid."""

import math
from collections.abc import Callable

from estimator.book.pricebook import PriceBook
from estimator.bore.survey import Survey
from estimator.formula import leaf
from estimator.tables import Tables
from estimator.tables.rows import Gas, Wire
from estimator.units import factor
from estimator.weld.bead import left_to_bore
from estimator.weld.cases import AS_IS, Ask, Case, EndWay, Worth
from estimator.weld.plan import PAST, RINGS, build_of, duty_limit, situation_of, skim_time, skims, time_on
from estimator.weld.steel import Base
from estimator.weld.technique import Windows, bound, windows_of

__all__ = ["cases_for", "ways_of"]

UNCUT = "laid both ways in turn: no cut between layers"


def ways_of(survey: Survey, facts: Tables) -> tuple[EndWay, ...]:
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
        ways.append(EndWay(PAST, past, 2 * time_on(facts, "past end")))
    if not bore.blind and room >= facts.plain_constant("ring_room"):
        ways.append(EndWay(RINGS, past, 2 * time_on(facts, "ring")))
    return tuple(ways)


def bead_loss(survey: Survey, facts: Tables) -> float:
    """Return the time each bead of a sector costs besides its arc: start, and the way back if laid one way. [s]"""
    return time_on(facts, *(("bead", "return") if survey.lays_one_way else ("bead",)))


def worth_of(wire: Wire, gas: Gas, book: PriceBook) -> Worth:
    """Return what time, wire and gas weigh in a choice, and the odds and work of a layer laid twice."""
    rates, stock, facts = book.rates, book.consumables, book.facts
    hour = float(rates.labour_on_site.amount) * book.crew + float(rates.equipment.amount)
    metal, shield = stock.wires.get(wire.name), stock.gases.get(gas.name)
    return Worth(
        hour / factor("h"),
        0.0 if metal is None else float(metal.price.amount) / factor("kg"),
        0.0 if shield is None else float(shield.price.amount) / factor("L"),
        gas.flow,
        facts.plain_constant("rework_odds"),
        facts.plain_constant("rework_time"),
    )


def cases_for(
    survey: Survey,
    choices: list[tuple[Wire, Gas]],
    base: Base,
    thin: bool,
    book: PriceBook,
    gap_time: Callable[[bool], float],
) -> list[Case]:
    """Return one case of the search for each wire with its gas."""
    facts, options = book.facts, survey.bore.options
    one_way = skims(survey, book)
    skim = facts.constant("skim_depth") if one_way else leaf(0.0, "fact", "skim_depth", UNCUT, unit="m")
    duty = duty_limit(book)
    cases = []
    for wire, gas in choices:
        here = situation_of(survey, wire, base, thin, book)
        first = bound(facts, "current", here, "first bead")
        middle = (first.low + first.high) / 2 if first.low_row else None
        build = build_of(survey.sizes.cleanup, survey.sizes.weld)
        ask = Ask(
            build=build,
            length=survey.bore.length,
            cleanup=survey.sizes.cleanup,
            skim=skim,
            gap_time=gap_time(wire.slag == "yes") + (skim_time(facts) if one_way else 0.0),
            current=options.current,
            step=options.step,
            layers=options.layers,
            share=survey.share,
            bead_loss=0.0 if survey.bore.sector is None else bead_loss(survey, facts),
            ways=ways_of(survey, facts),
            left=left_to_bore(survey.sizes.finish, survey.sizes.weld),
        )
        windows = _with_pins(windows_of(facts, here, duty), ask)
        cases.append(
            Case(
                ask=ask,
                wire=wire,
                windows=windows,
                first=middle,
                here=here,
                worth=worth_of(wire, gas, book),
                aim=options.aim,
            )
        )
    return cases


def _with_pins(windows: Windows, ask: Ask) -> Windows:
    """Return the windows with comfort widened to what must be kept, for what the user pinned."""
    pinned = {"current": ask.current, "step": ask.step}
    own = {name: windows["must"][name] for name, value in pinned.items() if value is not None}
    return {**windows, "comfort": {**windows["comfort"], **own}} if own else windows
