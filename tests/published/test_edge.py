"""Peak temperatures beside a bead and the edge of the base metal, against the moving source they come from."""

import math

import numpy as np
import pytest

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from estimator.weld.edge import peak_temperature, tempered_depth
from tests.jobs import bore, job

BOOK = read_pricebook()
HEAT, VOLUME_HEAT, START = 3.5e5, 4.4e6, 400.0


@pytest.mark.parametrize("away", [0.002, 0.0035, 0.005, 0.008])
@pytest.mark.parametrize("diffusivity", [6e-6, 9e-6])
def test_the_peak_is_the_top_of_the_cycle_of_a_fast_moving_source(away: float, diffusivity: float) -> None:
    """Rosenthal's thick plate, fast source: T - T0 = Q / (2 pi k t) exp(-r^2 / 4at), here over a fine row of times."""
    time = np.linspace(0.001, 20.0, 2_000_001)
    conductivity = diffusivity * VOLUME_HEAT
    rise = HEAT / (2 * math.pi * conductivity * time) * np.exp(-(away**2) / (4 * diffusivity * time))
    assert peak_temperature(START, HEAT, VOLUME_HEAT, away) == pytest.approx(START + rise.max(), rel=1e-4)


def test_the_share_is_what_a_walk_down_under_the_bead_finds() -> None:
    melts, ac1, least = 1783.0, 991.0, 723.0
    for step in (0.0025, 0.0035, 0.005, 0.007):
        depth = np.linspace(0.001, 0.02, 200_001)
        own = START + 2 * HEAT / (math.pi * math.e * VOLUME_HEAT * depth**2)
        beside = START + 2 * HEAT / (math.pi * math.e * VOLUME_HEAT * (depth**2 + step**2))
        hardened = (own < melts) & (own > ac1)
        tempered = hardened & (beside >= least) & (beside <= ac1)
        share = tempered_depth(START, HEAT, VOLUME_HEAT, step, melts, ac1, least)
        assert share == pytest.approx(tempered.sum() / hardened.sum(), abs=1e-3)


def test_the_edge_of_structural_steel_is_judged() -> None:
    """EN ISO 15614-1 allows 380 HV in groups 1 and 2 as welded; the formula scatters by 60 HV (TWI 2008)."""
    mild = estimate(job(bore(material="S235JR")), BOOK)["bores"][0]["heat"]
    plain = estimate(job(bore()), BOOK)["bores"][0]["heat"]
    assert (mild["haz_hardness_HV"] or 0) < 380 < (plain["haz_hardness_HV"] or 0) < 440
    assert "within the 380 HV" in mild["haz_said"]
    assert "the next turn tempers" in plain["haz_said"]


def test_an_edge_that_nothing_tempers_is_put_to_approval() -> None:
    own = {"tables": {"constants": {"hardness_scatter": {"value": 1.0}, "temper_least": {"value": "700 degC"}}}}
    found = estimate(job(bore()), read_pricebook(own))
    assert "edge_hard" in [one["code"] for one in found["warnings"] if one["grade"] == "approve"]
