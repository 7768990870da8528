"""What chooses the bearings of a line: what its bores cost to bore with the bar held in one way, and a bearing's cost.

Weighed before the welds are planned, in scalars, for the day that is planned for: crew and equipment by the hour,
edges, fuel or power, brackets and discs. How waits and days fall is left out.
"""

import functools
from collections.abc import Sequence
from dataclasses import dataclass

from estimator.book.pricebook import PriceBook
from estimator.bore.survey import Survey
from estimator.cut.bars import bar_for, held_bar, passage_of
from estimator.cut.bearings import Rigged, Seat, Weight, Weights, rigged
from estimator.cut.depth import Bench
from estimator.cut.life import use_of
from estimator.cut.passes import Pass, pass_time
from estimator.cut.plan import cuts_foreseen, is_interrupted
from estimator.cut.setup import Rig
from estimator.cut.span import Span
from estimator.errors import JobRefusedError
from estimator.formula import unrecorded
from estimator.inputs import Inputs
from estimator.shop.standards import Circumstances, learning, standards_in
from estimator.steps.memo import remembered
from estimator.tables.messages import Message
from estimator.units import factor
from estimator.weld.steel import base_of

__all__ = ["rig_for"]


@dataclass(frozen=True)
class _Scales:
    """What the bearings of a job are weighed with."""

    surveys: Sequence[Survey]
    around: Sequence[Circumstances]
    book: PriceBook
    day: Inputs

    @functools.cached_property
    def hour(self) -> float:
        """What crew and equipment cost per time. [currency/s]"""
        rates = self.book.rates
        return (float(rates.labour_on_site.amount) * self.book.crew + float(rates.equipment.amount)) / factor("h")

    def standards(self, basis: str, here: frozenset[str], learnt: float = 1.0) -> float:
        """Return the time of all elements counted on a basis where those conditions hold. [s]"""
        rows = [one for one in standards_in(self.book.facts) if one.basis == basis and one.when in {"always", *here}]
        return sum((self.day.times[one.code] * (learnt if one.hand == "yes" else 1.0) for one in rows), 0.0)

    def bearing(self, number: int) -> float:
        """Return what one bearing costs on the line of a bore: its bracket or clamp, aligning, removing."""
        around, stock, facts = self.around[number], self.book.consumables, self.book.facts
        learnt = learning(around.line_number, facts.constant("learning_rate")) if around.line_number > 1 else 1.0
        cost = self.standards("bearing", around.line, learnt) * self.hour
        if "welded mounts" not in around.line:
            return cost
        worn = float(stock.bracket.price.amount) / facts.constant("bracket_uses")
        ground = float(stock.disc.price.amount) / facts.constant("brackets_per_disc")
        return cost + facts.constant("brackets_per_bearing") * (worn + ground)

    def bench(self, number: int, span: Span) -> Bench | None:
        """Return what cuts a bore with the bar held so; None where no bar does."""
        survey, facts = self.surveys[number], self.book.facts
        found = bar_for(passage_of(survey, facts), span, self.book.equipment, facts)
        return (
            None
            if isinstance(found, Message)
            else Bench(self.book, held_bar(*found, span, facts), is_interrupted(survey))
        )

    def limber(self, number: int, span: Span) -> float | None:
        """Return how far the bar gives way per force in a bore; None where no bar reaches. [m/N]"""
        bench = self.bench(number, span)
        return None if bench is None else bench.held.compliance

    def boring(self, number: int, span: Span) -> Weight:
        """Return what boring a bore comes to with the bar held so, worked out once for each span and day."""
        survey, day = self.surveys[number], (self.book.mark, self.day.mark)
        if survey.bore.mark is None:
            return self._boring(number, span)
        key = (survey.bore.mark, survey.placed, span, self.around[number], day)
        return remembered("boring", key, lambda: self._boring(number, span))

    def _boring(self, number: int, span: Span) -> Weight:
        bench, facts = self.bench(number, span), self.book.facts
        family = base_of(self.surveys[number].bore, facts).family
        if bench is None:
            return Weight(unreached=1)
        if family not in facts.rows("cutting"):  # refused for its steel, with the reason told there
            return Weight()
        try:
            before, after, bent, light = cuts_foreseen(self.surveys[number], family, bench)
        except JobRefusedError:  # more passes than anybody makes
            return Weight(unreached=1)
        return Weight(bent=int(bent), cost=self.cutting(number, before, after), light=int(light))

    def cutting(self, number: int, before: Sequence[Pass], after: Sequence[Pass]) -> float:
        """Return what the passes of a bore cost: time, edges, fuel or power."""
        book, stock, here = self.book, self.book.consumables, self.around[number].here
        length, approach = self.surveys[number].bore.length, book.facts.constant("approach")
        passes = [*before, *after]
        cut = [pass_time(length, approach, one.feed, one.turning) for one in passes]
        each = self.standards("pass", here)
        time = sum(cut) + len(before) * (each + self.standards("precut pass", here))
        time += len(after) * (each + self.standards("finish pass", here))
        energy = sum(one.power * spent for one, spent in zip(passes, cut, strict=True))
        if book.equipment.generator is None:
            drawn = energy * float(stock.energy.amount) / factor(stock.energy.per)
        else:
            burnt = time * book.equipment.generator.idle + energy * book.equipment.generator.per_energy
            drawn = burnt * float(stock.fuel.price.amount) / factor(stock.fuel.price.per)
        edges = use_of([one.work.life for one in passes], cut, self.day.edge_life).total if passes else 0.0
        inserts = edges / book.facts.constant("edges_per_insert") * float(stock.insert.price.amount)
        return time * self.hour + drawn + inserts


def rig_for(surveys: Sequence[Survey], around: Sequence[Circumstances], book: PriceBook, day: Inputs) -> Rig:
    """Return what chooses the bearings of a line of a job; `around`: what the times of each bore hang on."""
    scales = _Scales(surveys, around, book, day)
    limber = functools.cache(scales.limber)

    def chosen(places: Sequence[float], seats: Sequence[Seat]) -> Rigged:
        with unrecorded():
            return rigged(places, seats, Weights(scales.boring, limber, scales.bearing(seats[0].number)))

    return chosen
