"""What a spread stands on, against outside sources: Sobol's points, the beta, shares of the Ishigami function, GUM."""

import math
from typing import Any

import numpy as np
import pytest
from scipy.stats import beta, qmc

from estimator.inputs import expected_time
from estimator.spread.shapes import beta_quantiles
from estimator.spread.shares import shares_of
from estimator.spread.sobol import MOST_SIDES, points


def test_points_without_scrambling_are_those_of_the_reference_library() -> None:
    """Two seeds differ by the same digital net: what one point differs from another by, in bits, is not the shift's."""
    for seed in (1, 2):
        found = points(64, 5, seed)
        assert np.all((found > 0) & (found < 1))
    library = qmc.Sobol(MOST_SIDES, scramble=False).random(256)
    ours = points(256, MOST_SIDES, 7)
    for side in (0, 1, 17, MOST_SIDES - 1):  # a net keeps one point in each of so many equal parts, scrambled or not
        assert sorted(np.floor(ours[:, side] * 256)) == sorted(np.floor(library[:, side] * 256))


def test_directions_are_those_of_the_reference_library() -> None:
    """SciPy 1.16, Joe and Kuo's numbers: the unscrambled sequence, bit for bit."""
    from estimator.spread import sobol

    numbers = np.arange(1024, dtype=np.uint64)
    gray, found = numbers ^ (numbers >> np.uint64(1)), np.zeros((1024, MOST_SIDES), dtype=np.uint64)
    for bit in range(10):
        found ^= (gray >> np.uint64(bit) & np.uint64(1))[:, None] * sobol._directions()[:, bit]
    assert np.array_equal(found / 2.0**32, qmc.Sobol(MOST_SIDES, scramble=False).random(1024))


def test_scrambled_points_are_spread_more_evenly_than_chance() -> None:
    """Centred discrepancy by the reference library; of 256 random points of 8 sides it is about 0.05."""
    rough = qmc.discrepancy(np.random.default_rng(1).random((256, 8)))
    assert qmc.discrepancy(points(256, 8, 3)) < rough / 4


def test_a_part_of_the_points_is_that_part_of_all() -> None:
    whole = points(100, 12, 5)
    assert np.array_equal(np.concatenate([points(60, 12, 5), points(40, 12, 5, start=60)]), whole)


@pytest.mark.parametrize("sides", [0, MOST_SIDES + 1])
def test_more_sides_than_the_table_has_are_refused(sides: int) -> None:
    with pytest.raises(ValueError, match="sides"):
        points(4, sides, 1)


@pytest.mark.parametrize(("low", "likely", "high"), [(0, 0.3, 1), (2, 2, 9), (1, 5, 5), (-3, 0, 4), (10, 11, 30)])
def test_quantiles_are_those_of_the_library_s_beta(low: float, likely: float, high: float) -> None:
    """Malcolm's beta has the shapes 1 + 4 (m - a) / (b - a) and 1 + 4 (b - m) / (b - a)."""
    chance, wide = np.linspace(0.001, 0.999, 999), high - low
    shapes = 1 + 4 * (likely - low) / wide, 1 + 4 * (high - likely) / wide
    expected = low + wide * beta.ppf(chance, *shapes)
    assert beta_quantiles(chance, low, likely, high) == pytest.approx(expected, abs=2e-5 * wide)


def test_the_mean_of_the_beta_is_the_expected_time() -> None:
    chance = (np.arange(4096) + 0.5) / 4096
    assert np.mean(beta_quantiles(chance, 10.0, 20.0, 45.0)) == pytest.approx(expected_time(10.0, 20.0, 45.0), rel=1e-4)


def test_ends_that_do_not_rise_are_refused() -> None:
    with pytest.raises(ValueError, match="do not rise"):
        beta_quantiles(np.array([0.5]), 2.0, 1.0, 3.0)


def ishigami(chances: Any) -> Any:
    x = math.pi * (2 * chances - 1)
    return np.sin(x[:, 0]) + 7 * np.sin(x[:, 1]) ** 2 + 0.1 * x[:, 2] ** 4 * np.sin(x[:, 0])


def test_shares_of_the_ishigami_function() -> None:
    """Saltelli et al., Global Sensitivity Analysis, The Primer (2008), a = 7, b = 0.1: closed form."""
    own, whole = shares_of(ishigami, 3, [[0], [1], [2]], 8192, 4)
    assert own == pytest.approx([0.3139, 0.4424, 0.0], abs=0.01)
    assert whole == pytest.approx([0.5576, 0.4424, 0.2437], abs=0.01)


def test_shares_of_a_sum_are_those_of_its_variances() -> None:
    """Independent uniform terms 1, 2, 3: shares 1/14, 4/14, 9/14; two of them taken as one doubt add up."""
    own, whole = shares_of(lambda u: u @ np.array([1.0, 2.0, 3.0]), 3, [[0, 1], [2]], 4096, 9)
    assert own == pytest.approx([5 / 14, 9 / 14], abs=0.01)
    assert whole == pytest.approx([5 / 14, 9 / 14], abs=0.01)


def test_what_does_not_move_has_no_share() -> None:
    assert shares_of(lambda u: np.full(len(u), 3.0), 2, [[0], [1]], 64, 1) == ([0.0, 0.0], [0.0, 0.0])


def test_a_sum_of_four_rectangles_is_as_wide_as_the_gum_says() -> None:
    """JCGM 101:2008, 9.2.3: four rectangular quantities of unit variance: 95 % within -3.88 and 3.88."""
    reach = math.sqrt(3)
    total = (reach * (2 * points(65536, 4, 11) - 1)).sum(axis=1)
    assert np.quantile(total, [0.025, 0.975]) == pytest.approx([-3.88, 3.88], abs=0.02)
