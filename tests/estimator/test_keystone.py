"""Decide once, compute many; numbers that know why; and no conversion factor hidden in any formula."""

import dataclasses
import functools
import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from estimator.formula import Figure, why_of
from estimator.nomenclature import quantities
from estimator.strict import parse
from estimator.trust.explain import figures_of, recorded, steps_of
from estimator.units import rescaled
from tests.depth import deep, some
from tests.estimator.roads import arranged, figures_on, varied
from tests.jobs import any_job, bore, job

SAMPLES = sorted(Path("sample_jobs").glob("*.json"))
SAMPLE_IDS = [path.stem for path in SAMPLES]
SOME = settings(max_examples=deep(25, 5), suppress_health_check=[HealthCheck.too_slow])


@functools.cache
def _recorded(path: Path) -> Any:
    """Return a sample's estimate whose figures know why; nobody changes it."""
    return recorded(path.read_bytes(), read_pricebook())


def test_there_are_five_samples() -> None:
    assert len(SAMPLES) >= 5


@given(any_job(), st.tuples(*[st.floats(0.2, 5.0)] * 5))
@SOME
def test_other_base_units_change_nothing(document: dict[str, Any], scale: tuple[float, ...]) -> None:
    """Metre, kilogram, second, kelvin and ampere by random factors, tables and constants included."""
    before = estimate(document, read_pricebook())
    with rescaled(*scale):
        after = dict(figures_of(estimate(document, read_pricebook())))
    # ten printed digits and a least place, less what a few hundred operations lose
    wrong = {
        k: (v, after[k])
        for k, v in figures_of(before)
        if not math.isclose(after[k], v, rel_tol=1e-8, abs_tol=max(1e-8, 1.5 * _least(k)))
    }
    assert wrong == {}


def _least(path: str) -> float:
    """Return the least place of a figure by its path; of money that of a cost."""
    key = next((part for part in reversed(path.split(".")) if not part.isdigit()), "")
    return float(10.0 ** quantities()[key].least) if key in quantities() else 0.0


def _numbers(item: Any, path: str = "") -> dict[str, Any]:
    """Return every number or array of the figures of a job by its place."""
    if isinstance(item, float | int | np.ndarray) and not isinstance(item, bool):
        return {path: item}
    if dataclasses.is_dataclass(item) and not isinstance(item, type):
        names = [f.name for f in dataclasses.fields(item) if f.name not in ("plan", "layer")]
        return {k: v for n in names for k, v in _numbers(getattr(item, n), f"{path}.{n}").items()}
    if isinstance(item, tuple):
        return {k: v for n, each in enumerate(item) for k, v in _numbers(each, f"{path}.{n}").items()}
    return {}


@given(any_job(most=2), st.integers(0, 2**32 - 1))
@SOME
def test_arrays_give_what_their_numbers_give(document: dict[str, Any], seed: int) -> None:
    plan, _, arrangement = arranged(document, read_pricebook())
    day, each = varied(plan.day, 3, seed)
    together = _numbers(figures_on(plan, arrangement, day))
    for at, one in enumerate(each):
        for key, value in _numbers(figures_on(plan, arrangement, one)).items():
            many = together[key]
            # halving and regula falsi stop a few last digits apart
            assert value == pytest.approx(many[at] if isinstance(many, np.ndarray) else many, rel=1e-9, abs=1e-6), key


@pytest.mark.parametrize("path", some(SAMPLES, 5), ids=lambda path: path.stem)
def test_every_figure_is_explained_and_every_step_replays(path: Path) -> None:
    assert _replayed(_recorded(path)) > 1000


SOLD = {"extras": [{"text": "bush", "quantity": 2, "price": "85.05 EUR"}], "customer": {"name": "N", "class": "fleet"}}


@pytest.mark.parametrize("more", [{}, {"discount": "7.5 %"}])
def test_extras_and_discounts_are_explained_as_well(more: dict[str, Any]) -> None:
    book = read_pricebook({"classes": {"fleet": {"discount": 0.1}}})
    found = recorded(job(**SOLD, **more), book)
    assert _replayed(found) > 1000
    *_, off = found["price"]["bores"]
    kinds = {why.kind for _, why in steps_of(off["amount"]) if why.name in ("discount", "classes.fleet.discount")}
    assert ("given" if more else "price") in kinds


def _replayed(found: Any) -> int:
    """Hold every figure of a recorded document to know why, and every step to replay; return how many did."""
    count = 0
    for key, value in figures_of(found):
        steps = steps_of(value)
        assert steps, f"{key} does not know why"
        for figure, why in steps:
            assert why.kind != "literal", f"{key}: {why.name} is a number of the program's own"
            assert why.kind != "formula" or why.source, f"{key}: {why.name} has no source"
            loose = [name for name, item in why.inputs if isinstance(item, float) and why_of(item) is None]
            assert not loose, f"{key}: {why.name} takes {loose} from nowhere"
            if why.function is not None:
                assert why.replay() == figure, f"{key}: {why.name} replays differently"
                count += 1
    return count


@pytest.mark.parametrize("path", some(SAMPLES, 5), ids=lambda path: path.stem)
def test_explaining_changes_no_figure(path: Path) -> None:
    plain = dict(figures_of(estimate(path.read_bytes(), read_pricebook())))
    aware = dict(figures_of(_recorded(path)))
    assert {k: float(f"{float(aware[k]):.12g}") for k in plain} == plain


@pytest.mark.parametrize("path", some(SAMPLES, 5), ids=lambda path: path.stem)
def test_every_explanation_ends_at_what_was_given(path: Path) -> None:
    found = _recorded(path)
    mass = found["bores"][0]["buildup"]["deposit_mass_kg"]
    given = {why.name for _, why in steps_of(mass) if why.kind == "given"}
    name = found["bores"][0]["name"]
    assert {f"bores.{name}.length", f"bores.{name}.nominal_diameter"} <= given


def test_nothing_is_recorded_when_nobody_asks() -> None:
    values = [value for _, value in figures_of(estimate(job(), read_pricebook()))]
    assert values
    assert not any(isinstance(value, Figure) for value in values)


def test_slower_work_and_a_shorter_tip_life_change_hours_and_tips_alone() -> None:
    plan, _, arrangement = arranged(job(bore(), bore(name="B")), read_pricebook())
    usual = plan.day
    slow = dataclasses.replace(usual, times={k: 2 * v for k, v in usual.times.items()}, tip_life=usual.tip_life / 2)
    before, after = (figures_on(plan, arrangement, day) for day in (usual, slow))
    assert after.schedule.on_site > 1.5 * before.schedule.on_site
    assert after.bores[0].supplies.tips == pytest.approx(2 * before.bores[0].supplies.tips)
    assert after.bores[0].build == before.bores[0].build


def test_a_sample_reads_as_json_and_names_itself() -> None:
    references = [parse(path.read_bytes())["reference"] for path in SAMPLES]
    assert len(set(references)) == len(references)
    assert all(json.loads(path.read_text("utf-8")) for path in SAMPLES)
