"""The section and the line, read back: radii, angles and offsets are those of the document, magnified as stated."""

import math
import re
from itertools import pairwise
from pathlib import Path

import pytest

from estimator.book.pricebook import read_pricebook
from exports.pictures.section import section
from exports.pictures.wear_map import wear_map
from tests.exports.pictures.picture_samples import bore_of, maps, quick_bore
from tests.exports.pictures.pictures_read import Read, read
from tests.exports.pictures.test_pictures import MAPS, PLACES, factor_of, number, shown
from tests.jobs import bore, job
from tests.raw import estimate

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
    drawn = read(wear_map(found))
    assert len(drawn.part("numbers", "text")) == 7 and "not measured" in drawn.texts()
    assert "No line where nothing was measured" in read(section(found, 0)).said()


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


AXES = [(0.05, -0.63), (0.0, 0.4), (-1.2, 0.0), (2.0, -1.5)]


def points(drawn: Read, name: str) -> list[tuple[float, float]]:
    (path,) = [one for one in drawn.part("circles", "path") if one.get("data-line") == name]
    pairs = re.findall(r"(-?[\d.]+) (-?[\d.]+)", path.get("d") or "")
    return [polar(drawn, float(x), float(y)) for x, y in pairs]


@pytest.mark.parametrize(("x", "y"), AXES)
def test_clean_up_and_weld_lie_about_the_axis_of_the_line(x: float, y: float) -> None:
    """Each point of the drawing, taken back to true size, is half a diameter from the axis; nominal is about zero."""
    bore = bore_of(MAPS["usual"])
    bore["sizes"] = {**bore["sizes"], "clock_axis": {"x_mm": x, "y_mm": y}}
    drawn = read(section(bore))
    assert list(radii(drawn)) == ["nominal"]
    paper, times = radii(drawn)["nominal"] / 45.0, factor_of(drawn)
    for name, key in (("clean-up", "cleanup_mm"), ("weld", "weld_mm")):
        line = points(drawn, name)
        assert len(line) == 120 and len({round(angle / 3) % 120 for angle, _ in line}) == 120  # all round
        for angle, radius in line:
            true, turned = 45 + (radius / paper - 45) / times, math.radians(angle)
            away = math.hypot(true * math.sin(turned) - x, true * math.cos(turned) - y)
            assert away == pytest.approx(bore["sizes"][key] / 2, abs=4 * PLACES / paper)
    strokes = [one for one in drawn.part("centres", "line") if one.get("data-centre") == "line"]
    for one in strokes:
        at = ((number(one, a) + number(one, b)) / 2 for a, b in (("x1", "x2"), ("y1", "y2")))
        angle, away = polar(drawn, *at)
        assert away == pytest.approx(paper * times * math.hypot(x, y), abs=2 * PLACES)
        assert math.radians(angle) == pytest.approx(math.atan2(x, y) % math.tau, abs=4 * PLACES / away)
    assert len(strokes) == 2


def test_the_axis_of_the_line_is_said_in_words_and_only_where_it_lies_beside() -> None:
    bore = bore_of(MAPS["usual"])
    plain = section(bore)
    bore["sizes"] = {**bore["sizes"], "clock_axis": {"x_mm": 0.3, "y_mm": 0.0}}
    bore["wear"]["wear_about_axis_mm"] = 1.91
    said = read(section(bore)).said()
    assert "the line's axis (×): 0.30 mm from the zero of the readings (+), at 90° (3 o'clock)." in said
    assert "× axis of the line 0.300 mm at 90°" in said and "counts it from the line's axis: up to 1.91 mm" in said
    bore["sizes"]["clock_axis"] = {"x_mm": 0.0, "y_mm": 0.0}
    assert section(bore) == plain and "axis of the line" not in plain


def test_labels_touch_the_moved_circles_too() -> None:
    bore = bore_of(MAPS["usual"])
    bore["sizes"] = {**bore["sizes"], "clock_axis": {"x_mm": 0.5, "y_mm": -0.9}}
    drawn = read(section(bore))
    holds = [polar(drawn, number(e, "cx"), number(e, "cy")) for e in drawn.part("labels", "circle")]
    for (angle, radius), name in ((holds[0], "clean-up"), (holds[3], "weld")):
        near = sorted(points(drawn, name), key=lambda place: abs(place[0] - angle))[:2]
        low, high = sorted(place[1] for place in near)
        assert low - 0.1 < radius < high + 0.1  # the line is drawn from three degrees to three


@pytest.mark.parametrize("name", ["crusher_boom", "skidder_scan"])
def test_about_the_axis_of_the_line_no_wear_reaches_the_clean_up_circle(name: str) -> None:
    found = estimate(Path(f"sample_jobs/{name}.json").read_bytes(), read_pricebook())
    for one in found["bores"]:
        drawn = read(section(one))
        circle = {round(angle): radius for angle, radius in points(drawn, "clean-up")}
        worn = [(round(angle), radius) for angle, radius in worn_line(drawn) if round(angle) in circle]
        assert len(worn) > 100
        assert all(radius < circle[angle] for angle, radius in worn)


@pytest.mark.parametrize("gone", ["given", "sizes", "wear"])
def test_a_section_without_a_part_of_the_document_says_so(gone: str) -> None:
    bore = bore_of(MAPS["usual"])
    del bore[gone]
    said = read(section(bore)).said()
    due = {"given": "nominal diameter is not given", "sizes": "is missing", "wear": "wear is not known"}
    assert due[gone] in said


def test_equal_maps_give_equal_sections() -> None:
    assert {name: section(bore_of(held)) for name, held in maps().items()} == {
        name: section(bore_of(held)) for name, held in MAPS.items()
    }
