"""Annual cost, break-evens and Poisson cover against numpy-financial, scipy and textbook examples."""

import math
from decimal import Decimal

import numpy_financial as npf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from estimator.buying import bulk_cover, poisson_cover
from estimator.compare import annual_cost as _annual_cost
from estimator.compare import break_even_life, capital_recovery


def annual_cost(outlay: float, factor: float) -> float:
    """Return the annual cost of an outlay as a float."""
    return float(_annual_cost(Decimal(repr(outlay)), Decimal(repr(factor))))


# Capital recovery factors of compound-interest tables, as engineering-economy textbooks print them.
FACTORS = [(0.08, 4, 0.301921), (0.10, 3, 0.402115), (0.10, 5, 0.263797), (0.10, 6, 0.229607), (0.12, 10, 0.176984)]


@pytest.mark.parametrize(("rate", "years", "value"), FACTORS)
def test_capital_recovery_is_the_tables(rate: float, years: int, value: float) -> None:
    assert capital_recovery(rate, years) == pytest.approx(value, abs=1e-6)


@given(st.floats(0.0, 1.0), st.floats(0.05, 60.0))
def test_capital_recovery_is_numpy_financials_payment(rate: float, years: float) -> None:
    rate = 0.0 if rate < 1e-6 else rate  # below that the oracle itself loses digits
    assert capital_recovery(rate, years) == pytest.approx(-npf.pmt(rate, years, 1.0), rel=1e-7)


def test_unequal_lives_published_example() -> None:
    """slideserve, "Different Life Alternatives": 10 %, A 20,000 over 3 years, B 30,000 over 6, each with its own costs.

    Annual worths -15,833.84 and -13,110.58 (computed from the published present worths -68,961 and -57,100).
    """
    sinking = [capital_recovery(0.10, years) - 0.10 for years in (3, 6)]
    a = annual_cost(20000, capital_recovery(0.10, 3)) + 9000 - 4000 * sinking[0]
    b = annual_cost(30000, capital_recovery(0.10, 6)) + 7000 - 6000 * sinking[1]
    assert [a, b] == [pytest.approx(15833.84, abs=0.01), pytest.approx(13110.58, abs=0.01)]
    assert [-npf.pv(0.10, 6, worth) for worth in (-a, -b)] == [
        pytest.approx(-68961, abs=1),
        pytest.approx(-57100, abs=1),
    ]


def test_challenger_of_a_published_replacement_problem() -> None:
    """Coursehero 6853153: 30,000, salvage 2,000 after 12 years, 16,000 a year, 15 %: 21,465.46."""
    factor = capital_recovery(0.15, 12)
    assert annual_cost(30000, factor) + 16000 - 2000 * (factor - 0.15) == pytest.approx(21465.46, abs=0.005)


def test_three_ways_by_hand() -> None:
    """10 %: 9,500 + 16 h x 180 over 3 years is 4,978.18; 6,000 + 12 h x 180 over 2 is 4,701.71 (by hand, 2026-11)."""
    assert annual_cost(9500 + 16 * 180, capital_recovery(0.10, 3)) == pytest.approx(4978.18, abs=0.005)
    assert annual_cost(6000 + 12 * 180, capital_recovery(0.10, 2)) == pytest.approx(4701.71, abs=0.005)


def test_break_even_life() -> None:
    """C 12,380 against 8,872.4696 a year at 10 %: 1.5767 years (by hand); numpy-financial's nper says the same."""
    years = break_even_life(12380, 8872.4696, 0.10)
    assert years == pytest.approx(1.5767, abs=1e-4)
    assert years == pytest.approx(float(npf.nper(0.10, -8872.4696, 12380)), rel=1e-9)
    assert break_even_life(1000, 90, 0.10) == math.inf
    assert break_even_life(1000, 250, 0.0) == 4.0


# Hopp and Spearman, Factory Physics 2.4.2, worked by van Foreest: Poisson with mean 10.
PUBLISHED = [(0.583040, 10), (0.696776, 11), (0.916542, 14)]


@pytest.mark.parametrize(("level", "number"), PUBLISHED)
def test_poisson_cover_is_the_published_one(level: float, number: int) -> None:
    assert poisson_cover(10.0, level - 1e-6) == number
    assert poisson_cover(10.0, level + 1e-6) == number + 1


def test_cover_counts_the_last_spare() -> None:
    """rmqsi, system spares: mean 3, three spares; P(D <= 3) is 0.6472. The article's 42 % is P(D <= 2)."""
    assert poisson_cover(3.0, 0.6472) == 3
    assert poisson_cover(3.0, 0.4231) == 2


@given(st.floats(1e-6, 5000.0), st.floats(0.01, 0.9999))
def test_poisson_cover_is_scipys(expected: float, level: float) -> None:
    number = poisson_cover(expected, level)
    assert stats.poisson.cdf(number, expected) >= level - 1e-9
    assert number == 0 or stats.poisson.cdf(number - 1, expected) < level + 1e-9


@pytest.mark.parametrize("expected", [1e4, 1e5])
def test_poisson_cover_of_large_means(expected: float) -> None:
    assert poisson_cover(expected, 0.95) == int(stats.poisson.ppf(0.95, expected))


@given(st.floats(0.0, 1e4), st.floats(0.0, 1.0), st.floats(0.0, 1e4), st.floats(0.001, 0.999))
def test_bulk_is_never_covered_below_its_expected_use(
    expected: float, bound: float, spread: float, level: float
) -> None:
    assert bulk_cover(expected, bound, spread, level) >= expected
