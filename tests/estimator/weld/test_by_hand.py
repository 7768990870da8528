"""A plan by hand: priced as it stands, checked against the same limits, never changed."""

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from estimator.book.pricebook import read_pricebook
from estimator.errors import DocumentError, JobRefusedError
from estimator.trust.explain import figures_of, recorded, steps_of
from tests.depth import deep
from tests.jobs import any_job, bore, codes, job
from tests.raw import estimate

BOOK = read_pricebook()
SOUND = [{"current": "130 A", "step": "3.5 mm", "thickness": "2.5 mm"}] * 2  # 97 to 87.03 mm takes 4.985 mm a side
SOME = settings(max_examples=deep(15), suppress_health_check=[HealthCheck.too_slow])


def hand(layers: list[Any], **changes: Any) -> Any:
    return job(bore(options={"by_hand": layers, **changes}))


def layer(**changes: Any) -> Any:
    return {**SOUND[0], **changes}


def faults_of(document: Any) -> list[tuple[str, str]]:
    with pytest.raises(JobRefusedError) as caught:
        estimate(document, BOOK)
    return [(fault.path, fault.message) for fault in caught.value.faults]


def as_hand(built: Any) -> list[Any]:
    """Return the layers of an estimate as a user would type them."""
    return [
        {
            "current": f"{one.get('after_first', one)['current_A']!r} A",
            "step": f"{one['step_mm']!r} mm",
            "thickness": f"{one['laid_thickness_mm']!r} mm",
            "rotation": one["rotation"],
            "dwell": one["number"] > len(built["layers"]) - built["ends"]["dwell_layers"],
        }
        for one in built["layers"]
    ]


@given(any_job(most=1))
@SOME
def test_what_the_search_chose_costs_the_same_by_hand(document: Any) -> None:
    """The search's own plan, typed: the same price, odds and arc time, from another evaluation of the same formulas."""
    found = estimate(document, BOOK)
    built = found["bores"][0]["buildup"]
    options = {"by_hand": as_hand(built), "wire": built["wire"], "gas": built["gas"], "ends": built["ends"]["how"]}
    typed = {**document, "bores": [{**document["bores"][0], "options": options}]}
    again = estimate(typed, BOOK)
    # lengths are typed to 0.1 nm, which may turn the last printed digit of an hour or a litre, and so a few cents
    assert float(again["price"]["total"]) == pytest.approx(float(found["price"]["total"]), abs=0.25)
    assert again["totals"]["on_site_min"] == pytest.approx(found["totals"]["on_site_min"], rel=1e-6)
    assert again["bores"][0]["buildup"]["arc_time_min"] == pytest.approx(built["arc_time_min"], rel=1e-6)  # to 0.1 nm
    assert again["bores"][0]["buildup"]["rework_odds"] == pytest.approx(built["rework_odds"], abs=1e-6)


def test_layers_are_kept_as_typed_and_differ_from_one_another() -> None:
    typed = [layer(current="120 A", thickness="2 mm"), layer(step="4 mm"), layer(current="140 A", thickness="1.8 mm")]
    layers = estimate(hand(typed), BOOK)["bores"][0]["buildup"]["layers"]
    assert [one["laid_thickness_mm"] for one in layers] == [2.0, 2.5, 1.8]
    assert [one["step_mm"] for one in layers] == [3.5, 4.0, 3.5]
    assert [one["current_A"] for one in layers[1:]] == [130.0, 140.0]
    assert [one["rotation"] for one in layers] == ["clockwise", "counter-clockwise", "clockwise"]
    assert [one["end_diameter_mm"] for one in layers[:-1]] == [one["start_diameter_mm"] for one in layers[1:]]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"current": "180 A"}, "current 180 A, limit 175 A"),
        ({"current": "60 A"}, "the wire's range is 90 A to 205 A"),
        ({"step": "6 mm"}, "step 6 mm, limit 5 mm"),
        ({"thickness": "3.6 mm"}, "layer thickness 3.6 mm, limit 3.4 mm"),
        ({"thickness": "0.8 mm"}, "layer thickness 0.8 mm, least 1.2 mm"),
        ({"thickness": "3.4 mm", "step": "4.5 mm"}, "bead section 15.3 mm\u00b2, limit 12 mm\u00b2"),
    ],
)
def test_outside_a_limit_that_must_be_kept_it_is_refused_where_it_stands(change: dict[str, str], said: str) -> None:
    found = faults_of(hand([layer(), layer(**change), layer()], wire="G3Si1 1.0 mm"))
    assert any(path == "bores.0.options.by_hand.1" and said in message for path, message in found), found
    assert {path for path, _ in found} == {"bores.0.options.by_hand.1"}


def test_the_first_bead_may_be_too_slow_though_the_rest_of_the_layer_is_not() -> None:
    """3.3 mm at 3.6 mm is 11.88 mm2: 4.8 mm/s at 140 A, 3.91 in the first bead at 115 A; 4 mm/s asked (by hand)."""
    book = read_pricebook({"tables": {"limits": {"travel horizontal": {"low": "4 mm/s"}}}})
    thick = {"current": "140 A", "step": "3.6 mm", "thickness": "3.3 mm"}
    with pytest.raises(JobRefusedError) as caught:
        estimate(hand([thick, thick], wire="G3Si1 1.0 mm"), book)
    assert [fault.path for fault in caught.value.faults] == ["bores.0.options.by_hand.0"]
    assert "travel speed of the cooler first bead 3.9 mm/s, least 4 mm/s" in caught.value.faults[0].message


def test_outside_comfort_it_is_planned_with_a_warning_and_odds_that_are_paid() -> None:
    calm, bold = estimate(hand(SOUND), BOOK), estimate(hand([layer(), layer(current="165 A")]), BOOK)
    assert calm["bores"][0]["buildup"]["rework_odds"] == 0
    assert bold["bores"][0]["buildup"]["rework_odds"] > 0.05
    assert any("layer 2, current 165 A, limit 140 A" in one["text"] for one in bold["warnings"])
    assert "uneasy" not in codes(calm)
    assert bold["bores"][0]["time"]["weld_min"] > calm["bores"][0]["time"]["weld_min"]


def test_it_must_end_at_or_inside_the_weld_bore() -> None:
    found = faults_of(hand([layer(thickness="2.4 mm")] * 2))
    assert found == [
        (
            "bores.0.options.by_hand",
            "impossible plan with G3Si1 1.0 mm: the last layer ends at 87.4 mm, the weld bore is 87.03 mm: "
            "build up 0.19 mm a side more",
        )
    ]


def test_layers_that_turn_alike_on_a_horizontal_axis_are_cut_between() -> None:
    alike = [layer(rotation="clockwise", thickness="2.8 mm"), layer(rotation="clockwise", thickness="2.8 mm")]
    found = estimate(hand(alike), BOOK)
    passes = [one["purpose"] for one in found["bores"][0]["machining"]["passes"]]
    assert passes.count("skim between layers") == 1
    first, last = found["bores"][0]["buildup"]["layers"]
    assert first["laid_thickness_mm"] - first["thickness_mm"] == pytest.approx(0.5)
    assert last["laid_thickness_mm"] == last["thickness_mm"]
    upright = estimate(job(bore(axis="vertical", options={"by_hand": alike})), BOOK)
    assert not any(one["purpose"] == "skim between layers" for one in upright["bores"][0]["machining"]["passes"])


def test_equipment_that_turns_one_way_lays_no_layer_the_other_way() -> None:
    book = read_pricebook({"equipment": {"turns_both_ways": False}})
    both = [layer(rotation="clockwise"), layer(rotation="counter-clockwise")]
    with pytest.raises(JobRefusedError, match="turns one way only"):
        estimate(hand(both), book)
    layers = estimate(hand([*SOUND, SOUND[0]]), book)["bores"][0]["buildup"]["layers"]
    assert {one["rotation"] for one in layers} == {"clockwise"}


def test_hardenable_steel_wants_a_second_layer_by_hand_too() -> None:
    document = job(bore(material="C45", cleanup_diameter="93.5 mm", options={"by_hand": [layer(thickness="3.3 mm")]}))
    assert any(path == "bores.0.options.by_hand" and "layers" in message for path, message in faults_of(document))


@pytest.mark.parametrize(
    ("options", "path"),
    [
        ({"by_hand": SOUND, "current": "130 A"}, "bores.0.options.current"),
        ({"by_hand": SOUND, "layers": 2}, "bores.0.options.layers"),
        ({"by_hand": [layer(rotation="clockwise")], "rotation": "one way"}, "bores.0.options.rotation"),
        ({"by_hand": []}, "bores.0.options.by_hand"),
        ({"by_hand": [{"current": "130 A", "step": "3.5 mm"}]}, "bores.0.options.by_hand.0.thickness"),
        ({"by_hand": [layer(thickness=2.5)]}, "bores.0.options.by_hand.0.thickness"),
        ({"by_hand": [layer(rotation="left")]}, "bores.0.options.by_hand.0.rotation"),
    ],
)
def test_what_contradicts_itself_is_a_fault(options: Any, path: str) -> None:
    with pytest.raises(DocumentError) as caught:
        estimate(job(bore(options=options)), BOOK)
    assert path in {fault.path for fault in caught.value.faults}, caught.value.faults


def test_the_searched_plan_stands_beside() -> None:
    built = estimate(hand([layer(thickness="1.8 mm")] * 3), BOOK)["bores"][0]["buildup"]
    assert "searched" in {one["name"] for one in built["alternatives"]}
    assert built["limits"] == ["laid by hand: the layers are the user's own (options.by_hand)"]


def test_every_figure_of_a_plan_by_hand_is_explained() -> None:
    found = recorded(hand([layer(), layer(current="150 A", step="4 mm")]), BOOK)
    wanted = {f"bores.A.options.by_hand.{n}.{name}" for n in (0, 1) for name in ("current", "step", "thickness")}
    given = {why.name for _, why in steps_of(found["bores"][0]["buildup"]["arc_time_min"]) if why.kind == "given"}
    assert wanted <= given
    for key, value in figures_of(found):
        for figure, why in steps_of(value):
            assert why.kind != "literal", key
            assert why.function is None or why.replay() == figure, key
