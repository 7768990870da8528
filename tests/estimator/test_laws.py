"""Laws of every job: more wear never costs less, inch is millimetre, metal and time balance, sums to the cent."""

import copy
import itertools
import json
import math
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic_core import to_json

from estimator.book.pricebook import read_pricebook
from estimator.trust.explain import figures_of
from tests.depth import deep
from tests.jobs import any_job, bore, changed, job
from tests.raw import estimate

BOOK = read_pricebook()
BALANCE = 1e-6  # identities of figures printed to ten digits and their least places
# each of four labour lines and the equipment is printed to 0.01 h: half of that, with overhead, margin and tax
PRINTED = Decimal("2.50")
SOME = settings(max_examples=deep(60, 8), suppress_health_check=[HealthCheck.too_slow])


def _scaled(document: Any, unit: str, size: float) -> Any:
    """Return the same job with every length written in another unit."""

    def one(text: str) -> str:
        number, symbol = text.split()
        return f"{float(number) / size!r} {unit}" if symbol == "mm" else text

    def walk(item: Any, key: str = "") -> Any:
        if isinstance(item, dict) and "unit" in item and "values" in item:
            numbers = {k: walk(item[k], "number") for k in ("values", "depth")}
            return {**item, **numbers, "unit": unit}
        if isinstance(item, dict):
            return {k: walk(v) for k, v in item.items()}
        if isinstance(item, list):
            return [walk(v, key) for v in item]
        if isinstance(item, str) and item.endswith(" mm"):
            return one(item)
        return item / size if key == "number" and isinstance(item, int | float) else item

    return walk(document)


@given(any_job())
@SOME
def test_inch_and_millimetre_give_the_same_figures(document: Any) -> None:
    metric, inch = estimate(document, BOOK), estimate(_scaled(document, "in", 25.4), BOOK)
    metric.pop("input_sha256"), inch.pop("input_sha256")
    assert (metric["job"].pop("typed_in"), inch["job"].pop("typed_in")) == ("metric", "us")
    assert metric == inch


@given(any_job(), st.integers(1, 12))
@SOME
def test_turning_the_clock_changes_no_figure(document: Any, steps: int) -> None:
    turned = copy.deepcopy(document)
    for one in turned["bores"]:
        readings = one["readings"]
        turn = 360 if readings["kind"] == "radius" else 180
        readings["clock"] = [(angle + 15 * steps) % turn for angle in readings["clock"]]
    before, after = estimate(document, BOOK), estimate(turned, BOOK)
    figures = {k: v for k, v in figures_of(before) if ".clock_" not in k}
    again = dict(figures_of(after))
    # the order of adding up changes with the clock, so the last printed digit may
    assert all(math.isclose(again[k], v, rel_tol=2e-9, abs_tol=1.1e-6) for k, v in figures.items())


@given(any_job(), st.permutations(range(4)))
@SOME
def test_rows_come_in_any_order(document: Any, order: list[int]) -> None:
    mixed = copy.deepcopy(document)
    for one in mixed["bores"]:
        readings = one["readings"]
        rows = [n for n in order if n < len(readings["depth"])]
        readings["depth"] = [readings["depth"][n] for n in rows]
        readings["values"] = [readings["values"][n] for n in rows]
    before, after = estimate(document, BOOK), estimate(mixed, BOOK)
    for old, new in zip(before["bores"], after["bores"], strict=True):
        assert {k: old[k] for k in ("wear", "sizes", "buildup")} == {k: new[k] for k in ("wear", "sizes", "buildup")}


@given(any_job())
@SOME
def test_metal_balances_and_layers_join(document: Any) -> None:
    found = estimate(document, BOOK)
    for one, asked in zip(found["bores"], document["bores"], strict=True):
        built, sizes, cut = one["buildup"], one["sizes"], one["machining"]
        layers, length = built["layers"], one["given"]["length_mm"]
        assert layers[0]["start_diameter_mm"] == pytest.approx(sizes["cleanup_mm"], rel=BALANCE)
        assert sizes["weld_mm"] - 2.0 <= layers[-1]["end_diameter_mm"] <= sizes["weld_mm"] * (1 + BALANCE)
        for before, after in itertools.pairwise(layers):
            assert before["end_diameter_mm"] == after["start_diameter_mm"]
            assert (before["rotation"] == after["rotation"]) is False
        assert math.fsum(layer["volume_mm3"] for layer in layers) == pytest.approx(
            built["deposit_volume_mm3"], rel=BALANCE
        )
        assert built["deposit_volume_mm3"] >= built["required_volume_mm3"]
        finish = (sizes["finish_min_mm"] + sizes["finish_max_mm"]) / 2
        stays = math.pi / 4 * (sizes["cleanup_mm"] ** 2 - finish**2) * length
        assert built["deposit_volume_mm3"] - cut["finish_volume_mm3"] == pytest.approx(stays, rel=1e-7)
        assert asked["name"] == one["name"]


@given(any_job())
@SOME
def test_wire_fed_is_metal_laid_in_every_layer(document: Any) -> None:
    for one in estimate(document, BOOK)["bores"]:
        built = one["buildup"]
        for layer in built["layers"]:
            middle = (layer["start_diameter_mm"] + layer["end_diameter_mm"]) / 2
            path = layer["turns"] * math.pi * middle
            assert path / layer["travel_mm_min"] == pytest.approx(layer["arc_time_min"], rel=BALANCE)
            grams = (
                layer["wire_feed_m_min"] * built["wire_g_m"] * built["deposition_efficiency"] * layer["arc_time_min"]
            )
            assert grams == pytest.approx(layer["volume_mm3"] * built["density_kg_m3"] * 1e-6, rel=BALANCE)
            assert layer["step_mm"] * layer["turns"] >= one["given"]["length_mm"]


@given(any_job())
@SOME
def test_times_and_supplies_add_up(document: Any) -> None:
    found = estimate(document, BOOK)
    totals, bores = found["totals"], found["bores"]
    for one in bores:
        parts = [v for k, v in one["time"].items() if k != "total_min"]
        assert math.fsum(parts) == pytest.approx(one["time"]["total_min"], rel=BALANCE)
    for key in ("wire_kg", "gas_L", "tips", "nozzles", "inserts", "energy_kWh"):
        assert math.fsum(one["consumption"][key] for one in bores) == pytest.approx(totals[key], rel=BALANCE)
    once = totals["once_min"] + totals["fire_watch_min"] - totals["used_wait_min"] - totals["away_wait_min"]
    on_site = math.fsum(one["time"]["total_min"] for one in bores) + once
    assert totals["on_site_min"] == pytest.approx(on_site, rel=BALANCE)
    assert totals["labour_h"] == pytest.approx((totals["on_site_min"] + totals["travel_min"]) / 60 * totals["people"])
    hours = sum(line["quantity"] for line in found["cost"]["lines"] if line["unit"] == "h")
    lines = sum(1 for line in found["cost"]["lines"] if line["unit"] == "h")
    assert hours == pytest.approx(totals["labour_h"], abs=0.005 * lines)  # each line is printed to 0.01 h


@given(any_job())
@SOME
def test_money_adds_up_to_the_cent(document: Any) -> None:
    found = estimate(document, BOOK)
    for line in found["cost"]["lines"]:
        exact = Decimal(str(line["quantity"])) * Decimal(line["unit_cost"])
        assert abs(exact - Decimal(line["amount"])) <= Decimal("0.005")
    price = found["price"]
    assert sum(Decimal(line["amount"]) for line in found["cost"]["lines"]) == Decimal(found["cost"]["total"])
    assert Decimal(price["before_tax"]) + Decimal(price["tax"]) == Decimal(price["total"])
    cost = Decimal(found["cost"]["total"])
    reached = (Decimal(price["before_tax"]) - cost) / Decimal(price["before_tax"])
    assert price["margin"] == pytest.approx(float(reached), rel=1e-7)


@given(any_job())
@SOME
def test_same_job_same_bytes(document: Any) -> None:
    text = json.dumps(document)
    assert to_json(estimate(text, BOOK)) == to_json(estimate(text.encode(), read_pricebook({})))


def test_a_longer_bore_takes_longer() -> None:
    short, long = (estimate(changed(job(), "bores.0.length", f"{mm} mm"), BOOK) for mm in (70, 140))
    assert long["totals"]["arc_time_min"] > 1.7 * short["totals"]["arc_time_min"]


def test_an_ordinary_pair_is_a_long_day_with_a_tenth_of_arc() -> None:
    """Common practice, no source: two 90 x 70 bores, 3 mm worn one-sided, 85 km away."""
    pair = job(bore(name="A", line="foot"), bore(name="B", line="foot"))
    totals = estimate(pair, BOOK)["totals"]
    assert 8 < totals["on_site_min"] / 60 < 12.5
    assert 0.07 < totals["arc_time_min"] / totals["on_site_min"] < 0.14
