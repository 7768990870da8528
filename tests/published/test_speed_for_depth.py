"""Speed for depth, limber bars, ways by road and burners at brackets, against published tables and by hand."""

import pytest

from estimator.cut.beam import as_overhung, overhung, solid_moment
from estimator.cut.finish import finished_at
from estimator.cut.passes import paced, slender_share
from estimator.days.schedule import slowed_part
from estimator.shop.sundries import bracket_heat


def test_power_falls_with_the_speed() -> None:
    """By hand: 0.75 kW, efficiency 0.75, 0.25 mm a turn, kc 2854, 3.16 mm deep: half the 30 m/min of 1.58 mm."""
    assert 60 * paced(1.0, 750.0, 2854e6, 3.16e-3, 0.25e-3, 0.75) == pytest.approx(15.0, rel=0.005)
    assert paced(0.1, 750.0, 2854e6, 3.16e-3, 0.25e-3, 0.75) == 0.1


@pytest.mark.parametrize(("overhang", "low", "high"), [(2.0, 1.0, 1.0), (3.0, 1.0, 1.0), (4.0, 0.8, 0.9)])
def test_speed_by_overhang_as_published(overhang: float, low: float, high: float) -> None:
    """cncoptimization.com: a steel bar up to 3 diameters runs at 100 % of the speed, at 4 at 80 to 90 %."""
    share = slender_share(overhang, 3.0, 0.15, 0.4)
    assert low <= share <= high
    assert finished_at(1.25, share) == pytest.approx(1.25 * share)


def test_a_bar_is_as_limber_as_itself() -> None:
    """Any table of beams: L^3 / 3EI."""
    limber = overhung(0.2, 206e9, solid_moment(0.04))
    assert as_overhung(limber, 206e9, 0.04) == pytest.approx(5.0, rel=1e-12)


def test_a_way_by_road_and_a_burner_by_hand() -> None:
    """60 km at 1.2 of a speed take as long as 50 km at it; 4 kW for 360 s, two bores: 720 kJ each."""
    assert slowed_part(60e3, 1.2) == pytest.approx(50e3)
    assert bracket_heat(4000.0, 360.0, 2) == pytest.approx(720e3)
