"""Warnings by grade: what stops the work comes first, what is only to be minded last; no row of the table is dead."""

from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from estimator.tables.rows import Grade
from exports.format import to_settle
from exports.page.estimate import page
from tests.jobs import SOUND, bore, job, quick

BOOK = read_pricebook()
ROWS = [row for row in BOOK.facts.rows("grades").values() if isinstance(row, Grade)]
ORDER = ["stop", "approve", "mind"]
GRAVE = [
    job(bore(condition={**SOUND, "cracks": "unknown", "coated": "yes", "bush": "yes", "duty": "lifting"})),
    job(bore(condition={})),
    job(quick(90, 97, cleanup_diameter="96 mm")),
    job(bore(nominal_diameter="94 mm")),
    job(site={"access": "confined", "wind": "9 m/s"}),
    job(quick(90, 106, outside_diameter="220 mm")),
    job(bore(certificate={"source": "works certificate", "C": 0.25, "Mn": 1.2})),
]


def _graded(document: dict[str, Any]) -> list[dict[str, str]]:
    found: list[dict[str, str]] = estimate(document, BOOK)["warnings_graded"]
    return found


@pytest.mark.parametrize("document", GRAVE)
def test_graver_ones_come_first_and_none_is_lost(document: dict[str, Any]) -> None:
    found = estimate(document, BOOK)
    grades = [ORDER.index(one["grade"]) for one in found["warnings_graded"]]
    assert grades == sorted(grades)
    assert sorted(one["text"] for one in found["warnings_graded"]) == sorted(found["warnings"])


def test_each_row_of_the_table_grades_a_warning_that_is_given() -> None:
    loss = read_pricebook({"margin": 0.0, "rounding": "400 EUR", "minimum_charge": "0 EUR"})
    said = [one["text"] for document in GRAVE for one in _graded(document)]
    said += [
        one for length in range(40, 130, 6) for one in estimate(job(bore(length=f"{length + 20} mm")), loss)["warnings"]
    ]
    for row in ROWS:
        assert any(row.words in one for one in said), row.code


def test_page_and_quote_show_the_gravest_first() -> None:
    found = estimate(GRAVE[0], BOOK)
    text = page(found, "metric", ["basis"]).partition("STOP UNTIL")[2]
    assert text.index("cracks not checked") < text.index("lifting gear: approval needed") < text.index("\nCHECK")
    settle = to_settle(found)
    assert "cracks not checked" in settle[0] or "strip to bare metal" in settle[0]
    assert not any("two-point diameters" in one for one in settle)


def test_a_loss_is_never_told_to_the_customer() -> None:
    assert next(row for row in ROWS if row.words == "below the cost").grade == "mind"


def test_a_document_without_grades_still_says_what_is_to_be_settled() -> None:
    found = estimate(GRAVE[0], BOOK)
    old = {key: value for key, value in found.items() if key != "warnings_graded"}
    assert any("lifting gear" in one for one in to_settle(old))
    assert "cracks not checked" in page(old, "metric", ["basis"])
