"""One-sided wear: full circle, pocket first and sector beside each other are what the same jobs cost when run alone."""

import json
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from tests.jobs import changed
from tests.raw import estimate

SAMPLE = json.loads((Path(__file__).parents[3] / "sample_jobs" / "loader_one_side.json").read_text("utf-8"))
PART = {"from": 120, "to": 270}  # the readings beside the wear, in the sample
KEYS = {"pocket first": "pocket", "sector": "sector"}


def with_wire(price: float) -> Any:
    """Return changes of the price book: what good metal is worth decides whether a sector saves."""
    return {"consumables": {"wires": {"G3Si1 1.0 mm": {"price": f"{price} EUR/kg"}}}}


@cache
def runs(length: int, wire: float) -> dict[str, Any]:
    """Return the sample as it stands, under "full circle", and with each part pinned by the job."""
    book, asked = read_pricebook(with_wire(wire)), changed(SAMPLE, "bores.0.length", f"{length} mm")
    pinned = {way: changed(asked, f"bores.0.{key}", PART) for way, key in KEYS.items()}
    return {way: estimate(job, book) for way, job in {"full circle": asked, **pinned}.items()}


CASES = [(80, 3.2), (80, 40.0), (280, 3.2), (200, 12.0)]


@pytest.mark.parametrize(("length", "wire"), CASES)
def test_each_way_is_priced_as_the_job_run_alone(length: int, wire: float) -> None:
    """Definition: more is what the other way takes beyond the full circle, so a saving is below zero."""
    found = runs(length, wire)
    full = found["full circle"]
    (ways,) = full["ways"]
    assert (ways["bore"], ways["clock_from"], ways["clock_to"]) == ("link", PART["from"], PART["to"])
    assert [one["way"] for one in ways["options"]] == list(found)
    for one in ways["options"]:
        alone = found[one["way"]]
        assert Decimal(one["price_more"]) == Decimal(alone["price"]["total"]) - Decimal(full["price"]["total"])
        more = alone["totals"]["on_site_min"] - full["totals"]["on_site_min"]
        assert one["on_site_more_min"] == pytest.approx(more, abs=2e-7)
        assert one["cleanup_mm"] == alone["bores"][0]["sizes"]["cleanup_mm"]
        assert one["interrupted_cut"] is (one["way"] == "sector") and one["feasible"]
        pinned = alone["bores"][0]["features"]
        fill = sum(each["fill_mass_kg"] for each in pinned)
        assert one["deposit_mass_kg"] == pytest.approx(alone["bores"][0]["buildup"]["deposit_mass_kg"] + fill, rel=1e-7)


@pytest.mark.parametrize(("length", "wire"), CASES)
def test_starts_are_one_a_layer_of_a_spiral_and_one_a_bead_of_a_sector(length: int, wire: float) -> None:
    found = runs(length, wire)
    beads = {way: [layer["beads"] for layer in one["bores"][0]["buildup"]["layers"]] for way, one in found.items()}
    starts = {one["way"]: one["starts"] for one in found["full circle"]["ways"][0]["options"]}
    assert starts["full circle"] == len(beads["full circle"])
    assert starts["sector"] == sum(beads["sector"]) > len(beads["sector"])
    assert starts["pocket first"] == len(beads["pocket first"]) + max(beads["pocket first"])


def test_a_pocket_is_filled_in_as_many_starts_as_a_layer_has_beads() -> None:
    """3 mm a side left to bore: two layers over the filled pocket, which is bead beside bead like one of them."""
    asked = changed(SAMPLE, "bores.0.machining_allowance", "3 mm")
    full, pocket = (estimate(one, read_pricebook()) for one in (asked, changed(asked, "bores.0.pocket", PART)))
    beads = [layer["beads"] for layer in pocket["bores"][0]["buildup"]["layers"]]
    told = {one["way"]: one["starts"] for one in full["ways"][0]["options"]}
    assert len(beads) > 1 and told["pocket first"] == len(beads) + max(beads)


@pytest.mark.parametrize(("length", "wire"), CASES)
def test_good_metal_kept_is_what_is_cut_and_ground_less(length: int, wire: float) -> None:
    """The full circle is cut clean; a sector is ground only; a pocket is ground, then the bore is cut less deep."""
    found = runs(length, wire)
    gone = {}
    for way, one in found.items():
        ground = sum(each["ground_volume_mm3"] for each in one["bores"][0]["features"])
        gone[way] = one["bores"][0]["machining"]["precut_volume_mm3"] + ground
    for one in found["full circle"]["ways"][0]["options"]:
        assert one["good_metal_kept_mm3"] == pytest.approx(gone["full circle"] - gone[one["way"]], abs=2e-4)
        assert (one["good_metal_kept_mm3"] > 0) is (one["way"] != "full circle")


@pytest.mark.parametrize("wire", [10.0, 20.0, 30.0, 40.0])
def test_a_way_that_saves_less_than_a_hundredth_of_the_price_changes_nothing(wire: float) -> None:
    """House rule: a choice that saves less than 1 % of the price is not worth its drawbacks."""
    full = runs(80, wire)["full circle"]
    (ways,) = full["ways"]
    dearest = {one["way"]: Decimal(one["price_more"]) for one in ways["options"]}
    best = min(dearest, key=dearest.__getitem__)
    saved, price = -dearest[best], Decimal(full["price"]["total"])
    assert saved > 0
    worth = saved >= price / 100
    assert ways["advised"] == (best if worth else "full circle")
    assert (f"saves {saved}" in ways["why"]) and (("less than 1 %" in ways["why"]) is not worth)


def test_both_sides_of_that_hundredth_were_seen() -> None:
    advised = [runs(80, wire)["full circle"]["ways"][0]["advised"] for wire in (10.0, 30.0)]
    assert advised == ["full circle", "sector"]


def test_a_way_that_costs_the_same_is_not_advised() -> None:
    """Below the minimum charge all ways come to the same price."""
    full = estimate(SAMPLE, read_pricebook({"minimum_charge": "9000 EUR"}))
    (ways,) = full["ways"]
    assert [one["price_more"] for one in ways["options"]] == ["0.00"] * 3
    assert ways["advised"] == "full circle" and "no other way is cheaper" in ways["why"]


def test_a_way_that_cannot_be_gone_says_why() -> None:
    (ways,) = estimate(SAMPLE, read_pricebook({"equipment": {"part_turns": False}}))["ways"]
    by = {one["way"]: one for one in ways["options"]}
    assert [one["feasible"] for one in by.values()] == [True, True, False]
    assert "part of a turn" in by["sector"]["reasons"][0] and "price_more" not in by["sector"]


def test_a_part_that_the_job_pins_is_not_weighed_again() -> None:
    assert all("ways" not in one for way, one in runs(80, 3.2).items() if way != "full circle")
