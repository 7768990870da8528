"""Decide once, compute many: the plan of a whole job with its reasons, and the consequences of a plan.

`decide` chooses in scalars. `consequences` is free of choices; it takes the plan and the day's `Inputs`, whose numbers
may be arrays of one length, and answers figures of that length.
"""

import math
from collections.abc import Sequence
from dataclasses import replace

from estimator.book.pricebook import PriceBook
from estimator.bore.line import LineAxis, line_axes
from estimator.bore.sector import outside_pocket, pocket_volume
from estimator.bore.survey import Survey, on_axis, survey
from estimator.cut.life import chips
from estimator.cut.machine import machine_for
from estimator.cut.passes import removed_before
from estimator.cut.plan import bench_for, plan_cut
from estimator.cut.setup import Setup, setups_of
from estimator.days.timetable import arranged_for, boss_of, crew_of, scheduled, works_on
from estimator.errors import JobRefusedError
from estimator.features.feature import Site
from estimator.features.figures import FeatureFigures, features_of
from estimator.features.plan import doubts, plan_features
from estimator.formula import difference, formula, leaf, summed
from estimator.inputs import Inputs
from estimator.job.job import Job
from estimator.plans import BoreFigures, BorePlan, Figures, Plan
from estimator.shop.remedy import remedy_of
from estimator.shop.standards import Circumstances, circumstances_of, counts_of
from estimator.shop.supplies import Supplies, Work, supplies_of, test_bead
from estimator.shop.time import (
    BoreTime,
    bore_time,
    layer_work,
    saved_by_turns,
)
from estimator.tables import Tables
from estimator.tables.messages import Message, about, fault, say
from estimator.weld import refuse
from estimator.weld.bead import left_to_bore, short_ends
from estimator.weld.build import Build, build, glimpse
from estimator.weld.choose import choose_welds
from estimator.weld.course import HeatFigures, heat_of
from estimator.weld.plan import WeldPlan
from estimator.weld.prepare import plan_heat
from estimator.weld.steel import Base, base_of
from estimator.weld.technique import Situation, bound

__all__ = ["BoreFigures", "BorePlan", "Figures", "Plan", "consequences", "decide", "thinnest_layer"]

ANYWHERE = Situation("any", "any")


@formula("finish_volume", "conservation of metal: what was laid less what stays", "computed", unit="m3")
def removed_after(
    deposit_volume: float, required_volume: float, finish: float, weld: float, length: float, share: float
) -> float:
    """Weld metal that is cut away again: run-over, crests, and the allowance for boring to size. [m³]"""
    return deposit_volume - required_volume + share * math.pi / 4 * (finish**2 - weld**2) * length


def thinnest_layer(facts: Tables) -> float:
    """Return the least thickness of a sound layer. [m]"""
    low = bound(facts, "layer_thickness", ANYWHERE, "must", "comfort").low
    return leaf(low, "fact", "thinnest_layer", "least thickness of a sound layer, limits table", unit="m")


def decide(job: Job, book: PriceBook, inputs: Inputs) -> Plan:
    """Make every choice of a job.

    Raises
    ------
    JobRefusedError
        If a bore must not be welded as described, or no plan is possible.
    """
    facts = book.facts
    thinnest = thinnest_layer(facts)
    axes, surveys = surveyed(job, facts, thinnest)
    bases = [base_of(bore, facts) for bore in job.bores]
    book, preferred, setups = _set_up(job, surveys, book)
    refused = [
        f
        for n, (s, b) in enumerate(zip(surveys, bases, strict=True))
        for f in refuse.refusals(s, b, book, f"bores.{n}")
    ]
    if refused:
        raise JobRefusedError(refused)
    welds, warnings = choose_welds(surveys, bases, book)
    around = circumstances_of(job.bores)
    bores: list[BorePlan] = []
    for number, (one, base, weld, place, setup) in enumerate(zip(surveys, bases, welds, around, setups, strict=True)):
        try:
            bores.append(_decide_rest(one, base, weld, place, setup, book, inputs))
        except JobRefusedError as error:
            refused += [why.within(f"bores.{number}") for why in error.faults]
    if refused:
        raise JobRefusedError(refused)
    warnings += [*preferred, *(doubt for axis in axes for doubt in axis.doubts())]
    own = [about(f"bores.{n}", said) for n, bore in enumerate(bores) for said in _warnings(bore, book)]
    said = (*warnings, *own, *_site(job, book))
    changes = {
        "job": 1,
        "wire change": len({weld.wire.name for weld in welds}) - 1,
        "gas change": len({weld.gas.name for weld in welds}) - 1,
    }
    figures = _bores(bores, book, inputs)
    arrangement = arranged_for(job, book, bores, figures, changes, inputs, crew_of(job, book))
    return Plan(job, book, tuple(bores), changes, said, axes, arrangement, (inputs, figures))


def _set_up(job: Job, surveys: Sequence[Survey], book: PriceBook) -> tuple[PriceBook, list[Message], list[Setup]]:
    """Choose how each bore is set up, and the machine; return the book with it and a word on it as well.

    How the bar is held does not hang on the machine; whether the torch reaches the bore does.
    """
    lines = [bore.line or bore.lone_line for bore in job.bores]
    spans = [one.span for one in setups_of(surveys, lines, job.lines, book.facts, None)]
    book, preferred = machine_for(surveys, spans, book)
    return book, preferred, setups_of(surveys, lines, job.lines, book.facts, book.equipment.torch_reach)


def _warnings(bore: BorePlan, book: PriceBook) -> list[Message]:
    """Return what is to be minded about one bore."""
    one = bore.survey
    return [
        *one.warnings,
        *doubts(one, book.facts),
        *refuse.conditions(one, bore.base, book),
        *bore.weld.warnings,
        *bore.heat.warnings,
        *bore.cut.warnings,
    ]


def surveyed(job: Job, facts: Tables, thinnest: float) -> tuple[tuple[LineAxis, ...], list[Survey]]:
    """Return the axes of the lines, and the bores as they are about them; refuse where a line has none."""
    surveys = [survey(bore, facts, thinnest) for bore in job.bores]
    lines = tuple(line_axes(job, surveys, bound(facts, "wall", ANYWHERE, "must").low))
    barred = [fault(f"lines.{line.name}", line.barred()) for line in lines if not line.chosen.feasible]
    if barred:
        raise JobRefusedError(barred)
    placed = {number: one for line in lines for number, one in line.placed().items()}
    return lines, [on_axis(one, placed[n]) if n in placed else one for n, one in enumerate(surveys)]


def _site(job: Job, book: PriceBook) -> list[Message]:
    """Return the warnings that the place asks for."""
    limit = bound(book.facts, "wind", ANYWHERE, "must")
    said = []
    if "distance" not in job.site.model_fields_set:
        said.append(about("site.distance", say("no_distance")))
    if job.site.wind is not None and not limit.holds(job.site.wind):
        said.append(about("site.wind", say("wind", said=limit.why_not(job.site.wind))))
    if job.start is not None and not works_on(job.start, book):
        said.append(about("start", say("start_day_off", date=str(job.start), days=tuple(book.work_days))))
    if job.site.access == "confined":
        said.append(about("site.access", say("confined")))
    return said


def _decide_rest(
    one: Survey, base: Base, weld: WeldPlan, around: Circumstances, setup: Setup, book: PriceBook, inputs: Inputs
) -> BorePlan:
    """Choose heat, passes and what is counted, once the weld of a bore is chosen."""
    facts = book.facts
    laid = glimpse(weld, facts, inputs)
    heat = plan_heat(one, base, weld, laid[-1].heat_input, facts, inputs)
    cut = plan_cut(one, base.family, weld, heat.risk, laid[-1].valley, bench_for(one, setup.span, book))
    left = left_to_bore(one.sizes.finish, weld.layers[-1].end)
    said = short_ends([layer.end_shortfall for layer in laid], left, weld.rings)
    cut = replace(cut, warnings=(*cut.warnings, *said))
    counts = counts_of(weld, cut, heat.due, one.bore.length, around, facts)
    return BorePlan(
        one,
        base,
        weld,
        heat,
        cut,
        counts,
        one.bore.line or one.bore.lone_line,
        plan_features(Site(one, weld, base.family, book)),
        setup,
    )


def _supplied(
    bores: Sequence[BorePlan],
    builds: list[Build],
    heats: list[HeatFigures],
    times: list[BoreTime],
    extras: list[tuple[FeatureFigures, ...]],
    book: PriceBook,
    inputs: Inputs,
) -> list[Supplies]:
    """Return what every bore uses up, its features included."""
    once = test_bead(bores[0].weld, builds[0], book.facts, inputs)
    arc = summed("arc_time", "s", *(built.arc_time for built in builds))
    works = [
        Work(
            bore.weld,
            bore.cut,
            bore.counts,
            built,
            time,
            bore.survey.bore.length,
            bore.heat.burners,
            heat,
            extra,
            bore.survey.bore.mounts == "clamped",
        )
        for bore, built, heat, time, extra in zip(bores, builds, heats, times, extras, strict=True)
    ]
    return [supplies_of(work, once, arc, book, inputs) for work in works]


def consequences(plan: Plan, inputs: Inputs) -> Figures:
    """Return all that follows from a plan and the day; scalars or arrays of one length."""
    figures = plan.seen[1] if inputs is plan.seen[0] else _bores(plan.bores, plan.book, inputs)
    return Figures(plan, figures, scheduled(plan, plan.arrangement, figures, inputs), inputs)


def _bores(bores: Sequence[BorePlan], book: PriceBook, inputs: Inputs) -> tuple[BoreFigures, ...]:
    """Return what every bore takes."""
    facts = book.facts
    builds = [build(bore.survey, bore.weld, facts, inputs) for bore in bores]
    extras = [
        features_of(bore.features, bore.weld, built, facts, inputs) for bore, built in zip(bores, builds, strict=True)
    ]
    heats = [_heat(*one, facts, inputs) for one in zip(bores, builds, extras, strict=True)]
    times = [
        bore_time(bore.cut, bore.counts, built, heat, bore.survey.bore.length, extra, facts, inputs)
        for bore, built, heat, extra in zip(bores, builds, heats, extras, strict=True)
    ]
    supplies = _supplied(bores, builds, heats, times, extras, book, inputs)
    figures = []
    for number, (bore, built) in enumerate(zip(bores, builds, strict=True)):
        others = [times[n] for n, other in enumerate(bores) if n != number and _waits_for(bore, other)]
        sizes, length = bore.survey.sizes, bore.survey.bore.length
        after = removed_after(
            built.deposit_volume, built.required_volume, sizes.finish, sizes.weld, length, bore.survey.share
        )
        saving = saved_by_turns(heats[number].layers, others, inputs)
        one = (bore, built, heats[number], times[number], supplies[number])
        remedy = remedy_of(bore.survey, bore.heat, built, supplies[number], facts, inputs)
        before = _removed_before(bore)
        loose = chips(summed("removed", "m3", before, after), facts.constant("chip_bulk"))
        figures.append(BoreFigures(*one, before, after, saving, extras[number], remedy, loose))
    return tuple(figures)


def _waits_for(bore: BorePlan, other: BorePlan) -> bool:
    """Return whether another bore can be welded in a bore's waits: on one line, and not a part of the same boss."""
    return bore.line == other.line and boss_of(bore) != boss_of(other)


def _heat(
    bore: BorePlan, built: Build, extra: tuple[FeatureFigures, ...], facts: Tables, inputs: Inputs
) -> HeatFigures:
    """Return the course of a bore's heat; faces and grooves are welded after its last layer, a pocket before all."""
    work = layer_work(bore.cut, bore.counts, bore.survey.bore.length, facts, inputs)
    late = [one.arc_time for one in extra if one.feature.code != "pocket" and one.feature.fill > 0]
    return heat_of(
        bore.survey, bore.heat, built, *work, facts, inputs, summed("arc_time", "s", *late) if late else None
    )


def _removed_before(bore: BorePlan) -> float:
    """Return what the clean-up cut will take away; nothing where it has been made. [m³]"""
    one = bore.survey.bore
    if one.cleanup_diameter is not None or one.sector is not None:
        return leaf(0.0, "given", "cleanup_diameter", "the bar makes no clean-up cut", unit="m3")
    void = bore.survey.wear.void_volume
    if one.pocket is not None:
        inside, _ = outside_pocket(one, bore.survey.profile)
        void = difference(void, pocket_volume(bore.survey.profile, inside, bore.survey.sizes.cleanup))
    return removed_before(bore.survey.sizes.cleanup, one.length, void)
