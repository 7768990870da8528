"""How many bearings hold a line's bar: counted, priced and drawn alike; one more only where it pays or must be."""

from collections.abc import Sequence
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.cut.bearings import Rigged, Seat, Weight, Weights, rigged
from estimator.cut.span import Block, Room, Span, bearings_of
from estimator.steps import choose
from estimator.trust.explain import explain
from exports.pictures.setup import setup_of_line
from exports.pictures.setup_parts import set_ups
from tests.depth import some
from tests.estimator.cut.test_setup import any_line
from tests.exports.pictures.pictures_read import read
from tests.jobs import job, quick
from tests.raw import estimate

BOOK = read_pricebook()
ROOM = Room(0.120, 0.060, 0.250)
USES = 4  # times a bracket is welded on, table of constants


def _line(count: int, gap: int, nominal: int, **changes: Any) -> Any:
    """Return a job of some bores alike on one line, a gap apart. [mm]"""
    sizes = {"outside_diameter": f"{nominal + 80} mm", "line": "pin", **changes}
    places = [f"{number * (70 + gap)} mm" for number in range(count)]
    return job(*(quick(nominal, nominal + 3, name=f"B{n}", position=at, **sizes) for n, at in enumerate(places)))


def _bearings(found: Any) -> int:
    (number,) = {one["setup"]["bearings"] for one in found["bores"]}
    return int(number)


def _counts(found: Any) -> dict[str, float]:
    return {row["code"]: row["count"] for row in found["times"] if row["per"] == "bearing"}


LINES = [(2, 70, 45), (2, 230, 90), (3, 500, 45), (8, 100, 45), (8, 100, 90)]
WELDED, CLAMPED = {"bracket_on", "bracket_off", "bracket_heat", "bracket_dye"}, {"clamp_on", "clamp_off"}
BOTH = {"set_bearing", "align_bearing", "bearing_off"}


@pytest.mark.parametrize(("count", "gap", "nominal"), some(LINES, 3))
@pytest.mark.parametrize("mounts", ["welded", "clamped"])
def test_bearings_are_counted_priced_and_drawn_alike(count: int, gap: int, nominal: int, mounts: str) -> None:
    found = estimate(_line(count, gap, nominal, mounts=mounts), BOOK)
    number = _bearings(found)
    assert _counts(found) == dict.fromkeys(BOTH | (WELDED if mounts == "welded" else CLAMPED), number)
    brackets = number if mounts == "welded" else 0
    assert found["totals"]["brackets"] == pytest.approx(brackets / USES)
    (line,) = set_ups(found)
    assert len(read(setup_of_line(line, found)).part("bearings", "rect")) == number
    (rig,) = [one for one in found["schedule"]["tasks"] if one["code"] == "rig"]
    assert f"of {number} bearings" in rig["name"]
    assert f"{number} bearings" in rig["tool_items"]


def _held_by(monkeypatch: pytest.MonkeyPatch, all_of_them: bool) -> None:
    """Have every line held by its two outer bearings, or by one in every place."""

    def fixed(places: Sequence[float], _seats: Sequence[Seat]) -> Rigged:
        return Rigged(tuple(places) if all_of_them else tuple(dict.fromkeys((places[0], places[-1]))))

    monkeypatch.setattr(choose, "rig_for", lambda *_: fixed)


def _cost(document: Any, book: PriceBook = BOOK) -> tuple[float, list[str]]:
    found = estimate(document, book)
    return float(found["cost"]["total"]), [one["code"] for one in found["warnings"]]


@pytest.mark.parametrize(("count", "gap", "nominal"), some(LINES, 3))
def test_no_other_number_of_bearings_costs_less(
    count: int, gap: int, nominal: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    document = _line(count, gap, nominal)
    chosen, _ = _cost(document)
    for every in (False, True):
        _held_by(monkeypatch, every)
        other, said = _cost(document)
        assert chosen <= other or "bar_bends" in said


def test_a_line_of_eight_bores_has_not_a_bearing_in_every_gap() -> None:
    """Eight bores 100 mm apart: nine places; two outer ones are what is rigged, a third at mid-line pays."""
    found = estimate(_line(8, 100, 90), BOOK)
    assert _bearings(found) == 3
    spans = {round(one["setup"]["span_before_mm"] + one["setup"]["span_after_mm"], 6) for one in found["bores"]}
    # bores from 0 to 1260 mm: from 120 mm before to the fourth gap at 630 mm, and the same again
    assert spans == {750.0}


def test_dear_bearings_leave_the_two_outer_ones() -> None:
    dear = read_pricebook({"tables": {"times": {"align_bearing": {"duration": "10 h"}}}})
    assert [_bearings(estimate(_line(2, 70, 45), book)) for book in (BOOK, dear)] == [3, 2]


def test_a_bar_that_does_not_reach_gets_a_bearing_whatever_it_costs() -> None:
    bars = {name: {"longest_span": "500 mm"} for name in BOOK.equipment.bars}
    times = {"align_bearing": {"duration": "10 h"}}
    found = estimate(_line(8, 100, 90), read_pricebook({"equipment": {"bars": bars}, "tables": {"times": times}}))
    assert 2 < _bearings(found) < 9
    for one in found["bores"]:
        assert one["setup"]["span_before_mm"] + one["setup"]["span_after_mm"] <= 500


def test_lone_bores_have_two_bearings_or_one_where_blind() -> None:
    through, blind = (estimate(job(quick(90, 93, blind=blind)), BOOK) for blind in (False, True))
    assert (_bearings(through), _bearings(blind)) == (2, 1)
    assert blind["totals"]["brackets"] == pytest.approx(1 / USES)
    assert set(_counts(blind).values()) == {1}


def test_places_that_are_not_given_are_assumed_and_told() -> None:
    document = _line(3, 150, 90)
    known = estimate(document, BOOK)

    for one in document["bores"]:
        del one["position"]
    unknown = estimate(document, BOOK)
    assert _bearings(unknown) == _bearings(known)
    for one, other in zip(known["bores"], unknown["bores"], strict=True):
        for key in ("span_before_mm", "span_after_mm"):
            assert one["setup"][key] == pytest.approx(other["setup"][key])
        assert other["setup"]["reach_mm"] == pytest.approx(70.0)
        assert any("150 mm between its bosses assumed" in note for note in other["setup"]["notes"])


PER_BEARING: dict[tuple[str, ...], tuple[int, int, int]] = {  # with two bearings: low, likely, high [min]
    ("bracket_on",): (20, 30, 50),
    ("clamp_on",): (30, 45, 80),
    ("set_bar", "set_bearing"): (15, 25, 45),
    ("align", "align_bearing"): (25, 40, 80),
    ("strip", "bearing_off"): (12, 20, 35),
    ("bracket_off",): (15, 25, 45),
    ("clamp_off",): (6, 10, 20),
}


@pytest.mark.parametrize("codes", PER_BEARING, ids="+".join)
def test_two_bearings_take_what_a_line_took(codes: tuple[str, ...]) -> None:
    rows: list[Any] = [BOOK.facts.rows("times")[code] for code in codes]
    times = [2 if row.basis == "bearing" else 1 for row in rows]
    for field, whole in zip(("low", "duration", "high"), PER_BEARING[codes], strict=True):
        assert sum(n * getattr(row, field) for n, row in zip(times, rows, strict=True)) == pytest.approx(60 * whole)


def test_why_so_many_bearings_is_explained() -> None:
    why = explain(_line(8, 100, 90), BOOK, "bores.0.setup.bearings")
    assert "one more where it pays" in str(why)


def _seats(blocks: Sequence[Block]) -> list[Seat]:
    return [Seat(number, one, one.start, one.end) for number, one in enumerate(blocks)]


def _long(span: Span) -> float:
    return span.before if span.after is None else span.before + span.after


@given(any_line(), st.floats(0.01, 10), st.floats(0.01, 10))
def test_one_more_bearing_is_never_set_for_more_cost(blocks: list[Block], metre: float, bearing: float) -> None:
    def cost(places: Sequence[float]) -> float:
        held = Rigged(tuple(places)).places
        total = bearing * len(held)
        for one in blocks:
            near = max(place for place in held if place <= one.start)
            far = min((place for place in held if place >= one.end), default=one.end)
            total += metre * (far - near)
        return total

    places = bearings_of(blocks, ROOM)
    weights = Weights(lambda _, span: Weight(cost=metre * _long(span), light=1), lambda _, span: _long(span), bearing)
    found = rigged(places, _seats(blocks), weights)
    outer = tuple(dict.fromkeys((places[0], places[-1])))
    assert set(outer) <= set(found.places) <= set(places)
    assert cost(found.places) <= cost(outer) * (1 + 1e-9)
    assert dict(found.tried).get(len(found.places), cost(found.places)) == pytest.approx(cost(found.places))


@given(any_line(), st.floats(0.2, 1.5))
def test_bores_that_cannot_be_bored_otherwise_go_before_cost(blocks: list[Block], longest: float) -> None:
    def boring(_: int, span: Span) -> Weight:
        return Weight(unreached=int(_long(span) > longest))

    def limber(_: int, span: Span) -> float | None:
        return None if _long(span) > longest else _long(span)

    def left(places: Sequence[float]) -> int:
        weights = Weights(boring, limber, 1.0)
        return sum(weights.boring(0, span).unreached for span in _spans(blocks, places))

    places = bearings_of(blocks, ROOM)
    found = rigged(places, _seats(blocks), Weights(boring, limber, 1.0)).places
    assert left(found) == left(places)


def _spans(blocks: Sequence[Block], places: Sequence[float]) -> list[Span]:
    found = []
    for one in blocks:
        near = max(place for place in places if place <= one.start)
        far = min((place for place in places if place >= one.end), default=None)
        found.append(Span(one.end - near, None) if far is None else Span(one.start - near, far - one.start))
    return found
