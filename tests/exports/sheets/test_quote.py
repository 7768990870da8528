"""The quote workbook: opens clean, says what the estimate says, and calculates to the same cent elsewhere."""

import contextlib
import functools
import io
import itertools
import zipfile
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from python_calamine import CalamineWorkbook

from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.errors import EstimatorError
from estimator.estimate import estimate
from exports.sheets import QUOTE, inputs, price, quote
from exports.workbook import quote_workbook
from tests.depth import deep
from tests.exports.office import converted, uncalculated
from tests.golden.jobs import golden_case
from tests.jobs import bore, job

SAMPLES = sorted(Path("sample_jobs").glob("*.json"))
IDS = [path.stem for path in SAMPLES]
BOOK = read_pricebook()
RANDOM_JOBS = deep(50, 6)
WHOLE = deep(len(SAMPLES), 3)  # samples that another program calculates with all their sheets


def _quote(document: Any, book: PriceBook = BOOK) -> tuple[Any, bytes]:
    found = estimate(document, book)
    return found, quote_workbook(found, QUOTE)


@functools.cache
def _sample(path: Path) -> tuple[Any, bytes]:
    return _quote(path.read_bytes())


def _named(data: bytes, name: str, values: bool = True) -> Any:
    book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=values)
    sheet, cell = next(iter(book.defined_names[name].destinations))
    return book[sheet][cell.replace("$", "")].value


@pytest.mark.parametrize("path", SAMPLES, ids=IDS)
def test_the_stored_values_are_the_estimates(path: Path) -> None:
    found, data = _sample(path)
    for name in ("before_tax", "tax", "total"):
        assert Decimal(str(_named(data, f"price_{name}"))) == Decimal(found["price"][name])
    assert Decimal(str(_named(data, "cost_total"))) == Decimal(found["cost"]["total"])


@pytest.mark.parametrize("path", SAMPLES, ids=IDS)
def test_two_readers_see_the_same_cells(path: Path) -> None:
    _, data = _sample(path)
    ours = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
    theirs = CalamineWorkbook.from_filelike(io.BytesIO(data))
    assert theirs.sheet_names == ours.sheetnames
    for name in ours.sheetnames:
        mine = [value for row in ours[name].iter_rows(values_only=True) for value in row if value not in (None, "")]
        other = [
            value for row in theirs.get_sheet_by_name(name).to_python() for value in row if value not in (None, "")
        ]
        assert len(mine) == len(other) > 0
        assert all(
            a == pytest.approx(b) if isinstance(a, float | int) else a == b for a, b in zip(mine, other, strict=True)
        )


def test_the_same_estimate_gives_the_same_bytes() -> None:
    found, data = _quote(job())
    assert quote_workbook(found, QUOTE) == data
    times = {entry.date_time for entry in zipfile.ZipFile(io.BytesIO(data)).infolist()}
    assert times == {(2026, 1, 1, 0, 0, 0)}


def test_text_that_looks_like_a_formula_stays_text() -> None:
    nasty = '=HYPERLINK("http://x","y")'
    document = job(bore(name="=1+1"), reference=nasty, title="+cmd", customer={"name": "@SUM(1)"}, note="-2+3")
    _, data = _quote(document)
    book = openpyxl.load_workbook(io.BytesIO(data))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if isinstance(cell.value, str)]
    ours = [cell for cell in cells if cell.value in ("=1+1", "+cmd", "@SUM(1)")]
    assert len(ours) >= 3
    assert all(cell.data_type == "s" and cell.quotePrefix for cell in ours)
    formulas = [cell.value for cell in cells if cell.data_type == "f"]
    assert formulas and not any("HYPERLINK" in formula or formula == "=1+1" for formula in formulas)


def test_header_rows_are_frozen_and_pages_set() -> None:
    _, data = _quote(job())
    for sheet in openpyxl.load_workbook(io.BytesIO(data)):
        assert sheet.freeze_panes and sheet.print_area and sheet.print_title_rows
        assert int(sheet.page_setup.paperSize) == 9
        assert "&P" in sheet.oddFooter.right.text
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
    letter = quote_workbook(estimate(job(), BOOK), QUOTE, "letter")
    assert {int(s.page_setup.paperSize) for s in openpyxl.load_workbook(io.BytesIO(letter))} == {1}


def test_labour_rates_are_labelled_input_cells() -> None:
    found, data = _quote(job())
    sheet = openpyxl.load_workbook(io.BytesIO(data))["Inputs"]
    labels = {row[0].value: row[1].value for row in sheet.iter_rows(min_row=4) if row[0].value}
    rates = {line["price_key"]: float(line["unit_cost"]) for line in found["cost"]["lines"] if line["unit"] == "h"}
    assert labels["Labour rate, on site"] == rates["rates.labour_on_site"]
    assert labels["Labour rate, travel"] == rates["rates.labour_travel"]


def test_bores_have_a_chart_of_their_readings() -> None:
    _, data = _quote(job(bore(), bore(name="B"), bore(name="C", readings=None, worn_diameter="93 mm")))
    names = zipfile.ZipFile(io.BytesIO(data)).namelist()
    assert len([name for name in names if name.startswith("xl/charts/chart")]) == 2


def _random_jobs(count: int) -> dict[str, Any]:
    """Return the first random jobs that are not refused, by name."""
    jobs: dict[str, Any] = {}
    for number in itertools.count():
        if len(jobs) == count:
            return jobs
        document, _ = golden_case(number)
        with contextlib.suppress(EstimatorError):
            estimate(document, BOOK)
            jobs[f"random {number}"] = document
    return jobs


@pytest.mark.office
def test_another_program_calculates_the_same_total_to_the_cent() -> None:
    """Every sample and some random jobs, as written and after one labour rate is changed."""
    documents: Any = {path.stem: path.read_bytes() for path in SAMPLES}
    documents |= _random_jobs(RANDOM_JOBS)
    sold = [{"text": "bush", "quantity": 2, "price": "85.05 EUR"}, {"text": "pin", "unit": "kg", "price": "9.99 EUR"}]
    documents["sold and discounted"] = job(bore(), bore(name="B"), extras=sold, discount="7.5 %")
    dear = read_pricebook({"rates": {"labour_on_site": "63.37 EUR/h"}})
    files, wanted = {}, {}
    for name, document in documents.items():
        found, data = _quote(document)
        # the sheets that calculate, so that the other program is done sooner; whole is a sample as it is written
        small = quote_workbook(found, [quote.sheet, price.sheet, inputs.sheet])
        whole = data if name in IDS[:WHOLE] else small
        files[name], wanted[name] = uncalculated(whole), found["price"]["total"]
        files[f"{name}-dear"] = uncalculated(small, {"rate_labour_on_site": 63.37})
        wanted[f"{name}-dear"] = estimate(document, dear)["price"]["total"]
    assert len(files) == 2 * (len(SAMPLES) + RANDOM_JOBS + 1)
    done = converted(files, "xlsx")
    wrong = {}
    for name, total in wanted.items():
        value = Decimal(str(_named(done[name], "price_total"))).quantize(Decimal("0.01"))
        if value != Decimal(total):
            wrong[name] = (total, value)
    assert wrong == {}


@pytest.mark.parametrize("sheet", ["Quote", "Weld plan"])
def test_what_must_be_settled_stands_on_the_sheets_that_people_hold(sheet: str) -> None:
    found, data = _sample(Path("sample_jobs/boss_4140.json"))
    cells = openpyxl.load_workbook(io.BytesIO(data))[sheet].iter_rows(values_only=True)
    said = " ".join(str(value) for row in cells for value in row if value)
    due = [one["text"].partition(": ")[2] for one in found["warnings"] if one["grade"] == "approve"]
    assert due
    assert all(one in said.replace("\u00a0", " ") for one in due)


def test_a_budget_price_has_no_days_of_validity() -> None:
    _, firm = _quote(job())
    _, rough = _quote(job(bore(readings=None, worn_diameter="93 mm")))
    names = [[row[0].value for row in openpyxl.load_workbook(io.BytesIO(data))["Quote"].rows] for data in (firm, rough)]
    assert ["Valid for [days]" in one for one in names] == [True, False]
