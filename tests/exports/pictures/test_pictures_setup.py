"""The side view of a line's set-up: to scale, bearings where the document says, closed ends, rooms and torch side."""

from pathlib import Path
from typing import Any
from xml.etree import ElementTree as Tree

import pytest

from estimator.book.pricebook import read_pricebook
from exports.pictures.paper import WIDTH
from exports.pictures.setup import setup_of_line
from exports.pictures.setup_parts import bearings, set_ups, view_of
from tests.exports.pictures.picture_samples import NAMES
from tests.exports.pictures.pictures_read import Read, read
from tests.jobs import bore, job
from tests.raw import estimate

BOOK = read_pricebook()
THREAD = 1e-3  # mm on paper: coordinates are written to a micrometre


def _document(*changes: Any) -> Any:
    bores = [bore(**{"name": "ABCD"[n], "line": "pin", **one}) for n, one in enumerate(changes)]
    return dict(estimate(job(*bores), BOOK))


TWO = ({"position": "0 mm", "clear_room": {"machine": "300 mm"}}, {"position": "300 mm", "blind": True})


def _drawn(document: Any) -> Read:
    (line,) = set_ups(document)
    return read(setup_of_line(line, document))


def _x(element: Tree.Element, key: str = "x") -> float:
    return float(element.attrib[key])


def test_bosses_and_bearings_stand_to_scale() -> None:
    """By hand: bosses from 0 to 70 and 300 to 370, bearings at -120 and 185 (see the laws of set-ups)."""
    drawn = _drawn(_document(*TWO))
    walls = drawn.part("bosses", "rect")
    faces = sorted({round(at, 3) for one in walls for at in (_x(one), _x(one) + _x(one, "width"))})
    scale = (faces[-1] - faces[0]) / 370
    assert faces == pytest.approx([faces[0] + scale * at for at in (0, 70, 300, 370)], abs=2 * THREAD)
    middles = sorted(_x(one) + _x(one, "width") / 2 for one in drawn.part("bearings", "rect"))
    assert middles == pytest.approx([faces[0] + scale * at for at in (-120, 185)], abs=2 * THREAD)
    # across by the same scale: a wall of 40 mm above the bore and below it
    assert [_x(one, "height") for one in walls] == pytest.approx([40 * scale] * 4, abs=2 * THREAD)


def test_a_closed_end_is_hatched_and_an_open_one_is_not() -> None:
    closed, opened = _drawn(_document(*TWO)), _drawn(_document(TWO[0], {"position": "300 mm"}))
    assert len(closed.part("blind", "rect")) == 1
    assert closed.part("blind", "rect")[0].attrib["fill"].startswith("url(#hatch")
    assert opened.part("blind", "rect") == []
    # the last bearing of the one stands before the closed end, that of the other beyond the open one
    ends = [max(_x(one) for one in drawn.part("bearings", "rect")) for drawn in (closed, opened)]
    bores = [max(_x(one) for one in drawn.part("bosses", "rect")) for drawn in (closed, opened)]
    assert ends[0] < bores[0]
    assert ends[1] > bores[1]


def test_spans_rooms_and_torch_are_said() -> None:
    said = _drawn(_document(*TWO)).said()
    for words in ("the bar is overhung in B", "A: 300 clear", "230", "185", "torch, drive side: 370", "blind"):
        assert words in said
    assert "torch, far side: 70" in _drawn(_document({"position": "0 mm"}, {"position": "900 mm"})).said()


def test_a_line_whose_places_are_unknown_is_not_drawn() -> None:
    assert set_ups(_document({}, {})) == []
    assert set_ups(estimate(job(), BOOK)) == []
    old: Any = {"bores": [{"name": "old", "given": {"line": "pin"}}]}
    assert set_ups(old) == []


@pytest.mark.parametrize("name", NAMES)
def test_any_name_is_drawn_within_the_sheet(name: str) -> None:
    document = _document(*TWO, {"position": "-0.0 mm", "line": None, "name": "other"})
    for one in document["bores"]:
        one["name"] = NAMES[name] + one["name"]
        one["given"]["line"] = one["given"]["line"] and NAMES[name]
    drawn = _drawn(document)
    for one in (each for each in drawn.every("rect") if "x" in each.attrib):  # not paper and hatches
        assert 0 <= _x(one) <= _x(one) + _x(one, "width") <= WIDTH
    for line in drawn.every("line"):
        assert all(0 <= _x(line, key) <= WIDTH for key in ("x1", "x2"))


@pytest.mark.parametrize("path", sorted(Path("sample_jobs").glob("*.json")), ids=lambda path: path.stem)
def test_bearings_of_the_samples_stand_clear_of_their_bores(path: Path) -> None:
    document = estimate(path.read_bytes(), BOOK)
    for line in set_ups(document):
        view = view_of(line)
        for place in bearings(line.bores):
            assert 0 < view.x(place) < WIDTH
            for one in line.bores:
                start, length = one["setup"]["place_mm"], one["given"]["length_mm"]
                assert not start < place < start + length
            assert not any(start < place < end for _, start, end in line.datums)
