"""Drawings of wear and of a line: what is drawn is what the document says, read back from the SVG."""

import copy
import math
import re
from itertools import pairwise
from typing import Any

import pytest

from exports.pictures.line_axis import line_of_bores
from exports.pictures.section import section
from exports.pictures.shades import TEMPER, bands, contrast, luminance, text_on
from exports.pictures.svg import Drawing
from exports.pictures.wear_map import wear_map
from tests.exports.pictures.picture_samples import NAMES, bore_of, line_of, maps, quick_bore
from tests.exports.pictures.pictures_read import Read, read

ESTIMATE: Any = {"reference": "T-1"}
DRAW = {"map": wear_map, "section": section}
MAPS = maps()
PLACES = 0.001  # coordinates are written to a micrometre [mm]
# WCAG 2.2 (W3C, 2023), success criterion 1.4.3: text needs a contrast ratio of 4.5 with what lies behind it.
LEAST_CONTRAST = 4.5


def shown(wear: float) -> str:
    """Return wear as printed: two places, half away from zero, a true minus."""
    hundredths = math.floor(abs(wear) * 100 + 0.5 + 1e-9)
    return ("−" if wear < 0 and hundredths else "") + f"{hundredths / 100:.2f}"


def measured(held: Any) -> list[float]:
    return [wear for row in held["wear_mm"] for wear in row if wear is not None]


def factor_of(drawn: Read) -> float:
    found = re.search(r"× ([\d,]+)", drawn.said())
    assert found
    return float(found[1].replace(",", ""))


def number(element: Any, key: str) -> float:
    return float(element.get(key))


# ---------------------------------------------------------------- every drawing


def drawings() -> list[tuple[str, str]]:
    found = [
        (f"{kind} {name}", draw(bore_of(held, name))) for kind, draw in DRAW.items() for name, held in MAPS.items()
    ]
    found += [
        (f"{kind} named {name}", DRAW[kind](bore_of(MAPS["usual"], NAMES[name]))) for kind in DRAW for name in NAMES
    ]
    found += [(f"line named {name}", line_of_bores(line_of(name=NAMES[name]), ESTIMATE)) for name in NAMES]
    return [*found, ("quick map", wear_map(quick_bore())), ("quick section", section(quick_bore()))]


@pytest.mark.parametrize("text", [pytest.param(text, id=name) for name, text in drawings()])
def test_a_drawing_is_whole_sized_named_and_needs_nothing_else(text: str) -> None:
    drawn = read(text)
    root = drawn.root
    box = [float(part) for part in (root.get("viewBox") or "").split()]
    assert [root.get("width"), root.get("height")] == [f"{box[2]:g}mm", f"{box[3]:g}mm"] and box[:2] == [0, 0]
    assert box[2] == 180 and box[3] < 270  # fits A4 and Letter upright
    assert root.get("role") == "img"
    assert [child.tag.rpartition("}")[2] for child in root[:2]] == ["title", "desc"] and all(
        child.text for child in root[:2]
    )
    kinds = {element.tag.rpartition("}")[2] for element in root.iter()}
    assert kinds <= {"svg", "title", "desc", "defs", "pattern", "g", "rect", "line", "circle", "path", "text"}
    assert "href" not in text and "@import" not in text and "<script" not in text
    assert text.count("http") == 1  # the name of the language itself


@pytest.mark.parametrize("text", [pytest.param(text, id=name) for name, text in drawings()])
def test_nothing_is_drawn_beside_the_sheet(text: str) -> None:
    drawn = read(text)
    wide, high = (float(part) for part in (drawn.root.get("viewBox") or "").split()[2:])
    for element in drawn.every("circle"):
        x, y, r = (number(element, key) for key in ("cx", "cy", "r"))
        assert r <= x <= wide - r and r <= y <= high - r
    for element in drawn.every("line"):
        assert all(0 <= number(element, key) <= wide for key in ("x1", "x2"))
        assert all(0 <= number(element, key) <= high for key in ("y1", "y2"))
    for element in drawn.every("text"):
        assert 0 <= number(element, "x") <= wide and 0 <= number(element, "y") <= high


def test_the_same_document_gives_the_same_bytes() -> None:
    assert drawings() == drawings()
    line = line_of()
    assert line_of_bores(copy.deepcopy(line), ESTIMATE) == line_of_bores(line, ESTIMATE)


@pytest.mark.parametrize("name", ["markup", "other letters"])
def test_a_name_is_text_and_never_markup(name: str) -> None:
    for text in (wear_map(bore_of(MAPS["usual"], NAMES[name])), line_of_bores(line_of(name=NAMES[name]), ESTIMATE)):
        drawn = read(text)
        assert NAMES[name] in (drawn.root[0].text or "")
        assert not any(element.tag.endswith("upper") for element in drawn.root.iter())


def test_a_name_steers_no_terminal_and_breaks_no_reader() -> None:
    free = Drawing(180, "t", "d")
    free.text(1, 1, NAMES["steering"], data_line=NAMES["steering"])
    text = wear_map(bore_of(MAPS["usual"], NAMES["steering"])) + free.finish(10)
    assert all(sign.isprintable() or sign == "\n" for sign in text)


# ---------------------------------------------------------------- the scale


@pytest.mark.parametrize("deepest", [0.0, 0.004, 0.05, 0.35, 1.0, 1.5, 2.4, 7.99, 38.0])
def test_each_band_is_darker_than_the_one_below_and_they_leave_no_gap(deepest: float) -> None:
    scale = bands(deepest)
    light = [luminance(band.colour) for band in scale]
    assert all(above < below - 0.005 for below, above in pairwise(light))
    assert all(one.high == other.low for one, other in pairwise(scale))
    assert scale[0].low == 0 and scale[-1].high >= deepest and len(scale) <= len(TEMPER)
    printed = [shown(band.high) for band in scale]
    assert len(set(printed)) == len(printed) and all(
        float(said) == band.high for said, band in zip(printed, scale, strict=True)
    )


def test_luminance_and_contrast_are_the_published_ones() -> None:
    # WCAG 2.2: relative luminance of black is 0, of white 1; their contrast ratio is 21, of equal colours 1.
    assert luminance("#000000") == 0 and luminance("#ffffff") == pytest.approx(1, abs=1e-12)
    assert contrast("#000000", "#ffffff") == pytest.approx(21, abs=1e-12)
    assert contrast("#a5604f", "#a5604f") == 1
    # the definition's line below 0.04045 and its power above, by hand: 10/255/12.92 and ((128/255 + 0.055)/1.055)^2.4
    assert luminance("#0a0a0a") == pytest.approx(0.0030353, abs=5e-8)
    assert luminance("#808080") == pytest.approx(0.2158605, abs=5e-8)
    # #767676 on white is the well-known grey just above 4.5
    assert 4.5 < contrast("#767676", "#ffffff") < 4.6 and contrast("#777777", "#ffffff") < 4.5


@pytest.mark.parametrize("grey", range(0, 256, 5))
def test_black_or_white_reads_on_any_colour(grey: int) -> None:
    colour = f"#{grey:02x}{grey:02x}{grey:02x}"
    assert contrast(text_on(colour), colour) >= LEAST_CONTRAST


def painted_at(drawn: Read, x: float, y: float) -> str:
    """Return the colour that lies last under a place of a wear map."""
    found = ""
    for element in [*drawn.part("cells", "rect"), *drawn.part("numbers", "rect")]:
        left, top = number(element, "x"), number(element, "y")
        if left <= x <= left + number(element, "width") and top <= y <= top + number(element, "height"):
            found = element.get("fill") or ""
    return found


@pytest.mark.parametrize("name", MAPS)
def test_every_number_reads_on_what_lies_behind_it(name: str) -> None:
    drawn = read(wear_map(bore_of(MAPS[name])))
    for element in drawn.part("numbers", "text"):
        behind = painted_at(drawn, number(element, "x"), number(element, "y") - 0.5)
        assert re.fullmatch("#[0-9a-f]{6}", behind), "a number stands upon a hatch"
        assert contrast(element.get("fill") or "", behind) >= LEAST_CONTRAST


def test_all_other_text_reads_on_white() -> None:
    for _, text in drawings():
        drawn = read(text)
        numbers = {id(element) for element in drawn.part("numbers", "text")}
        inks = {element.get("fill") or "" for element in drawn.every("text") if id(element) not in numbers}
        assert all(contrast(ink, "#ffffff") >= LEAST_CONTRAST for ink in inks)


# ---------------------------------------------------------------- the wear map


@pytest.mark.parametrize("name", [name for name in MAPS if name not in {"many", "nothing measured", "out of order"}])
def test_each_number_of_the_map_is_printed_once(name: str) -> None:
    held = MAPS[name]
    drawn = read(wear_map(bore_of(held)))
    share = 1 if held["of"] in {"radius", "points"} else 2  # a diameter is said whole
    due = sorted(shown(share * wear) for wear in measured(held))
    assert sorted(element.text or "" for element in drawn.part("numbers", "text")) == due
    assert "For want of room" not in drawn.said()


@pytest.mark.parametrize("name", ["many", "out of order"])
def test_a_crowded_map_numbers_some_places_and_says_so(name: str) -> None:
    held = MAPS[name]
    drawn = read(wear_map(bore_of(held)))
    numbers = [element.text for element in drawn.part("numbers", "text")]
    assert 0 < len(numbers) < len(measured(held)) and set(numbers) <= set(map(shown, measured(held)))
    assert shown(max(measured(held))) in numbers
    assert "For want of room" in drawn.said()


def test_the_deepest_place_is_named_and_framed() -> None:
    held = MAPS["usual"]
    drawn = read(wear_map(bore_of(held)))
    assert "Deepest wear 2.21 mm a side, at 90° (3 o'clock), 61.25 mm deep" in drawn.said()
    frame = drawn.part("deepest", "rect")[0]
    left, top = number(frame, "x"), number(frame, "y")
    right, low = left + number(frame, "width"), top + number(frame, "height")
    numbers = drawn.part("numbers", "text")
    inside = [e for e in numbers if left < number(e, "x") < right and top < number(e, "y") < low]
    assert [element.text for element in inside] == ["2.21"]


@pytest.mark.parametrize("name", ["usual", "diameters", "three-point", "out of order", "one depth", "at the faces"])
def test_a_cell_is_as_large_as_the_wall_it_stands_for(name: str) -> None:
    held = MAPS[name]
    turn = {"diameter": 180.0, "three-point": 120.0}.get(held["of"], 360.0)
    drawn = read(wear_map(bore_of(held)))
    cells = drawn.part("cells", "rect")
    whole = sum(number(cell, "width") * number(cell, "height") for cell in cells)
    frame = drawn.part("frame", "rect")[0]
    assert whole == pytest.approx(number(frame, "width") * number(frame, "height"), rel=1e-3)  # written to a micrometre
    depths = sorted(held["depth_mm"])
    first = (depths[0] + depths[1]) / 2 if len(depths) > 1 else 70.0  # of the bore's 70 mm, up to halfway to the next
    heights = {number(cell, "height") for cell in cells if number(cell, "y") == number(frame, "y")}
    assert list(heights) == pytest.approx([first / 70 * number(frame, "height")], abs=PLACES)
    if name != "out of order":  # there neighbours of one colour are one rectangle
        wide = {round(number(cell, "width"), 2) for cell in cells}
        assert wide == {round(number(frame, "width") / len(held["clock"]), 2)}
    assert f"{turn:g}°" in drawn.said() or turn == 360


def test_a_cell_stands_at_its_clock_and_depth() -> None:
    drawn = read(wear_map(bore_of(MAPS["usual"])))
    frame = drawn.part("frame", "rect")[0]
    right = {e.text: number(e, "x") for e in drawn.part("clock", "text")}
    hours = [right[said] for said in ("12 o'clock", "3 o'clock", "6 o'clock", "9 o'clock")]
    assert hours == sorted(hours)  # clockwise runs to the right
    assert right["90°"] == right["3 o'clock"]
    depths = [number(e, "y") for e in drawn.part("depth", "text") if e.text != "depth, mm"]
    assert depths == sorted(depths)  # from the machine's face down
    number_221 = next(e for e in drawn.part("numbers", "text") if e.text == "2.21")
    assert number(number_221, "x") == pytest.approx(right["90°"], abs=PLACES)
    y = number(frame, "y") + 61.25 / 70 * number(frame, "height")
    assert number(number_221, "y") == pytest.approx(y, abs=1.0)  # the base line lies a little below the middle


def test_what_was_not_measured_and_what_is_under_nominal_are_hatched_and_said() -> None:
    for name, hatch, said in (
        ("not measured", "unmeasured", "not measured"),
        ("under nominal", "under", "under nominal"),
    ):
        drawn = read(wear_map(bore_of(MAPS[name])))
        cells = [wear for row in MAPS[name]["wear_mm"] for wear in row]
        due = sum(
            1 for wear in cells if (wear is None if hatch == "unmeasured" else wear is not None and wear < -0.005)
        )
        assert sum(1 for e in drawn.part("cells", "rect") if e.get("fill") == f"url(#hatch-{hatch})") == due > 0
        assert said in drawn.texts()
        assert [e.get("id") for e in drawn.every("pattern")] == [f"hatch-{hatch}"]


def test_a_map_that_is_not_there_is_said() -> None:
    assert "one worst diameter" in read(wear_map(quick_bore())).said()
    assert "nothing was measured" in read(wear_map(bore_of(MAPS["nothing measured"]))).said()
    lacking: Any = {"name": "A", "wear": {"clock_map": MAPS["usual"]}}
    bare = read(wear_map(lacking))
    assert "length of the bore is not given" in bare.said() and len(bare.part("numbers", "text")) == 48


def test_what_a_gauge_does_not_tell_is_said() -> None:
    bore = bore_of(MAPS["diameters"])
    bore["given"] = {**bore["given"], "wear": "one-sided"}
    bore["wear"] = {**bore["wear"], "max_radial_wear_mm": 4.34}
    said = read(wear_map(bore)).said()
    assert "0° to 180°" in said and "up to 4.34 mm a side" in said
    assert "12 and 6 o'clock" in said and "3 and 9 o'clock" in said
    assert "7 and 11" in read(wear_map(bore_of(MAPS["three-point"]))).said()
