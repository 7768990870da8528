"""How much of the turn was read: the widest gap counts wherever it lies, across 12 o'clock too."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.geometry.frame import coverage_of


@pytest.mark.parametrize(
    ("clock", "seen"),
    [
        ([90.0, 180.0, 270.0], 180.0),  # the gap of 180 lies across 12 o'clock
        ([0.0, 90.0, 180.0], 180.0),  # and here between 6 and 12
        ([350.0, 10.0], 20.0),
        ([10.0, 350.0], 20.0),
        ([0.0, 120.0, 240.0], 240.0),
        ([77.0], 0.0),
    ],
)
def test_the_turn_less_its_widest_gap(clock: list[float], seen: float) -> None:
    assert coverage_of(np.array(clock)) == pytest.approx(seen)


@given(st.lists(st.integers(0, 359), min_size=1, max_size=20), st.integers(0, 359))
def test_turning_all_clocks_changes_nothing(clock: list[int], by: int) -> None:
    turned = (np.array(clock, dtype=float) + by) % 360
    assert coverage_of(turned) == pytest.approx(coverage_of(np.array(clock, dtype=float)))
