"""The spread of a job: what it says, what it holds, what moves it."""

import dataclasses
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from estimator.book.pricebook import read_pricebook
from estimator.errors import DocumentError
from estimator.estimate import estimate
from estimator.money.exact import exact_of
from estimator.shop.standards import _elements
from estimator.spread.branches import branches_of, missed
from estimator.spread.doubts import doubts_of
from tests.estimator.roads import arranged, figures_on
from tests.jobs import bore, job, quick

BOOK = read_pricebook()
DAYS = 64
STILL = {
    "doubts": {name: {"low": 1.0, "likely": 1.0, "high": 1.0} for name in BOOK.facts.rows("doubts")},
    "events": {name: {"chance": 0.0} for name in BOOK.facts.rows("events")},
    "times": {
        name: {"low": f"{row.duration} s", "duration": f"{row.duration} s", "high": f"{row.duration} s"}
        for name, row in BOOK.facts.rows("times").items()
        if hasattr(row, "duration")
    },
}


def spread(document: Any, patch: Any = None, days: int = DAYS) -> Any:
    return estimate(document, read_pricebook(patch or {}), "plan", days)["spread"]


def test_without_doubt_every_day_is_the_one_that_is_planned_for() -> None:
    book = read_pricebook({"tables": STILL})
    found: Any = estimate(job(), book, "plan", DAYS)
    told = found["spread"]
    for name, value in (("on_site_h", found["totals"]["on_site_min"] / 60), ("wire_kg", found["totals"]["wire_kg"])):
        assert [*told[name].values()] == pytest.approx([value] * 3, rel=1e-6)
    cost = float(found["cost"]["total"])  # of printed quantities; each is rounded to a thousandth or finer
    assert [float(one) for one in told["cost"].values()] == pytest.approx([cost] * 3, rel=1e-3)
    assert told["drivers"] == []


def test_the_same_call_gives_the_same_bytes_and_the_estimate_beside_it_is_the_same() -> None:
    first, again = (estimate(job(), BOOK, "plan", DAYS) for _ in range(2))
    assert json.dumps(first) == json.dumps(again)
    del first["spread"]
    assert first == estimate(job(), BOOK, "plan")


@pytest.mark.parametrize("path", sorted(Path("sample_jobs").glob("*.json"))[:3], ids=lambda path: path.stem)
def test_quantiles_rise_and_shares_are_shares(path: Path) -> None:
    told = spread(json.loads(path.read_text("utf-8")))
    for name in ("price", "cost", "on_site_h", "wire_kg", "gas_L"):
        low, middle, high = (float(value) for value in told[name].values())
        assert 0 < low <= middle <= high
    covers = [float(value) for value in told["price_for"].values()]
    assert covers == sorted(covers)
    assert covers[0] == pytest.approx(float(told["cost"]["p50"]))
    assert 0 <= told["chance_of_loss"] <= 1
    assert sum(one["share"] for one in told["drivers"]) < 1.5
    assert all(0 <= one["share"] <= 1 and one["name"] and one["source"] for one in told["drivers"])
    assert [one["total_share"] for one in told["drivers"]] == sorted(
        (one["total_share"] for one in told["drivers"]), reverse=True
    )


def test_a_slower_crew_moves_hours_and_cost_up_and_leads_the_drivers() -> None:
    slow = {"tables": {"doubts": {"pace": {"low": 1.0, "likely": 1.4, "high": 3.0}}}}
    usual, slower = spread(job()), spread(job(), slow)
    assert slower["on_site_h"]["p50"] > 1.1 * usual["on_site_h"]["p50"]
    assert float(slower["cost"]["p90"]) > float(usual["cost"]["p90"])
    assert slower["drivers"][0]["code"] == "crew"
    assert slower["chance_of_loss"] > usual["chance_of_loss"]


def test_more_wear_found_is_a_plan_of_its_own() -> None:
    """With the chance at one every day is a day of the job as cut deeper, and takes its metal."""
    events = {"deeper_gauged": {"chance": 1.0, "deeper": "0.5 mm"}}
    still = {**STILL, "events": {**STILL["events"], **events}}
    plain = estimate(job(), BOOK)
    cut = plain["bores"][0]["sizes"]["cleanup_mm"] + 1.0
    deeper = estimate(job(bore(cleanup_diameter=f"{cut} mm")), BOOK)
    told = spread(job(), {"tables": still})
    assert told["wire_kg"]["p50"] == pytest.approx(deeper["totals"]["wire_kg"], rel=1e-3)
    assert told["wire_kg"]["p50"] > plain["totals"]["wire_kg"]


def test_what_is_cut_already_hides_nothing_more() -> None:
    plain = estimate(job(), BOOK)
    cut = plain["bores"][0]["sizes"]["cleanup_mm"]
    told = spread(job(bore(cleanup_diameter=f"{cut} mm")))
    assert "found" not in {one["code"] for one in told["drivers"]}


def test_what_cannot_be_planned_when_it_is_found_is_said() -> None:
    thin = bore(outside_diameter="106 mm")  # a wall that a deeper cut leaves too thin
    events = {"deeper_gauged": {"chance": 0.5, "deeper": "6 mm"}}
    told = spread(job(thin), {"tables": {"events": events}})
    assert any("more wear found" in one for one in told["not_planned"])


def test_one_day_of_the_draw_is_what_the_road_answers_for_it() -> None:
    plan, _, arrangement = arranged(job(), BOOK)
    doubts = doubts_of(plan, BOOK.facts)
    chances = np.random.default_rng(3).random((5, doubts.sides))
    many = figures_on(plan, arrangement, doubts.day(chances)).schedule.on_site
    for number in range(5):
        one = figures_on(plan, arrangement, doubts.day(chances[number : number + 1])).schedule.on_site
        assert np.asarray(one)[0] == pytest.approx(np.asarray(many)[number], rel=1e-12)


def test_every_doubt_has_its_place_and_its_words() -> None:
    plan, _, _ = arranged(job(), BOOK)
    doubts = doubts_of(plan, BOOK.facts)
    places = [place for group in doubts.groups().values() for place in group]
    assert sorted(places) == list(range(doubts.sides))
    day = vars(plan.day)
    assert {row.of for row in doubts.rows} <= {*day, "pace"}


@pytest.mark.parametrize(
    ("row", "path"),
    [
        ({"of": "no_such_number"}, "tables.doubts.tip_life.of"),
        ({"low": 2.0}, "tables.doubts.tip_life.likely"),
        ({"low": 0.0}, "tables.doubts.tip_life.low"),
        ({"high": 1e9}, "tables.doubts.tip_life.high"),
    ],
)
def test_a_doubt_that_cannot_be_drawn_is_a_fault_of_the_book(row: dict[str, Any], path: str) -> None:
    with pytest.raises(DocumentError) as found:
        read_pricebook({"tables": {"doubts": {"tip_life": row}}})
    assert [fault.path for fault in found.value.faults] == [path]


def test_a_depth_of_another_dimension_is_a_fault_of_the_book() -> None:
    with pytest.raises(DocumentError):
        read_pricebook({"tables": {"events": {"deeper_gauged": {"deeper": "5 kg"}}}})


def test_events_that_are_sure_leave_nothing_to_the_job_as_told() -> None:
    events = {"deeper_guessed": {"chance": 1.0}, "other_wear": {"chance": 1.0}}
    told = spread(job(bore(readings=None, worn_diameter="93 mm")), {"tables": {"events": events}})
    assert float(told["price"]["p10"]) <= float(told["price"]["p90"])


def test_days_of_arrays_are_not_kept() -> None:
    before = _elements.cache_info().currsize
    spread(job(), days=DAYS)
    plain = _elements.cache_info().currsize - before
    before = _elements.cache_info().currsize
    spread(job(), days=4 * 4096 + 1)
    assert _elements.cache_info().currsize - before <= plain


def test_the_gauge_adds_to_the_chance_that_more_wear_is_found() -> None:
    """A micrometer misses nothing; where its uncertainty is the whole room, one standard deviation: 15.9 %, by hand."""
    fine, _, _ = arranged(job(), BOOK)
    (survey,) = (one.survey for one in fine.bores)
    assert missed(survey, BOOK.facts) < 1e-9
    room = (survey.sizes.cleanup - survey.bore.nominal_diameter) / 2 - survey.wear.max_radial_wear
    rough = dataclasses.replace(survey, trust=dataclasses.replace(survey.trust, radial_wear=2 * room))
    assert missed(rough, BOOK.facts) == pytest.approx(0.158655, abs=1e-5)
    assert branches_of((fine, arranged(job(), BOOK)[2]), BOOK.facts, lambda _: (fine, arranged(job(), BOOK)[2]))[
        1
    ].chance == pytest.approx(0.12, abs=1e-6)


def test_what_may_go_wrong_happens_as_often_as_its_odds_say() -> None:
    """On days that were drawn it happens or not; over many days the mean is what a plan bears."""
    plan, _, arrangement = arranged(hard(), BOOK)
    odds = plan.bores[0].heat.risk.odds
    assert plan.bores[0].heat.risk.priced and 0 < odds < 1
    chances = (np.arange(4000) + 0.5) / 4000
    luck: Any = {"rework": chances, "hardness": chances}
    drawn = dataclasses.replace(plan.day, luck=luck)
    cost = np.asarray(exact_of(figures_on(plan, arrangement, drawn)).cost)
    assert len(np.unique(np.round(cost, 6))) == 2
    assert np.mean(cost) == pytest.approx(exact_of(figures_on(plan, arrangement, plan.day)).cost, rel=1e-4)
    assert np.mean(cost == cost.max()) == pytest.approx(odds, abs=1e-3)


def hard() -> dict[str, Any]:
    """Return a job in a steel whose deposit may come out too hard to bore."""
    return job(quick(90.0, 90.4, material="4340"))


def test_more_wear_that_is_paid_as_a_variation_is_no_loss() -> None:
    """Where every day finds more wear, the price of its plan pays for it; unpaid, the cost lies nearer the price."""
    thin = {"margin": 0.0, "contingency": 0.0}
    events = {"deeper_gauged": {"chance": 1.0, "deeper": "2 mm"}}
    found = spread(job(), {**thin, "tables": {"events": events}}, 256)
    assert found["chance_of_loss"] < found["chance_of_loss_unpaid"]
    none = spread(job(), {**thin, "tables": {"events": {"deeper_gauged": {"chance": 0.0}}}}, 256)
    assert none["chance_of_loss"] == none["chance_of_loss_unpaid"]
