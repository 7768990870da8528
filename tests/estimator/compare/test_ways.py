"""What bears on the choice beside price and life: each sentence of the rules with a figure worked by hand."""

from decimal import Decimal
from typing import Any

import pytest

from estimator.compare.sleeve import WELDING
from estimator.compare.standing import worked_between
from tests.estimator.compare.test_make import BOOK, DOCUMENT, FOUND, by_name, faults
from tests.jobs import SOUND, bore, changed, codes, job, quick
from tests.raw import compare, estimate


def economics(**changes: Any) -> Any:
    """Return the document with some keys of its economics changed; "replace__price" is a key of a way."""
    document: Any = DOCUMENT
    for path, value in changes.items():
        document = changed(document, f"economics.{path.replace('__', '.')}", value)
    return document


@pytest.mark.parametrize("life", ["3 year", "3 years", "36 months", "5400 h"])
def test_a_life_in_years_is_years_of_use(life: str) -> None:
    repair = by_name(compare(economics(repair__life=life), BOOK))["repair"]
    assert (repair["life_h"], repair["life_years"]) == (5400.0, 3.0)  # 3 x 1,800


def test_salvage_comes_off_at_its_present_worth() -> None:
    """10 %, 3 years: (3,000 + 20 h x 140 - 500 / 1.331) x 0.402115 = 2,181.22 (by hand)."""
    said = economics(discount_rate=0.1, sleeve={"price": "3000 EUR", "life": "3 year", "downtime": "20 h"})
    said["economics"]["sleeve"]["salvage"] = "500 EUR"
    sleeve = by_name(compare(said, BOOK))["sleeve"]
    assert sleeve["salvage"] == "500.00"
    assert float(sleeve["annual_cost"]) == pytest.approx((5800 - 500 / 1.331) * 0.1 / (1 - 1.1**-3), abs=0.0051)
    assert float(sleeve["annual_cost"]) == pytest.approx(2181.22, abs=0.01)


def test_a_part_that_outlives_the_machine_is_worth_no_more() -> None:
    found = compare(economics(remaining_life="3600 h", discount_rate=0), BOOK)
    choices = by_name(found)
    assert [choices[name]["life_years"] for name in ("repair", "sleeve", "replace")] == [2.0, 2.0, 2.0]
    assert choices["sleeve"]["annual_cost"] == "2950.00"  # by hand: (3100 + 20 x 140) / 2
    assert codes(found).count("life_capped") == 3
    assert found["remaining_life_h"] == 3600.0


def test_a_machine_that_cannot_run_stands_until_the_part_is_there() -> None:
    """21 days at 1,825 h a year are 105 h of use (by hand); the machine stands 30 h more."""
    found = compare(economics(hours_per_year=1825, can_run=False, replace__lead_time="21 day"), BOOK)
    assert by_name(found)["replace"]["downtime_h"] == 135.0
    assert by_name(found)["replace"]["downtime_cost"] == "18900.00"
    assert "lead_time_stands" in codes(found)
    assert "lead_time" not in codes(found)


def test_a_cracked_machine_cannot_run_unless_it_is_said_that_it_can() -> None:
    cracked = changed(economics(replace__lead_time="21 day"), "bores.0.condition", {**SOUND, "cracks": "yes"})
    stands, runs = compare(cracked, BOOK), compare(changed(cracked, "economics.can_run", True), BOOK)
    assert (stands["can_run"], runs["can_run"]) == (False, True)
    assert by_name(stands)["replace"]["downtime_h"] == pytest.approx(30 + 21 / 365 * 1800)
    assert by_name(runs)["replace"]["downtime_h"] == 30.0


def test_a_bore_within_its_limits_may_be_left_as_it_is() -> None:
    sound = job(quick(90, 90.02), economics=DOCUMENT["economics"])
    found = compare(sound, BOOK)
    leave = by_name(found)["leave"]
    assert (leave["first_cost"], leave["annual_cost"], leave["feasible"]) == ("0.00", "0.00", True)
    assert found["best"] == found["break_even"]["against"] == "leave"
    assert all(found["break_even"][key] is None for key in ("replacement_price", "repair_life_h"))
    one_worn = job(quick(90, 90.02), quick(90, 93, name="B"), economics=DOCUMENT["economics"])
    assert "leave" not in by_name(compare(one_worn, BOOK))
    assert "leave" not in by_name(compare(changed(sound, "economics.can_run", False), BOOK))
    assert "leave" not in by_name(FOUND)


def test_the_break_even_is_against_the_best_other_way() -> None:
    """A sleeve for 500 + 0 h over 5,000 h at no interest costs 180 a year: the repair pays from outlay / 180 on."""
    said = economics(discount_rate=0, sleeve={"price": "500 EUR", "life": "5000 h", "downtime": "0 h"})
    found = compare(said, BOOK)
    even, repair = found["break_even"], by_name(found)["repair"]
    outlay = float(repair["first_cost"]) + float(repair["downtime_cost"])
    assert even["against"] == "sleeve"
    assert even["repair_life_h"] == pytest.approx(outlay / 180 * 1800, rel=1e-9)
    assert even["replacement_price"] is None


def test_later_repairs_grow_dearer_with_inflation() -> None:
    """10 % interest, 5 % inflation, 4 years, a sleeve every second year: 1,000 + 1,050 x ... by hand.

    Worth (1,000 + 1,000 x 1.05^2 / 1.1^2) + 140 x (1 + 1 / 1.1^2), over 4 years by 0.3154708: 683.03.
    """
    sleeve = {"price": "1000 EUR", "life": "2 year", "downtime": "1 h"}
    found = compare(economics(discount_rate=0.1, inflation=0.05, remaining_life="4 year", sleeve=sleeve), BOOK)
    worth = 1000 * (1 + 1.1025 / 1.21) + 140 * (1 + 1 / 1.21)
    printed = float(by_name(found)["sleeve"]["annual_cost"])
    assert printed == pytest.approx(worth * 0.1 / (1 - 1.1**-4), abs=0.0051)
    assert printed == pytest.approx(worth * 0.3154708, abs=0.01)
    assert found["inflation"] == 0.05


@pytest.mark.parametrize("life", ["900 h", "2000 h", "5000 h"])
def test_a_break_even_life_holds_with_inflation_too(life: str) -> None:
    said = economics(inflation=0.04, remaining_life="12000 h", replace={"price": "6000 EUR", "life": life})
    even = compare(changed(said, "economics.sleeve", None), BOOK)["break_even"]
    if even["repair_life_h"] is None:
        assert even["reasons_by_key"]["repair_life_h"]["code"] in {"even_life_steps", "even_life_machine"}
        return
    there = by_name(compare(changed(said, "economics.repair.life", f"{even['repair_life_h']!r} h"), BOOK))
    assert float(there["repair"]["annual_cost"]) == pytest.approx(float(there["replace"]["annual_cost"]), abs=0.02)


def test_inflation_asks_how_long_the_machine_runs() -> None:
    assert list(faults(economics(inflation=0.02))) == ["economics.remaining_life"]


def test_lives_low_to_high_give_shares_of_cases() -> None:
    lives = {"low": "3000 h", "likely": "6000 h", "high": "9000 h"}
    found = compare(economics(repair__life=lives, sleeve=None, replace=None), BOOK)
    assert found["wins"] == {"repair": 1.0}
    assert by_name(found)["repair"]["life_h"] == 6000.0
    price = by_name(FOUND)["repair"]["first_cost"]
    twin = {"price": f"{price} EUR", "life": lives, "downtime": "16 h"}
    even = compare(economics(repair__life=lives, sleeve=None, replace=twin), BOOK)["wins"]
    assert sum(even.values()) == pytest.approx(1)
    assert even["repair"] == pytest.approx(0.5, abs=0.01)  # alike and independent
    assert "wins" not in FOUND


def test_lives_that_do_not_rise_are_a_fault() -> None:
    wrong = economics(repair__life={"low": "9000 h", "likely": "6000 h", "high": "9000 h"})
    assert list(faults(wrong)) == ["economics.repair.life"]


def test_the_cost_of_a_failure_is_said_not_to_count() -> None:
    assert "failure_unused" in codes(compare(economics(failure_cost="4000 EUR"), BOOK))


SPANS = [
    # hours on site from the first to the last, hours of use a year, hours of downtime by hand
    (5, 2000, 5.0),
    (10, 2000, 8.0),
    (28, 2000, 12.0),
    (28, 8784, 28.0),
    (72, 4000, 48.0),
]


@pytest.mark.parametrize(("hours", "a_year", "stands"), SPANS)
def test_downtime_is_what_the_machine_would_have_worked(hours: float, a_year: float, stands: float) -> None:
    assert worked_between([{"start_min": 60.0, "end_min": 60 + 60 * hours}], a_year) == pytest.approx(stands)


def test_a_sleeve_without_a_price_is_the_repairs_bill_without_welding_and_with_a_ring() -> None:
    """A ring of 90 to 100.8 mm, 70 mm long: its blank 84 to 106.8 mm, 76 mm long, weighs 2.04 kg (by hand)."""
    found = compare(economics(sleeve={"life": "5000 h", "downtime": "20 h"}), BOOK)
    priced, whole = by_name(found)["sleeve"], estimate(DOCUMENT, BOOK)
    lines = {line["code"]: line for line in whole["cost"]["lines"]}
    base = sum(float(one["amount"]) for code, one in lines.items() if code not in ("overhead", "contingency"))
    kept = base - sum(float(lines[code]["amount"]) for code in WELDING if code in lines)
    wire, boring = (float(lines[code]["amount"]) / lines[code]["quantity"] for code in ("wire", "labour-boring"))
    by_hand = float(whole["price"]["before_tax"]) * (kept + 2.25 * boring + 2.04 * wire) / base
    assert priced["feasible"]
    assert float(priced["first_cost"]) == pytest.approx(by_hand, rel=0.001)
    assert "sleeve_priced" in codes(found)
    assert "sleeve_priced" not in codes(FOUND)


def test_a_sleeve_that_leaves_too_little_of_the_boss_is_not_priced() -> None:
    """A ring's seat of 100.8 mm in a boss of 115 mm leaves 7.1 mm (by hand)."""
    thin = changed(economics(sleeve={"life": "5000 h"}), "bores.0.outside_diameter", "115 mm")
    sleeve = by_name(compare(thin, BOOK))["sleeve"]
    assert not sleeve["feasible"]
    assert sleeve["reasons"] == ["bore A: a ring would leave 7.1 mm of the boss, 8 mm at least is due"]


def test_two_bores_of_one_machine_stand_once() -> None:
    two = job(bore(), bore(name="B"), economics=DOCUMENT["economics"])
    found = compare(two, BOOK)
    assert Decimal(by_name(found)["repair"]["downtime_cost"]) == Decimal("2240.00")  # 16 h x 140, typed for the job
