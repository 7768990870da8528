"""The line of bores, read back: offsets, axes and zones are those of the document, magnified as stated."""

import re
from pathlib import Path
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from exports.pictures.line_axis import line_of_bores
from tests.exports.pictures.picture_samples import line_of
from tests.exports.pictures.pictures_read import Read, read
from tests.exports.pictures.test_pictures import ESTIMATE, PLACES, factor_of, number
from tests.raw import estimate


def marks(drawn: Read, view: str, kind: str) -> list[tuple[float, float]]:
    if kind == "original":
        rings = [e for e in drawn.part(f"view-{view}", "circle") if e.get("data-mark") == kind]
        return [(number(e, "cx"), number(e, "cy")) for e in rings]
    found = []
    for element in drawn.part(f"view-{view}", "path"):
        places = [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", element.get("d") or "")]
        found.append((sum(x for x, _ in places) / 4, sum(y for _, y in places) / 4))
    return found


def along_of(drawn: Read, line: Any) -> float:
    """Return mm on paper a mm along the line, from two stations' marks."""
    (left, _), *_, (right, _) = marks(drawn, "x", "original")
    first, last = line["stations"][0], line["stations"][-1]
    return (right - left) / (last["position_mm"] - first["position_mm"])


@pytest.mark.parametrize("way", ["x", "y"])
def test_offsets_are_magnified_as_stated_and_positions_are_not(way: str) -> None:
    line = line_of()
    drawn = read(line_of_bores(line, ESTIMATE))
    scale = along_of(drawn, line) * factor_of(drawn)
    original, worn = marks(drawn, way, "original"), marks(drawn, way, "worn")
    bores = [one for one in line["stations"] if one["kind"] == "bore"]
    assert len(original) == 3 and len(worn) == len(bores) == 2
    zero = original[0][1]  # the first station's original centre lies on the wire
    for (_, y), one in zip(original, line["stations"], strict=True):
        assert zero - y == pytest.approx(scale * one[f"original_{way}_mm"], abs=4 * PLACES)
    for (x, y), one in zip(worn, bores, strict=True):
        assert zero - y == pytest.approx(scale * one[f"worn_{way}_mm"], abs=4 * PLACES)  # up is plus
        assert x - original[0][0] == pytest.approx(along_of(drawn, line) * one["position_mm"], abs=4 * PLACES)


@pytest.mark.parametrize("way", ["x", "y"])
def test_each_axis_runs_where_the_document_says(way: str) -> None:
    line = line_of()
    drawn = read(line_of_bores(line, ESTIMATE))
    scale, zero = along_of(drawn, line) * factor_of(drawn), marks(drawn, way, "original")[0][1]
    drawn_axes = {e.get("data-axis"): e for e in drawn.part(f"view-{way}", "line") if e.get("data-axis")}
    assert set(drawn_axes) == {axis["choice"] for axis in line["axes"]}
    for axis in line["axes"]:
        element = drawn_axes[axis["choice"]]
        for key, position in (("y1", 0.0), ("y2", 490.0)):
            offset = axis[f"{way}_mm"] + axis[f"tilt_{way}_mm_m"] * position / 1000
            assert zero - number(element, key) == pytest.approx(scale * offset, abs=4 * PLACES)
    assert len({e.get("stroke-dasharray") for e in drawn_axes.values()}) == 3
    assert drawn_axes["least deposit"].get("stroke-dasharray") is None


def test_tolerance_zones_have_their_width_and_datums_are_hatched() -> None:
    line = line_of()
    drawn = read(line_of_bores(line, ESTIMATE))
    scale = along_of(drawn, line) * factor_of(drawn)
    zones = {e.get("data-zone"): e for e in drawn.part("view-x", "rect") if e.get("data-zone")}
    assert set(zones) == {"A", "middle eye", "B"}
    for name, tolerance in (("A", 0.6), ("middle eye", 0.1), ("B", 0.6)):
        assert number(zones[name], "height") == pytest.approx(
            max(scale * tolerance, 1.6 if name == "middle eye" else 0), abs=2 * PLACES
        )
        assert number(zones[name], "width") == pytest.approx(along_of(drawn, line) * 70, abs=2 * PLACES)
    assert [name for name, e in zones.items() if (e.get("fill") or "").startswith("url")] == ["middle eye"]


def test_the_choice_its_saving_and_a_refusal_are_said() -> None:
    said = read(line_of_bores(line_of(), ESTIMATE)).said()
    assert "saves 22.8 cm³ of weld metal (0.210 kg laid) against original centres" in said
    assert "Not allowed: original centres: bore A: clean-up cuts the boss" in said
    assert all(part in said for part in ("139.0", "151.5", "161.8", "0.31", "97.20", "0.79, −1.28", "0.20, 0.75"))


@pytest.mark.parametrize("gone", ["stations", "axes", "chosen", "saves", "bores", "name"])
def test_a_line_without_a_part_is_still_drawn_and_says_what_is_missing(gone: str) -> None:
    said = read(line_of_bores(line_of(**{gone: None}), ESTIMATE)).said()
    due = {"stations": "no stations", "axes": "no axes to choose from", "chosen": "No axis was chosen"}
    assert due.get(gone, "Chosen axis: least deposit") in said


def test_stations_without_centres_or_tolerance_are_drawn() -> None:
    bare = [{"bore": "A", "kind": "bore", "position_mm": 5.0}, {"name": "d", "kind": "datum", "position_mm": 5.0}]
    said = read(line_of_bores(line_of(stations=bare, axes=[]), ESTIMATE)).said()
    assert "No position tolerance is given" in said and "2 bores" not in said


def test_a_long_line_keeps_its_numbers() -> None:
    station = line_of()["stations"][0]
    many = [{**station, "bore": f"eye {n}", "position_mm": 100.0 * n} for n in range(30)]
    drawn = read(line_of_bores(line_of(stations=many), ESTIMATE))
    assert [e.text for e in drawn.part("strip", "text")][:30] == [f"{n}" for n in range(1, 31)]
    assert {f"eye {n}" for n in range(30)} <= set(drawn.texts())


def test_stations_are_numbered_along_the_line_in_whatever_order_they_come() -> None:
    line = line_of()
    other: Any = {**line, "stations": [line["stations"][n] for n in (2, 0, 1)]}
    assert line_of_bores(other, ESTIMATE) == line_of_bores(line, ESTIMATE)


def test_the_mark_of_the_readings_is_named_what_it_is() -> None:
    said = read(line_of_bores(line_of(), ESTIMATE)).said()
    assert "middle of the readings" in said and "worn centre" not in said
    without = [{**one, "worn_x_mm": None, "worn_y_mm": None} for one in line_of()["stations"]]
    assert "middle of the readings" not in read(line_of_bores(line_of(stations=without), ESTIMATE)).said().lower()


@pytest.mark.parametrize("name", ["crusher_boom", "skidder_scan"])
def test_the_lines_of_the_samples_are_drawn_with_each_station_and_axis(name: str) -> None:
    found = estimate(Path(f"sample_jobs/{name}.json").read_bytes(), read_pricebook())
    (line,) = found["lines"]
    drawn = read(line_of_bores(line, found))
    along = sorted(line["stations"], key=lambda one: one["position_mm"])
    assert [e.text for e in drawn.part("strip", "text") if not (e.text or "").isdigit()][:-1] == [
        one["name"] for one in along
    ]
    assert {e.get("data-axis") for e in drawn.part("view-y", "line") if e.get("data-axis")} == {
        axis["choice"] for axis in line["axes"]
    }
    assert "… " not in drawn.said()  # no name is cut short
