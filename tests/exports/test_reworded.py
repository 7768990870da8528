"""Papers read codes: whatever the words of a document or of a picture are, what is made of them is the same."""

import copy
import json
from typing import Any

import pytest

from api.pages import tables
from estimator.book.pricebook import read_pricebook
from estimator.document.old import kind_of, tools_in
from exports import days
from exports.cells import Formula, Sheet
from exports.page import hours
from exports.page.choice import EVEN, comparison_page
from exports.pictures import line_axis
from exports.sheets import day, inputs, price
from tests.estimator.compare.test_make import BOOK, DOCUMENT
from tests.exports.pictures.picture_samples import line_of
from tests.exports.pictures.test_pictures import ESTIMATE
from tests.exports.schedule_samples import sample
from tests.jobs import changed, job, quick
from tests.raw import compare, estimate

ODD = "neither, of: either"  # a wording with the signs that lists and keys are parted by
HARD = estimate(job(quick(90.0, 90.4, material="4340")), read_pricebook())  # it has odds and shares


def _cells(one: Sheet) -> list[Any]:
    """Return the values of a sheet row by row, a formula by its words."""
    values = ([cell.value for cell in row.cells] for row in one.rows)
    return [[value.text if isinstance(value, Formula) else value for value in row] for row in values]


def _turned(found: Any, there: str) -> Any:
    """Return what was made of a document with a wording put back."""
    return json.loads(json.dumps(found).replace(ODD, there))


# ---------------------------------------------------------------- the cost


@pytest.mark.parametrize("unit", ["of cost", "odds"])
def test_a_line_is_a_share_or_odds_by_its_kind_and_not_by_its_unit(unit: str) -> None:
    other = copy.deepcopy(HARD)
    changed = [line for line in other["cost"]["lines"] if line["unit"] == unit]
    for line in changed:
        line["unit"] = ODD
    assert changed
    for made in (price.sheet, inputs.sheet):
        assert _turned(_cells(made(other)), unit) == _cells(made(HARD))
    before, after = tables.cost(HARD), tables.cost(other)
    assert before is not None and after is not None
    assert _turned(after.rows, unit) == before.rows


def test_a_line_of_before_kinds_were_written_is_read_as_it_was() -> None:
    for line in HARD["cost"]["lines"]:
        assert kind_of({key: value for key, value in line.items() if key != "kind"}) == line["kind"]
    assert {line["kind"] for line in HARD["cost"]["lines"]} == {"priced", "odds", "share"}


# ---------------------------------------------------------------- the days


def test_a_drive_is_there_or_back_by_its_way_and_not_by_its_name(monkeypatch: pytest.MonkeyPatch) -> None:
    found = sample("two crews")
    names = [(one.name, one.way) for one in days.drives(found["schedule"])]
    before, pages = hours.order_of_work(found), [_cells(one) for one in day.sheets(found)]
    monkeypatch.setattr(days.Drive, "name", property(lambda one: f"{ODD} {one.way}"))
    assert {name for name, _ in names} == {"drive out", "drive home"}
    assert hours.order_of_work(found) == before
    assert _turned([_cells(one) for one in day.sheets(found)], "drive") == pages


def test_tools_stand_one_by_one_whatever_their_names() -> None:
    found = copy.deepcopy(sample("two crews"))
    pages = [_cells(one) for one in day.sheets(found)]
    for task in found["schedule"]["tasks"]:
        assert ", ".join(task["tool_items"]) == ", ".join(task["tools"])
        task["tools"] = [ODD for _ in task["tools"]]
    assert [_cells(one) for one in day.sheets(found)] == pages
    rows = {"bead_tools": {"text": f"{ODD} | clamp"}}
    own = estimate(job(), read_pricebook({"tables": {"day_card": rows}}))
    (bead,) = (task for task in own["schedule"]["tasks"] if task["code"] == "test bead")
    assert bead["tool_items"] == tools_in(bead) == [ODD, "clamp"]
    assert bead["tools"] == [f"{ODD}, clamp"]


def test_tools_of_before_they_stood_one_by_one_are_read_as_they_were() -> None:
    for task in sample("two crews")["schedule"]["tasks"]:
        assert tools_in({key: value for key, value in task.items() if key != "tool_items"}) == task["tool_items"]


# ---------------------------------------------------------------- the comparison, the line


def test_a_reason_is_told_of_its_break_even_whatever_its_words() -> None:
    found = compare(changed(DOCUMENT, "economics.replace.price", "7800 EUR"), BOOK)
    other, reasons = copy.deepcopy(found), found["break_even"]["reasons_by_key"]
    assert found["break_even"]["reasons"] == [f"{key}: {one['text']}" for key, one in reasons.items()] != []
    for key in reasons:
        other["break_even"]["reasons_by_key"][key]["text"] = ODD
    other["break_even"]["reasons"] = [ODD for _ in reasons]
    page = " ".join(comparison_page(other).split())
    assert all(f"{EVEN[key]}: {ODD}" in page for key in reasons)


def test_a_mark_is_drawn_by_what_it_is_of_and_not_by_its_name(monkeypatch: pytest.MonkeyPatch) -> None:
    before = line_axis.line_of_bores(line_of(), ESTIMATE)
    monkeypatch.setattr(line_axis, "READ", "x" * len(line_axis.READ))
    after = line_axis.line_of_bores(line_of(), ESTIMATE)
    assert before != after == before.replace(">middle of the readings<", f">{line_axis.READ}<")
