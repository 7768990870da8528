"""Repair, sleeve, replace: the annual cost from what is printed, and what is refused, missing or odd."""

import math
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

import numpy_financial as npf
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter

from estimator.book.pricebook import read_pricebook
from estimator.compare import Comparison
from estimator.compare import make as room
from estimator.errors import DocumentError, OutOfRangeError
from tests.depth import deep
from tests.jobs import SOUND, bore, changed, codes, job
from tests.raw import compare, estimate

BOOK = read_pricebook()
ECONOMICS: Any = {
    "discount_rate": 0.08,
    "hours_per_year": 1800,
    "downtime_cost": "140 EUR/h",
    "repair": {"life": "6000 h", "downtime": "16 h"},
    "sleeve": {"price": "3100 EUR", "life": "5000 h", "downtime": "20 h"},
    "replace": {"price": "7800 EUR", "life": "10000 h", "downtime": "30 h"},
}
DOCUMENT = job(economics=ECONOMICS)
FOUND = compare(DOCUMENT, BOOK)
KEYS = ("replacement_price", "repair_life_h", "downtime_cost_per_h")


def by_name(found: Any) -> Any:
    """Return the choices of a comparison by name."""
    return {choice["name"]: choice for choice in found["choices"]}


def without(path: str) -> Any:
    """Return the document less one key of its economics."""
    copied = changed(DOCUMENT, f"economics.{path}", None)
    here = copied["economics"]
    *steps, last = path.split(".")
    for step in steps:
        here = here[step]
    del here[last]
    return copied


def faults(document: Any) -> dict[str, str]:
    """Return the faults of a comparison by path."""
    with pytest.raises(DocumentError) as caught:
        compare(document, BOOK)
    return {fault.path: fault.message for fault in caught.value.faults}


# ---------------------------------------------------------------- the document


def test_it_is_the_typed_document() -> None:
    assert TypeAdapter(Comparison).validate_python(FOUND, strict=True) == FOUND
    assert [choice["name"] for choice in FOUND["choices"]] == ["repair", "sleeve", "replace"]
    assert set(FOUND) | {"wins"} == set(Comparison.__annotations__)


def test_the_repair_costs_its_price_before_tax() -> None:
    assert by_name(FOUND)["repair"]["first_cost"] == estimate(DOCUMENT, BOOK)["price"]["before_tax"]


@st.composite
def economics(draw: st.DrawFn) -> Any:
    """Return what a fleet may say of the three ways."""

    def way(low: int, high: int) -> Any:
        return {
            "price": f"{draw(st.integers(low, high)) / 100:.2f} EUR",
            "life": f"{draw(st.integers(300, 30_000))} h",
            "downtime": f"{draw(st.integers(0, 120))} h",
        }

    repair = way(0, 0)
    del repair["price"]
    return {
        "discount_rate": draw(st.one_of(st.just(0.0), st.just(1e-13), st.floats(0.001, 0.6))),
        "hours_per_year": draw(st.integers(200, 8000)),
        "downtime_cost": f"{draw(st.integers(0, 60_000)) / 100:.2f} EUR/h",
        "repair": repair,
        "sleeve": way(0, 900_000),
        "replace": way(0, 3_000_000),
    }


SOME = settings(max_examples=deep(200, 12), suppress_health_check=[HealthCheck.too_slow])


@given(economics())
@example(ECONOMICS)
@SOME
def test_the_annual_cost_follows_from_what_is_printed(said: Any) -> None:
    found = compare(job(economics=said), BOOK)
    hourly = Decimal(said["downtime_cost"].split()[0])
    for choice in found["choices"]:
        lost = (Decimal(repr(choice["downtime_h"])) * hourly).quantize(Decimal("0.01"), ROUND_HALF_UP)
        outlay = Decimal(choice["first_cost"]) + lost
        years, rate = choice["life_h"] / said["hours_per_year"], said["discount_rate"]
        expected = float(outlay) / years if rate < 1e-9 else -float(npf.pmt(rate, years, float(outlay)))
        assert Decimal(choice["downtime_cost"]) == lost
        assert choice["life_years"] == float(f"{years:.10g}")
        assert float(choice["annual_cost"]) == pytest.approx(expected, abs=0.0051, rel=1e-9)  # half a cent
    assert found["best"] == min(found["choices"], key=lambda choice: Decimal(choice["annual_cost"]))["name"]


# ---------------------------------------------------------------- what is refused, missing or odd


def test_a_refused_repair_is_a_choice_that_cannot_be_costed() -> None:
    cracked = changed(DOCUMENT, "bores.0.condition", {**SOUND, "cracks": "yes"})
    found = compare(cracked, BOOK)
    repair = by_name(found)["repair"]
    assert (repair["feasible"], repair["first_cost"], repair["annual_cost"]) == (False, None, None)
    assert any("crack" in reason for reason in repair["reasons"])
    assert found["best"] == "sleeve"
    assert all(found["break_even"][key] is None for key in KEYS)
    assert found["break_even"]["reasons"] == [f"{key}: repair cannot be costed" for key in KEYS]


def test_a_repair_outside_the_formulas_is_a_choice_that_cannot_be_costed(monkeypatch: pytest.MonkeyPatch) -> None:
    def outside(*_: object) -> None:
        raise OutOfRangeError("heat_input", 9.0, 0.0, 5.0)

    monkeypatch.setattr(room, "estimate_job", outside)
    repair = by_name(compare(DOCUMENT, BOOK))["repair"]
    assert not repair["feasible"]
    assert "heat_input" in repair["reasons"][0]


@pytest.mark.parametrize("name", ["repair", "sleeve", "replace"])
@pytest.mark.parametrize("key", ["", ".life", ".price"])
def test_a_way_that_lacks_something_says_what(name: str, key: str) -> None:
    if (name, key) in {("repair", ".price"), ("sleeve", ".price")}:
        return  # the estimate is the price of the one, and tells that of the other
    choice = by_name(compare(without(f"{name}{key}"), BOOK))[name]
    assert not choice["feasible"]
    assert choice["annual_cost"] is None
    assert choice["reasons"] == [f"economics.{name}{key} is not given"]


def test_nothing_that_can_be_costed_has_no_best() -> None:
    bare = job(economics={"discount_rate": 0.08, "hours_per_year": 1800})
    found = compare(bare, BOOK)
    assert found["best"] is None
    assert found["reasons"] == []
    assert [choice["feasible"] for choice in found["choices"]] == [False, False, False]


def test_no_economics_is_a_fault() -> None:
    assert list(faults(job())) == ["economics"]


WRONG = [
    ("economics.discount_rate", -0.01, "must be a fraction from 0 to 1"),
    ("economics.discount_rate", "8 of 100", "plain number or a percentage"),
    ("economics.discount_rate", 8, 'write for instance 0.08 or "8 %"'),
    ("economics.hours_per_year", 0, "greater than 0"),
    ("economics.hours_per_year", 1e-300, "1 at least"),
    ("economics.downtime_cost", "140 USD/h", "USD is not the price book's currency EUR"),
    ("economics.sleeve.price", "3100 GBP", "GBP is not the price book's currency EUR"),
    ("economics.replace.price", "-1 EUR", "below zero"),
    ("economics.replace.life", "0 h", "above zero"),
    ("economics.sleeve.life", "1e-30 h", "from 0.001 to 1e+09 h"),
    ("economics.sleeve.life", "1e10 h", "from 0.001 to 1e+09 h"),
    ("economics.repair.downtime", "1e7 h", "1e+06 h at most"),
]


@pytest.mark.parametrize(("path", "value", "said"), WRONG)
def test_wrong_economics_are_faults_at_their_path(path: str, value: Any, said: str) -> None:
    found = faults(changed(DOCUMENT, path, value))
    assert list(found) == [path]
    assert said in found[path]


EXTREMES = [
    ("economics.replace.price", "1000000000000 EUR"),
    ("economics.sleeve.life", "0.001 h"),
    ("economics.sleeve.life", "1e9 h"),
    ("economics.sleeve.downtime", "1e6 h"),
    ("economics.hours_per_year", 1),
    ("economics.hours_per_year", 8784),
    ("economics.discount_rate", 0.999),
    ("economics.discount_rate", 5e-324),
    ("economics.downtime_cost", "1000000000000 EUR/h"),
]


@pytest.mark.parametrize(("path", "value"), EXTREMES)
def test_the_ends_of_what_may_be_said_are_costed(path: str, value: Any) -> None:
    for choice in compare(changed(DOCUMENT, path, value), BOOK)["choices"]:
        assert choice["feasible"]
        assert math.isfinite(choice["life_years"])
        assert Decimal(choice["annual_cost"]) > 0


def test_no_interest_is_allowed() -> None:
    sleeve = by_name(compare(changed(DOCUMENT, "economics.discount_rate", 0), BOOK))["sleeve"]
    assert sleeve["annual_cost"] == "2124.00"  # by hand: (3100 + 20 x 140) x 1800 / 5000


def test_a_lead_time_is_said_and_costs_nothing() -> None:
    late = changed(DOCUMENT, "economics.replace.lead_time", "21 day")
    found = compare(late, BOOK)
    assert found["choices"] == FOUND["choices"]
    assert "lead_time" in codes(found)
    assert "lead_time" not in codes(FOUND)


WARNED = [
    ("downtime_cost", "downtime_free"),
    ("repair.downtime", "repair_downtime"),
    ("sleeve.downtime", "downtime_none"),
    ("replace.downtime", "downtime_none"),
]


@pytest.mark.parametrize(("path", "said"), WARNED)
def test_what_counts_as_none_is_warned_of(path: str, said: str) -> None:
    warned = [(one["code"], one["path"]) for one in compare(without(path), BOOK)["warnings"]]
    assert (said, f"economics.{path}") in warned
    assert said not in codes(FOUND)


@pytest.mark.parametrize("hours", [1800, 8760])
def test_a_repair_stands_for_what_the_machine_would_have_worked_meanwhile(hours: int) -> None:
    found = by_name(compare(changed(without("repair.downtime"), "economics.hours_per_year", hours), BOOK))["repair"]
    tasks = estimate(DOCUMENT, BOOK)["schedule"]["tasks"]
    there = (max(task["end_min"] for task in tasks) - min(task["start_min"] for task in tasks)) / 60
    assert found["downtime_h"] == pytest.approx(min(there, hours / 250))  # one day on site: of its hours of that day


def test_a_price_of_the_repair_is_not_used_and_says_so() -> None:
    found = compare(changed(DOCUMENT, "economics.repair.price", "1 EUR"), BOOK)
    assert found["choices"] == FOUND["choices"]
    assert "price_unused" in codes(found)


def test_a_budget_price_is_said_to_be_one() -> None:
    rough = job(bore(readings=None, worn_diameter="93 mm"), economics=ECONOMICS)
    assert any("budget price, good to " in one["text"] for one in compare(rough, BOOK)["warnings"])
    assert "repair_budget" not in codes(FOUND)


def test_the_best_is_told_from_the_others_by_the_printed_difference() -> None:
    choices, best = by_name(FOUND), FOUND["best"]
    for text, name in zip(FOUND["reasons"], [name for name in choices if name != best], strict=True):
        more = Decimal(choices[name]["annual_cost"]) - Decimal(choices[best]["annual_cost"])
        assert text == f"{name} costs EUR {more} a year more than {best}"


@pytest.mark.parametrize("life", ["6000 h", "6000.001 h"])  # the second is cheaper by less than is printed
def test_equals_as_printed_are_called_equal_and_the_first_is_named(life: str) -> None:
    price = by_name(FOUND)["repair"]["first_cost"]
    twin = {"price": f"{price} EUR", "life": life, "downtime": "16 h"}
    found = compare(changed(DOCUMENT, "economics.sleeve", twin), BOOK)
    assert found["best"] == "repair"
    assert found["reasons"][0] == "sleeve costs the same a year as repair"


def test_amounts_are_rounded_half_up_to_the_currency() -> None:
    found = compare(changed(DOCUMENT, "economics.sleeve.price", "3100.005 EUR"), BOOK)
    assert by_name(found)["sleeve"]["first_cost"] == "3100.01"


def test_downtime_is_rounded_before_it_is_spread() -> None:
    """A life of one hour makes 1,800 of every unit of money, and so shows a third of a cent that is not printed."""
    short = changed(changed(DOCUMENT, "economics.downtime_cost", "140.0003 EUR/h"), "economics.sleeve.life", "1 h")
    sleeve = by_name(compare(changed(short, "economics.discount_rate", 0), BOOK))["sleeve"]
    assert (sleeve["downtime_cost"], sleeve["annual_cost"]) == ("2800.01", "10620018.00")


def test_the_same_document_gives_the_same_comparison() -> None:
    assert compare(DOCUMENT, BOOK) == FOUND


def test_a_rate_in_percent_is_the_fraction() -> None:
    assert compare(changed(DOCUMENT, "economics.discount_rate", "8 %"), BOOK)["discount_rate"] == 0.08
