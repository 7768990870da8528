"""How the bar is held and the torch comes: laws of bearings, faults of the line's keys, refusals, mounts."""

import itertools
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from estimator.book.pricebook import read_pricebook
from estimator.cut.span import Block, Room, bearings_of, held
from estimator.errors import DocumentError, JobRefusedError
from tests.depth import deep
from tests.jobs import SOUND, any_job, bore, job
from tests.raw import estimate

BOOK = read_pricebook()
ROOM = Room(0.120, 0.060, 0.250)
TINY = 1e-9  # metres; a thousandth of what is shown


@st.composite
def any_line(draw: st.DrawFn) -> list[Block]:
    """Return bosses in their order, with more or less room between and beyond them; the last may be blind."""
    count = draw(st.integers(1, 4))
    blocks, start = [], draw(st.floats(-1, 1))
    room = st.none() | st.floats(0.0, 0.6)
    gaps = [draw(st.floats(0.0, 0.6)) for _ in range(count - 1)]
    for number in range(count):
        end = start + draw(st.floats(0.02, 0.3))
        before = st.none() | st.floats(0.0, gaps[number - 1]) if number else st.none() | st.floats(0.25, 2.0)
        beyond = st.none() | st.floats(0.0, gaps[number]) if number < count - 1 else room
        blind = number == count - 1 and draw(st.booleans())
        blocks.append(Block(start, end, draw(before), None if blind else draw(beyond), blind))
        start = end + (gaps[number] if number < count - 1 else 0.0)
    return blocks


def _moved(blocks: list[Block], by: float) -> list[Block]:
    return [Block(one.start + by, one.end + by, one.machine, one.far, one.blind) for one in blocks]


def _spans(blocks: list[Block]) -> list[tuple[float, float | None]]:
    bearings = bearings_of(blocks, ROOM)
    found = [held(one, one.start, one.end, bearings)[0] for one in blocks]
    return [(one.before, one.after) for one in found]


@given(any_line())
def test_a_bearing_stands_clear_of_bores_and_within_the_room(blocks: list[Block]) -> None:
    half = ROOM.bearing / 2 - TINY
    for place in bearings_of(blocks, ROOM):
        assert all(place + half <= one.start or place - half >= one.end for one in blocks)
        before = [one for one in blocks if one.end <= place]
        after = [one for one in blocks if one.start >= place]
        # the room of one of the two faces holds it: what stands in the way leaves free room beside each
        rooms = [(before[-1].far, place - before[-1].end)] if before else []
        rooms += [(after[0].machine, after[0].start - place)] if after else []
        assert any(free is None or away + half <= free for free, away in rooms)


@given(any_line())
def test_bearings_do_not_stand_in_one_another(blocks: list[Block]) -> None:
    for one, other in itertools.pairwise(bearings_of(blocks, ROOM)):
        assert other - one >= ROOM.bearing - TINY


@given(any_line(), st.floats(-5, 5))
def test_a_line_moved_along_itself_is_held_alike(blocks: list[Block], by: float) -> None:
    gaps = [b.start - a.end for a, b in itertools.pairwise(blocks)]
    limits = (ROOM.bearing, 2 * ROOM.stand + ROOM.bearing)
    assume(not any(abs(gap - limit) < TINY for gap in gaps for limit in limits))
    for one, other in zip(_spans(blocks), _spans(_moved(blocks, by)), strict=True):
        assert one == pytest.approx(other, abs=TINY)


@settings(suppress_health_check=[HealthCheck.filter_too_much])  # half of all lines end blind or without a number
@given(any_line(), st.floats(0, 1))
def test_more_room_beyond_a_line_never_gives_a_longer_overhang(blocks: list[Block], more: float) -> None:
    *others, last = blocks
    assume(not last.blind and last.far is not None)
    wider = [*others, Block(last.start, last.end, last.machine, (last.far or 0.0) + more, last.blind)]
    for (before, after), (reach, beyond) in zip(_spans(blocks), _spans(wider), strict=True):
        if after is not None:
            assert beyond is not None
        if beyond is None:
            assert reach <= before + TINY


@given(any_line())
def test_the_bar_is_overhung_only_from_the_machines_side(blocks: list[Block]) -> None:
    bearings = bearings_of(blocks, ROOM)
    for one in blocks:
        span, insert = held(one, one.start, one.end, bearings)
        assert span.before > 0
        assert one.start - TINY <= insert <= one.end + TINY
        if span.after is None:
            assert insert == one.end
            assert not any(place > one.end for place in bearings)


@given(any_job())
@settings(max_examples=deep(30))
def test_what_is_always_plannable_is_never_refused_for_its_set_up(document: Any) -> None:
    for one in estimate(document, BOOK)["bores"]:
        assert one["setup"]["torch_side"] == "machine"
        assert one["setup"]["bar"] == "between bearings"


def _line(*bores: Any) -> Any:
    """Return a job of bores on one line, their names after their order."""
    return job(*({**bore(name="ABCD"[number], line="pin"), **one} for number, one in enumerate(bores)))


def _setups(document: Any, book: Any = BOOK) -> list[Any]:
    return [one["setup"] for one in estimate(document, book)["bores"]]


FAULTY = [
    (_line({"blind": True, "clear_room": {"far": "100 mm"}}), "bores.0.clear_room.far", "blind: false"),
    (_line({"blind": True, "position": "0 mm"}, {"position": "300 mm"}), "bores.0.blind", "beyond a closed end"),
    (_line({"position": "300 mm"}, {"position": "0 mm", "blind": True}), "bores.1.blind", "other side"),
    (_line({"blind": True}, {"blind": True}), "bores.1.blind", "line of its own"),
    (
        _line({"position": "0 mm", "clear_room": {"far": "231 mm"}}, {"position": "300 mm"}),
        "bores.0.clear_room.far",
        "231 mm is more than the 230 mm to bore B",
    ),
    (
        _line({"position": "0 mm"}, {"position": "300 mm", "clear_room": {"machine": "400 mm"}}),
        "bores.1.clear_room.machine",
        "400 mm is more than the 230 mm to bore A",
    ),
    (_line({"mounts": "clamped"}, {}), "bores.1.mounts", "held in one way"),
    (_line({"mounts": "glued"}), "bores.0.mounts", "clamped"),
    (_line({"blind": "yes"}), "bores.0.blind", "true or false"),
    (_line({"clear_room": {"machine": "600"}}), "bores.0.clear_room.machine", "has no unit"),
    (_line({"blind": True, "faces": [{"outer_diameter": "150 mm", "depth": "2 mm", "side": "far"}]}),
     "bores.0.faces.0.side", "machine"),
]  # fmt: skip


@pytest.mark.parametrize(("document", "path", "said"), FAULTY)
def test_a_line_that_contradicts_itself_is_a_fault(document: Any, path: str, said: str) -> None:
    with pytest.raises(DocumentError) as caught:
        estimate(document, BOOK)
    assert [fault.path for fault in caught.value.faults] == [path]
    assert said in caught.value.faults[0].message


def test_room_as_large_as_the_gap_is_no_fault() -> None:
    document = _line({"position": "0 mm", "clear_room": {"far": "230 mm"}}, {"position": "300 mm"})
    assert [one["clear_far_mm"] for one in _setups(document)] == [230.0, None]


def test_new_keys_do_not_have_the_axis_of_a_line_sought() -> None:
    document = _line({"position": "0 mm", "clear_room": {"machine": "1 m"}}, {"position": "300 mm", "blind": True})
    assert estimate(document, BOOK)["lines"] == []


def test_spans_of_a_blind_line_by_hand() -> None:
    """Two bosses of 70 mm, 230 mm apart: one bearing 120 mm before, one at mid-gap (115 mm), none beyond."""
    first, second = _setups(_line({"position": "0 mm"}, {"position": "300 mm", "blind": True}))
    # from -120 to 185 the middle is 32.5, in the bore: half of 305 either way
    assert (first["span_before_mm"], first["span_after_mm"]) == pytest.approx((152.5, 152.5))
    # overhung: from 185 to the far end at 370
    assert (second["span_before_mm"], second["span_after_mm"]) == (pytest.approx(185.0), None)
    assert (first["reach_mm"], second["reach_mm"]) == pytest.approx((70.0, 370.0))
    assert second["bar"] == "overhung"
    assert "blind" in " ".join(second["notes"])


def test_too_little_room_beyond_leaves_the_bar_overhung() -> None:
    (tight,) = _setups(job(bore(clear_room={"far": "59 mm"})))
    (enough,) = _setups(job(bore(clear_room={"far": "60 mm"})))
    assert (tight["bar"], tight["span_before_mm"]) == ("overhung", pytest.approx(190.0))
    # the bearing stands 30 mm beyond: 220 mm from bearing to bearing
    assert enough["span_before_mm"] + enough["span_after_mm"] == pytest.approx(220.0)


REFUSED = [
    ({"machine": "200 mm"}, {}, "measure the room at the far side"),
    ({"machine": "200 mm", "far": "400 mm"}, {}, "far side has 400 mm: set up from there"),
    ({"machine": "200 mm", "far": "100 mm"}, {}, "clear one of them"),
    ({"machine": "200 mm"}, {"blind": True}, "clear the drive side"),
]


@pytest.mark.parametrize(("room", "more", "said"), REFUSED)
def test_a_drive_without_room_is_refused_with_a_cure(room: dict[str, str], more: Any, said: str) -> None:
    with pytest.raises(JobRefusedError) as caught:
        estimate(job(bore(clear_room=room, **more)), BOOK)
    (fault,) = caught.value.faults
    assert fault.path == "bores.0.clear_room.machine"
    assert "250 mm is the least" in fault.message
    assert said in fault.message


FAR = [{"position": "0 mm"}, {"position": "900 mm"}]


def test_a_torch_too_short_comes_from_the_far_side() -> None:
    first, second = _setups(_line(*FAR))
    assert (first["torch_side"], second["torch_side"]) == ("machine", "far")
    assert second["reach_mm"] == pytest.approx(70.0)
    assert any("900 mm" in note for note in second["notes"])


@pytest.mark.parametrize(
    ("last", "said"), [({"blind": True}, "closed"), ({"clear_room": {"far": "200 mm"}}, "200 mm of room")]
)
def test_a_torch_that_reaches_from_neither_side_is_refused(last: Any, said: str) -> None:
    with pytest.raises(JobRefusedError) as caught:
        estimate(_line(FAR[0], {**FAR[1], **last}), BOOK)
    (fault,) = caught.value.faults
    assert fault.path == "bores.1.position"
    assert said in fault.message


def test_a_bore_amid_a_line_too_long_for_the_torch_is_refused() -> None:
    with pytest.raises(JobRefusedError) as caught:
        estimate(_line({"position": "0 mm"}, {"position": "1000 mm"}, {"position": "2000 mm"}), BOOK)
    (fault,) = caught.value.faults
    assert fault.path == "bores.1.position"
    # its far end from the first face, its near one from the last: 1070 mm and 2070 - 1000 mm
    assert "1070 mm from the drive-side end" in fault.message
    assert "1070 mm from the other end: split the line" in fault.message


def test_reach_is_not_checked_where_the_book_says_none() -> None:
    book = read_pricebook({"equipment": {"torch_reach": None}})
    last = {**FAR[1], "blind": True}
    assert _setups(_line(FAR[0], last), book)[1]["torch_side"] == "machine"


@pytest.mark.parametrize(
    ("changes", "why"), [({"condition": {**SOUND, "duty": "lifting"}}, "lifting"), ({"material": "1045"}, "% carbon")]
)
def test_brackets_are_not_welded_on_everywhere(changes: Any, why: str) -> None:
    def told(mounts: str) -> list[str]:
        said = estimate(job(bore(**changes, mounts=mounts)), BOOK)["warnings"]
        return [one["text"] for one in said if one["code"] in ("bracket_carbon", "bracket_duty")]

    assert told("clamped") == []
    (said,) = told("welded")
    assert why in said
    assert "or clamp the bar" in said


def test_clamped_mounts_use_no_bracket_and_are_no_hot_work() -> None:
    welded, clamped = (estimate(job(bore(mounts=one)), BOOK) for one in ("welded", "clamped"))
    assert clamped["bores"][0]["consumption"]["brackets"] == 0
    assert welded["bores"][0]["consumption"]["brackets"] > 0
    assert clamped["bores"][0]["consumption"]["discs"] < welded["bores"][0]["consumption"]["discs"]
    hot = {task["code"]: task["hot"] for task in clamped["schedule"]["tasks"]}
    assert (hot["rig"], hot["strip"], hot["weld"]) == (False, False, True)


def test_a_datum_between_bores_keeps_bearings_out() -> None:
    """The gap of 230 mm holds an undamaged bore of 200 mm: neither side of it has room for a bearing.

    With the thinnest bar alone one more bearing in the gap pays where there is room for it.
    """
    datum = {"name": "tube", "position": "85 mm", "length": "200 mm", "tolerance": "5 mm"}
    offset = {"x": "0 mm", "y": "0 mm"}
    bores = [{"position": p, "offset": offset} for p in ("0 mm", "300 mm")]
    slender = read_pricebook({"equipment": {"bars": dict.fromkeys([*BOOK.equipment.bars][1:])}})
    documents = _line(*bores), {**_line(*bores), "lines": {"pin": {"datums": [datum]}}}
    free, barred = (_setups(document, slender) for document in documents)
    assert [one[0]["bearings"] for one in (free, barred)] == [3, 2]
    assert free[0]["span_after_mm"] < barred[0]["span_after_mm"]
    # from 120 mm before the first face to 120 mm beyond the last
    assert barred[0]["span_before_mm"] + barred[0]["span_after_mm"] == pytest.approx(120 + 370 + 120)


def test_a_datum_within_a_boss_is_no_boss_of_its_own() -> None:
    """A counterbore in the blind end of the last boss neither opens that end nor takes a bearing."""
    datum = {"name": "counterbore", "position": "350 mm", "length": "20 mm", "tolerance": "5 mm"}
    bores: list[Any] = [{"position": p, "offset": {"x": "0 mm", "y": "0 mm"}} for p in ("0 mm", "300 mm")]
    bores[1]["blind"] = True
    plain, more = _setups(_line(*bores)), _setups({**_line(*bores), "lines": {"pin": {"datums": [datum]}}})
    assert plain == more
    assert more[1]["bar"] == "overhung"


def test_no_bearing_stands_in_bosses_that_overlap() -> None:
    """A short boss within a long one, then one at a distance: bearings before, in the one gap, and beyond."""
    blocks = [Block(0.0, 0.3), Block(0.1, 0.15), Block(0.5, 0.6)]
    assert bearings_of(blocks, ROOM) == pytest.approx([-0.12, 0.4, 0.72])
