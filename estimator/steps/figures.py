"""Step two: what every bore takes of time and supplies. No choices; scalars or arrays of one length."""

from collections.abc import Sequence

from estimator.book.calibration import shop_factors
from estimator.book.pricebook import PriceBook
from estimator.cut.life import chips
from estimator.cut.removed import cleaned_away, removed_after
from estimator.days.taken import taken_in_order
from estimator.days.timetable import boss_of
from estimator.features.figures import features_of
from estimator.formula import summed
from estimator.inputs import Inputs
from estimator.plans import BoreFigures, BorePlan
from estimator.shop.remedy import remedy_of
from estimator.shop.supplies import Supplies, Work, supplies_of, test_bead
from estimator.shop.time import bore_time, saved_by_turns
from estimator.steps.blocks import blocks_of, joined
from estimator.steps.memo import Same, remembered
from estimator.steps.warmth import course_of
from estimator.weld.build import build

__all__ = ["figures_of"]


def figures_of(bores: Sequence[BorePlan], book: PriceBook, inputs: Inputs) -> tuple[BoreFigures, ...]:
    """Return what every bore takes; of very many samples a block at a time."""
    blocks = blocks_of(inputs)
    return joined([_figures(bores, book, one) for one in blocks]) if len(blocks) > 1 else _figures(bores, book, inputs)


def _figures(bores: Sequence[BorePlan], book: PriceBook, inputs: Inputs) -> tuple[BoreFigures, ...]:
    """Return what every bore takes."""
    works = [_known_work(bore, book, inputs) for bore in bores]
    first = taken_in_order([bore.survey.bore for bore in bores])[0]
    supplies = _supplied(works, first, book, inputs)
    return tuple(_bore(number, bores, works, supplies[number], book, inputs) for number in range(len(bores)))


def _known_work(bore: BorePlan, book: PriceBook, inputs: Inputs) -> Work:
    """Return a bore's work, once for each plan and day of one number each."""
    if inputs.mark is None:
        return _work(bore, book, inputs)
    return remembered("work", (Same(bore), book.mark, inputs.mark), lambda: _work(bore, book, inputs))


def _work(bore: BorePlan, book: PriceBook, inputs: Inputs) -> Work:
    """Return how one bore is built up, how warm it gets, and what time that takes."""
    facts, length = book.facts, bore.survey.bore.length
    factors = shop_factors(book.calibration, bore.weld.wire.name, bore.survey.bore.axis, inputs.shop)
    built = build(bore.survey, bore.weld, facts, inputs)
    extra = features_of(bore.features, bore.weld, built, facts, inputs, factors)
    heat = course_of(bore, bore.heat, built, extra, facts, inputs)
    return Work(
        weld=bore.weld,
        cut=bore.cut,
        counts=bore.counts,
        built=built,
        time=bore_time(bore.cut, bore.counts, built, heat, length, extra, facts=facts, inputs=inputs, factors=factors),
        length=length,
        burners=bore.heat.burners,
        warmth=heat,
        features=extra,
        clamped=bore.survey.bore.mounts == "clamped",
        bearings=bore.setup.bearings,
        factors=factors,
    )


def _supplied(works: Sequence[Work], first: int, book: PriceBook, inputs: Inputs) -> list[Supplies]:
    """Return what every bore uses up, its features and its share of the test bead, laid before the first, included."""
    once = test_bead(works[first].weld, works[first].built, book.facts, inputs)
    arc = summed("arc_time", "s", *(work.built.arc_time for work in works))
    return [supplies_of(work, once, arc, book, inputs) for work in works]


def _bore(
    number: int,
    bores: Sequence[BorePlan],
    works: Sequence[Work],
    supplies: Supplies,
    book: PriceBook,
    inputs: Inputs,
) -> BoreFigures:
    """Return all that follows for one bore among those of its job."""
    bore, work, facts = bores[number], works[number], book.facts
    survey, built = bore.survey, work.built
    others = [works[n].time for n, other in enumerate(bores) if n != number and _waits_for(bore, other)]
    after = removed_after(
        built.deposit_volume,
        built.required_volume,
        survey.sizes.finish,
        survey.sizes.weld,
        survey.bore.length,
        survey.share,
    )
    before = cleaned_away(survey)
    return BoreFigures(
        plan=bore,
        build=built,
        heat=work.warmth,
        time=work.time,
        supplies=supplies,
        precut_volume=before,
        finish_volume=after,
        wait_saving=saved_by_turns(work.warmth.layers, others, inputs),
        features=work.features,
        remedy=remedy_of(survey, bore.heat, built, supplies, facts, inputs),
        chips=chips(summed("removed", "m3", before, after), facts.constant("chip_bulk")),
    )


def _waits_for(bore: BorePlan, other: BorePlan) -> bool:
    """Return whether another bore can be welded in a bore's waits: on one line, and not a part of the same boss."""
    return bore.line == other.line and boss_of(bore) != boss_of(other)
