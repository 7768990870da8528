"""A calibration in a book: whom it moves, by how much, and what stays as it is."""

import json
from pathlib import Path
from typing import Any, cast

import pytest

from estimator.book.pricebook import PriceBook, calibrated_book, read_pricebook
from estimator.estimate import estimate
from estimator.trust.explain import explain
from tests.jobs import bore, job

BOOK = read_pricebook()
SAMPLE = json.loads(Path("sample_jobs/boom_foot.json").read_text("utf-8"))


def taught(*factors: tuple[str, str, float], **more: Any) -> PriceBook:
    """Return the book with factors by element and group."""
    each = [
        {"element": element, "group": group, "jobs": 9, "ratio": ratio, "low": 0.9 * ratio, "high": 1.1 * ratio}
        for element, group, ratio in factors
    ]
    return calibrated_book(BOOK, {"factors": each, **more})


def by_name(part: object) -> dict[str, Any]:
    """Return a part of a document to be read by names that a test makes up."""
    return cast("dict[str, Any]", part)


def times(document: Any, book: PriceBook) -> Any:
    return estimate(document, book)["bores"][0]["time"]


def test_every_element_is_moved_by_its_own_factor() -> None:
    names = ("setup", "precut", "preheat", "weld", "cooldown", "finish", "inspection", "teardown")
    ratios = {name: 1.05 + 0.05 * place for place, name in enumerate(names)}
    book = taught(*((name, "all", ratio) for name, ratio in ratios.items()))
    before, after = estimate(SAMPLE, BOOK), estimate(SAMPLE, book)
    for one, other in zip(before["bores"], after["bores"], strict=True):
        plain, moved = by_name(one["time"]), by_name(other["time"])
        for name, ratio in ratios.items():
            assert moved[f"{name}_min"] == pytest.approx(plain[f"{name}_min"] * ratio, rel=1e-6, abs=1e-6)
        assert moved["total_min"] == pytest.approx(sum(moved[f"{name}_min"] for name in names), rel=1e-6)
        assert other["buildup"] == one["buildup"]
    whole = after["totals"]
    work = sum(one["time"]["total_min"] for one in after["bores"]) + whole["once_min"] + whole["fire_watch_min"]
    assert whole["on_site_min"] == pytest.approx(work - whole["used_wait_min"] - whole["away_wait_min"], rel=1e-6)


def test_wire_and_gas_are_moved_as_they_are_bought() -> None:
    before, after = estimate(SAMPLE, BOOK), estimate(SAMPLE, taught(("wire", "all", 1.1), ("gas", "all", 0.9)))
    for key, ratio in (("wire_kg", 1.1), ("gas_L", 0.9)):
        assert by_name(after["totals"])[key] == pytest.approx(ratio * by_name(before["totals"])[key], rel=1e-6)
    assert [one["time"] for one in after["bores"]] == [one["time"] for one in before["bores"]]


def test_the_table_of_elements_adds_up_to_what_was_moved() -> None:
    book = taught(("setup", "all", 1.3), ("teardown", "all", 0.8))
    found = estimate(SAMPLE, book)
    for phase in ("setup", "teardown"):
        rows = [one for one in found["times"] if one["phase"] == phase]
        bores = sum(by_name(one["time"])[f"{phase}_min"] for one in found["bores"])
        assert sum(one["total_min"] for one in rows) == pytest.approx(bores, rel=1e-6)
        for one in rows:
            whole = one["expected_min"] * one["factor"] * one["count"] - one["learned_min"] + one["calibrated_min"]
            assert one["total_min"] == pytest.approx(whole, rel=1e-6, abs=1e-6)
    assert all("calibrated_min" not in one for one in estimate(SAMPLE, BOOK)["times"])


def test_a_group_moves_those_who_belong_to_it_and_leaves_the_others_to_all() -> None:
    plain = estimate(job(), BOOK)
    setup, wire = plain["bores"][0]["time"]["setup_min"], plain["bores"][0]["buildup"]["wire"]
    of_wire = taught(("setup", "all", 1.2), ("setup", f"wire: {wire}", 1.5))
    assert times(job(), of_wire)["setup_min"] == pytest.approx(1.5 * setup, rel=1e-6)
    other = taught(("setup", "all", 1.2), ("setup", "wire: another", 1.5), ("setup", "position: vertical", 2.0))
    assert times(job(), other)["setup_min"] == pytest.approx(1.2 * setup, rel=1e-6)
    upright = times(job(bore(axis="vertical")), BOOK)["setup_min"]
    assert times(job(bore(axis="vertical")), other)["setup_min"] == pytest.approx(2.0 * upright, rel=1e-6)
    crew = ("setup", "crew: north", 1.5)
    assert times(job(), taught(crew))["setup_min"] == setup
    both = taught(("setup", "all", 1.2), crew, ("setup", "rig: R1", 1.8), crew="north", rig="R1")
    assert times(job(), both)["setup_min"] == pytest.approx(1.2 * (1.5 / 1.2) * (1.8 / 1.2) * setup, rel=1e-6)


def test_a_moved_figure_is_explained_down_to_the_jobs_behind_it() -> None:
    told = explain(SAMPLE, taught(("setup", "all", 1.3)), "bores.A.time.setup_min")
    texts = [str(step["text"]) for step in told["steps"]]
    assert any("calibration: setup of all, 9 jobs" in text for text in texts)


def test_a_calibration_without_factors_changes_no_figure() -> None:
    before, after = estimate(SAMPLE, BOOK), estimate(SAMPLE, taught())
    assert (before["totals"], before["cost"], before["price"]) == (after["totals"], after["cost"], after["price"])
    assert after["calibration"]["factors"] == []


def test_the_spread_of_what_was_taught_stands_in_the_place_of_the_table_s() -> None:
    factors = [{"element": "setup", "group": "all", "jobs": 9, "ratio": 1.0, "low": 0.98, "high": 1.02}]
    sure = calibrated_book(BOOK, {"factors": factors})
    wide = calibrated_book(BOOK, {"factors": [factors[0] | {"scatter": 0.5}]})

    def drawn(book: PriceBook) -> Any:
        return estimate(job(), book, "plan", 256)["spread"]

    widths = [one["on_site_h"]["p90"] - one["on_site_h"]["p10"] for one in map(drawn, (sure, BOOK, wide))]
    assert widths[0] < widths[1] < widths[2]
    setup = next(one for one in drawn(wide)["drivers"] if one["code"] == "times_setup")
    assert setup["source"].startswith("recorded jobs")
    assert drawn(wide)["on_site_h"]["p50"] == pytest.approx(drawn(BOOK)["on_site_h"]["p50"], rel=0.1)
