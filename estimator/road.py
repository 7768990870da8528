"""Decide once, compute many: the plan of a whole job with its reasons, and the consequences of a plan.

`decide` chooses in scalars. `consequences` is free of choices; it takes the plan and the day's `Inputs`, whose numbers
may be arrays of one length, and answers figures of that length.
"""

import math
from collections import Counter
from dataclasses import replace

from estimator.bore.line import LineAxis, line_axes
from estimator.bore.sector import outside_pocket, pocket_volume
from estimator.bore.survey import Survey, on_axis, survey
from estimator.cut.life import chips
from estimator.cut.machine import machine_for
from estimator.cut.passes import removed_before
from estimator.cut.plan import bench_for, plan_cut
from estimator.cut.span import Span, span_of
from estimator.either import larger
from estimator.errors import Fault, JobRefusedError
from estimator.features.figures import FeatureFigures, features_of
from estimator.features.plan import doubts, plan_features
from estimator.formula import choice, difference, formula, leaf, summed
from estimator.inputs import Inputs
from estimator.job import Job
from estimator.plans import BoreFigures, BorePlan, Figures, Plan
from estimator.pricebook import PriceBook
from estimator.shop import schedule
from estimator.shop.remedy import remedy_of
from estimator.shop.supplies import Supplies, Work, supplies_of, test_bead
from estimator.shop.time import (
    BoreTime,
    bore_time,
    counts_of,
    cover_of,
    job_once,
    layer_work,
    saved_by_turns,
    unused,
    used_wait,
)
from estimator.tables import Tables
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
    spans = [span_of(one, facts) for one in surveys]
    book, preferred = machine_for(surveys, spans, book)
    refused = [
        f
        for n, (s, b) in enumerate(zip(surveys, bases, strict=True))
        for f in refuse.refusals(s, b, book, f"bores.{n}")
    ]
    if refused:
        raise JobRefusedError(refused)
    welds, warnings = choose_welds(surveys, bases, book)
    lines = [bore.line or bore.lone_line for bore in job.bores]
    sizes = Counter(lines)
    bores: list[BorePlan] = []
    for number, (one, base, weld, line, span) in enumerate(zip(surveys, bases, welds, lines, spans, strict=True)):
        try:
            bores.append(_decide_rest(one, base, weld, line, sizes[line], span, book, inputs))
        except JobRefusedError as error:
            refused += [Fault(f"bores.{number}.{fault.path}", fault.message) for fault in error.faults]
    if refused:
        raise JobRefusedError(refused)
    warnings += [*preferred, *(doubt for axis in axes for doubt in axis.doubts())]
    for one, bore in zip(surveys, bores, strict=True):
        warnings += [
            *one.warnings,
            *doubts(one, facts),
            *refuse.conditions(one, bore.base, book),
            *bore.weld.warnings,
            *bore.heat.warnings(one.bore.name),
            *bore.cut.warnings,
        ]
    changes = {
        "job": 1,
        "wire change": len({weld.wire.name for weld in welds}) - 1,
        "gas change": len({weld.gas.name for weld in welds}) - 1,
    }
    return Plan(job, book, tuple(bores), changes, _people(job, book), (*warnings, *_site(job, book)), axes)


def surveyed(job: Job, facts: Tables, thinnest: float) -> tuple[tuple[LineAxis, ...], list[Survey]]:
    """Return the axes of the lines, and the bores as they are about them; refuse where a line has none."""
    surveys = [survey(bore, facts, thinnest) for bore in job.bores]
    lines = tuple(line_axes(job, surveys, bound(facts, "wall", ANYWHERE, "must").low))
    barred = [Fault(f"lines.{line.name}", line.barred()) for line in lines if not line.chosen.feasible]
    if barred:
        raise JobRefusedError(barred)
    placed = {number: one for line in lines for number, one in line.placed().items()}
    return lines, [on_axis(one, placed[n]) if n in placed else one for n, one in enumerate(surveys)]


def _people(job: Job, book: PriceBook) -> int:
    """Return how many people go: the crew, and an attendant where the space is confined."""
    crew = int(book.number("crew"))
    extra = int(book.facts.constant("attendant")) if job.site.access == "confined" else 0
    return choice(
        crew + extra, "people", "the book's crew" + (" and an attendant: the space is confined" if extra else "")
    )


def _site(job: Job, book: PriceBook) -> list[str]:
    """Return the warnings that the place asks for."""
    limit = bound(book.facts, "wind", ANYWHERE, "must")
    said = []
    if "distance" not in job.site.model_fields_set:
        said.append("site.distance is not given: the way there and back is not in the price")
    if job.site.wind is not None and not limit.holds(job.site.wind):
        said.append(f"wind: shelter the bore or stop, with a cored wire as well; {limit.why_not(job.site.wind)}")
    if job.site.access == "confined":
        said.append("confined space: permit, attendant and air test; shielding gas displaces air")
    return said


def _decide_rest(
    one: Survey, base: Base, weld: WeldPlan, line: str, bores: int, span: Span, book: PriceBook, inputs: Inputs
) -> BorePlan:
    """Choose heat, passes and what is counted, once the weld of a bore is chosen."""
    facts = book.facts
    laid = glimpse(weld, facts, inputs)
    heat = plan_heat(one, base, weld, laid[-1].heat_input, facts, inputs)
    cut = plan_cut(one, base.family, weld, heat.risk, laid[-1].valley, bench_for(one, span, book))
    left = left_to_bore(one.sizes.finish, weld.layers[-1].end)
    said = short_ends(one.bore.name, [layer.end_shortfall for layer in laid], left, weld.rings)
    cut = replace(cut, warnings=(*cut.warnings, *said))
    counts = counts_of(weld, cut, heat.due, bores)
    return BorePlan(one, base, weld, heat, cut, counts, line, plan_features(one, weld, base.family, book))


def _supplied(
    plan: Plan,
    builds: list[Build],
    heats: list[HeatFigures],
    times: list[BoreTime],
    extras: list[tuple[FeatureFigures, ...]],
    inputs: Inputs,
) -> list[Supplies]:
    """Return what every bore uses up, its features included."""
    once = test_bead(plan.bores[0].weld, builds[0], plan.book.facts, inputs)
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
        )
        for bore, built, heat, time, extra in zip(plan.bores, builds, heats, times, extras, strict=True)
    ]
    return [supplies_of(work, once, arc, plan.book, inputs) for work in works]


def consequences(plan: Plan, inputs: Inputs) -> Figures:
    """Return all that follows from a plan and the day; scalars or arrays of one length."""
    facts = plan.book.facts
    builds = [build(bore.survey, bore.weld, facts, inputs) for bore in plan.bores]
    extras = [
        features_of(bore.features, bore.weld, built, facts, inputs)
        for bore, built in zip(plan.bores, builds, strict=True)
    ]
    heats = [_heat(*one, facts, inputs) for one in zip(plan.bores, builds, extras, strict=True)]
    times = [
        bore_time(bore.cut, bore.counts, built, heat, bore.survey.bore.length, extra, facts, inputs)
        for bore, built, heat, extra in zip(plan.bores, builds, heats, extras, strict=True)
    ]
    supplies = _supplied(plan, builds, heats, times, extras, inputs)
    figures = []
    for number, (bore, built) in enumerate(zip(plan.bores, builds, strict=True)):
        beside = [n for n, other in enumerate(plan.bores) if n == number or _waits_for(bore, other)]
        line, place = [times[n] for n in beside], beside.index(number)
        cool = times[number].cooldown
        used = used_wait(cool, cover_of(line, place, facts, inputs))
        used = _with_boss(plan, number, times, used)
        sizes, length = bore.survey.sizes, bore.survey.bore.length
        before = _removed_before(bore)
        after = removed_after(
            built.deposit_volume, built.required_volume, sizes.finish, sizes.weld, length, bore.survey.share
        )
        idle, others = unused(cool, used), [*line[:place], *line[place + 1 :]]
        saving = saved_by_turns(heats[number].layers, others, inputs)
        one = (bore, built, heats[number], times[number], supplies[number])
        remedy = remedy_of(bore.survey, bore.heat, built, supplies[number], facts, inputs)
        loose = chips(summed("removed", "m3", before, after), facts.constant("chip_bulk"))
        figures.append(BoreFigures(*one, before, after, used, idle, saving, extras[number], remedy, loose))
    return Figures(plan, tuple(figures), _schedule(plan, figures, inputs))


def _waits_for(bore: BorePlan, other: BorePlan) -> bool:
    """Return whether work on another bore fills a bore's cooling: on one line, and not a part of the same boss."""
    bosses = [one.survey.bore.part_of or one.survey.bore.name for one in (bore, other)]
    return bore.line == other.line and bosses[0] != bosses[1]


def _with_boss(plan: Plan, number: int, times: list[BoreTime], used: float) -> float:
    """Return the part of a cool-down that is used: a step cools with the boss it is part of, at the same time."""
    parent = plan.bores[number].survey.bore.part_of
    for other, time in zip(plan.bores, times, strict=True):
        if parent is not None and other.survey.bore.name == parent:
            return larger(used, used_wait(times[number].cooldown, time.cooldown))
    return used


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


def _schedule(plan: Plan, figures: list[BoreFigures], inputs: Inputs) -> schedule.Schedule:
    """Return the whole job from door to door."""
    book, once = plan.book, job_once(plan.changes, plan.book.facts, inputs)
    bores = summed("bores", "s", *(one.time.total for one in figures))
    used = summed("used_waits", "s", *(one.used_wait for one in figures))
    on_site = schedule.on_site_time(bores, once.work, once.fire_watch, used)
    distance = leaf(float(plan.job.site.distance), "given", "site.distance", "distance to the site, one way", unit="m")
    travel = schedule.travel_time(distance, inputs.road_speed)
    shift = book.number("shift_length")
    nights = schedule.nights_away(on_site, travel, shift)
    labour = schedule.labour_time(on_site, travel, plan.people)
    elapsed = schedule.elapsed_time(on_site, travel, nights, book.facts.constant("day"), shift)
    return schedule.Schedule(once.work, once.fire_watch, used, on_site, travel, labour, elapsed, nights, plan.people)
