"""The sheet of the bores as found: each number of the document, the deeper the darker, whatever the document lacks."""

import io
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from estimator.book.pricebook import read_pricebook
from exports.cells import Cell, Sheet
from exports.pictures.shades import contrast, luminance
from exports.sheets import as_found
from exports.workbook import workbook
from tests.exports.pictures.picture_samples import bore_of, line_of, maps, quick_bore
from tests.raw import estimate

SAMPLES = sorted(Path("sample_jobs").glob("*.json"))
MAPS = maps()


def found(name: str) -> Any:
    return dict(estimate(Path(f"sample_jobs/{name}.json").read_bytes(), read_pricebook()))


def document(*bores: Any, **more: Any) -> Any:
    return {"reference": "K-1", "bores": list(bores), **more}


def said(sheet: Sheet) -> str:
    return " | ".join(str(cell.value) for row in sheet.rows for cell in row.cells if isinstance(cell.value, str))


def map_cells(sheet: Sheet) -> list[Cell]:
    """Return the cells of all maps, row by row."""
    rows = (row.cells for row in sheet.rows if row.cells and str(row.cells[0].value).endswith("mm deep"))
    return [cell for cells in rows for cell in cells[1:]]


def figures(sheet: Sheet, first: str) -> list[list[Any]]:
    """Return what stands in the rows that begin with a text, behind it."""
    return [[c.value for c in row.cells[1:]] for row in sheet.rows if row.cells and row.cells[0].value == first]


@pytest.mark.parametrize("path", SAMPLES, ids=[path.stem for path in SAMPLES])
def test_every_wear_of_the_map_stands_on_the_sheet(path: Path) -> None:
    estimated = found(path.stem)
    cells = map_cells(as_found.sheet(estimated))
    due = sorted(
        wear * (1 if bore["wear"]["clock_map"]["of"] in {"radius", "points"} else 2)  # a diameter is said whole
        for bore in estimated["bores"] if bore["wear"]["clock_map"]["of"] != "worst diameter"
        for row in bore["wear"]["clock_map"]["wear_mm"] for wear in row
    )  # fmt: skip
    numbers = sorted(float(str(cell.value)) for cell in cells if cell.value != "not read")
    missing = sum(cell.value == "not read" for cell in cells)
    assert len(cells) == len(due) and missing == (1 if path.stem == "feller_lugs" else 0)
    if not missing:
        assert numbers == pytest.approx(due, abs=0.005)  # below that it is printed as zero


@pytest.mark.parametrize("name", MAPS)
def test_the_deeper_the_darker_and_bare_under_nominal(name: str) -> None:
    cells = [cell for cell in map_cells(as_found.sheet(document(bore_of(MAPS[name])))) if cell.value != "not read"]
    assert len(cells) == sum(wear is not None for row in MAPS[name]["wear_mm"] for wear in row)
    shaded = sorted((float(str(cell.value)), cell.fill) for cell in cells if cell.fill)
    lights = [luminance(fill) for _, fill in shaded if fill]
    assert lights == sorted(lights, reverse=True)
    assert all(float(str(cell.value)) < -0.005 for cell in cells if not cell.fill)
    if shaded and shaded[0][0] < shaded[-1][0] / 2:
        assert lights[0] > 2 * lights[-1]


def test_a_map_of_many_clock_positions_goes_on_below_within_the_width() -> None:
    sheet = as_found.sheet(document(bore_of(MAPS["many"])))
    assert max(len(row.cells) for row in sheet.rows) <= len(sheet.widths)
    clock = [c.value for row in sheet.rows if row.cells[:1] == (Cell("Bore A", "head"),) for c in row.cells[1:]]
    assert clock == [f"{angle:g}°" for angle in MAPS["many"]["clock"]]


def test_a_block_is_not_parted_by_a_page() -> None:
    rows, used = as_found.sheet(found("skidder_scan")).rows, 0
    for row in rows[2:]:
        used = row.lines + (0 if row.breaks else used)
        assert used <= as_found.PAGE + 1  # and the blank row below the title
    assert sum(row.breaks for row in rows) >= 3


def test_on_paper_the_ink_is_read_upon_every_shade() -> None:
    data = workbook([as_found.sheet(document(bore_of(MAPS["usual"]), bore_of(MAPS["worn through"])))], "K-1")
    page = openpyxl.load_workbook(io.BytesIO(data))["As found"]
    filled = [
        c
        for row in page.iter_rows()
        for c in row
        if isinstance(c.value, float | int) and c.fill.fgColor.rgb != "00000000"
    ]
    assert len(filled) == 4 * 12 + 4 * 8
    pairs = {("#" + c.font.color.rgb[2:], "#" + c.fill.fgColor.rgb[2:]) for c in filled}
    assert len(pairs) > 6 and min(contrast(ink, shade) for ink, shade in pairs) >= 4.5  # WCAG 2.2, 1.4.3
    assert page.page_setup.orientation == "landscape" and page.freeze_panes == "A3"


def test_circles_cylinders_and_the_readings_that_fix_them() -> None:
    estimated = found("crusher_boom")
    sheet = as_found.sheet(estimated)
    wear = estimated["bores"][0]["wear"]
    circle, cylinder = wear["clock_sections"][0]["circles"][0], wear["clock_cylinders"][0]
    first, *_ = figures(sheet, "least squares")
    assert first[:4] == ["10", circle["diameter_mm"], circle["offset_mm"], circle["clock_offset"]]
    assert first[-1] == "90°"
    whole = next(row for row in figures(sheet, "least squares") if row[0] == "whole bore")
    assert whole[1:3] == [cylinder["diameter_mm"], cylinder["offset_mm"]] and whole[5] == cylinder["tilt_mm_m"]
    assert whole[-1] == "90° at 50"
    assert len(figures(sheet, "minimum circumscribed")) == 8  # four bores of two sections
    assert "Wear a side known to ±0.040" in said(sheet) and "Measurement limit: radii from a bar" in said(sheet)
    assert "the line's axis lies 0.050 mm across, -0.630 mm up." in said(sheet)


def test_axes_of_a_line_and_its_stations_in_their_order() -> None:
    sheet = as_found.sheet(found("crusher_boom"))
    assert figures(sheet, "least deposit (chosen)")[0][-1] == "yes" and figures(sheet, "worn holes")[0][-1] == "no"
    assert "worn holes: datum cross tube" in said(sheet)
    names = [str(row.cells[0].value) for row in sheet.rows if len(row.cells) == 11 and row.cells[0].look == "plain"]
    assert names == ["A", "B", "cross tube (datum)", "C", "D"]
    assert figures(sheet, "cross tube (datum)")[0][:3] == [320.0, 0.1, -0.05]
    assert figures(sheet, "D")[0][-2:] == [pytest.approx(94.018, abs=0.001), pytest.approx(1.509, abs=0.001)]


def test_features_and_what_each_takes() -> None:
    estimated = found("feller_lugs")
    sheet = as_found.sheet(estimated)
    for bore in estimated["bores"]:
        for one in bore["features"]:
            due = [one[key] for key in ("fill_mass_kg", "arc_time_min", "grinding_min", "time_min")]
            assert due in figures(sheet, one["name"])
            assert f"{one['name']}: {one['text']}" in said(sheet)


def test_the_ways_of_a_one_sided_bore_and_the_advised_one() -> None:
    estimated = found("loader_one_side")
    sheet, (ways,) = as_found.sheet(estimated), estimated["ways"]
    for way in ways["options"]:
        (row,) = figures(sheet, way["way"])
        assert row[:3] == [way["cleanup_mm"], way["deposit_mass_kg"], way["starts"]]
        assert row[-2:] == [float(way["price_more"]), "yes"]
    assert f"Advised: {ways['advised']}; {ways['why']}." in said(sheet)
    assert "Worn from 120° to 270°" in said(sheet)


def test_a_way_that_is_not_possible_shows_no_figures() -> None:
    way = {"way": "sector", "feasible": False, "reasons": ["the steel is too hard"], "cleanup_mm": 1.0}
    one = {"bore": "A", "clock_from": 0.0, "clock_to": 90.0, "options": [way], "advised": "full circle", "why": "so"}
    sheet = as_found.sheet(document(quick_bore(), ways=[one]))
    assert figures(sheet, "sector") == [[None] * 6 + ["no"]]
    assert "sector: the steel is too hard" in said(sheet)


@pytest.mark.parametrize(
    "gone", ["clock_map", "clock_sections", "clock_cylinders", "risks", "radial_wear_uncertainty_mm"]
)
def test_an_older_document_without_a_key_is_still_written(gone: str) -> None:
    estimated = found("crusher_boom")
    for bore in estimated["bores"]:
        bore["wear"].pop(gone)
        bore["sizes"].pop("clock_axis")
    for key in ("ways", "lines"):
        estimated.pop(key, None)
    words = said(as_found.sheet(estimated))
    assert "Bore D" in words and "Line boom" not in words
    assert ("Where the wear lies is not known" in words) is (gone == "clock_map")


def test_one_worst_diameter_and_a_line_without_a_choice() -> None:
    words = said(as_found.sheet(document(quick_bore(), lines=[line_of(chosen=None, saves=None, stations=None)])))
    assert "Largest diameter 92.60 mm" in words and "(chosen)" not in words
