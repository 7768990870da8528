"""An inch job's papers are in inches, names stay as they were typed, and what is priced is counted as it is priced."""

import io
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from exports.cells import Cell, Sheet
from exports.format import roughness_said
from exports.in_units import FOUND, text_in, units_of
from exports.sheets import QUOTE
from exports.us_sheets import KEPT, in_us
from exports.workbook import quote_workbook, sheets_of
from tests.jobs import bore, job

BOOK = read_pricebook()
INCH = Path("sample_jobs/inch_bucket.json")


def _sheets(found: Any) -> dict[str, Sheet]:
    return {sheet.name: sheet for sheet in sheets_of(found, QUOTE)}


def _cells(sheet: Sheet) -> list[Cell]:
    return [cell for row in sheet.rows for cell in row.cells if cell.value is not None]


def _beside(sheet: Sheet, name: str) -> Any:
    return next(row.cells[1] for row in sheet.rows if row.cells and row.cells[0].value == name)


def test_a_job_is_of_the_units_most_of_its_bores_were_typed_in() -> None:
    inch = bore(name="B", nominal_diameter="3 1/2 in", readings=None, worn_diameter="93 mm")
    spoken = {**inch, "name": "C", "nominal_diameter": '3.5"'}
    assert units_of(estimate(INCH.read_bytes(), BOOK)) == "us"
    assert units_of(estimate(job(bore(), inch), BOOK)) == "metric"
    assert units_of(estimate(job(bore(), inch, spoken), BOOK)) == "us"
    assert units_of({"job": {}}) == "metric"


def test_no_metric_figure_is_left_on_the_papers_of_an_inch_job() -> None:
    for name, sheet in _sheets(estimate(INCH.read_bytes(), BOOK)).items():
        texts = [f"{cell.value}" for cell in _cells(sheet) if isinstance(cell.value, str)]
        left = [
            text for text in texts if FOUND.search(text) or any(f"[{one}]" in text for one in ("mm", "m/min", "kW"))
        ]
        assert not left or name in KEPT, (name, left)


def test_figures_in_columns_and_rows_are_turned_with_their_heads() -> None:
    found = estimate(INCH.read_bytes(), BOOK)
    sheets, (one, _) = _sheets(found), found["bores"]
    nominal = _beside(sheets["Bores"], "Nominal diameter [in]")
    assert (nominal.value, nominal.form) == (3.5, "0.0000")
    assert _beside(sheets["Bores"], "Weld to [in]").value == pytest.approx(one["sizes"]["weld_mm"] / 25.4)
    assert _beside(sheets["Quote"], "ear 1").value == "3.5000 to 3.5030"
    card = [cell.value for cell in _cells(sheets["Card ear 1"])]
    feed = one["buildup"]["layers"][-1]["wire_feed_m_min"]
    assert f"{feed * 1000 / 25.4:.0f}" in card and "WIRE FEED\nipm" in card
    assert "12.7" not in card and "212 °F" in card
    first = [cell.value for cell in _cells(sheets["Day 1"])]
    assert any("worn diameter at depths 0.4000, 1.4000, 2.4000 in" in f"{text}" for text in first)
    cutting = [cell.value for cell in _cells(sheets["Cutting"])]
    assert "Speed [ft/min]" in cutting and "Cut [min]" in cutting and 63.0 in cutting


def test_prices_stay_by_the_kilogram() -> None:
    found = estimate(INCH.read_bytes(), BOOK)
    asked: Any = {**found, "job": {**found["job"], "typed_in": "metric"}}
    inch, metric = _sheets(found), _sheets(asked)
    lines = [[row.cells[2:] for row in one["Price"].rows] for one in (inch, metric)]  # the wire's size is named anew
    assert lines[0] == lines[1]
    sheet = openpyxl.load_workbook(io.BytesIO(quote_workbook(found, QUOTE)), data_only=True)["Quote"]
    prices = [cell for row in sheet.iter_rows(values_only=True) for cell in row if isinstance(cell, float)]
    assert float(found["price"]["total"]) in prices


def test_a_name_with_a_size_in_it_stays_as_it_was_typed() -> None:
    title = "Pin 90 mm, boom 3 m"
    found = estimate(job(bore(name="80 mm side", nominal_diameter="3.5 in"), title=title), BOOK)
    sheets = _sheets(found)
    assert _beside(sheets["Quote"], "Job").value == title
    assert any("80 mm side" in f"{cell.value}" for cell in _cells(sheets["Weld plan"]))


def test_a_metric_job_is_left_alone() -> None:
    found = estimate(job(), BOOK)
    assert "Nominal diameter [mm]" in [cell.value for cell in _cells(_sheets(found)["Bores"])]
    price = _sheets(found)["Price"]
    assert in_us(price, found) is price


def test_sizes_that_the_trade_takes_for_one_another_are_said_so() -> None:
    assert [roughness_said(one) for one in (0.8, 1.6, 3.2, 6.3, 12.5)] == ["32", "63", "125", "250", "500"]
    assert roughness_said(4.1) == "160"
    assert text_in("Ra 3.2 µm is asked, leaves about 6.4 µm", "us") == "Ra 125 µin is asked, leaves about 250 µin"
    found = estimate(INCH.read_bytes(), BOOK)
    card = _sheets(found)["Weld plan"]
    said = " ".join(f"{cell.value}" for cell in _cells(card))
    assert "0.045 in: 220 A" in said and "0.047" not in said
