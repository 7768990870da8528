"""A list as people keep it: heads in any order, units in head or cell, commas, and what is wrong with it."""

from typing import Any

import pytest

from estimator.errors import DocumentError
from estimator.fleet import rows_of_csv, rows_of_objects
from estimator.fleet.lines import MOST_ROWS, REQUIRED

HEAD = ",".join(REQUIRED)
ROW = "EX-1,A,90 mm,70 mm,92.1 mm,8000 h"


def test_columns_stand_in_any_order_with_units_in_head_or_cell() -> None:
    (plain,) = rows_of_csv(f"{HEAD}\n{ROW}\n")
    (turned,) = rows_of_csv(
        "read_at [h],Worn diameter (mm),length [mm],nominal_diameter,bore,machine\n8000,92.1,70,90 mm,A,EX-1\n"
    )
    assert plain.cells == turned.cells
    assert plain.cells["worn_diameter"] == "92.1 mm"


def test_remarks_and_empty_lines_are_skipped_and_lines_are_counted_as_in_the_file() -> None:
    found = rows_of_csv(f"\ufeff# invented\n\n{HEAD}\n# a remark\n{ROW}\n,,,,,\n\n{ROW}\n")
    assert [row.line for row in found] == [5, 8]


def test_semicolons_come_with_decimal_commas() -> None:
    (row,) = rows_of_csv(
        "machine;bore;nominal_diameter [mm];length;worn_diameter [mm];read_at\nE;A;90;70 mm;92,1;8000\n"
    )
    assert row.cells["worn_diameter"] == "92.1 mm"
    assert not row.faults


def test_tabs_part_columns_too() -> None:
    assert rows_of_csv(f"{HEAD}\n{ROW}\n".replace(",", "\t"))[0].cells["bore"] == "A"


WRONG = [
    ("", "is empty"),
    (f"{HEAD},worn_diamter\n", "did you mean 'worn_diameter'"),
    (f"{HEAD},bore\n", "bore stands twice"),
    ("machine,bore\n", "nominal_diameter, length, worn_diameter, read_at is missing"),
    (f"{HEAD}\n" + f"{ROW}\n" * (MOST_ROWS + 1), "split the list"),
    (f'{HEAD}\n"{"x" * 200_000}\n', "cannot be read as CSV"),
]


@pytest.mark.parametrize(("text", "said"), WRONG, ids=[said for _, said in WRONG])
def test_a_list_that_cannot_be_read_says_why(text: str, said: str) -> None:
    with pytest.raises(DocumentError) as caught:
        rows_of_csv(text)
    assert said in str(caught.value.faults[0])


def test_objects_are_rows_too() -> None:
    listed: list[Any] = [{"machine": "EX-1", "worn_diameter [mm]": 92.1, "can_run": False, "site": None}, 7]
    row, odd = rows_of_objects(listed)
    assert row.cells == {"machine": "EX-1", "worn_diameter": "92.1 mm", "can_run": "no"}
    assert odd.faults == ("must be an object of columns",)
    assert rows_of_objects([{"worn": 1}, {"site": "x" * 300}])[1].faults == ("site: longer than 200 characters",)


def test_signs_that_hide_what_stands_there_are_told() -> None:
    hidden, broken = "E\u202eX", chr(34) + "E\nX" + chr(34)
    text = f"{HEAD}\n{ROW.replace('EX-1', hidden)}\n{ROW.replace('EX-1', broken)}\n"
    odd, lines = rows_of_csv(text)
    assert "U+202E" in odd.faults[0]
    assert lines.faults == ("machine: has more than one line",)


def test_too_many_or_too_long_cells_are_told_at_their_row() -> None:
    many, long = rows_of_csv(f"{HEAD}\n{ROW},more\n{ROW.replace('EX-1', 'E' * 300)}\n")
    assert many.faults == ("has 7 cells, and the head names 6 columns",)
    assert long.faults == ("machine: longer than 200 characters",)
