"""Laws, faults and own rows of the time standards: low to high, place, conditions, the second identical bore."""

import math
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from estimator.book.check import basis_faults
from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.errors import DocumentError
from estimator.estimate import read_job
from estimator.inputs import site_factor
from estimator.road import decide
from estimator.shop.standards import alike, bore_elements, day_elements, line_elements, spread_of
from estimator.tables import Tables
from estimator.tables.rows import TimeStandard
from tests.depth import deep
from tests.jobs import any_job, bore, changed, job, quick
from tests.raw import estimate

BOOK = read_pricebook()
SOME = settings(max_examples=deep(15, 5), deadline=None, suppress_health_check=[HealthCheck.too_slow])
FAULTS = [
    ({"low": "60 min"}, "tables.times.align.low", "must not be above duration"),
    ({"high": "15 min"}, "tables.times.align.high", "must not be below duration"),
    ({"duration": "-1 min"}, "tables.times.align.duration", "must be zero or more"),
    ({"basis": "fortnight"}, "tables.times.align.basis", "'job'"),
    ({"basis": "day"}, "tables.times.align.phase", "counted per job, day"),
    ({"when": "raining"}, "tables.times.align.when", "'always'"),
    ({"when": "preheat"}, "tables.times.align.when", "bore by bore"),
    ({"basis": "face", "when": "coated"}, "tables.times.align.when", "always done"),
    ({"hot": "perhaps"}, "tables.times.align.hot", "'yes'"),
]


def _with(table: str, rows: Any) -> PriceBook:
    return read_pricebook({"tables": {table: rows}})


def _row(found: Any, code: str) -> Any:
    return next((row for row in found["times"] if row["code"] == code), {})


@pytest.mark.parametrize(("change", "path", "said"), FAULTS, ids=[path + said for _, path, said in FAULTS])
def test_a_wrong_row_is_told_at_its_key(change: dict[str, str], path: str, said: str) -> None:
    with pytest.raises(DocumentError) as caught:
        _with("times", {"align": change})
    assert [(fault.path, said in fault.message) for fault in caught.value.faults] == [(path, True)]


@pytest.mark.parametrize(
    ("name", "value"),
    [("learning_rate", 1.1), ("learning_rate", 0.0), ("time_spread_low", 1.2), ("time_spread_high", 0.9)],
)
def test_a_constant_beyond_reason_is_told(name: str, value: float) -> None:
    with pytest.raises(DocumentError, match=f"tables.constants.{name}.value"):
        _with("constants", {name: {"value": value}})


@pytest.mark.parametrize("row", [{"factor": 0.9}, {"up_to": "-20 degC"}])
def test_weather_never_helps_and_its_ends_are_in_order(row: Any) -> None:
    with pytest.raises(DocumentError, match=r"tables.weather.light frost"):
        _with("weather", {"light frost": row})


def test_every_built_in_row_has_its_range_and_a_partial_one_of_the_book_sheds_it() -> None:
    rows = BOOK.facts.rows("times").values()
    assert all(isinstance(r, TimeStandard) and r.low is not None and r.high is not None for r in rows)
    facts = _with("times", {"align": {"duration": "10 min"}}).facts
    low, likely, high = spread_of(facts.row("times", "align", TimeStandard), facts)
    assert (low, likely, high) == pytest.approx((360.0, 600.0, 1200.0))  # 0.6 and 2 of the likely time


def test_an_own_time_moves_the_hours_by_as_much() -> None:
    before, after = (estimate(job(), book) for book in (BOOK, _with("times", {"align": {"duration": "35 min"}})))
    more = after["bores"][0]["time"]["setup_min"] - before["bores"][0]["time"]["setup_min"]
    assert more == pytest.approx(35.0 - (13 + 4 * 20 + 40) / 6)  # typed alone it is planned as typed
    assert _row(after, "align")["source"] == "the user's own row"


@given(any_job())
@SOME
def test_what_is_counted_adds_up(document: Any) -> None:
    found = estimate(document, BOOK)
    for row in found["times"]:
        assert row["low_min"] <= row["likely_min"] <= row["high_min"]
        assert row["factor"] >= 1
        whole = row["expected_min"] * row["factor"] * row["count"] - row["learned_min"]
        assert row["total_min"] == pytest.approx(whole, rel=1e-7)
    whole = found["times_sum"]
    assert whole["low_min"] <= whole["likely_min"] <= whole["high_min"]
    assert whole["low_min"] <= whole["expected_min"] <= whole["high_min"]
    assert math.fsum(row["total_min"] for row in found["times"]) == pytest.approx(whole["expected_min"], rel=1e-7)


def test_elements_of_a_bore_are_what_its_phases_hold() -> None:
    """Inspection and tear-down hold nothing but elements: the bore's own, and a line's shared by its bores."""
    one = read_job(job(bore(line="1"), bore(name="B", line="1")), BOOK)
    plan = decide(one, BOOK)
    inputs, counts = plan.day, plan.bores[0].counts
    own = sum(e.time for e in bore_elements(counts, BOOK.facts, inputs) if e.phase == "inspection")
    shared = sum(e.time for e in line_elements(counts, BOOK.facts, inputs) if e.phase == "teardown") / 2
    time = estimate(job(bore(line="1"), bore(name="B", line="1")), BOOK)["bores"][0]["time"]
    assert (own / 60, shared / 60) == pytest.approx((time["inspection_min"], time["teardown_min"]))
    assert {e.code for e in day_elements(BOOK.facts, inputs)} == {"open_day", "close_day"}


@given(st.integers(2, 6), st.floats(0.7, 1.0))
@SOME
def test_the_last_of_some_identical_bores_takes_no_less_than_the_curve_says(number: int, rate: float) -> None:
    book = _with("constants", {"learning_rate": {"value": rate}})
    row = _row(estimate(job(*(quick(90, 92, name=f"B{n}") for n in range(number))), book), "set_torch")
    shares = [n ** math.log2(rate) for n in range(1, number + 1)]
    assert row["total_min"] == pytest.approx(row["expected_min"] * math.fsum(shares), rel=1e-7)
    assert row["total_min"] >= row["expected_min"] * row["factor"] * number * shares[-1] * (1 - 1e-9)


def test_only_hand_work_on_bores_and_lines_is_learnt_and_a_rate_of_one_switches_it_off() -> None:
    document = job(quick(90, 92), quick(90, 92, name="B"))
    found = estimate(document, BOOK)
    learnt = {row["code"] for row in found["times"] if row["learned_min"] > 0}
    standards = {code: BOOK.facts.row("times", code, TimeStandard) for code in learnt}
    assert {"set_torch", "align", "degrease_length"} <= learnt
    assert all(row.hand == "yes" and row.basis in ("bore", "metre", "line", "bearing") for row in standards.values())
    off = estimate(document, _with("constants", {"learning_rate": {"value": 1.0}}))
    assert max(row["learned_min"] for row in off["times"]) == pytest.approx(0.0, abs=1e-9)
    bored = [sum(bore["time"]["total_min"] for bore in one["bores"]) for one in (off, found)]
    assert bored[0] > bored[1]  # how the days are spent may shorten what is paid on site


OTHERS: list[Any] = [
    {"nominal_diameter": "91 mm"},
    {"length": "71 mm"},
    {"material": "S235JR"},
    {"tolerance": "H7"},
    {"chamfers": [{"side": "machine", "width": "2 mm"}]},
]


@pytest.mark.parametrize("change", OTHERS, ids=[next(iter(change)) for change in OTHERS])
def test_another_bore_is_not_alike_and_wear_does_not_decide(change: Any) -> None:
    one, other, worn = read_job(
        job(quick(90, 92), quick(90, 92, name="B", **change), quick(90, 95, name="C")), BOOK
    ).bores
    assert alike(one) != alike(other)
    assert alike(one) == alike(worn)


@given(st.floats(92, 96), st.floats(0.1, 2))
@SOME
def test_more_wear_never_comes_out_quicker_beside_an_identical_bore(worn: float, more: float) -> None:
    def on_site(second: float) -> float:
        found = estimate(job(quick(90, 92), quick(90, round(second, 3), name="B")), BOOK)
        return float(found["bores"][1]["time"]["total_min"])

    assert on_site(worn + more) >= on_site(worn) - 1e-6


@given(st.floats(-40, 50), st.floats(0, 20), st.sampled_from(["open", "restricted", "confined"]))
@SOME
def test_the_place_never_helps(ambient: float, wind: float, access: str) -> None:
    site = {"ambient": f"{ambient:.2f} degC", "wind": f"{wind:.2f} m/s", "access": access}
    factor = site_factor(read_job(job(site=site), BOOK), BOOK.facts)
    assert factor >= site_factor(read_job(job(site={"access": access}), BOOK), BOOK.facts) >= 1


def test_colder_never_goes_quicker() -> None:
    def at(ambient: int) -> float:
        return site_factor(read_job(job(site={"ambient": f"{ambient} degC"}), BOOK), BOOK.facts)

    found = [at(ambient) for ambient in range(20, -50, -1)]
    assert found == sorted(found)
    assert (at(0), at(1)) == (1.1, 1.0)  # the upper end belongs to its row


def test_conditions_decide_which_elements_are_there() -> None:
    plain = job(bore())
    coated = changed(plain, "bores.0.condition", {**plain["bores"][0]["condition"], "coated": "yes"})
    clamped, blind = (
        changed(plain, f"bores.0.{key}", value) for key, value in (("mounts", "clamped"), ("blind", True))
    )
    own = {"see_bottom": {"phase": "setup", "basis": "bore", "when": "blind", "duration": "4 min", "hand": "yes"}}
    book = _with("times", {"see_bottom": {**own["see_bottom"], "meaning": "look at the bottom", "mark": "from memory"}})
    codes = [{row["code"] for row in estimate(each, book)["times"]} for each in (plain, coated, clamped, blind)]
    assert codes[1] - codes[0] == {"bake_out"}
    assert codes[2] - codes[0] == {"clamp_on", "clamp_off"}
    assert codes[0] - codes[2] == {"bracket_on", "bracket_off", "bracket_heat", "bracket_dye"}
    assert codes[3] - codes[0] == {"see_bottom"}


def test_each_built_in_time_is_counted_per_what_a_job_a_bore_or_a_feature_has() -> None:
    facts = Tables()
    assert basis_faults(facts.rows("times"), facts) == []
