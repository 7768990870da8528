"""Minutes add up as they are shown, and none is off by more than its rounding."""

import math

from hypothesis import given
from hypothesis import strategies as st

from exports.adding import round_half_up, rounded_rows, said_adding_up

MINUTES = st.floats(0, 5000, allow_nan=False)


@given(st.lists(st.lists(MINUTES, min_size=3, max_size=3), min_size=1, max_size=6))
def test_rows_and_sums_add_up(rows: list[list[float]]) -> None:
    found = rounded_rows(rows)
    assert all(sum(row[:-1]) == row[-1] for row in found)
    assert sum(row[-1] for row in found) == round_half_up(math.fsum(map(math.fsum, rows)))
    for row, shown in zip(rows, found, strict=True):
        assert all(abs(value - said) <= 1 for value, said in zip(row, shown[:-1], strict=True))


def test_what_is_taken_off_counts_as_such() -> None:
    assert said_adding_up([811.4, 130.0, 10.4, -168.6], 783.2) == ["13 h 31", "2 h 10", "10 min", "2 h 48"]
