"""Days and nights are spent as the bill comes out least: no way that the program can make has a lower price."""

import functools
from decimal import Decimal
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.days.timetable import durations_in, ways_to_spend
from estimator.money.bill import bill_of
from estimator.road import run
from tests.depth import deep
from tests.estimator.days.days_kept import random_case
from tests.estimator.roads import Arranged, arranged

JOBS = (*range(deep(16, 6)), 26, 32, 44, 61, 85)  # a dearer way was once taken; what bears margin turns the way
CHARGED: dict[str, Any] = {"labour_on_site": "68 EUR/h", "labour_travel": "60 EUR/h"}
BOOKS: dict[str, dict[str, Any]] = {
    "cost": {},
    "cost, thin margin": {"margin": 0.05, "overhead": 0.0},
    "cost, the same rates": {"rates": {"basis": "cost", **CHARGED}},
    "charge-out": {"rates": {"basis": "charge-out", **CHARGED}},
    "charge-out, fat margin": {"rates": {"basis": "charge-out", **CHARGED}, "margin": 0.45, "overhead": 0.3},
    "rounded to 50": {"rounding": "50 EUR"},
}
Weighed = tuple[Decimal, Decimal]  # price before tax, cost


@functools.cache
def _case(seed: int, name: str) -> Arranged:
    asked, patch = random_case(seed)
    return arranged(asked, read_pricebook({**patch, **BOOKS[name]}))


def _priced(found: Arranged) -> tuple[Weighed, Weighed]:
    """Return price and cost of the way that was chosen, and of the cheapest that there is."""
    plan, bores, chosen = found
    durations = durations_in(plan, chosen, bores, plan.day)
    prices = [
        bill_of(run(plan, bores, way, plan.day)).price for way in (chosen, *ways_to_spend(plan, chosen, durations))
    ]
    own, *others = [(price.before_tax, price.cost) for price in prices]
    return own, min(others)


@pytest.mark.parametrize("name", BOOKS)
def test_no_other_way_to_spend_the_days_is_cheaper(name: str) -> None:
    found = {seed: _case(seed, name) for seed in JOBS}
    priced = {seed: _priced(one) for seed, one in found.items()}
    assert {seed: one for seed, one in priced.items() if one[1] < one[0]} == {}
    assert {one[2].mode.stays for one in found.values()} == {True, False}


def test_what_bears_margin_turns_the_way() -> None:
    """The same rates, as cost and as charged out: hours then bear no margin, nights and kilometres still do."""
    cost, charged = ([_case(seed, name)[2].mode for seed in JOBS] for name in ("cost, the same rates", "charge-out"))
    assert cost != charged
