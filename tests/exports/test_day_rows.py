"""A day's rows leave no time unnamed, and every day with hot work names who keeps the fire watch and how long."""

from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from exports.days import by_day, days_of, drives, watches
from exports.gaps import gaps
from exports.sheets import day, order_of_work
from tests.golden.hold import document_of
from tests.raw import estimate

SAMPLES = sorted(Path("sample_jobs").glob("*.json"))
BOOK = read_pricebook()


def _texts(sheet: Any) -> list[list[str]]:
    return [[str(cell.value) for cell in row.cells if cell.value is not None] for row in sheet.rows]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_hot_day_has_its_fire_watch(path: Path) -> None:
    found = estimate(path.read_bytes(), BOOK)
    kept = watches(found["schedule"])
    work = _texts(order_of_work.sheet(found)[0])
    for one, sheet in zip(found["schedule"]["days"], day.sheets(found), strict=True):
        rows = [row for row in _texts(sheet) if any("fire watch\n" in cell for cell in row)]
        assert len(rows) == (one["hot_until"] is not None) == (one["day"] in kept)
        if rows:
            assert rows[0][:2] == [one["hot_until"], one["watch_until"]]
            assert "1 h 00 after the last hot work" in rows[0][2]
            assert rows[0][3].startswith(("tech. 1", "one of the crew"))
    assert sum(row.count("fire watch") for row in work) == len(kept) > 0


@pytest.mark.parametrize("first", range(0, 20, 10))
def test_a_day_has_no_time_without_a_name(first: int) -> None:
    jobs = [document_of(f"random {n}") for n in range(first, first + 10)]
    for found in [one for one in jobs if "refused" not in one]:
        schedule = found["schedule"]
        for one in days_of(schedule):
            parts = by_day(schedule)[one["day"]]
            spans = [(part.start, part.end) for part in parts if part.task["people"]]
            spans += [(gap.start, gap.end) for gap in gaps(one, parts, schedule)]
            spans += [(start, end) for at, _, start, end in drives(schedule) if at == one["day"]]
            ends = one["begins_min"]
            for (start, end), _ in pairwise([*sorted(spans), (one["ends_min"], one["ends_min"])]):
                assert start <= ends + 0.6
                ends = max(ends, end)
            assert ends == pytest.approx(one["ends_min"], abs=0.6)
