"""Time standards: the learning curve and the expected time against printed answers, the rest by its definition."""

import pytest
from numpy.testing import assert_allclose
from scipy.stats import beta, triang

from estimator.document.times import as_first_time, placed_time
from estimator.inputs import expected_time, slowed
from estimator.shop.standards import in_metres, learned_time, learning, part_of_likely
from estimator.tables import Tables
from estimator.tables.rows import TimeStandard

# Solutions manual of a textbook of operations management, chapter 13 "Learning Curves", problems 13.1 to 13.5, read as
# coursehero.com/file/6536972 on 2026-11-25: time of the first, rate, which one, time printed, half its last digit
PRINTED = [
    (300.0, 0.8, 5, 178.7, 0.05),
    (9.0, 0.7, 3, 5.114, 0.0005),
    (9.0, 0.7, 5, 3.932, 0.0005),
    (15.0, 0.7, 2, 10.5, 0.05),
    (15.0, 0.7, 3, 8.523, 0.0005),
    (75.0, 0.85, 2, 63.75, 0.005),
    (75.0, 0.85, 4, 54.23, 75 * 0.0005 + 0.005),  # by a factor of the book's table 13.2, of three places
    (75.0, 0.85, 8, 46.05, 75 * 0.0005 + 0.005),
    (60.0, 0.95, 2, 57.0, 0.5),
    (60.0, 0.95, 4, 54.15, 0.03),  # by 0.902 h, printed to three places
]
# Anderson and others, An Introduction to Management Science (Cengage 2014), tables 9.4 and 9.5, activities that print
# their times on p. 384, and course notes of production and operations management (slidegur.com/doc/99268), example 1
EXPECTED = [
    (4.0, 5.0, 12.0, 6.0, 1e-12),
    (3.0, 6.0, 15.0, 7.0, 1e-12),
    (2.0, 4.0, 14.0, 5.333, 0.0005),
    (6.0, 12.0, 30.0, 14.0, 1e-12),
    (2.0, 5.0, 8.0, 5.0, 1e-12),
    (3.0, 9.0, 27.0, 11.0, 1e-12),
    (1.0, 4.0, 7.0, 4.0, 1e-12),
    (4.0, 19.0, 28.0, 18.0, 1e-12),
]


@pytest.mark.parametrize(("first", "rate", "number", "printed", "half"), PRINTED)
def test_a_later_unit_takes_the_printed_time(
    first: float, rate: float, number: int, printed: float, half: float
) -> None:
    assert_allclose(learned_time(first, learning(number, rate)), printed, rtol=0, atol=half + 1e-9)


@pytest.mark.parametrize(("low", "likely", "high", "printed", "half"), EXPECTED)
def test_the_expected_time_is_the_printed_one(
    low: float, likely: float, high: float, printed: float, half: float
) -> None:
    assert_allclose(expected_time(low, likely, high), printed, rtol=0, atol=half)


ROWS = [row for row in Tables().every("times", TimeStandard) if row.low is not None and row.high is not None]


@pytest.mark.parametrize("row", ROWS, ids=[row.code for row in ROWS])
def test_the_expected_time_is_the_mean_of_a_beta_distribution_and_near_a_triangles(row: TimeStandard) -> None:
    """Scipy's own means; the two shapes lie no farther apart than a sixth of how lopsided the row is."""
    assert row.low is not None
    assert row.high is not None
    width, mode = row.high - row.low, (row.duration - row.low) / (row.high - row.low)
    found = expected_time(row.low, row.duration, row.high)
    assert_allclose(found, beta(1 + 4 * mode, 5 - 4 * mode, row.low, width).mean(), rtol=1e-12)
    lopsided = abs(row.low + row.high - 2 * row.duration)
    assert_allclose(found, triang(mode, row.low, width).mean(), rtol=0, atol=lopsided / 6 * (1 + 1e-9))


def test_small_ones_by_hand() -> None:
    """By hand, 2026-11-25."""
    assert in_metres(0.125, 1.0) == 0.125
    assert part_of_likely(600.0, 0.6) == pytest.approx(360.0)
    assert slowed(1.25, 1.1, 1.2) == pytest.approx(1.65)
    assert placed_time(600.0, 1.25, 2.9) == pytest.approx(2175.0)
    assert as_first_time(2, 0.9) == pytest.approx(1.8)
