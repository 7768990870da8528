"""The page of a fleet: every bore once, what is due first, what one shutdown takes and what is proved of it."""

from decimal import Decimal
from pathlib import Path
from typing import Any

from estimator.book.pricebook import read_pricebook
from estimator.fleet import fleet, rows_of_csv
from exports.page.fleet import ACTIONS, MOST_SHOWN, fleet_page, sorted_by_due
from exports.sheets.fleet import sheet

BOOK = read_pricebook()
TEXT = (Path(__file__).parents[3] / "sample_jobs" / "fleet.csv").read_text("utf-8")
FOUND = fleet(rows_of_csv(TEXT), BOOK, budget=Decimal(20_000))


def test_what_must_not_run_comes_first_and_every_bore_stands_there() -> None:
    page = fleet_page(FOUND)
    ranks = [list(ACTIONS).index(row["action"]) for row in sorted_by_due(FOUND)]
    assert ranks == sorted(ranks)
    assert all(f"{row['machine']} {row['bore']}" in page for row in FOUND["rows"])
    assert "no other choice avoids more" in page


def test_a_gap_that_is_left_is_said() -> None:
    window: Any = {**FOUND["window"], "proven_gap": 0.031}
    found: Any = {**FOUND, "window": window}
    assert "3.1 % more at most" in " ".join(fleet_page(found).split())


def test_a_long_list_says_how_many_are_not_shown() -> None:
    many: Any = {**FOUND, "rows": FOUND["rows"] * 2}
    assert f"and {80 - MOST_SHOWN} more" in fleet_page(many)


def test_the_sheet_holds_every_row_and_what_was_set_aside() -> None:
    found = fleet(rows_of_csv(TEXT.replace("DZ-04,tilt eye,dozer", ",tilt eye,dozer")), BOOK)
    rows = sheet(found).rows
    assert len(rows) == 3 + 39 + 2 + 1
    assert rows[-1].cells[1].value == "machine: is missing"
