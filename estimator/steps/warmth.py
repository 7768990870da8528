"""The course of a bore's heat among its other work: as planned, and as it would be did the plate end elsewhere."""

from collections.abc import Sequence
from dataclasses import replace

from estimator.features.feature import BEFORE
from estimator.features.figures import FeatureFigures
from estimator.formula import summed
from estimator.inputs import Inputs
from estimator.plans import BoreFigures, BorePlan
from estimator.shop.time import finishing_time, layer_work
from estimator.tables import Tables
from estimator.weld.around import like
from estimator.weld.build import Build
from estimator.weld.course import HeatFigures, heat_of
from estimator.weld.preheat import HeatPlan

__all__ = ["course_of", "were_it"]


def course_of(
    bore: BorePlan, heat: HeatPlan, built: Build, extra: Sequence[FeatureFigures], facts: Tables, inputs: Inputs
) -> HeatFigures:
    """Return the course of a bore's heat; what is not filled before the clean-up cut is welded after its last layer."""
    gaps, after = layer_work(bore.cut, bore.counts, bore.survey.bore.length, facts, inputs)
    late = [one.arc_time for one in extra if one.feature.stage != BEFORE and one.feature.fill > 0]
    return heat_of(
        heat,
        built,
        gaps=gaps,
        after=after,
        facts=facts,
        inputs=inputs,
        late=summed("arc_time", "s", *late) if late else None,
        last_pass=finishing_time(bore.cut, bore.survey.bore.length, facts),
    )


def were_it(one: BoreFigures, ends: str, facts: Tables, inputs: Inputs) -> HeatFigures:
    """Return the course of a bore's heat did the plate end on other sides, as near: same plan, same layers."""
    boss = one.plan.heat.boss
    heat = replace(one.plan.heat, boss=replace(boss, around=like(boss.around, ends)))
    return course_of(one.plan, heat, one.build, one.features, facts, inputs)
