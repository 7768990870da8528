"""What covers wire and gas: a bound and a scatter together, against an independent library; and which level pays."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from estimator.van.cover import bulk_cover, bulk_service, critical_ratio, poisson_cover, spread_of_bound
from tests.depth import deep


def test_a_bound_becomes_a_standard_deviation() -> None:
    """GUM 4.3.7 and its example 4.3.8 b: half-width a over root three; for 0.4e-6 it prints u = 0.23e-6."""
    assert spread_of_bound(0.40e-6) == pytest.approx(0.23e-6, abs=0.005e-6)
    assert spread_of_bound(1.0) == pytest.approx(float(stats.uniform(-1, 2).std()), rel=1e-12)


def test_the_known_defect_is_gone() -> None:
    """A bound of 15 % at 95 %: as a standard deviation 24.7 % more was asked for; it can be 15 % at most."""
    assert bulk_cover(100.0, 0.15, 0.0, 0.95) == pytest.approx(float(stats.uniform(85, 30).ppf(0.95)), rel=1e-12)
    assert bulk_cover(100.0, 0.15, 0.0, 1 - 1e-12) <= 115.0


def test_scatter_alone_is_the_normal_quantile() -> None:
    """Reorder point of a textbook example: 50 t, 5 t, 3 % risk: z 1.88, 59.40 (STV example 8, z of two decimals)."""
    assert bulk_cover(50.0, 0.0, 5.0, 0.97) == pytest.approx(59.40, abs=0.005 * 5 + 0.005)
    assert bulk_cover(50.0, 0.0, 5.0, 0.97) == pytest.approx(float(stats.norm(50, 5).ppf(0.97)), rel=1e-12)


@given(st.floats(0.01, 1.0), st.floats(0.001, 1.0), st.floats(0.51, 0.9999))
@settings(max_examples=deep(60), deadline=None)
def test_both_together_are_the_numerical_convolution(bound: float, spread: float, level: float) -> None:
    """P(use <= cover) by adaptive quadrature of the normal distribution over the rectangle."""
    cover = bulk_cover(1.0, bound, spread, level)

    def inside(error: float) -> float:
        return float(stats.norm.cdf((cover - 1 - error) / spread)) / (2 * bound)

    kink = min(bound, max(-bound, cover - 1))
    found = sum(integrate.quad(inside, low, high)[0] for low, high in ((-bound, kink), (kink, bound)))
    assert found == pytest.approx(level, abs=1e-7)  # the quadrature's own error
    assert bulk_service(1.0, bound, spread, cover) == pytest.approx(level, abs=1e-9)


@given(st.floats(0.0, 0.5), st.floats(0.0, 0.5), st.floats(0.5, 0.99))
def test_more_scatter_or_a_higher_level_never_takes_less(bound: float, spread: float, level: float) -> None:
    here = bulk_cover(10.0, bound, spread, level)
    for other in (bulk_cover(10.0, bound + 0.1, spread, level), bulk_cover(10.0, bound, spread + 0.1, level)):
        assert other >= here * (1 - 1e-12)
    assert bulk_cover(10.0, bound, spread, level + 0.005) >= here * (1 - 1e-12)


def test_a_level_next_to_one_still_ends() -> None:
    level = math.nextafter(1.0, 0.0)
    assert bulk_cover(1.0, 0.0, 0.1, level) == pytest.approx(1 + 0.1 * float(stats.norm.isf(2**-53)), rel=1e-6)
    assert 1.2 < bulk_cover(1.0, 0.2, 0.1, level) < 1.2 + 0.9


def test_drawn_use_stays_within_as_often_as_promised() -> None:
    draw = np.random.default_rng(20261125)
    use = 40 * (1 + draw.uniform(-0.15, 0.15, 400_000)) + draw.normal(0, 2.0, 400_000)
    share = float(np.mean(use <= bulk_cover(40.0, 0.15, 2.0, 0.95)))
    assert share == pytest.approx(0.95, abs=4 * math.sqrt(0.05 * 0.95 / 400_000))  # four standard errors


# ---------------------------------------------------------------- which level pays


def test_the_newsvendor_of_a_textbook() -> None:
    """Price 20, cost 12, salvage 8: short 8, over 4, ratio 0.6667; N(200, 80) by a table: 235.2 (CT Q12.1)."""
    ratio = critical_ratio(20 - 12, 12 - 8)
    assert ratio == pytest.approx(0.6667, abs=5e-5)
    assert bulk_cover(200.0, 0.0, 80.0, ratio) == pytest.approx(235.2, abs=0.01 * 80)  # z rounded up to 0.44


def test_the_newsvendor_of_a_uniform_demand() -> None:
    """Price 20, cost 14, salvage 5 ask for 0.40 of U(80, 150): 108. Turned round, 0.60 of it is 122 (by hand)."""
    assert critical_ratio(20 - 14, 14 - 5) == pytest.approx(0.40)
    ratio = critical_ratio(14 - 5, 20 - 14)
    assert bulk_cover(115.0, 35 / 115, 0.0, ratio) == pytest.approx(122.0)


def test_the_base_stock_of_the_textbook_costs_least() -> None:
    """Hopp and Spearman 2.4: mean 10, holding 15, backorder 25: 11. Cost by enumeration, 48.37, is least there."""

    def cost(number: int) -> float:
        demand = np.arange(200)
        share = stats.poisson.pmf(demand, 10.0)
        over, short = np.maximum(number - demand, 0), np.maximum(demand - number, 0)
        return float(np.sum(share * (15 * over + 25 * short)))

    number = poisson_cover(10.0, critical_ratio(25.0, 15.0))
    assert number == 11 == min(range(40), key=cost)
    assert cost(number) == pytest.approx(48.37, abs=0.005)
