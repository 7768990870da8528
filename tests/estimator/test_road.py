"""Four steps: what is chosen hangs on no day, and what follows takes arrays up to the price as it takes numbers."""

import dataclasses
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from estimator import road
from estimator.days.timetable import crew_of, scheduled
from estimator.inputs import Inputs
from estimator.money.exact import exact_of
from estimator.plans import BoreFigures, Figures, Plan
from estimator.weld.preheat import plan_heat
from tests.depth import deep
from tests.estimator.roads import SAMPLES, Arranged, figures_on, golden_arranged, sampled, varied

COUNT = 5
GOLDEN = range(0, 300, 12)[: deep(25, 9)]


def _jobs() -> list[Any]:
    """Return every sample and some random jobs, as parameters."""
    return [
        *(pytest.param(path, id=path.stem) for path in SAMPLES),
        *(pytest.param(n, id=f"random {n}") for n in GOLDEN),
    ]


def _arranged(job: Path | int) -> Arranged:
    found = golden_arranged(job) if isinstance(job, int) else sampled(job)
    if found is None:  # refused, and none the worse: its neighbour is taken
        assert isinstance(job, int)
        return _arranged(job + 1)
    return found


@pytest.mark.parametrize("job", _jobs())
def test_the_whole_road_to_the_price_takes_arrays_as_it_takes_numbers(job: Path | int) -> None:
    """Every number of the day is an array; the price and each amount are what the days give one by one."""
    plan, _, arrangement = _arranged(job)
    together, each = varied(plan.day, COUNT, seed=1)
    many = exact_of(figures_on(plan, arrangement, together))
    assert len(np.atleast_1d(many.before_tax)) == len(np.atleast_1d(many.cost)) == COUNT
    for at, day in enumerate(each):
        one = exact_of(figures_on(plan, arrangement, day))
        assert [(line.code, line.bore) for line in one.lines] == [(line.code, line.bore) for line in many.lines]
        for line, lines in zip(one.lines, many.lines, strict=True):
            amount = np.broadcast_to(lines.amount, COUNT)[at]
            assert amount == pytest.approx(line.amount, rel=1e-12, abs=1e-12 * one.cost), line.code
        assert np.asarray(many.before_tax)[at] == pytest.approx(one.before_tax, rel=1e-12)


def test_other_days_have_other_prices() -> None:
    """Else the test above would prove nothing."""
    plan, _, arrangement = sampled(SAMPLES[0])
    together, _ = varied(plan.day, COUNT, seed=1)
    assert np.ptp(exact_of(figures_on(plan, arrangement, together)).before_tax) > 0


def _chosen(figures: Figures) -> dict[str, Any]:
    """Return all that is chosen of a job, as its figures carry it: counts, settings, passes, order, days and nights."""
    one = figures.schedule.arrangement
    found: dict[str, Any] = {"turns": one.turns, "mode": one.mode, "crew": (one.technicians, one.people, one.machines)}
    for bore in figures.bores:
        plan, name = bore.plan, bore.plan.survey.bore.name
        found |= {f"{name} weld": plan.weld, f"{name} heat": plan.heat, f"{name} cut": plan.cut}
        found |= {f"{name} counts": plan.counts, f"{name} features": plan.features}
    return found


Compute = Callable[[Plan, Inputs], tuple[BoreFigures, ...]]
Run = Callable[..., Figures]


def _hangs_on_the_day(job: Path | int, compute: Compute, run: Run) -> list[str]:
    """Return what of the choices is another one on another day: slow and windy, with weak burners and a long watch."""
    plan, bores, arrangement = _arranged(job)
    usual = _chosen(run(plan, bores, arrangement, plan.day))
    other = dataclasses.replace(
        plan.day,
        times={code: time * (3.0 if code == "set_torch" else 1.7) for code, time in plan.day.times.items()},
        burner_power=plan.day.burner_power / 5,
        emissivity=plan.day.emissivity / 3,
        road_speed=plan.day.road_speed / 3,
        fire_watch=plan.day.fire_watch * 2,
    )
    changed = _chosen(run(plan, compute(plan, other), arrangement, other))
    return [name for name, value in usual.items() if changed[name] != value]


@pytest.mark.parametrize("job", _jobs())
def test_what_is_chosen_does_not_hang_on_the_day(job: Path | int) -> None:
    assert _hangs_on_the_day(job, road.compute, road.run) == []


def test_a_road_that_chose_days_and_nights_on_the_day_would_be_found() -> None:
    """A fault planted: `run` arranges the work anew for the day that comes."""

    def planted(plan: Plan, bores: tuple[BoreFigures, ...], _: Any, day: Inputs) -> Figures:
        own = dataclasses.replace(plan, day=day)
        return Figures(plan, bores, scheduled(plan, road.arrange(own, bores, crew_of(plan)), bores, day), day)

    assert any("mode" in _hangs_on_the_day(path, road.compute, planted) for path in SAMPLES)


def test_a_road_that_chose_burners_on_the_day_would_be_found() -> None:
    """A fault planted: `compute` plans the heat anew for the day that comes."""

    def planted(plan: Plan, day: Inputs) -> tuple[BoreFigures, ...]:
        bores = []
        for one, built in zip(plan.bores, road.compute(plan, day), strict=True):
            hot, ambient = built.build.layers[-1].heat_input, one.heat.ambient
            heat = plan_heat(
                one.survey, one.base, one.weld, heat=hot, ambient=ambient, facts=plan.book.facts, inputs=day
            )
            bores.append(dataclasses.replace(one, heat=heat))
        return road.compute(dataclasses.replace(plan, bores=tuple(bores)), day)

    assert any(_hangs_on_the_day(path, planted, road.run) for path in SAMPLES)


def test_an_order_of_work_is_chosen_for_one_day_only() -> None:
    """Arrays of days have no one order: asked for it, the road refuses."""
    plan, _, _ = sampled(SAMPLES[0])
    together, _ = varied(plan.day, COUNT, seed=1)
    with pytest.raises(TypeError):
        road.arrange(plan, road.compute(plan, together), crew_of(plan))
