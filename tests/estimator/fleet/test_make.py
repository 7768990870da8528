"""The fleet, row by row: as `compare` has it, what is to be done and by when, what stood in, what is set aside."""

import random
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from pydantic import TypeAdapter

from estimator.book.pricebook import read_pricebook
from estimator.fleet import Fleet, fleet, rows_of_csv, rows_of_objects
from estimator.fleet.row import bore_of
from tests.depth import deep
from tests.raw import compare

BOOK = read_pricebook()
PLAIN: dict[str, Any] = {
    "machine": "EX-1",
    "bore": "A",
    "nominal_diameter": "90 mm",
    "length": "70 mm",
    "worn_diameter": "92 mm",
    "read_at": "8000 h",
}
RATED = {"earlier_diameter": "91 mm", "earlier_at": "6000 h", "hours_per_year": "1500"}
PRICED = {"downtime_cost": "140 EUR/h", "part_price": "7800 EUR", "sleeve_price": "2600 EUR", "lead_time": "21 day"}


def answer(*rows: dict[str, Any], **said: Any) -> Any:
    """Return the fleet of some rows, each laid over a plain one."""
    listed = [{**PLAIN, "bore": f"B{number}", **row} for number, row in enumerate(rows)]
    return fleet(rows_of_objects(listed), BOOK, **said)


def only(**row: Any) -> Any:
    """Return the answer of one row."""
    return answer(row)["rows"][0]


# ---------------------------------------------------------------- the same as compare


def _job(row: dict[str, str]) -> dict[str, Any]:
    """Return the job of a row and what stood in for it, put together here and not by the fleet."""
    economics: Any = {"discount_rate": float(row["discount_rate"]), "can_run": row["can_run"] == "yes"}
    economics["hours_per_year"] = float(row["hours_per_year"].removesuffix(" h"))
    economics |= {key: row[key] for key in ("downtime_cost", "remaining_life") if key in row}
    economics["repair"] = {"life": row["repair_life"]}
    if {"sleeve_price", "sleeve_life"} & set(row):
        economics["sleeve"] = {"life": row["sleeve_life"]}
        economics["sleeve"] |= {"price": row["sleeve_price"]} if "sleeve_price" in row else {}
    if "part_price" in row:
        economics["replace"] = {"price": row["part_price"], "life": row["part_life"], "lead_time": row["lead_time"]}
    keys = ("nominal_diameter", "length", "worn_diameter", "material", "tolerance", "outside_diameter")
    bore = {"name": row["bore"], **{key: row[key] for key in keys if key in row}}
    return {"reference": row["machine"], "site": {"distance": row["distance"]}, "bores": [bore], "economics": economics}


def _random_row(draw: random.Random) -> dict[str, Any]:
    nominal = draw.randint(50, 160)
    row: dict[str, Any] = {"nominal_diameter": f"{nominal} mm", "length": f"{draw.randint(40, 140)} mm"}
    row["worn_diameter"] = f"{nominal + draw.choice([0.01, 0.6, 1.4, 2.5, 3.6])} mm"
    maybe = {
        **{"class": draw.choice(["excavator", "harvester", "wheel loader", "tractor"]), "distance": "40 km"},
        **{"outside_diameter": f"{2 * nominal} mm", "downtime_cost": f"{draw.randint(0, 400)} EUR/h"},
        **{"part_price": f"{draw.randint(500, 12000)} EUR", "part_life": "9000 h", "sleeve_price": "1800 EUR"},
        **{"sleeve_life": "3 year", "lead_time": "21 day", "can_run": draw.choice(["yes", "no"]), "tolerance": "H7"},
        **{"remaining_life": draw.choice(["4000 h", "5 year"]), "repair_life": "4500 h", "discount_rate": "0.1"},
        "hours_per_year": str(draw.randint(800, 3000)),
    }
    return row | {key: value for key, value in maybe.items() if draw.random() < 0.6}


def test_each_row_is_what_compare_says_of_the_bore_alone() -> None:
    draw = random.Random(19)
    rows = [_random_row(draw) for _ in range(deep(1000, 12))]
    found = answer(*rows)
    assert len(found["rows"]) == len(rows)
    for row, said in zip(rows, found["rows"], strict=True):
        stood = {one["column"]: one["value"] for one in said["defaults"] if one["column"] != "class"}
        alone = compare(_job({**PLAIN, **row, **stood}), BOOK)
        assert said["best"] == alone["best"]
        for choice in alone["choices"]:
            if choice["name"] == "leave" or choice["annual_cost"] is None:
                continue
            assert float(said["annual_cost"][choice["name"]]) == pytest.approx(float(choice["annual_cost"]), rel=0.005)


def test_it_is_the_typed_document() -> None:
    found = answer(RATED | PRICED, {"worn_diameter": "x"}, budget=Decimal(5000))
    assert TypeAdapter(Fleet).validate_python(found, strict=True) == found


def test_rows_equal_in_value_are_computed_once() -> None:
    found = answer(PRICED, PRICED, {**PRICED, **RATED}, {**PRICED, "length": "80 mm"})
    assert (found["totals"]["rows"], found["totals"]["computed"]) == (4, 3)


# ---------------------------------------------------------------- what is to be done, and by when


def test_the_limit_is_reached_by_the_rate_seen() -> None:
    """1 mm in 2,000 h: 92.5 mm 1,000 h after 8,000 h (by hand)."""
    assert only(**RATED, wear_limit="92.5 mm")["by_h"] == 9000.0
    assert only(**RATED, wear_limit="92.5 mm", hours_now="9400 h")["by_h"] == 9400.0
    assert only(**RATED, wear_limit="92.5 mm", hours_now="9400 h")["worn_now_mm"] == 92.7
    assert only(**RATED, wear_limit="92.5 mm", remaining_life="900 h")["by_h"] is None
    assert only(wear_limit="92.5 mm")["by_h"] is None


ACTIONS = [
    ({"wear_limit": "91.9 mm"}, "repair"),
    ({**RATED, "wear_limit": "92.7 mm"}, "repair"),  # in 1,400 h, and the machine runs 1,500 h a year
    ({**RATED, "wear_limit": "92.8 mm"}, "watch"),
    ({"wear_limit": "93 mm"}, "watch"),
    ({**RATED, "wear_limit": "92.7 mm", "remaining_life": "1200 h"}, "leave"),
    ({"worn_diameter": "90.02 mm"}, "leave"),
    ({"can_run": "no"}, "stop"),
    ({"wear_limit": "93 mm", "hours_now": "20000 h"}, "measure"),
    ({"earlier_diameter": "92.4 mm", "earlier_at": "6000 h"}, "measure"),
    ({"wear_limit": "91.9 mm", "sleeve_price": "10 EUR"}, "sleeve"),
    ({"wear_limit": "91.9 mm", "part_price": "10 EUR"}, "replace"),
    ({"wear_limit": "91.9 mm", "material": "EN-GJL-250"}, "stop"),
]


@pytest.mark.parametrize(("row", "action"), ACTIONS)
def test_what_is_to_be_done(row: dict[str, Any], action: str) -> None:
    assert only(**row)["action"] == action


def test_the_loss_avoided_is_the_machine_standing_for_its_part() -> None:
    """73 days at 1,500 h a year are 300 h at 100 EUR: 30,000; due in half a year of use, half of it (by hand)."""
    said = {**RATED, "downtime_cost": "100 EUR/h", "lead_time": "73 day"}
    assert only(**said, wear_limit="91.9 mm")["loss_avoided"] == "30000.00"
    assert only(**said, wear_limit="92.375 mm")["loss_avoided"] == "15000.00"
    assert only(**said, wear_limit="93 mm")["loss_avoided"] == "0.00"
    assert only(**said, can_run="no")["loss_avoided"] == "30000.00"


def test_every_value_that_stood_in_is_marked_as_it_would_be_typed() -> None:
    stood = {one["column"]: one["value"] for one in only()["defaults"]}
    assert stood["wear_limit"] == "91.8 mm"
    assert stood["hours_now"] == "8000 h"
    assert stood["class"] == "any"
    again = only(**stood)
    assert again["defaults"] == []
    assert again["annual_cost"] == only()["annual_cost"]


def test_the_saving_is_against_the_next_best() -> None:
    row = only(**PRICED)
    costs = sorted(Decimal(cost) for cost in row["annual_cost"].values())
    assert Decimal(row["saves_per_year"]) == costs[1] - costs[0]
    assert only()["saves_per_year"] is None


# ---------------------------------------------------------------- set aside

ASIDE = [
    ({"worn_diameter": ""}, "worn_diameter: is missing"),
    ({"worn_diameter": "92"}, "worn_diameter"),
    ({"worn_diameter": "80 mm"}, "worn_diameter: is smaller than the nominal"),
    ({"read_at": "8000 mm"}, "read_at"),
    ({"hours_now": "7000 h"}, "hours_now: must not lie before read_at"),
    ({"earlier_diameter": "91 mm", "earlier_at": "8000 h"}, "earlier_at: must lie before read_at"),
    ({"can_run": "perhaps"}, "can_run: 'perhaps' is neither"),
    ({"hours_per_year": "many"}, "hours_per_year"),
    ({"remaining_life": "long"}, "remaining_life"),
    ({"wear_limit": "89 mm"}, "wear_limit"),
    ({"material": "Unobtainium"}, "material"),
    ({"part_price": "10 USD"}, "part_price: USD is not the price book's currency"),
    ({"discount_rate": "8"}, "discount_rate: must be a fraction"),
    ({"sleeve_price": "10 EUR", "sleeve_life": "0 h"}, "sleeve_life"),
    ({"length": "-1 mm"}, "length"),
]


@pytest.mark.parametrize(("row", "reason"), ASIDE)
def test_a_bad_row_is_set_aside_with_its_reason_and_the_rest_runs(row: dict[str, Any], reason: str) -> None:
    found = answer(row, {})
    assert [(one["line"], len(one["reasons"]) > 0) for one in found["set_aside"]] == [(1, True)]
    assert any(said.startswith(reason) for said in found["set_aside"][0]["reasons"])
    assert [one["line"] for one in found["rows"]] == [2]


def test_a_bore_that_stands_twice_is_asked_about() -> None:
    found = answer({"bore": "A"}, {"bore": "A"})
    assert "stands in line 1 already" in found["set_aside"][0]["reasons"][0]


# ---------------------------------------------------------------- one shutdown


def test_the_window_keeps_its_limits_and_is_not_there_without_any() -> None:
    due = [{**PRICED, "wear_limit": "91.9 mm", "length": f"{60 + 5 * number} mm"} for number in range(5)]
    found = answer(*due, budget=Decimal(3000), crew_hours=20 * 3600.0)
    window = found["window"]
    assert Decimal(window["price"]) <= 3000
    assert window["crew_h"] <= 20
    assert 0 < len(window["chosen"]) < 5
    assert window["proven_gap"] == 0
    assert "window" not in answer(*due)


def test_the_sample_list_is_answered_whole() -> None:
    text = (Path(__file__).parents[3] / "sample_jobs" / "fleet.csv").read_text("utf-8")
    assert text.startswith("# An invented")
    found = fleet(rows_of_csv(text), BOOK, budget=Decimal(20_000))
    assert found["totals"]["rows"] == 40
    assert found["set_aside"] == []
    assert set(found["totals"]["actions"]) == {"leave", "watch", "repair", "sleeve", "replace", "stop", "measure"}


def test_progress_is_told() -> None:
    told = list[tuple[int, int]]()
    answer({}, {"length": "80 mm"}, told=lambda done, whole: told.append((done, whole)))
    assert told == [(1, 2), (2, 2)]
    assert bore_of(rows_of_objects([PLAIN])[0], "EUR").limit == 91.8
