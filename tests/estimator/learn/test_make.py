"""A calibration out of recorded jobs: what it says, what it asks about, and what an estimate does with it."""

import json
from typing import Any

import numpy as np
import pytest

from estimator.book.pricebook import calibrated_book, read_pricebook
from estimator.errors import DocumentError, JobRefusedError
from estimator.estimate import estimate
from estimator.learn import learn
from estimator.learn.records import LEAST_LEFT
from exports.page.learnt import page
from exports.pictures.back_test import back_test
from tests.jobs import bore, job

BOOK = read_pricebook()
PLAIN: Any = estimate(job(), BOOK)
TIME, USED = PLAIN["bores"][0]["time"], PLAIN["bores"][0]["consumption"]
ARC = PLAIN["bores"][0]["buildup"]["arc_time_min"]


def records(count: int, slower: float = 1.0, seed: int = 1, **more: str) -> dict[str, Any]:
    """Return the records of a shop whose set-up is slower, with a tenth of scatter; `more`: keys of the first bore."""
    rng = np.random.default_rng(seed)
    jobs = list[Any]()
    for number in range(count):
        setup, arc, boring, wire = np.exp(rng.normal(0, 0.1, 4))
        taken = {
            "name": "A",
            "setup": f"{TIME['setup_min'] * slower * setup} min",
            "arc_time": f"{ARC * arc} min",
            "machining": f"{(TIME['precut_min'] + TIME['finish_min']) * boring} min",
            "wire": f"{USED['wire_kg'] * wire} kg",
            "on_site": f"{TIME['total_min'] + TIME['setup_min'] * (slower * setup - 1)} min",
        }
        done = {"quote": "1", "bores": [taken | (more if not number else {})]}
        jobs.append({"job": job(reference=f"T-{number}"), "finished_at": f"2027-01-{number + 1:02d}", "actuals": done})
    return {"jobs": jobs}


def factors(found: Any) -> dict[tuple[str, str], float]:
    return {(one["element"], one["group"]): one["ratio"] for one in found["factors"]}


def test_a_slow_shop_is_learnt_and_its_estimates_say_so() -> None:
    found = learn(records(20, 1.25), BOOK)
    (told,) = found["factors"]
    assert (told["element"], told["group"], told["jobs"]) == ("setup", "all", 20)
    assert told["low"] < told["ratio"] < told["high"]
    assert told["ratio"] == pytest.approx(1.25, rel=0.05)
    assert found["back_test"]["claim"] == "better"
    after: Any = estimate(job(), calibrated_book(BOOK, json.dumps(found)))
    assert after["bores"][0]["time"]["setup_min"] == pytest.approx(TIME["setup_min"] * told["ratio"], rel=1e-6)
    assert after["bores"][0]["time"]["weld_min"] == TIME["weld_min"]
    assert float(after["price"]["before_tax"]) > float(PLAIN["price"]["before_tax"])
    assert after["calibration"]["factors"][0]["ratio"] == told["ratio"]


def test_few_jobs_stay_near_the_book_and_many_come_to_the_shop() -> None:
    ratios = [factors(learn(records(count, 1.4, 2), BOOK)).get(("setup", "all"), 1.0) for count in (2, 28)]
    assert ratios[0] < 1.2
    assert abs(ratios[1] / 1.4 - 1) < 0.06  # three standard errors of 28 jobs


def test_a_shop_as_the_book_says_leaves_it_as_it_is() -> None:
    found = learn(records(25), BOOK)
    assert (found["factors"], found["drift"], found["back_test"]["claim"]) == ([], [], "no better")


@pytest.mark.parametrize(
    ("key", "written", "guess"),
    [
        ("wire", "900 kg", "grams?"),
        ("wire", f"{2 * USED['wire_kg']} kg", "written down twice?"),
        ("setup", f"{TIME['setup_min'] * 10} min", "a slip of the decimal point?"),
        ("setup", f"{TIME['setup_min']} h", "minutes?"),
        ("on_site", f"{TIME['total_min'] / 60} min", "hours?"),
    ],
)
def test_what_is_far_off_is_asked_about_and_moves_nothing(key: str, written: str, guess: str) -> None:
    found = learn(records(20, 1.25, 1, **{key: written}), BOOK)
    (asked,) = found["asked_about"]
    assert (asked["job"], asked["bore"], asked["element"]) == ("T-0", "A", key)
    assert asked["question"].endswith(f" expected: {guess}")
    without = records(20, 1.25)
    del without["jobs"][0]["actuals"]["bores"][0][key]
    assert found["factors"] == learn(without, BOOK)["factors"]


def test_what_somebody_is_sure_of_counts() -> None:
    told = records(20, 1.0, 1, wire=f"{2 * USED['wire_kg']} kg")
    told["jobs"][0]["actuals"]["bores"][0]["sure"] = ["wire"]
    assert learn(told, BOOK)["asked_about"] == []


def test_a_slip_that_everybody_makes_is_asked_about_all_the_same() -> None:
    told = records(8)
    for one in told["jobs"]:
        one["actuals"]["bores"][0]["wire"] = "1100 kg"
    found = learn(told, BOOK)
    assert [one["element"] for one in found["asked_about"]] == ["wire"] * 8
    assert found["factors"] == []


def test_jobs_are_taken_in_the_order_of_their_days() -> None:
    told = records(20, 1.25)
    turned = {"jobs": told["jobs"][::-1]}
    assert json.dumps(learn(turned, BOOK)) == json.dumps(learn(told, BOOK))


def test_time_on_site_alone_tells_of_all_elements() -> None:
    told = records(25)
    for one in told["jobs"]:
        one["actuals"]["bores"] = [{"name": "A", "on_site": f"{1.3 * TIME['total_min']} min"}]
    found = factors(learn(told, BOOK))
    hours = {name.removesuffix("_min") for name, minutes in TIME.items() if minutes and name != "total_min"}
    assert {element for element, _ in found} == hours
    assert min(found.values()) > 1.2


def test_what_is_left_of_the_time_on_site_counts_only_where_it_is_a_fair_part() -> None:
    told = records(25)
    small = [name for name in ("inspection", "teardown") if TIME[f"{name}_min"]]
    assert sum(TIME[f"{name}_min"] for name in small) < LEAST_LEFT * TIME["total_min"]
    for one in told["jobs"]:
        known = {name.removesuffix("_min"): f"{minutes} min" for name, minutes in TIME.items() if minutes}
        known = {name: time for name, time in known.items() if name not in (*small, "total")}
        one["actuals"]["bores"] = [{"name": "A", "on_site": f"{1.2 * TIME['total_min']} min", **known}]
    assert learn(told, BOOK)["factors"] == []


def test_faults_are_told_at_their_place() -> None:
    wrong = records(2)
    wrong["jobs"][0]["job"]["bores"][0]["length"] = 70
    wrong["jobs"][1]["actuals"]["bores"][0]["wire"] = "2 m"
    with pytest.raises(DocumentError) as found:
        learn(wrong, BOOK)
    assert [fault.path for fault in found.value.faults] == ["jobs.0.job.bores.0.length", "jobs.1.actuals.bores.0.wire"]
    cracked = records(1)
    cracked["jobs"][0]["job"] = job(bore(condition={"cracks": "yes"}))
    with pytest.raises(JobRefusedError) as refused:
        learn(cracked, BOOK)
    assert refused.value.faults[0].path.startswith("jobs.0.job.bores")


def test_the_page_and_the_picture_say_what_was_learnt_and_what_is_asked() -> None:
    found = learn(records(20, 1.25, 1, wire="900 kg"), BOOK)
    text = page(found)
    assert "setup, all" in text and "grams?" in text and "no better" not in text
    drawn = back_test(found)
    assert drawn.count("<circle") == 2 * found["back_test"]["jobs"] and drawn == back_test(found)
    few = learn(records(3), BOOK)
    assert "Too few jobs" in page(few) and "Too few jobs" in back_test(few)
    assert (few["back_test"]["error_before"], few["back_test"]["claim"]) == (None, "no better")


def test_a_calibration_that_cannot_be_is_a_fault() -> None:
    one = {"element": "setup", "group": "all", "jobs": 3, "ratio": 1.2, "low": 1.1, "high": 1.3}
    for change, path in (
        ({"ratio": 1.4}, "factors.0.ratio"),
        ({"element": "arc"}, "factors.0.element"),
        ({"low": 0}, "factors.0.low"),
    ):
        with pytest.raises(DocumentError) as found:
            calibrated_book(BOOK, {"factors": [one | change]})
        assert [fault.path for fault in found.value.faults] == [path]
    with pytest.raises(DocumentError) as twice:
        calibrated_book(BOOK, {"factors": [one, one]})
    assert [fault.path for fault in twice.value.faults] == ["factors.1"]
