"""The page of a bore in this process: grid to readings and back, choices with their cost, reasons behind figures."""

import json
import re
from typing import Any

import pytest
from starlette.testclient import TestClient

from api.pages.desk.grid import Grid, at_field, grid_of, read_grid
from api.pages.desk.weighed import choices, pinned
from tests.api.service import job

READINGS = {
    "kind": "diameter", "unit": "mm", "clock": [0, 90], "depth": [10, 60.5],
    "values": [[92.9, None], ["3 5/8 in", [91, 91.2]]],
    "missing": "allowed", "temperature": "12 degC",
}  # fmt: skip
PAGE = {"accept": "text/html"}
ALL = {"revision": "1", "units": "metric"}


def fields_of(grid: Grid) -> dict[str, str]:
    said = {"readings.kind": grid.kind, "readings.unit": grid.unit, "readings.temperature": grid.temperature}
    said |= {"readings.missing": "allowed"} if grid.gaps else {}
    cells = enumerate(grid.cells)
    return said | {f"cell.{row}.{column}": text for row, line in cells for column, text in enumerate(line)}


def test_a_grid_reads_back_as_the_readings_it_shows() -> None:
    grid = grid_of(READINGS, None, "metric")
    assert grid is not None
    assert read_grid(fields_of(grid)) == (READINGS, [])
    assert grid_of({"kind": "points", "values": []}, None, "metric") is None


def test_an_empty_grid_suggests_places_and_is_no_reading() -> None:
    grid = grid_of(None, 70.0, "metric")
    assert grid is not None
    assert [row[0] for row in grid.cells] == ["", "10", "35", "60"]
    assert read_grid(fields_of(grid)) == (None, [])


def test_what_is_left_empty_is_left_out_and_what_is_wrong_stands_at_its_cell() -> None:
    cells = {"cell.0.1": "0", "cell.0.2": "3 o'clock", "cell.1.0": "10", "cell.2.0": "35", "cell.2.2": "92,9"}
    found, faults = read_grid(cells)
    assert faults == []
    assert found == {"kind": "diameter", "unit": "mm", "clock": [90], "depth": [35], "values": [[92.9]]}
    assert read_grid(cells | {"cell.2.2": "wide"})[1][0].path == "cell.2.2"
    assert at_field("bores.0.readings.values.0.0", 0, cells) == "cell.2.2"
    assert at_field("bores.0.readings.depth.0", 0, cells) == "cell.2.0"
    assert at_field("bores.0.readings.clock.0", 0, cells) == "cell.0.2"
    assert at_field("bores.0.readings.clock.7", 0, cells) == "readings.clock.7"
    assert at_field("bores.0.length", 0, cells) == "length"


def test_a_choice_is_pinned_and_left_again_and_a_line_has_one_kind_of_bracket() -> None:
    document: dict[str, Any] = {"bores": [{"line": "a"}, {"line": "a"}, {}]}
    found = pinned(document, 0, "options.layers", 3)
    assert found["bores"] == [{"line": "a", "options": {"layers": 3}}, {"line": "a"}, {}]
    assert pinned(found, 0, "options.layers", None) == document
    assert pinned(document, 0, "mounts", "clamped")["bores"][1]["mounts"] == "clamped"


@pytest.fixture(scope="module")
def kept(stand: TestClient) -> TestClient:
    """A service that keeps one measured job, which the tests look at and one of them changes at last."""
    assert stand.post("/api/jobs", json=job()).status_code == 201
    return stand


def test_the_page_shows_both_variants_with_reasons(kept: TestClient) -> None:
    text = kept.get("/jobs/1/bores/0", headers=PAGE).text
    assert re.search(r'href="/jobs/1/explain\?key=bores\.0\.sizes\.cleanup_mm">[\d.]+ mm', text)
    assert text.count("<img") >= 1
    reason = kept.get("/jobs/1/explain", params={"key": "bores.0.sizes.cleanup_mm"}, headers=PAGE).text
    assert "What it stands on" in reason
    assert "no such" in kept.get("/jobs/1/explain", params={"key": "bores.9.x", "piece": "1"}).text
    assert kept.get("/jobs/1/bores/7", headers=PAGE).status_code == 404
    assert (
        kept.get("/jobs/1/bores/0?choice=options.layers&units=us", headers=PAGE).text.count('name="options.layers"') > 2
    )


@pytest.mark.parametrize("key", ["options.wire", "options.current", "crew"])
def test_each_choice_says_what_it_costs(kept: TestClient, key: str) -> None:
    text = kept.post(f"/jobs/1/bores/0/choice/{key}", data=ALL).text
    assert choices()[key].label in text
    assert re.search(r"[+−][\d,.]+ EUR|the same", text)
    assert kept.post("/jobs/1/bores/0/choice/colour", data=ALL).status_code == 404


def test_what_is_typed_is_drawn_saved_or_told_at_its_cell(kept: TestClient) -> None:
    grid = grid_of(json.loads(kept.get("/api/jobs/1").text)["job"]["bores"][0]["readings"], None, "metric")
    assert grid is not None
    fields = ALL | fields_of(grid)
    now = kept.post("/jobs/1/bores/0/beside", data=fields | {"cell.1.1": "93,5"}).text
    assert 'class="moved"' in now
    assert 'data-field="cell.1.1"' in kept.post("/jobs/1/bores/0/beside", data=fields | {"cell.1.1": "wide"}).text
    wrong = kept.post("/jobs/1/bores/0", data=fields | {"cell.0.1": "720"}, headers=PAGE)
    assert wrong.status_code == 422
    assert '<li data-field="cell.0.1">row 0, column 1: ' in wrong.text
    longer = kept.post("/jobs/1/bores/0", data=fields | {"intent": "row"}, headers=PAGE).text
    assert f'name="cell.{len(grid.cells)}.0"' in longer
    done = kept.post(
        "/jobs/1/bores/0",
        data=fields | {"cell.1.1": "93,5", "options.layers": "3"},
        headers=PAGE,
        follow_redirects=False,
    )
    assert done.headers["location"] == "/jobs/1"
    bore = kept.get("/api/jobs/1").json()["job"]["bores"][0]
    assert (bore["readings"]["values"][0][0], bore["options"]) == (93.5, {"layers": 3})
    assert kept.post("/jobs/1/bores/0", data=fields, headers=PAGE).status_code == 412
