"""Laws of the order of work and of the days: later is never earlier, arrays are loops, hands never hinder."""

import random
from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.book.pricebook import read_pricebook
from estimator.days.sequence import ordered
from estimator.days.shifts import Shifts, placed
from estimator.days.tasks import Station, Task, tasks_of
from estimator.days.yard import Yard
from estimator.estimate import estimate
from estimator.inputs import Inputs
from tests.depth import deep, seeds
from tests.estimator.days.days_kept import random_case
from tests.estimator.roads import arranged, figures_on
from tests.jobs import job, quick

DAY = 1440.0
LOST = 1e-6  # minutes: sums of a hundred doubles of a few thousand minutes
PAIRS = deep(40, 8)


@st.composite
def shifts(draw: st.DrawFn) -> Shifts:
    opens = draw(st.floats(0, 300))
    closes = opens + draw(st.floats(30, 900))
    return Shifts(DAY, opens, closes, draw(st.floats((opens + closes) / 2, closes)))


TIMES, LONG = st.floats(0, 6000), st.floats(0, 2500)


def test_work_falls_into_days_as_by_hand() -> None:
    """Hours 0 to 10 of each day, hot until 9: what is ready at 7.5 h, and takes 1 h or 2 h, whole or in parts."""
    hour, hours = 60.0, Shifts(24 * 60.0, 0.0, 600.0, 540.0)
    assert placed(7.5 * hour, hour, hours, hot=True, whole=True) == (7.5 * hour, 8.5 * hour)
    assert placed(7.5 * hour, 2 * hour, hours, hot=True, whole=True) == (24 * hour, 26 * hour)
    assert placed(7.5 * hour, 2 * hour, hours, hot=False, whole=True) == (7.5 * hour, 9.5 * hour)
    assert placed(7.5 * hour, 2 * hour, hours, hot=True, whole=False) == (7.5 * hour, 24.5 * hour)
    assert placed(7.5 * hour, 3 * hour, hours, hot=False, whole=False) == (7.5 * hour, 24.5 * hour)
    assert placed(7.5 * hour, 20 * hour, hours, hot=True, whole=True) == (24 * hour, 74 * hour)
    assert placed(12 * hour, hour, hours, hot=False, whole=False) == (24 * hour, 25 * hour)


@given(shifts(), TIMES, st.floats(0, 2000), LONG, st.floats(0, 600), st.booleans(), st.booleans())
def test_later_or_longer_never_ends_earlier(
    hours: Shifts, ready: float, later: float, long: float, longer: float, hot: bool, whole: bool
) -> None:
    start, end = placed(ready, long, hours, hot, whole)
    assert start >= ready - LOST
    assert end >= start + long - LOST
    assert placed(ready + later, long, hours, hot, whole)[1] >= end - LOST
    assert placed(ready, long + longer, hours, hot, whole)[1] >= end - LOST
    assert placed(ready, long, hours, hot=True, whole=whole)[1] >= placed(ready, long, hours, False, whole)[1] - LOST


@given(shifts(), st.lists(st.tuples(TIMES, LONG), min_size=1, max_size=6), st.booleans(), st.booleans())
def test_days_take_arrays_as_they_take_numbers(
    hours: Shifts, works: list[tuple[float, float]], hot: bool, whole: bool
) -> None:
    ready, long = np.array(works).T
    found: Any = placed(ready, long, hours, hot, whole)
    each = [placed(*one, hours, hot, whole) for one in works]
    np.testing.assert_array_equal(np.array(found).T, np.array(each))


def _varied(plain: Inputs, rng: np.random.Generator, count: int) -> tuple[Inputs, list[Inputs]]:
    """Return a day as arrays, and the same day by day."""
    times = {code: value * rng.uniform(0.5, 2.0, count) for code, value in plain.times.items()}
    speed, watch = plain.road_speed * rng.uniform(0.6, 1.4, count), plain.fire_watch * rng.uniform(0.5, 2.0, count)
    arrays: dict[str, Any] = {"times": times, "road_speed": speed, "fire_watch": watch}
    whole = replace(plain, **arrays)
    each = []
    for n in range(count):
        own = {code: float(value[n]) for code, value in times.items()}
        each.append(replace(plain, times=own, road_speed=float(speed[n]), fire_watch=float(watch[n])))
    return whole, each


@pytest.mark.parametrize("seed", seeds(12, 4))
def test_a_schedule_of_arrays_is_the_loop_of_its_numbers(seed: int) -> None:
    asked, patch = random_case(seed)
    book = read_pricebook(patch)
    plan, _, order = arranged(asked, book)
    whole, each = _varied(plan.day, np.random.default_rng(seed), 7)
    found, one_by_one = figures_on(plan, order, whole).schedule, [figures_on(plan, order, one).schedule for one in each]
    for field in fields(found):
        if field.name not in {"arrangement", "calendar", "durations", "week"}:
            value = np.broadcast_to(np.asarray(getattr(found, field.name), float), 7)
            expected = [float(getattr(one, field.name)) for one in one_by_one]
            np.testing.assert_allclose(value, expected, rtol=1e-12, atol=1e-6, err_msg=field.name)


WELDED = frozenset({"setup", "teardown"})  # brackets on and off are hot work


def yard(seed: int, people: int, machines: int, scale: float = 1.0) -> Yard:
    """Return the tasks of a random job of the shop with random times. [min times the scale]"""
    dice = random.Random(seed)
    stations = [
        Station(name, f"L{dice.randint(1, 3)}", f"b{dice.randint(1, 4)}", "w", "g", False, frozenset(), WELDED)
        for name in "ABCD"[: dice.randint(1, 4)]
    ]
    tasks = tasks_of(stations)
    return Yard(tasks, [scale * round(_long(dice, task), 1) for task in tasks], people, machines)


def _long(dice: random.Random, task: Task) -> float:
    return 60.0 if task.code == "watch" else dice.uniform(60, 150) if task.code == "weld" else dice.uniform(8, 70)


def longer_with_more(which: str) -> dict[tuple[int, int, int], float]:
    """Return by how much a technician or a machine more makes an order longer, where it does."""
    found = {}
    for seed in range(PAIRS):
        for people, machines in ((1, 1), (2, 1), (1, 2), (2, 2), (2, 3), (3, 2)):
            more = (people + 1, machines) if which == "people" else (people, machines + 1)
            short, long = ordered(yard(seed, *more)).length, ordered(yard(seed, people, machines)).length
            if short > long * (1 + 1e-9):
                found[seed, people, machines] = short / long - 1
    return found


@pytest.mark.parametrize("which", ["people", "machines"])
def test_a_hand_or_a_machine_more_never_makes_an_order_longer(which: str) -> None:
    assert longer_with_more(which) == {}


@pytest.mark.parametrize("scale", [60.0, 0.1, 64.0])
def test_the_unit_of_time_changes_no_length(scale: float) -> None:
    """A power of two changes no digit, so that the very order stays; else ties may be broken the other way."""
    for seed in range(PAIRS):
        plain, scaled = ordered(yard(seed, 2, 2)), ordered(yard(seed, 2, 2, scale))
        assert scaled.length == pytest.approx(scale * plain.length, rel=1e-9), seed
        assert scaled.bound == pytest.approx(scale * plain.bound, rel=1e-9), seed
        if scale == 64.0:
            assert scaled.turns == plain.turns


def more_worn(seed: int) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    """Return a job of worst diameters, the same with one bore worn more, and the price book's patch."""
    dice = random.Random(1000 + seed)
    lines = [f"L{dice.randint(1, 3)}" for _ in range(dice.randint(2, 4))]
    wear = [dice.choice([0.6, 1.5, 2.5, 3.5]) for _ in lines]
    worse = list(wear)
    worse[dice.randrange(len(wear))] += dice.choice([0.05, 0.3, 1.0, 2.0])
    patch = {"crew": dice.randint(1, 3), "equipment": {"sets": dice.randint(1, 3)}, "overtime": "1 h"}
    both = [
        job(*(quick(80, 80 + w, name=n, line=line) for n, w, line in zip("ABCD", each, lines, strict=False)))
        for each in (wear, worse)
    ]
    return both[0], both[1], patch


def test_more_wear_is_never_cheaper_nor_fewer_hours_on_site() -> None:
    """The time from door to door may fall: days are spent the way that costs least, not the one that ends first."""
    less = dict[tuple[int, str], float]()
    for seed in range(PAIRS):
        *pair, patch = more_worn(seed)
        before, after = (estimate(one, read_pricebook(patch)) for one in pair)
        gained = {
            "price": float(before["price"]["total"]) - float(after["price"]["total"]),
            "on site": before["totals"]["on_site_min"] - after["totals"]["on_site_min"],
        }
        less |= {(seed, name): round(value, 2) for name, value in gained.items() if value > 0.01}
    assert less == {}
