"""A hundred random jobs: their order of work proven feasible from the document alone, and near what no order beats."""

import functools
import sys
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from tests.depth import deep, seeds
from tests.estimator.days.days_kept import examined, random_case
from tests.estimator.days.least_orders import is_there, least_by_hand
from tests.jobs import job, quick

JOBS, PUSH = 100, 20
NEAR = 0.05  # the issue: within 5 % of a bound or of the optimum
NODES = 20_000  # of the solver, on each job that the bounds by hand leave open


@functools.cache
def case(seed: int) -> tuple[Any, Any, Any]:
    """Return a random job, its patch of the price book, and its estimate."""
    asked, patch = random_case(seed)
    return asked, patch, estimate(asked, read_pricebook(patch))


def size(seed: int) -> tuple[list[Any], int, int]:
    """Return the tasks of a job, its technicians, and the machines it may use."""
    _, patch, found = case(seed)
    whole = found["schedule"]
    lines = {task["line"] for task in whole["tasks"] if task["line"]}
    return whole["tasks"], whole["technicians"], min(len(lines), patch["equipment"]["sets"])


@pytest.mark.parametrize("seed", seeds(JOBS, PUSH))
def test_the_order_of_work_of_a_random_job_is_feasible(seed: int) -> None:
    asked, patch, found = case(seed)
    assert examined(found, patch, float(asked["site"]["distance"].split()[0])) == []


@pytest.mark.thorough
def test_the_jobs_are_of_all_kinds() -> None:
    """A hundred jobs that were alike would prove little."""
    found = [case(seed)[2] for seed in range(JOBS)]
    assert {one["schedule"]["technicians"] for one in found} == {1, 2, 3}
    assert {one["schedule"]["machines"] for one in found} == {1, 2, 3}
    assert {one["schedule"]["stays"] for one in found} == {False, True}
    assert {one["totals"]["people"] for one in found} == {1, 2, 3, 4}
    assert max(one["totals"]["nights"] for one in found) >= 4
    assert sum(one["totals"]["overtime_h"] > 0 for one in found) >= 5
    assert sum(any(bore["time"]["preheat_min"] > 0 for bore in one["bores"]) for one in found) >= 30


def test_no_order_of_work_is_five_percent_shorter() -> None:
    """Each is held to a bound by hand, and where that is 5 % or more below, HiGHS proves that there is none."""
    rows, left = [], dict[int, str]()
    for seed in range(deep(JOBS, PUSH)):
        (tasks, people, machines), whole = size(seed), case(seed)[2]["schedule"]
        order, bound = whole["order_min"], least_by_hand(*size(seed))
        assert bound <= order * (1 + 1e-9)
        assert whole["bound_min"] <= order * (1 + 1e-9)
        how = "by hand"
        if order > bound * (1 + NEAR):
            how = is_there(tasks, people, machines, order / (1 + NEAR), NODES)
            left |= {} if how == "none" else {seed: how}
        rows.append((order / bound - 1, seed, len(tasks), people, machines, how))
    sys.stdout.write("\n   gap  job  tasks  people  machines  shorter\n")
    for gap, *rest in sorted(rows, reverse=True)[:12]:
        sys.stdout.write(f"{gap:6.1%} {rest[0]:4} {rest[1]:6} {rest[2]:7} {rest[3]:9}  {rest[4]}\n")
    assert left == {}


def clock(document: Any, minutes: float) -> str:
    hours, start = (int(part) for part in document["schedule"]["shift_start"].split(":"))
    whole = int(minutes % 1440 + 0.5) + 60 * hours + start
    return f"{whole // 60 % 24:02d}:{whole % 60:02d}"


@pytest.mark.parametrize("seed", seeds(JOBS, PUSH))
def test_the_hours_of_the_days_are_those_of_the_tasks(seed: int) -> None:
    """Leaving home begins a day for a crew that drives; hot work ends an hour before the day does at the latest."""
    _, _, found = case(seed)
    whole = found["schedule"]
    for day in whole["days"]:
        here = [task for task in whole["tasks"] if task["number"] in day["tasks"] and task["people"]]
        first = 1440.0 * (day["day"] - 1)
        hot = [task["end_min"] for task in here if task["hot"] and task["end_min"] < first + 1440.0]
        split = [task for task in here if task["hot"] and task["end_min"] > first + 1440.0]
        if hot and not split:
            assert day["hot_until"] == clock(found, max(hot))
            assert day["watch_until"] == clock(found, max(hot) + 60)
        if split:
            assert day["watch_until"] <= day["ends"]
            assert whole["stays"] is False or day["watch_until"] <= clock(found, _latest(seed))
        if day["day"] > 1 and here and not whole["stays"]:
            assert day["begins"] == clock(found, 0.0)


def _latest(seed: int) -> float:
    """Return the last minute of a shift with its overtime."""
    _, patch, _ = case(seed)
    return sum(60 * float(patch[key].split()[0]) for key in ("shift_length", "overtime"))


def test_wire_is_changed_once_what_takes_the_first_wire_is_welded() -> None:
    """One torch: a bore in the first wire is built up before the change, one in the other wire after it."""
    plain = [quick(90, 92, name=name, line="x") for name in "AC"]
    other = quick(90, 92, name="B", line="x", options={"wire": "E71T-1 0.045 in"})
    tasks = estimate(job(plain[0], other, plain[1]), read_pricebook({"crew": 2}))["schedule"]["tasks"]
    change = next(task for task in tasks if task["code"] == "change")
    welds = {task["bore"]: task for task in tasks if task["code"] == "weld"}
    assert welds["B"]["start_min"] >= change["end_min"]
    assert max(welds["A"]["end_min"], welds["C"]["end_min"]) <= change["start_min"]


def two_bores(**more: Any) -> Any:
    return job(quick(90, 93, name="A", line="a"), quick(90, 93, name="B", line="b"), **more)


def test_a_weekend_between_costs_its_nights() -> None:
    """2026-11-27 is a Friday: the second day of work is Monday, with two more nights and two more days."""
    asked = two_bores(site={"distance": "400 km"})
    plain, dated = (estimate(one, read_pricebook())["totals"] for one in (asked, {**asked, "start": "2026-11-27"}))
    assert (dated["nights"], plain["nights"]) == (4, 2)
    assert dated["elapsed_h"] == pytest.approx(plain["elapsed_h"] + 48.0)


def test_days_on_the_road_are_not_opened_and_closed() -> None:
    """3200 km are 39.7 h by the table of roads, four days out: arrival late on the fourth, no more days on site."""
    near, far = (two_bores(site={"distance": f"{way} km"}) for way in (50, 3200))
    first, then = (estimate(one, read_pricebook({"overtime": "0 h"})) for one in (near, far))
    assert len(then["schedule"]["days"]) == len(first["schedule"]["days"]) + 7
    assert then["totals"]["once_min"] <= first["totals"]["once_min"] + 20.0 + 1e-6  # 15 min to open, 5 to close


def test_a_shift_too_short_for_its_own_opening_is_planned_all_the_same() -> None:
    asked = two_bores(site={"distance": "16.25 km", "access": "confined", "ambient": "-30 degC", "wind": "8 m/s"})
    found = estimate(asked, read_pricebook({"shift_length": "1 h"}))
    assert found["schedule"]["stays"] and found["totals"]["trips"] == 1


def test_the_way_out_may_run_into_the_overtime() -> None:
    """700 km are 8.9 h by the table of roads, and a shift has 8 h: the first day ends after 15:00, on the road."""
    asked = two_bores(site={"distance": "700 km"})
    found = estimate(asked, read_pricebook({"shift_length": "8 h", "overtime": "1 h", "travel": {"night": "2000 EUR"}}))
    first = found["schedule"]["days"][0]
    assert found["totals"]["overtime_h"] > 0
    assert first["ends"] > "15:00"
    assert first["tasks"] == []
