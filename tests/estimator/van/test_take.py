"""What a job's papers say to take is what an order for that job alone says."""

import json
from pathlib import Path
from typing import Any

import pytest

from api.pages import tables
from estimator.book.pricebook import read_pricebook
from exports.page.choice import order_page
from exports.page.estimate import page
from exports.sheets import day
from exports.used import things, to_cover
from tests.raw import estimate, order

SAMPLES = sorted(Path("sample_jobs").glob("*.json"))
BOOK = read_pricebook()


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_an_estimate_takes_what_its_order_covers(path: Path) -> None:
    asked = json.loads(path.read_text("utf-8"))
    found = estimate(asked, BOOK)
    lines = {line["item"]: line for line in order([asked], BOOK)["lines"] if line["expected"] + line["planned"] > 0}
    assert {one["item"] for one in found["take"]} == set(lines)
    for one in found["take"]:
        line = lines[one["item"]]
        assert one["expected"] == pytest.approx(line["expected"] + line["planned"], rel=1e-11)
        assert [one[key] for key in ("kind", "unit", "to_cover", "pack_size", "packs")] == [
            line[key] for key in ("kind", "unit", "to_cover", "pack_size", "packs")
        ]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_paper_says_the_same(path: Path) -> None:
    """First screen, page of the first day, web page and the page of the order, item by item."""
    asked = json.loads(path.read_text("utf-8"))
    found = estimate(asked, BOOK)
    found["job"]["typed_in"] = "metric"
    first = " ".join(page(found).partition("TAKE ")[2].partition("CUSTOMER ")[0].split())
    cells = [str(cell.value) for row in day.sheets(found)[0].rows for cell in row.cells if cell.value]
    web = [row[2] for row in tables.used(found, "metric").rows]
    ordered = order_page(order([asked], BOOK))
    for one in found["take"]:
        said = to_cover(one["to_cover"], one["unit"])
        assert one["to_cover"] <= _number(said)  # rounded up, so that what is taken is enough
        assert any(_number(cell.split(",  ")[0].split()[0]) == _number(said) for cell in _taken(found, one))
        assert not one["to_cover"] or said in first
        assert any(cell.partition(" ")[0].rstrip(",") == (said if one["to_cover"] else "none") for cell in cells)
        assert any(cell.partition(" ")[0] == (said if one["to_cover"] else "none") for cell in web)
        assert f" {said} " in ordered


def _taken(found: Any, one: Any) -> list[str]:
    takes = [thing.take for thing in things(found, "metric") if one["item"] in (thing.name, *_names(thing.words))]
    return [take if take != "none" else "0" for take in takes]


def _names(words: str) -> tuple[str, ...]:
    return words, words.removesuffix("s"), words.removesuffix("s").split()[-1]


def _number(text: str) -> float:
    return float(text.replace(",", ""))
