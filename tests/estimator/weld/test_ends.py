"""The bore's ends: every plan that is chosen cleans up, reckoned anew from the layers as the document has them."""

import math
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from estimator.book.pricebook import read_pricebook
from estimator.errors import DocumentError
from estimator.trust.explain import explain
from tests.depth import deep
from tests.jobs import any_job, bore, codes, job, quick
from tests.raw import estimate

BOOK = read_pricebook()
SOME = settings(max_examples=deep(60, 10), suppress_health_check=[HealthCheck.too_slow])
DEEP = quick(150, 165, outside_diameter="300 mm")  # 7.5 mm a side in six layers, which stay short without more
ROUNDED = 2e-5  # mm: figures are printed to 1e-6 mm, and a layer's are multiplied by a dozen
IDENTITY = 0.01  # what the contract holds its identities to


def missing(built: Any) -> float:
    """Return what all layers are short of at a face [mm]: parabolic beads a step apart, added up where they reach it.

    Where the arc dwelt, the end bead has twice its section at the same width to height, so 0.414 of its height more.
    """
    over, short, count = built["ends"]["turns_over"], 0.0, len(built["layers"])
    for layer in built["layers"]:
        width, height, step = layer["bead_width_mm"], layer["bead_height_mm"], layer["step_mm"]
        places = [((1 - over) / 2 + n) * step for n in range(20)]
        there = sum(max(0.0, 1 - (2 * place / width) ** 2) for place in places) * height
        dwelt = layer["number"] > count - built["ends"]["dwell_layers"]
        short += max(0.0, layer["laid_thickness_mm"] - there) - dwelt * (math.sqrt(2) - 1) * height
    return max(0.0, short)


def checked(one: Any) -> None:
    """Hold that a bore cleans up, that its beads are those of its ends, and the contract's identities."""
    built, sizes = one["buildup"], one["sizes"]
    ends, count, density = built["ends"], len(built["layers"]), built["density_kg_m3"]
    left = ((sizes["finish_min_mm"] + sizes["finish_max_mm"]) / 2 - built["layers"][-1]["end_diameter_mm"]) / 2
    assert built["cleans_up"] is ends["cleans_up"] is True
    assert missing(built) == pytest.approx(ends["shortfall_mm"], abs=ROUNDED)
    assert missing(built) <= left + ROUNDED
    assert built["layers"][-1]["valley_mm"] <= left + ROUNDED
    assert built["layers"][-1]["end_diameter_mm"] <= sizes["weld_mm"] + ROUNDED
    for layer in built["layers"]:
        dwelt = layer["number"] > count - ends["dwell_layers"]
        inside = math.ceil(one["given"]["length_mm"] / layer["step_mm"] - 1e-4)  # a step is printed to 1e-6 mm
        assert layer["beads"] == inside + ends["turns_over"] + 2 * dwelt
        path = layer["turns"] * math.pi * (layer["start_diameter_mm"] + layer["end_diameter_mm"]) / 2
        assert path / layer["travel_mm_min"] == pytest.approx(layer["arc_time_min"], rel=IDENTITY)
        metal = layer["wire_feed_m_min"] * built["wire_g_m"] * built["deposition_efficiency"] * layer["arc_time_min"]
        assert metal == pytest.approx(layer["volume_mm3"] * density * 1e-6, rel=IDENTITY)
    assert sum(layer["volume_mm3"] for layer in built["layers"]) == pytest.approx(built["deposit_volume_mm3"], rel=1e-6)
    assert (ends["extra_arc_min"] > 0) is (ends["dwell_layers"] > 0 or ends["turns_over"] > 1)


@given(any_job(most=2))
@SOME
def test_every_plan_that_is_chosen_cleans_up(document: Any) -> None:
    found = estimate(document, BOOK)
    for one in found["bores"]:
        checked(one)
    assert not {"short_ends", "short_ends_rings", "valleys"} & set(codes(found))


ENDS: list[dict[str, Any]] = [
    DEEP,
    {**DEEP, "blind": True},
    {**DEEP, "clear_room": {"far": "2 mm"}},
    {**DEEP, "options": {"ends": "run over"}},
    {**DEEP, "options": {"ends": "past the faces"}},
    {**DEEP, "options": {"ends": "run-off rings"}},
    {**DEEP, "sector": {"from": 120, "to": 240}},
    bore(machining_allowance="0.3 mm"),
    bore(machining_allowance="0.1 mm", blind=True),
    bore(options={"rotation": "one way"}, cleanup_diameter="99 mm"),
]


@pytest.mark.parametrize("asked", ENDS)
def test_ends_that_are_hard_to_fill_clean_up(asked: dict[str, Any]) -> None:
    """Closed ends, no room, a way that the user says, a part of the clock, hardly anything to bore."""
    found = estimate(job(asked), BOOK)
    (one,) = found["bores"]
    checked(one)
    how, own = one["buildup"]["ends"]["how"], asked.get("options", {}).get("ends")
    assert how == (own or how)
    if asked.get("blind") or asked.get("clear_room"):
        assert how == "run over"


def test_what_the_ends_take_is_in_the_layers_and_the_hours() -> None:
    """A dwell is two turns of the last layer; its arc time is that share of the layer's, wire and gas that of all."""
    (one,) = estimate(job(DEEP), BOOK)["bores"]
    built, ends = one["buildup"], one["buildup"]["ends"]
    assert ends["dwell_layers"] == 1
    before, last = built["layers"][-2:]
    assert last["beads"] == before["beads"] + 2
    arc = last["arc_time_min"] * 2 / last["beads"]
    assert ends["extra_arc_min"] == pytest.approx(arc, rel=1e-6)
    share = arc / built["arc_time_min"]
    assert ends["extra_wire_kg"] == pytest.approx(one["consumption"]["wire_kg"] * share, rel=1e-6)
    assert ends["extra_gas_L"] == pytest.approx(one["consumption"]["gas_L"] * share, rel=1e-6)
    assert "in the last 1 of 6 layers" in ends["text"]


def test_beads_past_the_faces_and_rings_take_work_by_hand() -> None:
    """Two ends: 8.5 min each to cut off, or 8.5 to fit and 10 5/6 to cut off a ring (expected times, by hand)."""
    hours = {}
    for how in ("run over", "past the faces", "run-off rings"):
        (one,) = estimate(job({**DEEP, "options": {"ends": how}}), BOOK)["bores"]
        hours[how] = one["time"]["finish_min"]
        by_hand = {"run over": 0, "past the faces": 17, "run-off rings": 2 * (8.5 + 65 / 6)}[how]
        assert one["buildup"]["ends"]["extra_work_min"] == pytest.approx(by_hand, rel=1e-6)
    assert hours["past the faces"] > hours["run over"] + 10


def test_a_plan_by_hand_that_stays_short_says_so_and_a_dwell_mends_it() -> None:
    (one,) = estimate(job(DEEP), BOOK)["bores"]
    built = one["buildup"]
    layers = [
        {
            "current": f"{layer.get('after_first', layer)['current_A']!r} A",
            "step": f"{layer['step_mm']!r} mm",
            "thickness": f"{layer['laid_thickness_mm']!r} mm",
        }
        for layer in built["layers"]
    ]
    own = {"wire": built["wire"], "gas": built["gas"]}
    short = estimate(job({**DEEP, "options": {**own, "by_hand": layers}}), BOOK)
    assert "short_ends" in codes(short)
    assert short["bores"][0]["buildup"]["cleans_up"] is False
    dwelt = [*layers[:-1], {**layers[-1], "dwell": True}]
    mended = estimate(job({**DEEP, "options": {**own, "by_hand": dwelt}}), BOOK)
    assert "short_ends" not in codes(mended)
    assert mended["bores"][0]["buildup"]["cleans_up"] is True


@pytest.mark.parametrize("how", ["past the faces", "run-off rings"])
def test_a_closed_end_takes_neither_ring_nor_bead_past_it(how: str) -> None:
    with pytest.raises(DocumentError) as caught:
        estimate(job({**DEEP, "blind": True, "options": {"ends": how}}), BOOK)
    assert [fault.path for fault in caught.value.faults] == ["bores.0.options.ends"]


KEYS = ("shortfall_mm", "dwell_layers", "extra_arc_min", "extra_wire_kg", "extra_gas_L", "extra_work_min")


@pytest.mark.parametrize("key", KEYS)
def test_each_figure_of_the_ends_is_explained(key: str) -> None:
    found = explain(job(DEEP), BOOK, f"bores.A.buildup.ends.{key}")
    assert found


def test_a_blind_bore_has_one_face() -> None:
    for blind, said in ((True, "past the open face, and up to the closed end"), (False, "past both faces")):
        found = estimate(job(bore(blind=blind)), BOOK)
        assert said in found["bores"][0]["buildup"]["ends"]["text"]
