"""One list of what is used up: page, web page, workbook and order name the same things."""

import json
from pathlib import Path
from typing import Any

import pytest

from api.pages import tables
from estimator.book.pricebook import read_pricebook
from estimator.buying.use import used_by
from estimator.tables.used import used_up
from exports.page.job import consumables as page_parts
from exports.sheets import parts as sheet
from tests.raw import estimate

SAMPLES = sorted(Path("sample_jobs").glob("*.json"))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_all_name_the_same_things(path: Path) -> None:
    asked = json.loads(path.read_text("utf-8"))
    found = estimate(asked, read_pricebook())
    totals = found["totals"]
    listed = {one.words for one in used_up() if totals[one.key]}
    page = "\n".join(page_parts(found, "metric"))
    assert {one.words for one in used_up() if f"  {one.words} " in page} == listed
    named = {"wire": {bore["buildup"]["wire"] for bore in found["bores"]}}
    named["gas"] = {bore["buildup"]["gas"] for bore in found["bores"]}
    told = {f"{words.capitalize()} {name}".strip() for words in listed for name in named.get(words, {""})}
    assert {row[0] for row in tables.used(found, "metric").rows} == told
    heads, sums = _sheet(found)
    assert {one.words for one in used_up() if sums[_head(heads, one.words)]} == listed
    (job,) = used_by([asked], read_pricebook())
    ordered = {name for bore in job.bores for (_, name), amount in bore.used.items() if amount}
    things = {one.item for one in used_up() if one.item and totals[one.key]}
    wires = {bore["buildup"][kind] for bore in found["bores"] for kind in ("wire", "gas")}
    assert ordered == things | wires


def _sheet(found: Any) -> tuple[list[str], list[Any]]:
    """Return the heads of the sheet of parts, and its sums."""
    rows = sheet.sheet(found).rows
    heads = next(row for row in rows if row.cells and row.cells[0].value == "Bore")
    sums = next(row for row in rows if row.cells and row.cells[0].value == "Total")
    return [str(cell.value) for cell in heads.cells], [getattr(cell.value, "value", None) for cell in sums.cells]


def _head(heads: list[str], words: str) -> int:
    """Return the column of a thing's quantity: the last one of its name, since a wire's name stands before it."""
    return max(n for n, head in enumerate(heads) if head.partition(" [")[0] == words.capitalize())
