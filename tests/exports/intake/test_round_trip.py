"""A job goes out as an intake sheet and comes back the same job, key for key, whoever saved it in between."""

import io
from pathlib import Path
from typing import Any

import openpyxl
import pytest
import python_calamine
from hypothesis import given
from hypothesis import strategies as st

from estimator.strict import canonical, parse, sha256
from exports.intake.back import job_of_pages, job_of_sheet
from exports.intake.form import intake_workbook
from tests.exports.intake.sheets import pages, read, taken
from tests.exports.office import converted
from tests.golden.jobs import golden_case
from tests.jobs import any_job, bore, job, quick
from tests.test_house import ROOT

SAMPLES = sorted((ROOT / "sample_jobs").glob("*.json"))


def unchecked(document: dict[str, Any]) -> dict[str, Any]:
    """Return a document as it comes back from its sheet, whether or not it is one that can be estimated."""
    return job_of_pages(pages(document, {}), lambda _: None)


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_each_sample_comes_back_with_the_same_hash(sample: Path) -> None:
    document = parse(sample.read_bytes())
    assert sha256(read(intake_workbook(document))) == sha256(document)


@given(any_job())
def test_any_job_comes_back_the_same(document: dict[str, Any]) -> None:
    assert canonical(taken(document, {})) == canonical(document)


@pytest.mark.parametrize("number", range(0, 300, 50))
def test_random_jobs_come_back_from_the_bytes_of_a_workbook(number: int) -> None:
    document, _ = golden_case(number)
    assert canonical(job_of_sheet(intake_workbook(document), lambda _: None)[0]) == canonical(document)


@pytest.mark.parametrize("number", range(0, 300, 7))
def test_jobs_with_all_that_a_document_can_say_come_back_the_same(number: int) -> None:
    document, _ = golden_case(number)
    assert canonical(unchecked(document)) == canonical(document)


TEXTS = st.one_of(
    st.text(st.characters(exclude_categories=["C", "Zl", "Zp"]), max_size=12),  # what no document may hold is left out
    st.sampled_from(
        ["=1+1", "_x0041_", "x005F_", " a ", "'a", "#N/A", "90 mm", "1,5 mm", "TRUE", "2027-03-08", "a\nb", "\r\n"]
    ),
)
VALUES = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(), st.floats(allow_nan=False, allow_infinity=False), TEXTS),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(TEXTS, inner, max_size=3)),
    max_leaves=6,
)
KEYS = st.sampled_from(
    [
        "name",
        "material",
        "nominal_diameter",
        "tolerance",
        "readings",
        "condition",
        "plate",
        "line",
        "blind",
        "wear",
        "options",
    ]
)
READINGS = st.fixed_dictionaries(
    {"kind": st.just("radius"), "clock": st.lists(st.one_of(st.integers(0, 360), st.just(0.5), TEXTS), max_size=2)},
    optional={
        "depth": st.lists(VALUES, max_size=2),
        "values": st.lists(st.lists(VALUES, max_size=2), max_size=2),
        "unit": VALUES,
    },
)


@given(
    st.dictionaries(KEYS, VALUES, max_size=5), st.dictionaries(KEYS, st.one_of(VALUES, READINGS), max_size=5), VALUES
)
def test_no_key_of_any_document_is_lost(one: dict[str, Any], other: dict[str, Any], value: Any) -> None:
    bores = [{**one, "name": "A"}, {"name": "B", **other}]
    document = {"reference": value, "note": value, "site": {"wind": value}, "start": value, "bores": bores}
    assert canonical(unchecked(document)) == canonical(document)


def test_a_job_without_bores_keeps_what_it_has() -> None:
    document = {"reference": "X-1", "customer": {"name": "Invented"}, "bores": "none yet"}
    assert canonical(unchecked(document)) == canonical(document)


def test_the_same_job_gives_the_same_bytes() -> None:
    assert intake_workbook(job()) == intake_workbook(job())
    assert intake_workbook() == intake_workbook()


def test_points_of_a_measuring_arm_go_along_in_cells_that_any_program_can_hold() -> None:
    points = [[round(40 + n / 997, 6), -round(n / 7, 6), 12.0] for n in range(4000)]
    document = job(bore(readings={"kind": "points", "unit": "mm", "values": points}))
    sheet = intake_workbook(document)
    book = openpyxl.load_workbook(io.BytesIO(sheet))
    assert max(len(str(cell.value)) for row in book["More"] for cell in row) < 32_767
    assert canonical(job_of_sheet(sheet, lambda _: None)[0]) == canonical(document)


def values(sheet: bytes) -> dict[str, set[tuple[int, int, str]]]:
    """Return what another library finds in each cell, numbers as plain text."""
    book = python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(sheet))
    return {
        name: {
            (row, column, f"{cell:.15g}" if isinstance(cell, int | float) else str(cell))
            for row, cells in enumerate(book.get_sheet_by_name(name).to_python(skip_empty_area=False))
            for column, cell in enumerate(cells)
            if cell != ""
        }
        for name in book.sheet_names
    }


@pytest.mark.parametrize("name", ["boom_foot", "inch_bucket", "feller_lugs"])
def test_another_library_finds_the_same_values(name: str) -> None:
    sheet = intake_workbook(parse((ROOT / f"sample_jobs/{name}.json").read_bytes()))
    book = openpyxl.load_workbook(io.BytesIO(sheet))
    ours = {
        page.title: {
            (
                cell.row - 1,
                cell.column - 1,
                f"{cell.value:.15g}" if isinstance(cell.value, int | float) else str(cell.value),
            )
            for row in page
            for cell in row
            if cell.value is not None
        }
        for page in book
    }
    assert values(sheet) == ours


@pytest.mark.office
def test_an_office_program_that_saves_it_again_keeps_the_job() -> None:
    documents = {path.stem: parse(path.read_bytes()) for path in SAMPLES} | {"quick": job(quick(80.5, 82))}
    saved = converted({name: intake_workbook(one) for name, one in documents.items()}, "xlsx")
    assert {name: sha256(read(sheet)) for name, sheet in saved.items()} == {
        n: sha256(one) for n, one in documents.items()
    }
