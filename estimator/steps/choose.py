"""Step one: what is chosen for each bore: set-up, machine, weld, heat, cuts, features. Scalars, with reasons."""

import functools
from collections.abc import Sequence
from dataclasses import dataclass, replace

from estimator.book.pricebook import PriceBook
from estimator.book.scale import Scale
from estimator.bore.survey import Survey
from estimator.cut.machine import machine_for
from estimator.cut.passes import CutPlan
from estimator.cut.plan import bench_for, plan_cut
from estimator.cut.setup import Setup, setups_of
from estimator.days.taken import taken_in_order
from estimator.days.timetable import attendants_in, works_on
from estimator.errors import JobRefusedError
from estimator.features.feature import Site
from estimator.features.plan import doubts, plan_features
from estimator.inputs import Inputs
from estimator.job.job import Job
from estimator.job.usual import odd_in_bore, odd_in_job
from estimator.plans import BorePlan
from estimator.shop.standards import Circumstances, circumstances_of, counts_of
from estimator.shop.worth import weld_worth
from estimator.steps.bearings import further_pass, rig_for
from estimator.steps.memo import Same, hold, recalled, remembered
from estimator.steps.survey import ANYWHERE
from estimator.tables import Tables
from estimator.tables.messages import Message, about, say
from estimator.tables.rows import Gas, Wire
from estimator.weld import refuse
from estimator.weld.asked import Weighing
from estimator.weld.bead import left_to_bore, short_ends
from estimator.weld.build import glimpse
from estimator.weld.cases import Passes, Worth
from estimator.weld.choose import choose_welds
from estimator.weld.plan import WeldPlan
from estimator.weld.preheat import HeatPlan, plan_heat
from estimator.weld.steel import Base, base_of
from estimator.weld.technique import bound

__all__ = ["bores_chosen", "minded_at_site", "minded_of", "set_up", "weighing_of"]


_Chosen = tuple[BorePlan, tuple[Message, ...]]


@dataclass(frozen=True)
class _Found:
    """A bore before heat and cuts are chosen: as found, its steel, its weld, what its times hang on, its set-up."""

    survey: Survey
    base: Base
    weld: WeldPlan
    around: Circumstances
    setup: Setup


def set_up(
    job: Job, surveys: Sequence[Survey], book: PriceBook, day: Inputs
) -> tuple[Scale, list[Message], list[Setup]]:
    """Choose how each bore is set up, and the machine; return the scale with its book and a word on it as well.

    A machine does where it bores with a bearing in every place; how many of them are set is weighed for that machine.
    """
    lines = [bore.line or bore.lone_line for bore in job.bores]
    taken = taken_in_order(job.bores)
    spans = [one.span for one in setups_of(surveys, lines, job.lines, taken, book.facts, None)]
    book, preferred = machine_for(surveys, spans, book)
    scale = Scale(book, book.crew + attendants_in(job, book))
    rig = rig_for(surveys, circumstances_of(job.bores, taken, site_conditions(day, book.facts)), scale, day)
    reach = book.equipment.torch_reach
    return scale, preferred, setups_of(surveys, lines, job.lines, taken, book.facts, most=reach, rig=rig)


def bores_chosen(
    surveys: Sequence[Survey],
    setups: Sequence[Setup],
    scale: Scale,
    ambient: float,
    day: Inputs,
    wires: Sequence[str | None],
    *,
    beside: bool,
) -> tuple[list[BorePlan], list[Message]]:
    """Choose weld, heat and cuts of every bore; return what is to be minded about the welds as well.

    `wires`: the one to be tried first in each bore, None for the one mounted; `beside`: whether what else there is to
    each weld is asked for.

    Raises
    ------
    JobRefusedError
        If a bore must not be welded as described, or no plan is possible; it holds the reasons of all bores.
    """
    found, book = [one.bore for one in surveys], scale.book
    around = circumstances_of(found, taken_in_order(found), site_conditions(day, book.facts))
    whole = (scale.mark, ambient, day.mark, beside)
    each = zip(surveys, setups, around, wires, strict=True)
    marks = [_mark(one, setup, here, (*whole, wire)) for one, setup, here, wire in each]
    chosen: dict[int, _Chosen] = {n: one for n, mark in enumerate(marks) if mark and (one := recalled("plan", mark))}
    fresh = [n for n in range(len(surveys)) if n not in chosen]
    bases = [base_of(surveys[n].bore, book.facts) for n in fresh]
    refused = [
        fault
        for n, base in zip(fresh, bases, strict=True)
        for fault in refuse.refusals(surveys[n], base, book, f"bores.{n}")
    ]
    if refused:
        raise JobRefusedError(refused)
    weighing = weighing_of([(surveys[n], setups[n], around[n]) for n in fresh], scale, day)
    asked = [wires[n] for n in fresh]
    welds = choose_welds(fresh, [surveys[n] for n in fresh], bases, weighing, asked, beside=beside)
    for n, base, (weld, said) in zip(fresh, bases, welds, strict=True):
        try:
            chosen[n] = _rest(_Found(surveys[n], base, weld, around[n], setups[n]), book, ambient, day), said
        except JobRefusedError as error:
            refused += [why.within(f"bores.{n}") for why in error.faults]
        else:
            if (mark := marks[n]) is not None:
                hold("plan", mark, chosen[n])
    if refused:
        raise JobRefusedError(refused)
    warmed = _warm_mounts([chosen[n] for n in range(len(surveys))])
    return [one for one, _ in warmed], [about(f"bores.{n}", one) for n, (_, said) in enumerate(warmed) for one in said]


def weighing_of(found: Sequence[tuple[Survey, Setup, Circumstances]], scale: Scale, day: Inputs) -> Weighing:
    """Return what the plans of bores are weighed with; a further pass of the bar is the same with any wire."""
    known: dict[int, Passes | None] = {}
    for one, setup, around in found:
        known[id(one)] = further_pass(one, setup, around, scale, day)
    plain = functools.cache(lambda wire, gas: weld_worth(wire, gas, scale, day))

    def worth(survey: Survey, wire: Wire, gas: Gas) -> Worth:
        return replace(plain(wire, gas), passes=known[id(survey)])

    return Weighing(scale.book, day, worth)


def site_conditions(day: Inputs, facts: Tables) -> frozenset[str]:
    """Return the conditions of the table of times that hold of the whole place: wind that asks for a shelter."""
    return frozenset() if bound(facts, "wind", ANYWHERE, "must").holds(day.wind) else frozenset({"windy"})


def _warm_mounts(chosen: list[_Chosen]) -> list[_Chosen]:
    """Return the bores with what holds of lines whose brackets are welded on beside a bore that is preheated.

    The places of the brackets are preheated as the bore is; known only when all bores of the line are chosen.
    """
    warm = {one.line for one, _ in chosen if one.counts.preheated and "welded mounts" in one.counts.around.line}
    return [_warm(pair) if pair[0].line in warm else pair for pair in chosen]


def _warm(chosen: _Chosen) -> _Chosen:
    """Return a bore whose brackets are warmed: the same one again for the same bore, so that its work is known."""
    one, said = chosen

    def warmed() -> BorePlan:
        around = replace(one.counts.around, line=one.counts.around.line | {"warm mounts"})
        return replace(one, counts=replace(one.counts, around=around))

    if one.survey.bore.mark is None:
        return warmed(), said
    return remembered("plan", (Same(one), "warm"), warmed), said


def _decided(heat: HeatPlan, cut: CutPlan) -> frozenset[str]:
    """Return what was decided of a bore that rows of the table of times hang on."""
    perhaps = {
        "preheat": heat.due,
        "slow cooling": heat.slow,
        "warm gauging": not heat.cold.provable,
        "honing": any(one.code == "rough" for one in cut.warnings),
    }
    return frozenset(name for name, holds in perhaps.items() if holds)


def _mark(one: Survey, setup: Setup, around: Circumstances, day: tuple[object, ...]) -> tuple[object, ...] | None:
    """Return what two bores have in common only if all is chosen alike for them; None of one not to be held."""
    mark = one.bore.mark
    return None if mark is None else (mark, one.placed, setup, around, day)


def _rest(found: _Found, book: PriceBook, ambient: float, day: Inputs) -> BorePlan:
    """Choose heat, passes and what is counted, once the weld of a bore is chosen."""
    facts, one, weld = book.facts, found.survey, found.weld
    laid = glimpse(weld, facts, day)
    coolest = min(layer.heat_input for layer in laid)
    heat = plan_heat(one, found.base, weld, heat=coolest, ambient=ambient, facts=facts, inputs=day)
    cut = plan_cut(one, found.base.family, weld, heat.risk, laid[-1].valley, bench_for(one, found.setup.span, book))
    left = left_to_bore(one.sizes.finish, weld.layers[-1].end)
    said = short_ends([layer.end_shortfall for layer in laid], left, weld.rings)
    cut = replace(cut, warnings=(*cut.warnings, *said))
    return BorePlan(
        survey=one,
        base=found.base,
        weld=weld,
        heat=heat,
        cut=cut,
        counts=counts_of(
            weld,
            cut,
            _decided(heat, cut),
            one.bore.length,
            around=found.around,
            bearings=found.setup.bearings,
            facts=facts,
        ),
        line=one.bore.line or one.bore.lone_line,
        features=plan_features(Site(one, weld, found.base.family, book)),
        setup=found.setup,
    )


def minded_of(bore: BorePlan, book: PriceBook) -> list[Message]:
    """Return what is to be minded about one bore."""
    one = bore.survey
    return [
        *one.warnings,
        *odd_in_bore(one.bore, book.facts),
        *doubts(one, book.facts),
        *refuse.conditions(one, bore.base, book),
        *bore.weld.warnings,
        *bore.heat.warnings,
        *bore.cut.warnings,
    ]


def _one_pin(job: Job) -> list[Message]:
    """Return which bores of one size and axis name no line, so that one pin may pass through them."""
    alike: dict[tuple[float, str], list[str]] = {}
    for bore in job.bores:
        if bore.line is None and bore.part_of is None:
            alike.setdefault((bore.nominal_diameter, bore.axis), []).append(bore.name)
    return [say("one_pin", bores=tuple(names), count=len(names)) for names in alike.values() if len(names) > 1]


def minded_at_site(job: Job, book: PriceBook) -> list[Message]:
    """Return what is to be minded about the place."""
    limit = bound(book.facts, "wind", ANYWHERE, "must")
    said = odd_in_job(job, book.facts)
    if "distance" not in job.site.model_fields_set:
        said.append(about("site.distance", say("no_distance")))
    if job.site.wind is not None and not limit.holds(job.site.wind):
        said.append(about("site.wind", say("wind", said=limit.why_not(job.site.wind))))
    if job.start is not None and not works_on(job.start, book):
        said.append(about("start", say("start_day_off", date=str(job.start), days=tuple(book.work_days))))
    said += [about("bores", one) for one in _one_pin(job)]
    if job.site.access == "confined":
        said.append(about("site.access", say("confined")))
    return said
