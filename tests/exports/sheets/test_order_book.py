"""The order workbook: supplier by supplier with live sums, and the van's list; no cost for who may not see it."""

import copy
import io
from typing import Any

import openpyxl
import pytest

from estimator.book.pricebook import read_pricebook
from exports.phrases import mix_of
from exports.sheets.order import sheet, van
from exports.workbook import workbook
from tests.estimator.buying.test_order import BOOK, CORED, FOUND, ONE
from tests.exports.office import converted, uncalculated
from tests.raw import order


def cells(found: Any, name: str, values: bool = True) -> list[tuple[Any, ...]]:
    """Return the rows of a sheet of the order's workbook."""
    book = openpyxl.load_workbook(io.BytesIO(workbook([sheet(found), van(found)], "order")), data_only=values)
    return list(book[name].iter_rows(values_only=True))


def test_every_line_stands_under_its_supplier() -> None:
    rows = [row[0] for row in cells(FOUND, "Order")]
    for line in FOUND["lines"]:
        under = rows.index(line["supplier"].capitalize())
        assert under < rows.index(line["item"]) < rows.index(f"From {line['supplier']}")


def test_sums_of_suppliers_are_live_and_make_the_total() -> None:
    rows, formulas = cells(FOUND, "Order"), cells(FOUND, "Order", values=False)
    sums = [row[10] for row in rows if str(row[0]).startswith("From ")]
    assert sum(sums) == pytest.approx(float(FOUND["total"]), abs=1e-9)
    assert rows[-1][10] == pytest.approx(float(FOUND["total"]))
    live = [row[10] for row in formulas if str(row[0]).startswith("From ")]
    assert all(text.startswith("=SUM(K") for text in live)
    assert formulas[-1][10].count("+") == len(live) - 1


def test_a_mix_is_written_out_and_its_packs_are_counted() -> None:
    small = {"small": {"pack": "1 kg", "price": "3.60 EUR/kg"}}
    book = read_pricebook({"consumables": {"wires": {"G3Si1 1.0 mm": {"pack": "4 kg", "packs": small}}}})
    found = order([ONE, CORED] * 4, book)
    line = next(one for one in found["lines"] if one["item"] == "G3Si1 1.0 mm")
    assert len(line["mix"]) == 2
    (row,) = [row for row in cells(found, "Order") if row[0] == line["item"]]
    assert row[9] == mix_of(line)
    assert row[7] == sum(one["packs"] for one in line["mix"])
    assert row[8] == pytest.approx(sum(one["packs"] * one["pack_size"] for one in line["mix"]))


def test_the_van_sheet_lists_each_trip_and_what_runs_out() -> None:
    rows = [row for row in cells(FOUND, "Van") if row[0]]
    text = " ".join(str(row[0]) for row in rows)
    assert all(name in text for trip in FOUND["days"] for name in trip["jobs"])
    takes = [row for row in rows if row[1] in ("kg", "L", "each")]
    assert len(takes) == sum(len(trip["take"]) for trip in FOUND["days"])
    hours = [row[2] for row in rows if row[1] == "h"]
    assert hours == [row["arc_h"] for row in FOUND["runs_out"]]


def test_the_van_takes_whole_packs_of_what_is_not_counted() -> None:
    gas = next(line for line in FOUND["lines"] if line["kind"] == "gas")
    rows = [row for row in cells(FOUND, "Van") if row[0] == gas["item"] and row[1] == "L"]
    assert rows and {row[4] for row in rows} == {"1 x 9500 L"}
    assert {row[4] for row in cells(FOUND, "Van") if row[1] == "each"} == {None}


@pytest.mark.office
def test_another_program_calculates_the_same_order() -> None:
    data = workbook([sheet(FOUND), van(FOUND)], "order")
    done = converted({"order": uncalculated(data)}, "xlsx")["order"]
    ours, theirs = (openpyxl.load_workbook(io.BytesIO(one), data_only=True)["Order"] for one in (data, done))
    numbers = 0
    for mine, other in zip(ours.iter_rows(values_only=True), theirs.iter_rows(values_only=True), strict=False):
        for one, two in zip(mine, other, strict=False):
            if isinstance(one, int | float):
                assert two == pytest.approx(one, abs=1e-9)
                numbers += 1
    assert numbers > 60


def test_who_may_not_see_costs_gets_the_book_without() -> None:
    seen = copy.deepcopy(FOUND)
    del seen["total"]
    for line in seen["lines"]:
        del line["cost"]
    rows = cells(seen, "Order")
    assert not any(str(row[0]).startswith(("From ", "To order in all")) for row in rows)
    assert all(row[10] is None for row in rows[3:])


def test_the_same_order_gives_the_same_bytes() -> None:
    again = order([ONE, CORED], BOOK)
    assert workbook([sheet(FOUND), van(FOUND)], "order") == workbook([sheet(again), van(again)], "order")
