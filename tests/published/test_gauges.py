"""What a gauge is worth and what it cannot see, against the guide to uncertainty, ISO 1 and closed forms."""

import math
from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose

from estimator.book.pricebook import read_pricebook
from estimator.bore.gauge import combined, expanded, seen, volume_uncertainty
from estimator.bore.profile import profile_of
from estimator.cut.gauging import accepted_from, accepted_to, gauge_uncertainty
from estimator.document.wear import wear_at
from estimator.estimate import estimate, read_job
from tests.jobs import bore, job

CLOCK = [float(angle) for angle in range(0, 360, 15)]


def wear(readings: Any, **changes: Any) -> Any:
    found: Any = estimate(job(bore(readings=readings, **changes)), read_pricebook())
    return dict(found["bores"][0]["wear"])


def table(kind: str, radius: Any, turn: int) -> Any:
    """Return what a gauge of a kind reads in a bore whose radius [mm] is a function of the clock [deg]."""
    clock = [angle for angle in CLOCK if angle < turn]
    anvils = {"radius": (0,), "diameter": (0, 180), "three-point": (0, 120, 240)}[kind]
    times = 1 if kind == "radius" else 2
    row = [round(times * sum(radius(angle + at) for at in anvils) / len(anvils), 6) for angle in clock]
    return {"kind": kind, "unit": "mm", "clock": clock, "depth": [10, 60], "values": [row, row]}


def lobed(lobes: int, height: float) -> Any:
    return lambda angle: 45.6 + height * math.cos(math.radians(lobes * angle))


# ---------------------------------------------------------------- blind spots
# Textbooks of roundness metrology: a body of an odd number of lobes has the same diameter all round; over three anvils
# 120 degrees apart the mean of cos(n t) is zero unless n is a multiple of three.


@pytest.mark.parametrize("lobes", [3, 5, 7])
def test_a_two_point_gauge_is_blind_to_odd_lobes_and_the_answer_says_so(lobes: int) -> None:
    found = wear(table("diameter", lobed(lobes, 0.4), 180))
    assert found["out_of_round_mm"] == pytest.approx(0.0, abs=1e-5)  # readings are typed to 1e-6 mm
    assert wear(table("radius", lobed(lobes, 0.4), 360))["max_radial_wear_mm"] == pytest.approx(1.0, abs=1e-5)
    assert any("3- or 5-lobed" in risk for risk in found["risks"])


def test_a_three_point_gauge_is_blind_to_plain_ovality_and_the_answer_says_so() -> None:
    found = wear(table("three-point", lobed(2, 0.4), 120))
    assert found["out_of_round_mm"] == pytest.approx(0.0, abs=1e-5)
    assert wear(table("diameter", lobed(2, 0.4), 180))["out_of_round_mm"] == pytest.approx(1.6, abs=1e-5)
    assert any("oval" in risk for risk in found["risks"])


def test_a_three_point_gauge_sees_three_lobes() -> None:
    assert wear(table("three-point", lobed(3, 0.4), 120))["out_of_round_mm"] == pytest.approx(1.6, abs=1e-5)


def test_one_sided_wear_shows_as_two_thirds_on_three_anvils() -> None:
    """One anvil in the wear: the reading grows by 2 a / 3; the answer gives back a."""
    one_anvil = table("three-point", lambda angle: 45.0 + (1.2 if angle % 360 == 0 else 0.0), 120)
    assert max(map(max, one_anvil["values"])) == pytest.approx(90.8)
    assert wear(one_anvil)["max_radial_wear_mm"] == pytest.approx(1.2, abs=1e-9)


# ---------------------------------------------------------------- JCGM 100:2008 (GUM)


def test_gauge_and_repeatability_add_as_squares() -> None:
    """GUM 5.1.2: independent contributions add in quadrature; 3, 4, 5."""
    assert combined(3e-6, 4e-6) == pytest.approx(5e-6, rel=1e-12)


def test_expanded_uncertainty_of_the_end_gauge() -> None:
    """GUM H.1.6: u_c = 32 nm; with k = 2.92 the expanded uncertainty is 93 nm (99 %, 16 degrees of freedom)."""
    assert expanded(32e-9, 2.92, 1.0) == pytest.approx(93e-9, abs=0.5e-9)


def test_a_common_error_of_the_gauge_moves_the_volume_as_the_derivative_says() -> None:
    """V = pi/4 d² L, so a common error e moves it by pi/2 d L e (GUM 5.2.2, correlation one)."""
    read = read_job(job(bore(readings=table("diameter", lobed(0, 0.0), 180))), read_pricebook()).bores[0]
    profile = profile_of(read, 1.17e-5, 293.15)
    assert_allclose(volume_uncertainty(profile, 1e-5, 0.0, 2.0), 2 * math.pi / 2 * 0.0912 * 0.07 * 1e-5, rtol=1e-12)


def test_independent_errors_move_the_volume_as_a_simulation_says() -> None:
    """GUM supplement 1: 4,000 draws; their standard deviation is known to 1.1 %, three of which are allowed."""
    read = read_job(job(bore(readings=table("radius", lobed(2, 0.3), 360))), read_pricebook()).bores[0]
    profile, random, spread = profile_of(read, 1.17e-5, 293.15), np.random.default_rng(7), 2e-5
    drawn = profile.sizes + random.normal(0.0, spread, (4000, *profile.sizes.shape))
    volumes = np.pi * (drawn**2 @ profile.shares) @ profile.lengths
    assert_allclose(volume_uncertainty(profile, 0.0, spread, 1.0), volumes.std(), rtol=0.034)


def test_repeats_make_the_mean_and_show_their_scatter() -> None:
    """Two readings 0.02 mm apart: mean between them, standard deviation 0.02 / sqrt(2)."""
    readings = table("diameter", lobed(2, 0.3), 180)
    plain = wear({**readings, "uncertainty": "0.01 mm"})
    first = readings["values"][0][0]
    values = [[[first - 0.01, first + 0.01], *readings["values"][0][1:]], readings["values"][1]]
    twice = wear({**readings, "values": values, "uncertainty": "0.01 mm"})
    assert twice["worn_volume_mm3"] == pytest.approx(plain["worn_volume_mm3"], rel=1e-9)
    assert twice["reading_uncertainty_mm"] == pytest.approx(
        math.hypot(0.01, 0.02 / math.sqrt(2)), abs=5e-7
    )  # told to 1e-6 mm


# ---------------------------------------------------------------- ISO 1: sizes hold at 20 degC


@pytest.mark.parametrize(("temperature", "size"), [("40 degC", 100.0 * (1 + 11.7e-6 * 20)), ("0 degC", 99.9766)])
def test_a_bore_of_100_mm_read_warm_or_cold_is_100_mm_at_20_degc(temperature: str, size: float) -> None:
    """Linear expansion of steel, 11.7e-6 per kelvin: 20 K away from 20 degC a bore of 100 mm reads 23.4 µm off."""
    flat = {"kind": "three-point", "unit": "mm", "clock": [0, 60], "depth": [35], "temperature": temperature}
    readings = {**flat, "values": [[size, size]]}
    found = wear(readings, nominal_diameter="99 mm")
    assert found["largest_diameter_mm"] == pytest.approx(100.0, abs=1e-5)  # second order and the typed digits


# ---------------------------------------------------------------- what is not there


def test_a_missing_reading_is_filled_from_beside() -> None:
    """Linear round the clock: the middle of its two neighbours, across 0 as well."""
    values = [[91.0, 91.4, 91.2, 91.6]]
    base = {"kind": "diameter", "unit": "mm", "clock": [0, 45, 90, 135], "depth": [35, 60], "missing": "allowed"}
    gone = wear({**base, "values": [[None, *values[0][1:]], values[0]]})
    full = wear({**base, "values": [[(91.6 + 91.4) / 2, *values[0][1:]], values[0]]})
    same = ("worn_volume_mm3", "out_of_round_mm", "max_radial_wear_mm")
    assert [gone[key] for key in same] == pytest.approx([full[key] for key in same], rel=1e-12)


@pytest.mark.parametrize(
    ("kind", "clock", "part"),
    [("radius", [0, 90, 180, 270], 270), ("radius", [0, 40, 80, 120], 120), ("diameter", [0], 180)],
)
def test_how_much_of_the_clock_is_seen(kind: str, clock: list[float], part: float) -> None:
    """The whole turn less the widest gap; a diameter reads both ends."""
    size = 45.5 if kind == "radius" else 91.0
    readings = {"kind": kind, "unit": "mm", "clock": clock, "depth": [35], "values": [[size] * len(clock)]}
    read = read_job(job(bore(readings=readings)), read_pricebook()).bores[0]
    assert seen(profile_of(read, 1.17e-5, 293.15), kind) == pytest.approx(part)


def test_a_place_not_read_is_a_place_not_seen() -> None:
    """Nulls from 105 to 255 degrees at one depth leave 180 of 360 degrees seen there, and the answer warns."""
    row: list[float | None] = [45.5 for _ in CLOCK]
    holes = [None if 105 <= at <= 255 else size for at, size in zip(CLOCK, row, strict=True)]
    base = {"kind": "radius", "unit": "mm", "clock": CLOCK, "depth": [10, 60], "missing": "allowed"}
    found = estimate(job(bore(readings={**base, "values": [holes, row]})), read_pricebook())
    assert any("cover 180\u00b0 of 360\u00b0" in one["text"] for one in found["warnings"])


def test_a_reading_that_stands_alone_is_told() -> None:
    """110 mm among readings of 92 mm: eighteen beyond all beside it."""
    row = [92.0, 92.0, 92.0, 92.0]
    base = {"kind": "diameter", "unit": "mm", "clock": [0, 45, 90, 135], "depth": [10, 35, 60]}
    found = estimate(job(bore(readings={**base, "values": [row, [92.0, 110.0, 92.0, 92.0], row]})), read_pricebook())
    assert any("at 45\u00b0, 35 mm deep, stands 18 mm beyond" in one["text"] for one in found["warnings"])


def test_wear_at_a_place_is_what_is_beyond_nominal() -> None:
    assert wear_at(0.0912, 0.090, 0.5) == pytest.approx(0.0006)


# ---------------------------------------------------------------- what a finished bore can be proved to be


def test_uncertainty_of_a_bore_gauge_by_the_guide() -> None:
    """JCGM 100:2008 5.1.2 by hand: ring 1.0, scatter 2.0, step 1 and 100 mm x 11.5e-6 x 1 K over root 3: 2.35 um."""
    found = gauge_uncertainty(0.100, 1.0e-6, 2.0e-6, 1.0e-6, 11.5e-6, 1.0)
    assert 1e6 * found == pytest.approx(2.35, abs=0.005)
    assert 1e6 * expanded(found, 2.0, 1.0) == pytest.approx(4.7, abs=0.01)


def test_limits_that_prove_a_size() -> None:
    """ISO 14253-1: 100 H8 is 100.000 to 100.054; with U = 0.008 from 100.008 to 100.046 is proved."""
    assert 1e3 * accepted_from(0.100, 0.008e-3) == pytest.approx(100.008, abs=1e-9)
    assert 1e3 * accepted_to(0.100054, 0.008e-3) == pytest.approx(100.046, abs=1e-9)
