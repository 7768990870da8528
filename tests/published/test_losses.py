"""What a warm part loses to the air: printed coefficients, and the two means that stand for welding and for cooling."""

import math

import numpy as np
import pytest

from estimator.book.pricebook import read_pricebook
from estimator.weld.loss import (
    AIR,
    blanket_loss,
    cooling_surface,
    still_air_loss,
    welding_surface,
    wind_loss,
)

FACTS = read_pricebook().facts
ZERO = 273.15
STILL = [FACTS.constant(name) for name in ("emissivity", *AIR)]
BLOWN = [FACTS.constant(name) for name in ("air_viscosity", "air_conductivity", "air_reference", "prandtl")]


def _still(celsius: float) -> float:
    return still_air_loss(celsius + ZERO, 20 + ZERO, *STILL)


@pytest.mark.parametrize(("celsius", "loss"), [(250, 20.8), (160, 15.6), (100, 12.5), (40, 9.1)])
def test_still_air(celsius: float, loss: float) -> None:
    """Radiation at 0.8 and 1.42 (dT/L)^1/4 on a plate of 0.3 m, in air of 20 degC; by hand, 2026-11."""
    assert _still(celsius) == pytest.approx(loss, abs=0.05)


def test_an_upright_plate_of_a_textbook() -> None:
    """Cengel, problem 9-19E: 2 ft, 130 degF in air of 75 degF, Nu 102.6: 4.5 W/m2/K; the short formula gives 3.8."""
    upright = [0.0, *STILL[1:-1], 0.6096]  # it does not radiate
    bare = still_air_loss(130 / 1.8 - 32 / 1.8 + ZERO, 75 / 1.8 - 32 / 1.8 + ZERO, *upright)
    assert bare == pytest.approx(3.8, abs=0.05)
    assert bare == pytest.approx(4.5, rel=0.17)


def test_away_from_a_fire() -> None:
    """EN 1991-1-2 3.2: on the side away from a fire 9 W/m2/K with radiation (from memory)."""
    assert _still(50.0) == pytest.approx(9.0, rel=0.1)


@pytest.mark.parametrize(("wind", "loss"), [(0, 11.9), (1, 14.5), (3, 19.1), (8, 26.8)])
def test_wind(wind: float, loss: float) -> None:
    """At the geometric mean of 250 and 40 degC over air of 20, a plate of 0.3 m along the wind; about 11.9 + 1.9 v."""
    surface = cooling_surface(20 + ZERO, 230.0, 20.0)
    found = wind_loss(surface, 20 + ZERO, wind, *STILL, *BLOWN)
    assert found == pytest.approx(loss, rel=0.01)
    assert found == pytest.approx(11.9 + 1.9 * wind, rel=0.09)
    assert wind or found == pytest.approx(still_air_loss(surface, 20 + ZERO, *STILL), rel=1e-12)


def test_the_mean_of_cooling_is_near_a_lumps_own() -> None:
    """A lump from 250 to 40 degC in air of 20: the one loss that takes the same time is 12.17; from 150 it is 11.14."""
    for start, exact in ((250, 12.17), (150, 11.14)):
        rises = np.exp(np.linspace(math.log(20.0), math.log(start - 20.0), 2001))
        middle = np.sqrt(rises[1:] * rises[:-1])
        slow = np.diff(np.log(rises)) / np.array([_still(20 + rise) for rise in middle.tolist()])
        assert math.log(rises[-1] / rises[0]) / slow.sum() == pytest.approx(exact, abs=0.005)
        mean = still_air_loss(cooling_surface(20 + ZERO, start - 20.0, 20.0), 20 + ZERO, *STILL)
        assert mean == pytest.approx(exact, rel=0.03)


def test_the_mean_of_welding() -> None:
    """Three quarters of the way up to 250 degC from 20: 17 W/m2/K."""
    surface = welding_surface(20 + ZERO, 250 + ZERO, FACTS.constant("welding_loss_share"))
    assert surface - ZERO == pytest.approx(192.5)
    assert still_air_loss(surface, 20 + ZERO, *STILL) == pytest.approx(17.0, abs=0.5)  # printed whole


def test_a_blanket_leaves_a_fifth() -> None:
    """25 mm of fibre at 0.07 W/m/K before a surface that is hardly warm (9 to 11 W/m2/K)."""
    for bare in (9.0, 11.0):
        covered = blanket_loss(bare, FACTS.constant("blanket"), FACTS.constant("blanket_conductivity"))
        assert covered / bare == pytest.approx(0.2, abs=0.04)
    assert blanket_loss(10.0, 0.025, 0.07) == pytest.approx(1 / (0.1 + 0.357142857), rel=1e-9)
