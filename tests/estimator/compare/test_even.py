"""Break-evens of the repair against the cheapest other way: put back in, they make the annual costs equal."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import assume, example, given

from estimator.compare import capital_recovery
from tests.estimator.compare.test_make import BOOK, DOCUMENT, ECONOMICS, FOUND, KEYS, SOME, by_name, economics
from tests.jobs import changed, job
from tests.raw import compare

CENT = 0.01  # two amounts, each printed to half a cent


def gap(document: Any) -> float:
    """Return by how much the repair costs more a year than the cheapest other way, from the printed amounts."""
    choices = by_name(compare(document, BOOK))
    others = [Decimal(one["annual_cost"]) for one in choices.values() if one["name"] != "repair" and one["feasible"]]
    return float(Decimal(choices["repair"]["annual_cost"]) - min(others))


@given(economics())
@example(ECONOMICS)
@SOME
def test_each_break_even_put_back_makes_annual_costs_equal(said: Any) -> None:
    document = job(economics=said)
    found = compare(document, BOOK)
    even, choices = found["break_even"], by_name(found)
    factors = [capital_recovery(said["discount_rate"], one["life_years"]) for one in choices.values()]
    dear = max(float(one["annual_cost"]) for one in choices.values())
    assert even["against"] == min(("sleeve", "replace"), key=lambda name: Decimal(choices[name]["annual_cost"]))
    if even["replacement_price"] is not None:
        there = changed(document, "economics.replace.price", f"{even['replacement_price']} EUR")
        assert abs(gap(there)) <= 0.005 * factors[2] + CENT + 1e-9  # the price is printed to the cent
    if even["repair_life_h"] is not None:
        there = changed(document, "economics.repair.life", f"{even['repair_life_h']!r} h")
        assert abs(gap(there)) <= CENT + 1e-9 * dear  # ten digits of a life
    if even["downtime_cost_per_h"] is not None:
        hours = sum(one["downtime_h"] for one in choices.values())
        there = changed(document, "economics.downtime_cost", f"{even['downtime_cost_per_h']} EUR/h")
        most = (0.005 + 5e-7 * hours) * sum(factors)  # downtime to the cent, its cost to six decimals
        assert abs(gap(there)) <= most + CENT


@given(economics())
@SOME
def test_a_break_even_that_is_not_there_says_why_and_is_not_there(said: Any) -> None:
    document = job(economics=said)
    even = compare(document, BOOK)["break_even"]
    assert [reason.partition(":")[0] for reason in even["reasons"]] == [key for key in KEYS if even[key] is None]
    if even["replacement_price"] is None:
        ends = [gap(changed(document, "economics.replace.price", f"{price} EUR")) for price in (0, 10**12)]
        assert ends[0] <= CENT or ends[1] >= -CENT  # it is cheaper than a gift, or a sleeve is cheaper than it
    if even["downtime_cost_per_h"] is None:
        ends = [gap(changed(document, "economics.downtime_cost", f"{cost} EUR/h")) for cost in (0, 1, 1000)]
        assert min(ends) >= -CENT or max(ends) <= CENT  # the same way is cheaper throughout
    if even["repair_life_h"] is None:
        longest = gap(changed(document, "economics.repair.life", "200000 h"))
        shortest = gap(changed(document, "economics.repair.life", "0.001 h"))
        assert longest >= -CENT or shortest <= CENT


@given(economics())
@SOME
def test_either_side_of_a_break_even_the_other_way_is_cheaper(said: Any) -> None:
    document = job(economics=said)
    even = compare(document, BOOK)["break_even"]
    assume(even["replacement_price"] is not None and float(even["replacement_price"]) > 10)
    price = Decimal(even["replacement_price"])
    assert gap(changed(document, "economics.replace.price", f"{price * 2} EUR")) <= CENT
    assert gap(changed(document, "economics.replace.price", f"{price / 2:.2f} EUR")) > 0
    if even["repair_life_h"] is not None:
        longer, shorter = even["repair_life_h"] * 1.2, even["repair_life_h"] / 1.2
        assert gap(changed(document, "economics.repair.life", f"{longer!r} h")) <= CENT
        assert gap(changed(document, "economics.repair.life", f"{max(shorter, 1e-3)!r} h")) >= -CENT


REASONS = [
    # changes of the economics, which break-even, what its reason says
    ({"replace.downtime": "900 h"}, "replacement_price", "repair costs less a year even if the new part were free"),
    ({"replace.price": "1 EUR", "replace.downtime": "0 h"}, "repair_life_h", "interest on the repair alone"),
    ({"replace.price": "0 EUR", "replace.downtime": "0 h"}, "repair_life_h", "costs nothing"),
    ({"discount_rate": 1e-9, "replace.price": "0.01 EUR", "replace.downtime": "0 h"}, "repair_life_h", "at no life"),
    ({"sleeve": None, "replace.downtime": "16 h", "replace.life": "6000 h"}, "downtime_cost_per_h", "decides nothing"),
    ({"replace.price": "7800 EUR"}, "downtime_cost_per_h", "repair costs less a year at any cost"),
    ({"replace.price": "9 EUR", "replace.downtime": "1 h"}, "downtime_cost_per_h", "replace costs less a year at any"),
    (
        {"sleeve": None, "replace.life": "1e-3 h", "replace.price": "1000000000000 EUR"},
        "repair_life_h",
        "however short",
    ),
    ({"sleeve.price": "1 EUR"}, "replacement_price", "sleeve costs less a year than the repair at any price"),
    ({"replace.life": "1000000 h", "sleeve": None, "discount_rate": 0}, "repair_life_h", "only beyond 200,000 h"),
    (
        {"remaining_life": "1000 h", "replace.price": "100 EUR", "replace.downtime": "9 h"},
        "repair_life_h",
        "outlive the machine, which runs 1,0",
    ),
    ({"sleeve": None, "replace": None}, "repair_life_h", "sleeve, replace cannot be costed"),
    ({"repair.life": "1e-3 h", "replace.life": "1e9 h", "discount_rate": 0}, "replacement_price", "at any price"),
]


@pytest.mark.parametrize(("changes", "key", "reason"), REASONS)
def test_why_there_is_no_break_even(changes: Any, key: str, reason: str) -> None:
    document = DOCUMENT
    for path, value in changes.items():
        document = changed(document, f"economics.{path}", value)
    even = compare(document, BOOK)["break_even"]
    said = {text.partition(":")[0]: text for text in even["reasons"]}
    assert set(said) == {name for name in KEYS if even[name] is None}
    assert reason in said.get(key, "")


def test_equal_at_no_downtime_cost_is_an_even_of_nothing() -> None:
    price = by_name(FOUND)["repair"]["first_cost"]
    same = changed(DOCUMENT, "economics.replace", {"price": f"{price} EUR", "life": "6000 h", "downtime": "30 h"})
    assert compare(same, BOOK)["break_even"]["downtime_cost_per_h"] == "0.000000"
