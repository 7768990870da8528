"""Rings, layers and sums against hand-worked numbers, shapely and scipy."""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from shapely.geometry import Point

from estimator.bore.limits import finish_size, middle_of
from estimator.cut.passes import removed_before
from estimator.cut.removed import removed_after
from estimator.cut.span import worst_place
from estimator.days.durations import own_part
from estimator.formula import difference
from estimator.money.lines import _sum_of
from estimator.weld import build, plan
from estimator.weld.preheat import boss_mass, governing_thickness, warmed, whole_wall


def test_net_build_volume_by_hand() -> None:
    """104 to 98 mm over 80 mm is 76 152 mm3 (by hand, 2026-11)."""
    assert build.required_volume(0.104, 0.098, 0.080) == pytest.approx(76152e-9, abs=1e-9)


@given(st.floats(0.04, 0.4), st.floats(0.001, 0.02))
def test_a_ring_is_shapelys(weld: float, wall: float) -> None:
    outer, inner = (Point(0, 0).buffer(d / 2, quad_segs=4096) for d in (weld + 2 * wall, weld))
    area = outer.difference(inner).area
    assert build.required_volume(weld + 2 * wall, weld, 1.0) == pytest.approx(area, rel=1e-6)  # polygons of 16384 sides


def test_one_layer_of_whole_turns_fills_its_ring() -> None:
    """Turns x circumference at the middle x bead section is the ring of that thickness (integral over the radius)."""
    start, laid, step, turns = 0.097, 2.5e-3, 3.5e-3, 21
    volume = build.laid_volume(turns, build.layer_middle(start, laid), laid * step)
    ring, _ = quad(lambda r: 2 * math.pi * r, start / 2 - laid, start / 2)
    assert volume == pytest.approx(ring * turns * step, rel=1e-12)


def test_first_bead_and_rest_make_the_layer() -> None:
    assert (build.but_first(20, 20), build.of_one_bead(20, 20)) == (19, 1)
    assert (build.but_first(5.0, 20), build.of_one_bead(5.0, 20)) == (4.75, 0.25)
    assert build.both(900.0, 60.0) == 960.0
    assert build.mean_over_arc(140.0, 900.0, 115.0, 60.0) == pytest.approx((140 * 900 + 115 * 60) / 960)
    assert build.mean_travel(20, 0.0945, 960.0) == pytest.approx(20 * math.pi * 0.0945 / 960)
    assert build.rate_of(1.5, 3600.0) == pytest.approx(1.5 / 3600)


def test_a_turn_of_the_torch_by_hand() -> None:
    """A middle of 92 mm at 480 mm/min: 289.03 mm in 36.13 s, 1.66075 turns a minute (by hand, 2026-11)."""
    assert build.turn_time(0.092, 0.008) == pytest.approx(36.128, abs=5e-4)
    assert 60 * build.torch_turning(0.092, 0.008) == pytest.approx(1.66075, abs=5e-6)


@pytest.mark.parametrize(("length", "step", "turns"), [(0.07, 0.0035, 21), (0.0701, 0.0035, 22), (0.0699, 0.0035, 21)])
def test_whole_turns_do_not_flip_on_exact_multiples(length: float, step: float, turns: int) -> None:
    assert plan.whole_turns(length, step, 1.0) == turns


def test_layers_shrink_the_bore() -> None:
    assert plan.build_of(0.097, 0.087) == pytest.approx(5e-3)
    assert plan.left_thickness(2.5e-3, 0.5e-3) == pytest.approx(2e-3)
    assert plan.layer_end(0.097, 2.5e-3) == pytest.approx(0.092)


def test_limits_of_size() -> None:
    """100 H8 is 100.000 to 100.054 (ISO 286-1), its middle 100.027."""
    assert finish_size(0.100, 54e-6) == pytest.approx(0.100054)
    assert middle_of(0.100, 0.100054) == pytest.approx(0.100027)


def test_metal_cut_and_laid_balances() -> None:
    """Clean-up hole less worn hole is cut; deposit less what stays is cut again (conservation)."""
    worn, cleanup, weld, finish, length = 3.6e-4, 0.097, 0.087, 0.090027, 0.070
    deposit = 1.06e-4
    need = build.required_volume(cleanup, weld, length)
    after = removed_after(deposit, need, finish, weld, length, 1.0)
    final = math.pi / 4 * finish**2 * length
    assert worn + removed_before(cleanup, length, worn) - deposit + after == pytest.approx(final, rel=1e-12)


def test_walls_and_the_thicker_part() -> None:
    """EN 1011-2 method B takes the thicker of the parts that meet, not their sum."""
    assert whole_wall(0.170, 0.090) == pytest.approx(0.040)
    assert governing_thickness(0.040, 0.030) == 0.040


def test_a_boss_weighs_its_ring() -> None:
    """By hand: rings of 170 and 97 mm over 70 mm hold 1.0716 dm3, at 7.85 kg/dm3 8.412 kg."""
    assert boss_mass(0.170, 0.097, 0.070, 7850.0) == pytest.approx(8.412, abs=0.001)


def test_a_cold_part_is_warmed_by_hand() -> None:
    """AWS D1.1 Table 3.3 note: steel below 0 degC is warmed to 20 degC at the least (from memory)."""
    assert warmed(280.0, 293.15) == 293.15
    assert warmed(400.0, 293.15) == 400.0


def test_a_bores_own_part_of_a_phase() -> None:
    """By hand: 44 min in a phase, of them a half of 25 min of work once a line for two bores: 31.5 min are its own."""
    assert own_part(2640.0, 1500.0, 2) == pytest.approx(1890.0)


@pytest.mark.parametrize(
    ("before", "after", "start", "end"),
    [(-0.12, 0.19, 0.0, 0.07), (-0.12, 0.11, 0.0, 0.06), (0.11, 0.34, 0.16, 0.22), (-0.05, 0.40, 0.0, 0.07)],
)
def test_a_bar_gives_way_most_where_the_beam_tables_say(before: float, after: float, start: float, end: float) -> None:
    """A point load at a and b from two supports bends a bar there by F a^2 b^2 / (3 E I l) (any table of beams)."""
    places = [start + (end - start) * n / 1000 for n in range(1001)]
    bent = [((x - before) * (after - x)) ** 2 for x in places]
    most = places[bent.index(max(bent))]
    # the raster of a thousandth of the bore, half of it to either side
    assert worst_place(before, after, start, end) == pytest.approx(most, abs=(end - start) / 1000)


def test_sums_and_differences() -> None:
    assert difference(523.15, 285.15) == pytest.approx(238.0)
    assert _sum_of("0.01", line_1=Decimal("1.10"), line_2=Decimal("2.25")) == Decimal("3.35")
