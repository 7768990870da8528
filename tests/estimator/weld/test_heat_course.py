"""Laws of the course of heat in whole estimates: limits kept, waits where they come, what another bore would save."""

import copy
import dataclasses
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate, read_job
from estimator.road import compute, decide
from estimator.weld import heat
from tests.depth import deep
from tests.jobs import any_job, bore, job
from tests.published.bosses import endless

BOOK = read_pricebook()
SOME = settings(max_examples=deep(60), suppress_health_check=[HealthCheck.too_slow])
STEEL = (7850.0, 480.0, 43.0)


def _heat(document: Any) -> list[Any]:
    return [one["heat"] for one in estimate(document, BOOK)["bores"]]


def _thin(**changes: Any) -> Any:
    """Return a bore in a thin plate, whose three layers must wait."""
    return bore(**{"plate_thickness": "12 mm", "options": {"layers": 3}, **changes})


@given(any_job())
@SOME
def test_limits_are_kept_and_waits_add_up(document: Any) -> None:
    for one in _heat(document):
        assert math.fsum(wait["wait_min"] for wait in one["waits"]) == pytest.approx(
            one["interpass_wait_min"], rel=1e-7
        )
        for layer in one["course"]:
            assert layer["end_C"] <= one["interpass_max_C"] + 1e-6
            assert min(layer["start_C"], layer["end_C"]) >= one["preheat_C"] - 1e-6
            assert layer["keep_kW"] == 0 or layer["end_C"] == pytest.approx(one["preheat_C"], abs=1e-3)
        for wait in one["waits"]:
            assert one["course"][wait["layer"] - 1]["end_C"] == pytest.approx(one["interpass_max_C"], abs=1e-3)
            assert 5 * (wait["stops"] - 1) <= wait["wait_min"] * (1 + 1e-9) <= 5 * wait["stops"] * (1 + 1e-6)


@given(
    st.tuples(st.floats(0.005, 0.08), st.floats(0.05, 0.3), st.floats(0.01, 0.08), st.floats(0.02, 0.4)),
    st.tuples(st.floats(60.0, 6000.0), st.floats(800.0, 4000.0), st.floats(50.0, 300.0)),
    st.floats(1.0, 1.5),
)
@SOME
def test_more_arc_takes_no_less_time(sizes: tuple[float, ...], layer: tuple[float, float, float], more: float) -> None:
    plate, inside, wall, length = sizes
    ring = endless(inside + 2 * wall, inside, length, plate, *STEEL, 12.0)
    time, power, allowed = layer

    def lasting(arc: float, power: float, allowed: float) -> float:
        cold = heat.Warmth(ring, np.zeros(ring.decay.shape))
        free = heat.free_time(cold, power, arc, allowed)
        return free + heat.held_time(heat.welded(cold, power, free), power, arc - free, allowed)

    usual = lasting(time, power, allowed) * (1 - 1e-9)
    assert lasting(time * more, power, allowed) >= usual
    assert lasting(time, power * more, allowed) >= usual
    assert lasting(time, power, allowed / more) >= usual
    assert usual >= time * (1 - 2e-9)


def test_a_wait_says_where_it_comes() -> None:
    (one,) = _heat(job(_thin()))
    assert [wait["layer"] for wait in one["waits"]] == [1, 2, 3]
    assert all(wait["from_C"] == one["interpass_max_C"] for wait in one["waits"])
    turns = [wait["after_bead"] for wait in one["waits"]]
    assert turns[0] >= max(turns[1:]) >= min(turns) >= 1  # a warm boss stands at its limit no later


def test_another_bore_of_the_line_fills_the_waits() -> None:
    thin = {"plate_thickness": "6 mm", "outside_diameter": "150 mm", "plate": {"ends": "strip", "reach": "80 mm"}}
    alone, pair = job(_thin(**thin)), job(_thin(**thin, line="one"), _thin(**thin, name="B", line="one"))
    assert _heat(alone)[0]["wait_saving_min"] == 0.0
    waits = [wait["wait_min"] for wait in _heat(pair)[0]["waits"]]
    away = 2 * (5 + 4 * 10.0 + 20) / 6  # setting the torch there and back, as the table of times expects it
    assert max(waits) > away
    assert _heat(pair)[0]["wait_saving_min"] == pytest.approx(sum(max(0.0, wait - away) for wait in waits), abs=1e-6)


def test_the_loss_of_the_day_is_the_days() -> None:
    """A part that radiates more waits and cools for a shorter time; the plan was made without it."""
    one = read_job(job(_thin()), BOOK)
    plan = decide(one, BOOK)
    usual = plan.day
    shares = usual.emissivity * np.array([0.3, 1.0, 1.2])
    found = compute(plan, dataclasses.replace(usual, emissivity=shares))[0].heat  # pyrefly: ignore[bad-argument-type] # arrays of numbers
    for figure in (found.interpass_wait, found.cooldown):
        assert np.all(np.diff(np.asarray(figure)) < 0)


def test_a_longer_boss_takes_longer_to_warm() -> None:
    short, long = (_heat(job(bore(length=f"{mm} mm", material="1045", condition=_sound())))[0] for mm in (70, 140))
    assert long["boss_kg"] > 1.9 * short["boss_kg"]
    assert long["burner_min"] * long["burners"] > 1.2 * short["burner_min"] * short["burners"]


def _sound() -> Any:
    return copy.deepcopy(bore()["condition"])
