"""Boring passes against worked examples and published cutting-force tables."""

import math

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.cut import passes
from estimator.tables.rows import Cutting

FACTS = read_pricebook().facts
MPA = 1e6


def test_cutting_speed_worked_example() -> None:
    """Carbide maker's formula page: 700 turns a minute on 50 mm is 110 m/min (109.96)."""
    assert 60 * passes.surface_speed(700 / 60, 0.050) == pytest.approx(110, abs=0.1)
    assert 60 * passes.turning_speed(110 / 60, 0.050, 0.0, 1e9) == pytest.approx(700, abs=0.5)


def test_the_drive_bounds_the_turns() -> None:
    assert passes.turning_speed(2.0, 0.090, 20 / 60, 180 / 60) == pytest.approx(3.0)
    assert passes.turning_speed(0.01, 0.090, 20 / 60, 180 / 60) == pytest.approx(20 / 60)


def test_cutting_time_worked_example() -> None:
    """The same page: 100 mm at 1000 turns a minute and 0.2 mm a turn takes 0.5 min."""
    assert passes.pass_time(0.100, 0.0, 0.2e-3, 1000 / 60) == pytest.approx(30.0, rel=1e-12)
    assert passes.pass_time(0.092, 0.008, 0.2e-3, 1000 / 60) == pytest.approx(30.0, rel=1e-12)


def test_cutting_power_worked_example() -> None:
    """The same maker: 3 mm deep, 0.2 mm a turn, 120 m/min, 3100 N/mm2, efficiency 0.8 take 4.65 kW."""
    assert passes.cut_power(3100 * MPA, 3e-3, 0.2e-3, 2.0, 0.8) == pytest.approx(4650, abs=5)


def test_power_of_a_measured_force() -> None:
    """Sharma, ex. 14.17 p. 575 (read in a companion): 300 mm, 45 turns a minute, 2 mm, 0.3 mm, 1850 N: 1.308 kW."""
    speed = passes.surface_speed(45 / 60, 0.300)
    assert passes.cut_power(1850 / (2e-3 * 0.3e-3), 2e-3, 0.3e-3, speed, 1.0) == pytest.approx(1308, abs=0.5)


def test_depth_that_a_drive_allows() -> None:
    """0.75 kW, efficiency 0.75, 0.25 mm a turn, 30 m/min, kc 2854: 1.58 mm a side (by hand, 2026-11)."""
    force = passes.specific_force(1990 * MPA, 0.25e-3, 1e-3, 0.26)
    assert force == pytest.approx(2854 * MPA, rel=0.001)
    assert passes.deepest_cut(750.0, force, 0.25e-3, 0.5, 0.75) == pytest.approx(1.58e-3, abs=0.01e-3)


# Chuck maker's manual RN-1391 p. 43, Table 2: kc [kN/mm2] by feed at 45 degrees, so the chip is f sin 45 thick.
FEEDS = (0.16, 0.25, 0.4, 0.63, 1.0, 1.6)
FORCES = {
    "weld metal": (3.50, 3.10, 2.75, 2.45, 2.15, 1.95),
    "carbon": (3.05, 2.80, 2.60, 2.40, 2.20, 2.05),
    "alloy": (4.35, 3.90, 3.45, 3.10, 2.75, 2.45),
}


@pytest.mark.parametrize("name", sorted(FORCES))
def test_cutting_force_follows_the_published_table(name: str) -> None:
    """The constants are recalled; which row is which steel is our own match, within 2 % of every entry."""
    row = FACTS.row("cutting", name, Cutting)
    for feed, force in zip(FEEDS, FORCES[name], strict=True):
        chip = feed * 1e-3 * math.sin(math.pi / 4)
        assert passes.specific_force(row.kc, chip, 1e-3, row.rise) == pytest.approx(force * 1000 * MPA, rel=0.02)


# Carbide maker's formula page, turning: kc [N/mm2] at 0.1 0.2 0.3 0.4 0.6 mm a turn of mild steel (520 MPa), medium
# steel (620 MPa) and chromium-molybdenum steel (730 MPa).
MAKERS = {
    "structural": (3610, 3100, 2720, 2500, 2280),
    "carbon": (3080, 2700, 2570, 2450, 2300),
    "alloy": (4500, 3900, 3400, 3150, 2850),
}


@pytest.mark.parametrize("name", sorted(MAKERS))
def test_cutting_force_by_another_maker(name: str) -> None:
    """Within 3 %: the law is straight on log paper and this table is not (its steps at 0.2 mm bend by as much)."""
    row = FACTS.row("cutting", name, Cutting)
    for feed, force in zip((0.1, 0.2, 0.3, 0.4, 0.6), MAKERS[name], strict=True):
        assert passes.specific_force(row.kc, feed * 1e-3, 1e-3, row.rise) == pytest.approx(force * MPA, rel=0.03)


# Ferrous Metals Data Book Tables 9-2, 9-3, 9-5: coated carbide at 1.0 mm depth. [ft/min]
SPEEDS = {"structural": 950, "casting": 850, "weld metal": 750, "carbon": 700, "alloy": 650}


@pytest.mark.parametrize("name", sorted(SPEEDS))
def test_turning_speeds_are_the_data_books(name: str) -> None:
    row = FACTS.row("cutting", name, Cutting)
    assert row.speed * 60 / 0.3048 == pytest.approx(SPEEDS[name], abs=1.7)  # the table is in whole m/min
    assert passes.portable_speed(row.speed, 0.35) == pytest.approx(0.35 * row.speed)


def test_sizes_between_passes() -> None:
    assert passes.depth_between(0.090, 0.097) == pytest.approx(3.5e-3)
    assert passes.shared_depth(3.5e-3, 2) == pytest.approx(1.75e-3)
    assert passes.opened(0.090, 1.75e-3) == pytest.approx(0.0935)
    assert passes.narrowed(0.0935, 1.75e-3) == pytest.approx(0.090)


def test_clean_up_takes_the_cylinder_less_the_hole() -> None:
    hole = math.pi / 4 * 0.092**2 * 0.07
    assert passes.removed_before(0.097, 0.07, hole) == pytest.approx(math.pi / 4 * (0.097**2 - 0.092**2) * 0.07)
