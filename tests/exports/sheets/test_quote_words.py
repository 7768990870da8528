"""What a buyer reads on the quote: a draft is headed so, an axis that moves is told, nothing unmeasured is a zero."""

from pathlib import Path
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from exports.cells import Sheet
from exports.phrases import moved_said
from exports.sheets import quote, sizes
from tests.jobs import SOUND, bore, job, quick

BOOK = read_pricebook()
BOOM = Path("sample_jobs/crusher_boom.json")


def _said(sheet: Sheet) -> list[str]:
    """Return the texts of a sheet, row by row."""
    return [f"{cell.value}" for row in sheet.rows for cell in row.cells if cell.value is not None]


STOPPED = job(bore(condition={**SOUND, "coated": "yes"}))
ASKED = job(bore(material="42CrMo4", mounts="clamped"))


@pytest.mark.parametrize(
    ("document", "title", "head"),
    [
        (STOPPED, "Draft quote T-1", "DRAFT, NOT TO BE ISSUED: 1 stop to be settled before work begins"),
        (ASKED, "Quote T-1", "APPROVAL REQUIRED: "),
        (job(), "Quote T-1", None),
        (job(quick(90, 93, condition={**SOUND, "coated": "yes"})), "Draft budget price T-1", "DRAFT, NOT"),
    ],
)
def test_a_quote_that_waits_for_somebody_is_headed_so(document: Any, title: str, head: str | None) -> None:
    said = _said(quote.sheet(estimate(document, BOOK)))
    assert said[0] == f"{title}: repair of worn bores"
    assert any(one.startswith(head) for one in said) if head else not {"DRAFT", "APPROVAL"} & {w[:5] for w in said}


def test_an_axis_that_moves_stands_on_the_quote_and_on_the_sheet_of_sizes() -> None:
    found = estimate(BOOM.read_bytes(), BOOK)
    asked, fitted = _said(quote.sheet(found)), _said(sizes.sheet(found))
    for one in found["bores"]:
        place = one["sizes"]["clock_axis"]
        assert any(f"Bore {one['name']}: its axis will lie {moved_said(place)}" in said for said in asked)
        assert {f"{place['x_mm']}", f"{place['y_mm']}"} <= set(fitted)
    plain = estimate(job(), BOOK)
    assert not [
        one for one in _said(quote.sheet(plain)) + _said(sizes.sheet(plain)) if "axis will" in one or "moved" in one
    ]


def test_what_nobody_measured_is_no_figure() -> None:
    rows = sizes.sheet(estimate(job(quick(90, 93), bore(name="B")), BOOK)).rows
    by_name = {row.cells[0].value: [cell.value for cell in row.cells[1:]] for row in rows if row.cells}
    for name in ("Smallest diameter read [mm]", "Mean diameter [mm]", "Out of round [mm]", "Taper [mm]"):
        assert by_name[name][0] == "not measured"
        assert isinstance(by_name[name][1], float)
    assert by_name["Largest diameter read [mm]"][0] == 93.0
