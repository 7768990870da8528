"""The road of a job in four steps: decide the bores, compute them, arrange the work, run it.

Two of them choose, and two compute. `decide` and `arrange` make every choice, in scalars, with its reasons, for the one
day that is planned for. `compute` and `run` make none: they take what was chosen and what happens on a day, one number
each or arrays of one length, and answer figures of that length.

============  =========================================  =====================================================
step          is given                                   hands on
============  =========================================  =====================================================
1. decide     the job and the price book                 `Plan`: how each bore is set up, welded, heated, cut
2. compute    the plan and a day                         `BoreFigures` of each bore: times, supplies
3. arrange    the plan, its bores on the planned day,    `Arrangement`: the order of work, and how days and
              who goes                                   nights are spent
4. run        all of these and a day                     `Figures`: the whole job from door to door
============  =========================================  =====================================================
"""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from estimator.book.pricebook import PriceBook
from estimator.book.scale import Scale
from estimator.bore.line import LineAxis
from estimator.days.calendar import Arrangement
from estimator.days.crew import Crew
from estimator.days.timetable import crew_of, scheduled
from estimator.formula import is_recording, unrecorded
from estimator.inputs import Inputs, ambient_of, inputs_of
from estimator.job.job import Job
from estimator.money.bill import bill_of
from estimator.plans import BoreFigures, BorePlan, Figures, Plan
from estimator.steps.choose import bores_chosen, minded_at_site, minded_of, set_up
from estimator.steps.figures import figures_of
from estimator.steps.memo import Same, remembered
from estimator.steps.spending import cheapest_days
from estimator.steps.survey import surveyed, thinnest_layer
from estimator.steps.wires import Wires, aim_in, change_time, wires_to_try
from estimator.tables.messages import Message, about, say

__all__ = ["BoreFigures", "BorePlan", "Figures", "Plan", "arrange", "compute", "decide", "run"]

PLACES = 9  # of a day: two ways that bring the crew home nearer together than that bring it home together


def decide(job: Job, book: PriceBook, *, beside: bool = False) -> Plan:
    """Make every choice about the bores of a job.

    What hangs on the day is chosen for the middle of everything (`Plan.day`) at the temperature that the job says.
    `beside`: whether what was weighed beside each weld is told as well; no choice hangs on that.

    Raises
    ------
    JobRefusedError
        If a bore must not be welded as described, or no plan is possible.
    """
    book = book.for_hours(job.worked)
    day, ambient = inputs_of(job, book), ambient_of(job, book.facts)
    axes, surveys = surveyed(job, book.facts, thinnest_layer(book.facts))
    scale, preferred, setups = set_up(job, surveys, book, day)
    book = scale.book

    def planned(wires: Wires, beside: bool = beside) -> Plan:
        bores, warnings = bores_chosen(surveys, setups, scale, ambient, day, wires, beside=beside)
        return _plan(job, book, bores, (*warnings, *preferred), axes, day)

    first = planned((None,) * len(surveys))
    with unrecorded():
        tried = wires_to_try(first.bores, scale, day)
        others = [(one, planned(one, beside=False)) for one in tried]
        found = _cheapest(first, others) if others else None
    if found is None:
        return first
    plan = planned(found[0]) if beside or is_recording() else found[1]
    return replace(plan, warnings=(*plan.warnings, *_other_wires(first, plan)))


def _other_wires(first: Plan, plan: Plan) -> list[Message]:
    """Return a word on each bore that is welded with another wire than the one mounted, because that pays."""
    said = list[Message]()
    for n, (was, now) in enumerate(zip(first.bores, plan.bores, strict=True)):
        usual, wire = was.weld.wire.name, now.weld.wire.name
        said += [about(f"bores.{n}", say("wire_pays", wire=wire, usual=usual))] if wire != usual else []
    return said


def _plan(
    job: Job,
    book: PriceBook,
    bores: list[BorePlan],
    warnings: Sequence[Message],
    axes: tuple[LineAxis, ...],
    day: Inputs,
) -> Plan:
    """Return the plan of a job with all that is to be minded."""
    changes = {
        "job": 1,
        "wire change": len({one.weld.wire.name for one in bores}) - 1,
        "gas change": len({one.weld.gas.name for one in bores}) - 1,
    }
    said = [*warnings, *(doubt for axis in axes for doubt in axis.doubts())]
    said += [about(f"bores.{n}", each) for n, bore in enumerate(bores) for each in minded_of(bore, book)]
    said += minded_at_site(job, book)
    return Plan(job=job, book=book, bores=tuple(bores), changes=changes, warnings=tuple(said), lines=axes, day=day)


WORTH_A_CHANGE = Decimal("0.01")  # a wire is not changed for less of what it is chosen by


def _cheapest(first: Plan, others: Sequence[tuple[Wires, Plan]]) -> tuple[Wires, Plan] | None:
    """Return what pays its change of wire by more than a hundredth, waits, days and nights reckoned; None for nothing.

    A wire that no bore was to be welded with must pay the change as well that puts it on.
    """
    aim, least, chosen = aim_in(first.bores), _comes_to(first), None
    now = least
    change = Decimal(repr(change_time(first.day)))
    change *= Decimal(1) if aim != "cost" else _of_time(first)
    here = {one.weld.wire.name for one in first.bores}
    for wires, plan in others:
        found = _comes_to(plan)
        paid = Decimal(0) if aim == "heat" or set(wires) <= here else change
        if found < least and found <= now - WORTH_A_CHANGE * now - paid:
            least, chosen = found, (wires, plan)
    return chosen


def _of_time(plan: Plan) -> Decimal:
    """Return what a time of the crew on site adds to the price before tax. [currency/s]"""
    scale = Scale(plan.book, crew_of(plan).people)
    return Decimal(repr(scale.time * scale.laid))


def _comes_to(plan: Plan) -> Decimal:
    """Return what a plan comes to by its aim, arranged: price before tax, time on site [s] or heat of the arc [J]."""
    bores = compute(plan, plan.day)
    if (aim := aim_in(plan.bores)) == "heat":
        return Decimal(repr(round(sum(one.heat.heat for one in bores), PLACES)))
    figures = run(plan, bores, arrange(plan, bores, crew_of(plan)), plan.day)
    return (
        bill_of(figures).price.before_tax if aim == "cost" else Decimal(repr(round(figures.schedule.on_site, PLACES)))
    )


def compute(plan: Plan, inputs: Inputs) -> tuple[BoreFigures, ...]:
    """Return what each bore takes on a day; scalars or arrays of one length."""
    return figures_of(plan.bores, plan.book, inputs)


def arrange(plan: Plan, bores: tuple[BoreFigures, ...], crew: Crew) -> Arrangement:
    """Choose the order of work for a crew: the shortest one, with days and nights spent as the bill comes out least.

    Parameters
    ----------
    plan, bores
        What was decided, and what each bore takes on the day that was planned for: one number each.
    crew
        Who goes.
    """
    if not all(isinstance(one.time.total, float) for one in bores):  # an order is chosen for one day only
        return cheapest_days(plan, bores, crew)
    return remembered("arranged", (Same(plan), Same(plan.day), crew), lambda: cheapest_days(plan, bores, crew))


def run(plan: Plan, bores: tuple[BoreFigures, ...], arrangement: Arrangement, inputs: Inputs) -> Figures:
    """Return the whole job as it is arranged, on a day; scalars or arrays of one length."""
    return Figures(plan, bores, scheduled(plan, arrangement, bores, inputs), inputs)
