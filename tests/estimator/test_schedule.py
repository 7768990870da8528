"""A hundred random jobs: their order of work proven feasible from the document alone, and near what no order beats."""

import functools
from typing import Any

import pytest

from estimator.estimate import estimate
from estimator.pricebook import read_pricebook
from tests.days_kept import examined, random_case
from tests.least_orders import is_there, least_by_hand

JOBS = 100
NEAR = 0.05  # the issue: within 5 % of a bound or of the optimum
SECONDS = 5.0  # for the solver, on each job that the bounds by hand leave open


@functools.cache
def case(seed: int) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    """Return a random job, its patch of the price book, and its estimate."""
    asked, patch = random_case(seed)
    return asked, patch, estimate(asked, read_pricebook(patch))


def size(seed: int) -> tuple[list[dict[str, Any]], int, int]:
    """Return the tasks of a job, its technicians, and the machines it may use."""
    _, patch, found = case(seed)
    whole = found["schedule"]
    lines = {task["line"] for task in whole["tasks"] if task["line"]}
    return whole["tasks"], whole["technicians"], min(len(lines), patch["equipment"]["machines"])


@pytest.mark.parametrize("seed", range(JOBS))
def test_the_order_of_work_of_a_random_job_is_feasible(seed: int) -> None:
    asked, patch, found = case(seed)
    assert examined(found, patch, float(asked["site"]["distance"].split()[0])) == []


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
    for seed in range(JOBS):
        (tasks, people, machines), whole = size(seed), case(seed)[2]["schedule"]
        order, bound = whole["order_min"], least_by_hand(*size(seed))
        assert bound <= order * (1 + 1e-9)
        assert whole["bound_min"] <= order * (1 + 1e-9)
        how = "by hand"
        if order > bound * (1 + NEAR):
            how = is_there(tasks, people, machines, order / (1 + NEAR), SECONDS)
            left |= {} if how == "none" else {seed: how}
        rows.append((order / bound - 1, seed, len(tasks), people, machines, how))
    print("\n   gap  job  tasks  people  machines  shorter")
    for gap, *rest in sorted(rows, reverse=True)[:12]:
        print(f"{gap:6.1%} {rest[0]:4} {rest[1]:6} {rest[2]:7} {rest[3]:9}  {rest[4]}")
    assert left == {}
