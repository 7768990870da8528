"""Where a plate ends, in whole estimates: what is assumed is said, with what it may be; laws of edges."""

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from estimator.book.pricebook import read_pricebook
from tests.depth import deep
from tests.jobs import any_job, bore, codes, job
from tests.published.edged import SHAPES, Shape, course
from tests.raw import estimate

BOOK = read_pricebook()
LAYERS = {"options": {"layers": 3}, "plate_thickness": "20 mm"}
SOME = settings(max_examples=deep(25), suppress_health_check=[HealthCheck.too_slow], deadline=None)


def _estimate(plate: Any, **changes: Any) -> Any:
    return estimate(job(bore(plate=plate, **{**LAYERS, **changes})), BOOK)


def _times(plate: Any, **changes: Any) -> tuple[float, float]:
    found = _estimate(plate, **changes)["bores"][0]["heat"]
    return found["interpass_wait_min"], found["cooldown_min"]


def test_nothing_told_is_one_edge_a_boss_off_and_it_is_asked_for() -> None:
    """The middle case; with what it may be at best and at worst."""
    found = _estimate(None)
    plate = found["bores"][0]["plate"]
    assert (plate["ends"], plate["plate_reach_mm"], plate["assumed"]) == ("side", 170.0, True)
    assert "plate_ends_assumed" in codes(found)
    best, worst = plate["may_be"]
    assert (best["ends"], worst["ends"]) == ("none", "lug")
    own = found["bores"][0]["heat"]
    for key in ("interpass_wait_min", "cooldown_min"):
        assert best[key] < own[key] < worst[key]
    assert (best["interpass_wait_min"], best["cooldown_min"]) == _times({"ends": "none"})
    assert (worst["interpass_wait_min"], worst["cooldown_min"]) == _times({"ends": "lug", "reach": "170 mm"})


def test_what_is_told_is_not_asked_for() -> None:
    found = _estimate({"ends": "corner", "reach": "150 mm"})
    assert "plate_ends_assumed" not in codes(found)
    assert found["bores"][0]["plate"]["may_be"] == []
    assert found["bores"][0]["plate"]["plainly"] == "two edges that meet"


def test_the_more_sides_end_the_longer_it_takes() -> None:
    ends = ({"ends": "none"}, *({"ends": one, "reach": "150 mm"} for one in ("side", "corner", "lug", "round")))
    waits, cools = zip(*(_times(one) for one in ends), strict=True)
    assert list(waits) == sorted(waits)
    assert list(cools) == sorted(cools)


@pytest.mark.parametrize("ends", ["side", "corner", "strip", "lug", "round"])
def test_the_nearer_an_edge_the_longer_the_wait(ends: str) -> None:
    waits = [_times({"ends": ends, "reach": f"{reach} mm"})[0] for reach in (90, 120, 150, 200, 300, 500)]
    assert waits == sorted(waits, reverse=True)
    assert waits[0] > waits[-1]


@given(
    st.sampled_from([one for one in SHAPES if one.ends != "none" and one.plates == 1]),
    st.floats(1.0, 6.0),
    st.floats(1e-4, 2e-3),
)
@SOME
def test_nothing_jumps_as_an_edge_moves(shape: Shape, far: float, little: float) -> None:
    """The rings are laid out anew for each reach: no wait jumps by more than what moved it can explain.

    Cooling is known to jump by up to 1.7 % where an edge comes to lie at a ring's end (DEVELOPERS).
    """
    here, there = (
        course(Shape(shape.name, shape.boss, shape.plate, shape.ends, reach, 30, 1500, 0, 0))
        for reach in (shape.boss[1] / 2 * far, shape.boss[1] / 2 * far * (1 + little))
    )
    assert there[0] == pytest.approx(here[0], rel=0.02, abs=0.4)
    assert there[1] == pytest.approx(here[1], rel=0.025)


def test_a_narrower_neck_holds_the_heat() -> None:
    wide, narrow = ({"ends": "lug", "reach": "150 mm", **neck} for neck in ({}, {"neck": "160 mm"}))
    assert all(one < other for one, other in zip(_times(wide), _times(narrow), strict=True))
    assert _times({**wide, "neck": "300 mm"}) == _times(wide)


def test_two_plates_carry_more_heat_away_than_one() -> None:
    one, two = ({"ends": "side", "reach": "200 mm", "plates": count} for count in (1, 2))
    assert _times(two, length="200 mm")[0] < _times(one, length="200 mm")[0]


def test_a_boss_of_which_no_outside_is_given_ends_with_its_plate() -> None:
    found = _estimate({"ends": "lug", "reach": "70 mm"}, outside_diameter=None)
    assert found["bores"][0]["given"]["outside_diameter_mm"] == 140.0
    assert _estimate({"ends": "lug", "reach": "150 mm"}, outside_diameter=None)["bores"][0]["given"][
        "outside_diameter_mm"
    ] == pytest.approx(173.8, abs=10)


@given(any_job(most=1), st.sampled_from(["side", "corner", "strip", "lug", "round"]), st.floats(1.0, 3.0))
@SOME
def test_an_edge_never_shortens_a_wait(document: Any, ends: str, far: float) -> None:
    (one,) = document["bores"]
    outside = float(one["outside_diameter"].split()[0])
    edged = {**one, "plate": {"ends": ends, "reach": f"{outside / 2 * far} mm"}}
    wide = {**one, "plate": {"ends": "none"}}
    near, endless = (estimate({**document, "bores": [each]}, BOOK)["bores"][0]["heat"] for each in (edged, wide))
    assert near["interpass_wait_min"] >= endless["interpass_wait_min"] - 0.05


def test_a_fine_tolerance_waits_long_and_a_coarse_one_little() -> None:
    """H11 starts as soon as hands and gauges can, H6 when its correction is sure and it hardly shrinks."""
    lug = {"ends": "lug", "reach": "150 mm"}
    found = [_estimate(lug, tolerance=grade)["bores"][0]["heat"] for grade in ("H6", "H7", "H8", "H11")]
    warm, cool = ([one[key] for one in found] for key in ("finish_cut_max_C", "cooldown_min"))
    assert warm == sorted(warm)
    assert warm[0] == pytest.approx(20 + 22 / 1.053, abs=0.2)  # IT6 of 90 mm is 22 um
    assert warm[-1] == 60.0
    assert cool == sorted(cool, reverse=True)
    assert cool[0] > 1.3 * cool[-1]
    assert found[-1]["finish_growth_mm"] == pytest.approx(0.042, abs=0.001)
