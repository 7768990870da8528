"""How many parts to take: Poisson cover against published probabilities and against an independent library."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from estimator.buying import poisson_cover
from estimator.errors import OutOfRangeError
from estimator.van.cover import _likelihoods, level_for_all, part_service, together
from tests.depth import deep

ULP = 1e-12  # relative: near a step of the distribution the last digits decide, in either library


PRINTED = [
    # mean, number, P(demand <= number) as printed
    (10.0, 10, 0.583040),  # Hopp and Spearman, Factory Physics 2.4.2, as worked by N. van Foreest
    (10.0, 11, 0.696776),
    (10.0, 14, 0.916542),
    (3.0, 3, 0.647232),  # three spares for a mean of three; an article on spares prints the 42 % of two spares instead
    (3.0, 2, 0.423190),
    (2.0, 4, 0.947347),  # the three items of a kit, worked by hand
    (0.5, 2, 0.985612),
    (0.1, 1, 0.995321),
]


@pytest.mark.parametrize(("mean", "number", "printed"), PRINTED)
def test_a_step_lies_where_the_printed_probability_says(mean: float, number: int, printed: float) -> None:
    assert poisson_cover(mean, printed - 5e-7) == number  # half of the last printed digit below, and above
    assert poisson_cover(mean, printed + 1.5e-6) == number + 1


def test_the_base_stock_of_the_textbook() -> None:
    """Holding at 15 and backorder at 25 ask for 25 / 40 of the demand: a base stock of 11."""
    assert poisson_cover(10.0, 25 / (15 + 25)) == 11


@given(st.floats(1e-9, 1e5), st.floats(1e-6, 1 - 1e-12))
@settings(max_examples=deep(300))
def test_it_is_the_quantile_of_an_independent_library(mean: float, level: float) -> None:
    number = poisson_cover(mean, level)
    tail, below = stats.poisson.sf(number, mean), stats.poisson.sf(number - 1, mean)
    assert tail <= (1 - level) * (1 + ULP) + 1e-15
    assert number == 0 or below > (1 - level) * (1 - ULP) - 1e-15


@pytest.mark.parametrize("mean", [1e-300, 0.01, 0.5, 1.0, 7.3, 499.0, 501.0, 1e4, 1e5])
@pytest.mark.parametrize("level", [1e-9, 0.05, 0.5, 0.9, 0.95, 0.999, 1 - 1e-9])
def test_it_is_the_quantile_from_tiny_to_large(mean: float, level: float) -> None:
    assert poisson_cover(mean, level) == int(stats.poisson.ppf(level, mean))


def test_a_level_next_to_one_still_ends() -> None:
    number = poisson_cover(2.0, math.nextafter(1.0, 0.0))
    assert stats.poisson.sf(number, 2.0) <= 2**-53 < stats.poisson.sf(number - 1, 2.0)


def test_a_level_next_to_nothing_keeps_its_digits() -> None:
    number = poisson_cover(100.0, 1e-20)
    assert stats.poisson.cdf(number - 1, 100.0) < 1e-20 <= stats.poisson.cdf(number, 100.0)


def test_a_large_mean_takes_a_term_or_two_for_each_part() -> None:
    assert len(_likelihoods(1e5)[1]) < 2 * 1e5


@given(st.floats(1e-3, 1e4), st.floats(0.01, 0.98), st.floats(1.0, 2.0))
def test_more_use_or_a_higher_level_never_asks_for_less(mean: float, level: float, more: float) -> None:
    assert poisson_cover(mean * more, level) >= poisson_cover(mean, level)
    assert poisson_cover(mean, level + 0.01) >= poisson_cover(mean, level)


def test_nothing_expected_needs_nothing() -> None:
    assert poisson_cover(0.0, 0.999) == 0


@pytest.mark.parametrize("level", [0.0, 1.0, -0.1, 1.5, math.nan])
def test_an_impossible_level_is_refused(level: float) -> None:
    with pytest.raises(OutOfRangeError, match="service_level must be above 0"):
        poisson_cover(1.0, level)


@pytest.mark.parametrize("mean", [-1.0, 1.1e7, math.inf, math.nan])
def test_an_impossible_mean_is_refused(mean: float) -> None:
    with pytest.raises(OutOfRangeError, match="expected must be above 0"):
        poisson_cover(mean, 0.95)


@given(st.floats(0.0, 1e4), st.integers(0, 20000))
@settings(max_examples=deep(200))
def test_the_service_of_a_number_is_the_distribution_of_an_independent_library(mean: float, number: int) -> None:
    assert part_service(mean, number) == pytest.approx(stats.poisson.cdf(number, mean), rel=1e-9, abs=1e-12)


def test_a_kit_worked_by_hand() -> None:
    """Means 2, 0.5 and 0.1 with 4, 2 and 1 on hand: 0.929348 that nothing is short (by hand)."""
    found = together((part_service(2.0, 4), part_service(0.5, 2), part_service(0.1, 1)))
    assert found == pytest.approx(0.929348, abs=1e-6)


def test_a_level_for_each_item_that_serves_the_whole_kit() -> None:
    """Sidak: each of three at the third root of 0.95, 0.983048; tables of that correction print 0.016952."""
    assert level_for_all(0.95, 3) == pytest.approx(1 - 0.016952, abs=5e-7)
    assert together((level_for_all(0.95, 3),) * 3) == pytest.approx(0.95, rel=1e-12)
