"""Lines that several papers share, read aloud: spans, waits, another plan's minutes, parts of a sum."""

import json
from typing import Any

from estimator.book.pricebook import read_pricebook
from estimator.buying import order
from estimator.document.heat import Wait
from estimator.estimate import estimate
from estimator.trust.explain import explain
from exports.page.choice import order_page
from exports.page.explained import page
from exports.phrases import from_to, in_layers, waiting, weighed
from tests.jobs import bore, job

BOOK = read_pricebook()


def test_a_span_that_prints_as_one_figure_is_one() -> None:
    assert from_to(312.8, 313.2, "end_C", "metric") == "313 °C"
    assert from_to(131.8, 250.0, "end_C", "metric") == "132 to 250 °C"
    assert from_to(13.0, 130.0, "end_C", "metric") == "13 to 130 °C"


def test_a_wait_is_said_as_what_to_do() -> None:
    one: Wait = {"layer": 2, "after_bead": 19, "from_C": 250.0, "wait_min": 12.0, "stops": 5}
    said = waiting(one, "metric")
    assert said == "layer 2: wait 12 min in 5 stops, from bead 19 on, when the bore has reached 250 °C"


def test_minutes_saved_by_another_wire_are_those_of_welding() -> None:
    others: Any = estimate(job(), BOOK, "full")["bores"][0]["buildup"]["alternatives"]
    assert {one["name"] == one["wire"] for one in others} == {True, False}
    for one in others:
        said = weighed(one)
        assert (" min of welding; changing the wire takes" in said) is (one["name"] == one["wire"])


def test_the_parts_of_a_total_say_whose_they_are() -> None:
    document = job(bore(), bore(name="B 2"))
    text = page(explain(document, BOOK, "totals.wire_kg"))
    assert text.splitlines()[1].count("of bore A") == text.splitlines()[1].count("of bore B 2") == 1
    assert "  bought of bore B 2 = " in text


def test_two_numbers_of_a_part_say_which_is_which() -> None:
    found = order([json.dumps(job(bore(), bore(name="B"))).encode()], BOOK, None, 0.95)
    text = " ".join(order_page(found).split())
    for line in found["lines"]:
        if line.get("advised_service_level") is not None:
            take, advised = line["to_cover"], line["advised_cover"]
            same = f"{line['item']}: the {take:g} to take also cost"
            other = f"{line['item']}: {take:g} to take for the level asked for; {advised:g} would cost least"
            assert (same if take == advised else other) in text
    assert "to take for the level asked for" in text


def test_layers_stand_in_the_right_number() -> None:
    assert (in_layers(["2"]), in_layers(["1", "2"])) == ("layer 2", "layers 1, 2")
