"""The section and the line, read back: radii, angles and offsets are those of the document, magnified as stated."""

import math
import re
from itertools import pairwise
from typing import Any

import pytest

from estimator.estimate import estimate
from estimator.pricebook import read_pricebook
from exports.pictures.line_axis import line_of_bores
from exports.pictures.section import section
from exports.pictures.wear_map import wear_map
from tests.exports.picture_samples import bore_of, line_of, maps, quick_bore
from tests.exports.pictures_read import Read, read
from tests.exports.test_pictures import ESTIMATE, MAPS, PLACES, factor_of, number, shown
from tests.jobs import bore, job

FACTORS = (1, 2, 5, 10, 20, 50)


def centre(drawn: Read) -> tuple[float, float]:
    (mark,) = [element for element in drawn.every("circle") if element.get("data-centre") == "axis"]
    return number(mark, "cx"), number(mark, "cy")


def radii(drawn: Read) -> dict[str, float]:
    """Return the radii of the circles on paper; all are about the axis. [mm]"""
    circles = drawn.part("circles", "circle")
    assert {(number(one, "cx"), number(one, "cy")) for one in circles} == {centre(drawn)}
    return {one.get("data-line", ""): number(one, "r") for one in circles}


def polar(drawn: Read, x: float, y: float) -> tuple[float, float]:
    """Return a place on paper as clock and radius; 12 o'clock is up, 3 o'clock to the right. [degrees, mm]"""
    dx, dy = x - centre(drawn)[0], centre(drawn)[1] - y
    return math.degrees(math.atan2(dx, dy)) % 360, math.hypot(dx, dy)


def worn_line(drawn: Read) -> list[tuple[float, float]]:
    paths = drawn.part("worn", "path")
    pairs = [re.findall(r"(-?[\d.]+) (-?[\d.]+)", path.get("d") or "") for path in paths]
    return [polar(drawn, float(x), float(y)) for pieces in pairs for x, y in pieces]


@pytest.mark.parametrize("name", MAPS)
def test_only_what_is_beyond_nominal_is_magnified(name: str) -> None:
    bore = bore_of(MAPS[name])
    drawn = read(section(bore))
    found, times = radii(drawn), factor_of(drawn)
    assert times in FACTORS
    paper = found["nominal"] / 45.0
    assert found["clean-up"] == pytest.approx(
        paper * (45 + times * (bore["sizes"]["cleanup_mm"] - 90) / 2), abs=2 * PLACES
    )
    assert found["weld"] == pytest.approx(paper * (45 + times * (bore["sizes"]["weld_mm"] - 90) / 2), abs=2 * PLACES)


@pytest.mark.parametrize("name", ["usual", "diameters", "three-point", "points", "out of order", "under nominal"])
def test_the_worn_line_passes_through_every_reading(name: str) -> None:
    held = MAPS[name]
    turn = {"diameter": 180.0, "three-point": 120.0}.get(held["of"], 360.0)
    row = max(range(len(held["wear_mm"])), key=lambda n: max(held["wear_mm"][n]))
    drawn = read(section(bore_of(held)))
    paper, times, line = radii(drawn)["nominal"] / 45.0, factor_of(drawn), worn_line(drawn)
    for at, wear in zip(held["clock"], held["wear_mm"][row], strict=True):
        for end in range(round(360 / turn)):
            angle = (at + end * turn) % 360
            near = min(line, key=lambda place: abs((place[0] - angle + 180) % 360 - 180))
            assert abs((near[0] - angle + 180) % 360 - 180) < 0.01  # degrees; a micrometre at 30 mm is 0.002
            assert near[1] == pytest.approx(paper * (45 + times * wear), abs=2 * PLACES)


def test_three_oclock_is_to_the_right_and_the_clock_runs_clockwise() -> None:
    drawn = read(section(bore_of(MAPS["usual"])))
    hours = {
        e.get("data-hour"): polar(drawn, number(e, "x"), number(e, "y") - 1.3)[0] for e in drawn.part("clock", "text")
    }
    assert hours == pytest.approx({"12": 0, "3": 90, "6": 180, "9": 270}, abs=0.01)
    deepest = max(worn_line(drawn), key=lambda place: place[1])
    assert deepest[0] == pytest.approx(90, abs=0.01)  # the wear of the sample lies at its reading of 90 degrees


def test_a_station_can_be_named_and_one_that_is_not_there_cannot() -> None:
    bore, held = bore_of(MAPS["usual"]), MAPS["usual"]
    for index, depth in enumerate(held["depth_mm"]):
        said = read(section(bore, index)).said()
        assert f"{depth:g} mm deep" in said and shown(max(held["wear_mm"][index])) in said
    assert section(bore) == section(bore, 3)  # the deepest wear of the sample lies at its last station
    assert "Deepest wear of the bore" in section(bore, 3) and "Deepest wear here" in section(bore, 0)
    with pytest.raises(IndexError):
        section(bore, 4)


def test_lines_differ_by_dashes_too_and_each_has_a_label_that_touches_it() -> None:
    drawn = read(section(bore_of(MAPS["usual"])))
    lines = [*drawn.part("circles", "circle"), *drawn.part("worn", "path")]
    dashes = {one.get("data-line"): one.get("stroke-dasharray") for one in lines}
    assert set(dashes) == {"nominal", "worn", "clean-up", "weld"} and len(set(dashes.values())) == 4
    labels = [element.text for element in drawn.part("labels", "text")][::2]
    assert labels == ["clean-up", "worn", "nominal", "weld"]
    heights = [number(element, "y") for element in drawn.part("labels", "text")]
    assert all(b - a > 3 for a, b in pairwise(heights))
    holds = [polar(drawn, number(e, "cx"), number(e, "cy"))[1] for e in drawn.part("labels", "circle")]
    found = radii(drawn)
    assert [holds[0], holds[2], holds[3]] == pytest.approx(
        [found["clean-up"], found["nominal"], found["weld"]], abs=2 * PLACES
    )
    samples = [element.get("stroke-dasharray") for element in drawn.part("labels", "line")]
    assert samples == [dashes[name] for name in labels]


def test_the_worn_line_is_broken_where_nothing_was_measured() -> None:
    held = MAPS["not measured"]
    drawn = read(section(bore_of(held), 0))
    missing = [at for at, wear in zip(held["clock"], held["wear_mm"][0], strict=True) if wear is None]
    assert missing
    for angle, _ in worn_line(drawn):
        assert all(abs((angle - at + 180) % 360 - 180) > 29 for at in missing)  # readings stand 30 degrees apart
    assert "No line where nothing was measured" in drawn.said()


def test_a_reading_that_is_missing_is_not_drawn_as_read_though_the_engine_fills_it_in() -> None:
    held = {"kind": "diameter", "unit": "mm", "clock": [0, 45, 90, 135], "depth": [10, 40], "missing": "allowed"}
    values = [[92.0, None, 91.0, 91.5], [92.1, 91.9, 91.2, 91.4]]
    found = estimate(job(bore(readings={**held, "values": values})), read_pricebook())["bores"][0]
    assert None not in found["wear"]["clock_map"]["wear_mm"][0]
    drawn = read(wear_map(dict(found)))
    assert len(drawn.part("numbers", "text")) == 7 and "not measured" in drawn.texts()
    assert "No line where nothing was measured" in read(section(dict(found), 0)).said()


def test_one_worst_diameter_is_a_circle_and_says_so() -> None:
    drawn = read(section(quick_bore()))
    paper, times = radii(drawn)["nominal"] / 45.0, factor_of(drawn)
    assert {round(radius, 2) for _, radius in worn_line(drawn)} == {round(paper * (45 + times * 1.3), 2)}
    assert "One worst diameter only" in drawn.said() and "Ø 92.60 mm" in drawn.said()


CIRCLES = [
    {"name": "least squares", "diameter_mm": 91.2, "offset_mm": 0.8, "clock_offset": 90.0, "out_of_round_mm": 0.4},
    {
        "name": "minimum circumscribed",
        "diameter_mm": 93.1,
        "offset_mm": 1.1,
        "clock_offset": 100.0,
        "out_of_round_mm": 0.5,
    },
]


def test_centres_stand_where_the_document_says_magnified_as_the_wear() -> None:
    bore = bore_of(MAPS["usual"])
    others = [{**one, "offset_mm": 0.0} for one in CIRCLES]
    bore["wear"] = {
        **bore["wear"],
        "clock_sections": [{"depth_mm": 8.75, "circles": others}, {"depth_mm": 61.25, "circles": CIRCLES}],
    }
    drawn = read(section(bore))
    paper, times = radii(drawn)["nominal"] / 45.0, factor_of(drawn)
    for circle in CIRCLES:
        (mark,) = [e for e in drawn.every("circle") if e.get("data-centre") == circle["name"]]
        angle, away = polar(drawn, number(mark, "cx"), number(mark, "cy"))
        assert away == pytest.approx(paper * times * float(str(circle["offset_mm"])), abs=2 * PLACES)
        assert angle == pytest.approx(float(str(circle["clock_offset"])), abs=0.1)  # a micrometre at 3 mm
    assert "0.800 mm at 90°, Ø 91.20" in drawn.said()


@pytest.mark.parametrize("gone", ["given", "sizes", "wear"])
def test_a_section_without_a_part_of_the_document_says_so(gone: str) -> None:
    bore = bore_of(MAPS["usual"])
    del bore[gone]
    said = read(section(bore)).said()
    due = {"given": "does not give the nominal", "sizes": "lacks a size", "wear": "says nothing of the wear"}
    assert due[gone] in said


# ---------------------------------------------------------------- the line


def marks(drawn: Read, view: str, kind: str) -> list[tuple[float, float]]:
    if kind == "original":
        rings = [e for e in drawn.part(f"view-{view}", "circle") if e.get("data-mark") == kind]
        return [(number(e, "cx"), number(e, "cy")) for e in rings]
    found = []
    for element in drawn.part(f"view-{view}", "path"):
        places = [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", element.get("d") or "")]
        found.append((sum(x for x, _ in places) / 4, sum(y for _, y in places) / 4))
    return found


def along_of(drawn: Read, line: dict[str, Any]) -> float:
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
    assert "Cannot be taken: original centres: bore A: clean-up cuts the boss" in said
    assert all(part in said for part in ("139.0", "151.5", "161.8", "0.31", "97.20", "0.79, −1.28", "0.20, 0.75"))


@pytest.mark.parametrize("gone", ["stations", "axes", "chosen", "saves", "bores", "name"])
def test_a_line_without_a_part_is_still_drawn_and_says_what_is_missing(gone: str) -> None:
    said = read(line_of_bores(line_of(**{gone: None}), ESTIMATE)).said()
    due = {"stations": "no stations", "axes": "no axes to choose from", "chosen": "No axis was chosen"}
    assert due.get(gone, "Chosen axis: least deposit") in said


def test_stations_without_centres_or_tolerance_are_drawn() -> None:
    bare = [{"bore": "A", "kind": "bore", "position_mm": 5.0}, {"name": "d", "kind": "datum", "position_mm": 5.0}]
    said = read(line_of_bores(line_of(stations=bare, axes=[]), {})).said()
    assert "No position tolerance is given" in said and "2 bores" not in said


def test_a_long_line_keeps_its_numbers() -> None:
    station = line_of()["stations"][0]
    many = [{**station, "bore": f"eye {n}", "position_mm": 100.0 * n} for n in range(30)]
    drawn = read(line_of_bores(line_of(stations=many), ESTIMATE))
    assert [e.text for e in drawn.part("strip", "text")][:30] == [f"{n}" for n in range(1, 31)]
    assert {f"eye {n}" for n in range(30)} <= set(drawn.texts())


def test_equal_maps_give_equal_sections() -> None:
    assert {name: section(bore_of(held)) for name, held in maps().items()} == {
        name: section(bore_of(held)) for name, held in MAPS.items()
    }
