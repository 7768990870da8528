"""Expected times are priced; overtime is worked where it is cheaper; breaks, the way and week-ends fall as they do."""

import itertools
from decimal import Decimal
from typing import Any

import numpy as np
import pytest

from estimator.book.pricebook import read_pricebook
from estimator.days.timetable import by_road
from estimator.days.week import days_off, week_ends
from estimator.estimate import read_job
from estimator.inputs import planned_time
from estimator.tables.rows import TimeStandard
from tests.jobs import bore, job
from tests.raw import estimate

BOOK = read_pricebook()
PRINTED = Decimal("1.50")  # each of seven lines is printed to 0.01 h: half of that, with overhead and margin


def _pair(**site: Any) -> Any:
    return job(bore(name="A", line="foot"), bore(name="B", line="foot"), site={"ambient": "12 degC", **site})


def test_the_price_stands_on_expected_times_and_says_so() -> None:
    """By hand: (low + 4 likely + high) / 6 of each element, Malcolm and others 1959."""
    found = estimate(_pair(distance="85 km"), BOOK)
    for row in found["times"]:
        expected = (row["low_min"] + 4 * row["likely_min"] + row["high_min"]) / 6
        assert row["expected_min"] == pytest.approx(expected, abs=1e-6)  # printed to 1e-7 min
    assert sum(row["total_min"] for row in found["times"]) == pytest.approx(found["times_sum"]["expected_min"])
    assert found["times_sum"]["expected_min"] > 1.05 * found["times_sum"]["likely_min"]
    assert any("expected" in said for said in found["assumptions"])


def test_a_time_typed_alone_is_planned_as_typed() -> None:
    own = read_pricebook({"tables": {"times": {"align": {"duration": "35 min"}}}})
    assert planned_time(own.facts.row("times", "align", TimeStandard)) == 35 * 60


def _at(distance: float, book: Any = BOOK) -> Any:
    return estimate(_pair(distance=f"{distance} km"), book)


def test_overtime_of_up_to_two_hours_is_worked_only_where_it_is_cheaper() -> None:
    without = read_pricebook({"overtime": "0 h"})
    gained = 0
    for way in (0, 20, 40, 60, 85, 120, 160, 200, 300):
        found, plain = _at(way), _at(way, without)
        less = Decimal(plain["price"]["before_tax"]) - Decimal(found["price"]["before_tax"])
        said = found["schedule"]["price_less_by_overtime"]
        assert less >= 0
        assert found["totals"]["overtime_h"] <= 2 * len(found["schedule"]["days"])
        if said is None:
            assert less == 0
            continue
        gained += 1
        assert Decimal(said) == less > 0
        hour = Decimal(found["schedule"]["overtime_hour_price"])
        assert float(hour) == pytest.approx(float(less) / found["totals"]["overtime_h"], abs=0.006)
    assert gained


def test_five_kilometres_more_never_move_the_price_by_a_tenth() -> None:
    """Within the reach of a day and far beyond it; more distance never costs less."""
    prices = [Decimal(_at(way)["price"]["before_tax"]) for way in range(0, 305, 5)]
    for near, far in itertools.pairwise(prices):
        assert near - PRINTED <= far <= near * Decimal("1.10")


def test_the_way_is_slow_near_home_and_quicker_far_off() -> None:
    """By hand from the table of roads: 10 km at 0.7, 50 at 1, 140 at 1.2 and the rest at 1.25 of 65 km/h."""
    far = {5: 5 / 0.7, 10: 10 / 0.7, 60: 10 / 0.7 + 50, 260: 10 / 0.7 + 50 + 140 / 1.2 + 60 / 1.25}
    for way, slowed in far.items():
        assert by_road(read_job(_pair(distance=f"{way} km"), BOOK), BOOK.facts) == pytest.approx(1000 * slowed)
        totals = _at(way)["totals"]
        assert totals["travel_min"] == pytest.approx(2 * 60 * slowed / 65 * totals["trips"])
    speeds = [way / slowed for way, slowed in far.items()]
    assert speeds == sorted(speeds)


def test_breaks_take_hours_of_the_day_and_are_not_paid() -> None:
    short, none = _at(85), _at(85, read_pricebook({"breaks": "0 h"}))
    assert short["schedule"]["pause_min"] == 45 and none["schedule"]["pause_min"] == 0
    assert short["schedule"]["closing_min"] == pytest.approx(none["schedule"]["closing_min"] + 45)
    assert short["schedule"]["days"][0]["ends_min"] >= none["schedule"]["days"][0]["begins_min"]
    for found in (short, none):
        once = sum(row["total_min"] for row in found["times"] if row["per"] in ("job", "day"))
        assert found["totals"]["once_min"] == pytest.approx(once)  # no minute of a break among them


def test_a_short_shift_has_no_breaks() -> None:
    found = _at(20, read_pricebook({"shift_length": "6 h"}))
    assert found["schedule"]["pause_min"] == 0
    assert not any("breaks" in one for one in found["schedule"]["notes"])


WEEK = (True, True, False, False, True, True, True)  # from a Thursday


def test_week_ends_are_counted_by_hand() -> None:
    assert [week_ends(days, WEEK) for days in range(1, 9)] == [0, 0, 1, 1, 1, 1, 1, 2]
    assert [days_off(days, WEEK) for days in range(1, 9)] == [0, 0, 2, 2, 2, 2, 2, 4]
    assert week_ends(5, ()) == 0
    many: Any = np.array([1.0, 3.0, 8.0])
    np.testing.assert_array_equal(week_ends(many, WEEK), [0, 1, 2])


def _over_a_week_end(distance: str, night: str) -> Any:
    bores = [bore(name=name, line=name, length="120 mm") for name in "ABCDE"]
    asked = job(*bores, site={"distance": distance}, start="2027-03-11")  # a Thursday
    return estimate(asked, read_pricebook({"travel": {"night": night}}))


def test_a_week_end_is_spent_where_it_is_cheaper() -> None:
    home, stay = _over_a_week_end("150 km", "400 EUR"), _over_a_week_end("900 km", "60 EUR")
    days = len(home["schedule"]["days"])
    assert home["schedule"]["stays"] and home["totals"]["trips"] == 2
    assert home["totals"]["nights"] == days - 1 - 1
    assert [len(day["drives"]) for day in home["schedule"]["days"]].count(1) >= 3
    assert stay["totals"]["trips"] == 1
    assert stay["totals"]["nights"] == len(stay["schedule"]["days"]) - 1 + 2
    assert any("days off" in one for one in home["schedule"]["notes"])
