"""What chooses the bearings of a line: what its bores cost to bore with the bar held in one way, and a bearing's cost.

Weighed before the welds are planned, in scalars, for the day that is planned for: crew and equipment by the hour,
edges, fuel or power, brackets and discs. How waits and days fall is left out.
"""

import functools
from collections.abc import Sequence
from dataclasses import dataclass

from estimator.book.pricebook import PriceBook
from estimator.book.scale import Scale
from estimator.bore.survey import Survey
from estimator.cut.bars import bar_for, held_bar, passage_of
from estimator.cut.bearings import Rigged, Seat, Weight, Weights, rigged
from estimator.cut.depth import Bench
from estimator.cut.plan import cuts_foreseen, is_interrupted, roughing_foreseen
from estimator.cut.setup import Rig, Setup
from estimator.cut.span import Span
from estimator.errors import JobRefusedError
from estimator.formula import unrecorded
from estimator.inputs import Inputs
from estimator.shop.standards import Circumstances, learning
from estimator.shop.worth import counted, cutting
from estimator.steps.memo import remembered
from estimator.tables import Tables
from estimator.tables.messages import Message
from estimator.weld.cases import Passes
from estimator.weld.steel import base_of

__all__ = ["further_pass", "rig_for"]


@dataclass(frozen=True)
class _Scales:
    """What the bearings of a job are weighed with."""

    surveys: Sequence[Survey]
    around: Sequence[Circumstances]
    scale: Scale
    day: Inputs

    @property
    def facts(self) -> Tables:
        """The tables."""
        return self.scale.book.facts

    def bearing(self, number: int) -> float:
        """Return what one bearing costs on the line of a bore: its bracket or clamp, aligning, removing."""
        around, scale, facts = self.around[number], self.scale, self.facts
        learnt = learning(around.line_number, facts.constant("learning_rate")) if around.line_number > 1 else 1.0
        cost = counted("bearing", around.line, facts, self.day, learnt) * scale.time
        if "welded mounts" not in around.line:
            return cost
        worn = scale.part("bracket") / facts.constant("bracket_uses")
        ground = scale.part("disc") / facts.constant("brackets_per_disc")
        return cost + facts.constant("brackets_per_bearing") * (worn + ground)

    def bench(self, number: int, span: Span) -> Bench | None:
        """Return what cuts a bore with the bar held so; None where no bar does."""
        return _bench(self.surveys[number], span, self.scale.book)

    def limber(self, number: int, span: Span) -> float | None:
        """Return how far the bar gives way per force in a bore; None where no bar reaches. [m/N]"""
        bench = self.bench(number, span)
        return None if bench is None else bench.held.compliance

    def boring(self, number: int, span: Span) -> Weight:
        """Return what boring a bore comes to with the bar held so, worked out once for each span and day."""
        survey, day = self.surveys[number], (self.scale.mark, self.day.mark)
        if survey.bore.mark is None:
            return self._boring(number, span)
        key = (survey.bore.mark, survey.placed, span, self.around[number], day)
        return remembered("boring", key, lambda: self._boring(number, span))

    def _boring(self, number: int, span: Span) -> Weight:
        bench, facts = self.bench(number, span), self.facts
        family = base_of(self.surveys[number].bore, facts).family
        if bench is None:
            return Weight(unreached=1)
        if family not in facts.rows("cutting"):  # refused for its steel, with the reason told there
            return Weight()
        try:
            before, after, bent, light = cuts_foreseen(self.surveys[number], family, bench)
        except JobRefusedError:  # more passes than anybody makes
            return Weight(unreached=1)
        length, here = self.surveys[number].bore.length, self.around[number].here
        _, cost = cutting(before, after, length, here, self.scale, self.day)
        return Weight(bent=int(bent), cost=cost, light=int(light))


def _bench(survey: Survey, span: Span, book: PriceBook) -> Bench | None:
    """Return what cuts a bore with the bar held so; None where no bar does."""
    found = bar_for(passage_of(survey, book.facts), span, book.equipment, book.facts)
    if isinstance(found, Message):
        return None
    return Bench(book, held_bar(*found, span, book.facts), is_interrupted(survey))


def further_pass(survey: Survey, setup: Setup, around: Circumstances, scale: Scale, day: Inputs) -> Passes | None:
    """Return what one more roughing pass takes, where layers come out far inside; None where no bar bores."""
    with unrecorded():
        bench = _bench(survey, setup.span, scale.book)
        if bench is None:
            return None
        one, usual, allowed = roughing_foreseen(survey, bench)
        time, cost = cutting([], [one], survey.bore.length, around.here, scale, day)
        return Passes(usual, allowed, one.depth, time, cost)


def rig_for(surveys: Sequence[Survey], around: Sequence[Circumstances], scale: Scale, day: Inputs) -> Rig:
    """Return what chooses the bearings of a line of a job; `around`: what the times of each bore hang on."""
    scales = _Scales(surveys, around, scale, day)
    limber = functools.cache(scales.limber)

    def chosen(places: Sequence[float], seats: Sequence[Seat]) -> Rigged:
        with unrecorded():
            return rigged(places, seats, Weights(scales.boring, limber, scales.bearing(seats[0].number)))

    return chosen
