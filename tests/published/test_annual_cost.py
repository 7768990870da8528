"""Capital recovery and annual cost against published answers and against an independent library."""

import math
from decimal import Decimal

import numpy_financial as npf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.compare import annual_cost, break_even_downtime, break_even_life, break_even_price, capital_recovery
from estimator.compare.annual import series_worth

DOUBLE = 1e-12  # both sides are doubles through a handful of steps
FACTORS = [
    # rate, years, (A/P, i, n) to the six decimals of printed interest tables
    (0.08, 4, 0.301921),
    (0.10, 3, 0.402115),
    (0.10, 5, 0.263797),
    (0.10, 6, 0.229607),
    (0.12, 10, 0.176984),
    (0.15, 12, 0.184481),
]


@pytest.mark.parametrize(("rate", "years", "printed"), FACTORS)
def test_the_factor_is_that_of_interest_tables(rate: float, years: int, printed: float) -> None:
    assert capital_recovery(rate, years) == pytest.approx(printed, abs=5e-7)  # half of the last printed digit


def test_a_loan_is_paid_back_as_published() -> None:
    """numpy-financial, docstring of pmt: 200,000 over 15 years at 7.5 % a year, monthly; of nper: 8,000 at 7 %."""
    assert 200_000 * capital_recovery(0.075 / 12, 180) == pytest.approx(1854.02472, abs=5e-6)  # printed digits
    assert break_even_life(8000, 150, 0.07 / 12) == pytest.approx(64.07335, abs=5e-6)  # printed digits


def test_the_cheapest_economic_life_as_published() -> None:
    """Newnan, Engineering Economic Analysis, example 13-1: 7,500 at 8 %, growing costs; 4,589 a year after 4."""

    def a_year(years: int) -> float:
        worth = [900 * (n - 1) + 500 + 400 * (n - 1) for n in range(1, years + 1)]
        present = 7500 + sum(cost / 1.08**n for n, cost in enumerate(worth, 1))
        return present * capital_recovery(0.08, years)

    costs = {years: a_year(years) for years in range(1, 9)}
    assert min(costs, key=costs.__getitem__) == 4
    assert costs[4] == pytest.approx(4589, abs=1)  # whole dollars, some of the book's factors rounded to four digits


def test_a_challenger_with_salvage_as_published() -> None:
    """Replacement problem with its answer table (MS303, assignment 11): 30,000, 2,000 back after 12 years, 15 %."""
    factor = capital_recovery(0.15, 12)
    assert (30_000 - 2_000) * factor + 2_000 * 0.15 + 16_000 == pytest.approx(21_465.46, abs=0.005)  # printed cents


def test_unequal_lives_rank_as_their_present_worths_over_six_years() -> None:
    """Slides "Different Life Alternatives": 10 %, present worths over 6 years of 68,961 and 57,100 are printed."""
    dear, cheap = 68_961 * capital_recovery(0.10, 6), 57_100 * capital_recovery(0.10, 6)
    three = (20_000 - 4_000) * capital_recovery(0.10, 3) + 4_000 * 0.10 + 9_000
    six = (30_000 - 6_000) * capital_recovery(0.10, 6) + 6_000 * 0.10 + 7_000
    assert three == pytest.approx(dear, abs=0.23)  # one dollar of present worth (factors of four digits), spread
    assert six == pytest.approx(cheap, abs=0.23)


def test_a_stream_of_costs_spread_evenly_as_published() -> None:
    """A worked answer: 5,406 to 9,850 over five years at 8.1 % come to 7,455.39 a year."""
    present = sum(cost / 1.081**n for n, cost in enumerate((5406, 6517, 7628, 8739, 9850), 1))
    assert present * capital_recovery(0.081, 5) == pytest.approx(7455.39, abs=0.005)  # printed cents


def test_three_ways_and_the_life_that_evens_them() -> None:
    """Worked by hand with a spreadsheet, 2026-11: 10 %, 180 an hour; repair, sleeve, a new part sold again at 4,000."""

    def a_year(outlay: float, years: float) -> float:
        return float(annual_cost(Decimal(outlay), Decimal(repr(capital_recovery(0.10, years)))))

    replace = a_year(42_000 + 40 * 180 - 4_000, 8) + 4_000 * 0.10
    assert a_year(9_500 + 16 * 180, 3) == pytest.approx(4978.18, abs=0.005)
    assert a_year(6_000 + 12 * 180, 2) == pytest.approx(4701.71, abs=0.005)
    assert replace == pytest.approx(8872.47, abs=0.005)
    assert break_even_life(9_500 + 16 * 180, 8872.4696, 0.10) == pytest.approx(1.5767, abs=5e-5)


@given(st.floats(1e-3, 10), st.floats(0.05, 60))
def test_the_factor_is_the_payment_of_an_independent_library(rate: float, years: float) -> None:
    """The library takes one from (1 + rate) ** years, so its last bit grows by 1 / (rate x years), 20,000 here."""
    assert capital_recovery(rate, years) == pytest.approx(-float(npf.pmt(rate, years, 1)), rel=20_000 * 2**-51)


@given(st.floats(0.05, 60))
def test_no_interest_spreads_the_cost_evenly(years: float) -> None:
    assert capital_recovery(0, years) == 1 / years
    assert capital_recovery(5e-324, years) == 1 / years
    assert capital_recovery(1e-14, years) == pytest.approx(1 / years, rel=1e-11)  # first order in rate x years


@given(st.floats(0, 10), st.floats(0.01, 100), st.floats(1.01, 3))
def test_a_longer_life_costs_less_a_year_but_never_less_than_its_interest(
    rate: float, years: float, longer: float
) -> None:
    assert capital_recovery(rate, years * longer) <= capital_recovery(rate, years)
    assert capital_recovery(rate, years) >= rate


@given(st.floats(0, 1), st.floats(0.05, 30), st.floats(1, 1e6))
def test_the_life_that_breaks_even_is_the_way_back(rate: float, years: float, outlay: float) -> None:
    annual = outlay * capital_recovery(rate, years)
    found = break_even_life(outlay, annual, rate)
    if math.isfinite(found):  # over many years at a high rate, only the interest is left
        assert outlay * capital_recovery(rate, found) == pytest.approx(annual, rel=DOUBLE)


def test_interest_alone_may_cost_more() -> None:
    assert break_even_life(1000, 80, 0.08) == math.inf
    assert break_even_life(1000, 81, 0.08) < math.inf


def test_solved_for_price_and_for_downtime() -> None:
    """By hand: 1,200 a year at 1/4 a year is 4,800, less 300 of downtime; 500 a year against 4 hours a year is 125."""
    assert break_even_price(Decimal(1200), Decimal("0.25"), Decimal(300)) == 4500
    assert break_even_downtime(Decimal(500), Decimal(4)) == 125


@pytest.mark.parametrize(("count", "growth"), [(1, 0.05), (5, 0.02), (8.5, 0.1), (12, -0.03)])
def test_a_growing_series_is_the_librarys_future_value(count: float, growth: float) -> None:
    """Payments of one, each grown on the last, sum to an annuity's future value at that rate (numpy-financial 1.0)."""
    assert series_worth(count, growth) == pytest.approx(npf.fv(growth, count, -1.0, 0.0), rel=DOUBLE)
