"""The cheapest mix of packs against brute force over every mix and against an integer programme of another library."""

import itertools
import math
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from estimator.buying.packs import Pack, cheapest_mix
from tests.depth import deep

KINDS = st.lists(st.tuples(st.integers(1, 30), st.integers(1, 400)), min_size=1, max_size=4)


def packs_of(kinds: list[tuple[int, int]]) -> list[Pack]:
    """Return packs of sizes and costs."""
    return [Pack(float(size), float(size), cost, Decimal(cost) / size, "") for size, cost in kinds]


def cost_of(mix: list[tuple[Pack, int]]) -> int:
    """Return what a mix costs."""
    return sum(pack.cost * number for pack, number in mix)


@given(KINDS, st.integers(0, 60))
@settings(max_examples=deep(300), deadline=None)
def test_no_mix_is_cheaper(kinds: list[tuple[int, int]], need: int) -> None:
    mix = cheapest_mix(float(need), packs_of(kinds))
    assert sum(pack.size * number for pack, number in mix) >= need
    ranges = [range(-(-need // size) + 1) for size, _ in kinds]
    if math.prod(len(one) for one in ranges) > 40_000:
        return  # left to the integer programme below
    every = (
        sum(number * cost for number, (_, cost) in zip(numbers, kinds, strict=True))
        for numbers in itertools.product(*ranges)
        if sum(number * size for number, (size, _) in zip(numbers, kinds, strict=True)) >= need
    )
    assert cost_of(mix) == min(every)


@given(KINDS, st.integers(1, 3000))
@settings(max_examples=60, deadline=None, derandomize=True)  # a rare case ends at the limit of steps
def test_an_integer_programme_finds_the_same_cost(kinds: list[tuple[int, int]], need: int) -> None:
    sizes, costs = np.array([size for size, _ in kinds]), np.array([cost for _, cost in kinds])
    found = milp(costs, constraints=LinearConstraint(sizes, need), integrality=np.ones(len(kinds)), bounds=Bounds(0))
    assert cost_of(cheapest_mix(float(need), packs_of(kinds))) == pytest.approx(found.fun, abs=1e-6)


def test_the_dearer_small_pack_fills_the_rest() -> None:
    """17 kg of wire: 15 kg at 48.00 and 5 kg at 20.50 are 68.50; two of 15 kg 96.00, four of 5 kg 82.00 (by hand)."""
    mix = cheapest_mix(17.0, packs_of([(15, 4800), (5, 2050)]))
    assert [(pack.size, number) for pack, number in mix] == [(15.0, 1), (5.0, 1)]
    assert cost_of(mix) == 6850


def test_what_cannot_be_used_of_a_pack_does_not_count() -> None:
    small = Pack(5.0, 4.7, 1500, Decimal(3), "")
    assert cheapest_mix(9.5, [small]) == [(small, 3)]
    assert cheapest_mix(0.0, [small]) == []


def test_a_search_without_end_answers_with_the_best_it_found() -> None:
    """Sizes with no common measure and hardly different unit costs."""
    kinds = [Pack(math.pi + n * 1e-7, math.pi + n * 1e-7, 1_000_000 + n, Decimal(1), "") for n in range(5)]
    mix = cheapest_mix(1e5, kinds)
    covered = sum(pack.usable * number for pack, number in mix)
    least = 1e5 * min(pack.cost / pack.usable for pack in kinds)  # no mix is cheaper than its cheapest unit
    assert covered >= 1e5 * (1 - 1e-9)
    assert least <= sum(pack.cost * number for pack, number in mix) <= least * 1.001
