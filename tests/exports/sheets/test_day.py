"""The field lead's pages: each task on its day's page, times of the document, shares that add up, one page each."""

import copy
import io
import re
from itertools import pairwise
from typing import Any

import openpyxl
import pytest

from estimator.book.pricebook import read_pricebook
from estimator.document.redact import redact
from estimator.errors import DocumentError
from estimator.tables.words import USABLE
from exports.days import by_day, by_task, clock, days_of, drives, parted, uses_of
from exports.page.estimate import page
from exports.sheets import day, order_of_work, quote_sheets
from exports.stored_days import DAY
from exports.workbook import quote_workbook, sheets_of
from tests.exports.office import converted
from tests.exports.schedule_samples import NAMES, sample
from tests.jobs import job
from tests.raw import estimate

EVERY = pytest.mark.parametrize("name", NAMES)
ROUNDED = 0.5 + 1e-6  # a clock shows whole minutes


def _rows(sheet: Any) -> list[list[Any]]:
    return [[cell.value for cell in row.cells] for row in sheet.rows]


def _said(sheet: Any) -> str:
    return "\n".join(str(value) for row in _rows(sheet) for value in row)


def _tasks(sheet: Any) -> list[tuple[str, str, int]]:
    """Return from, to and number of each task on a page."""
    found = []
    for row in _rows(sheet):
        number = re.match(r"(\d+)\. ", str(row[2])) if len(row) > 2 else None
        if number:
            found.append((row[0], row[1], int(number[1])))
    return found


def _numbers(schedule: Any, here: int) -> list[int]:
    """Return the numbers of a day's tasks; of one that begins with its preheat that day twice."""
    parts = [part for one in by_day(schedule)[here] for part in parted(one) if part is not None]
    return sorted(part.task["number"] for part in parts)


@EVERY
def test_each_task_stands_on_the_page_of_each_of_its_days(name: str) -> None:
    schedule = sample(name)["schedule"]
    pages = day.sheets(sample(name))
    assert [one.name for one in pages] == [f"Day {one['day']}" for one in schedule["days"]]
    assert all(one.one_page and not one.wide for one in pages)
    for one, told in zip(pages, schedule["days"], strict=True):
        assert sorted(number for *_, number in _tasks(one)) == _numbers(schedule, told["day"]), one.name
        assert {number for *_, number in _tasks(one)} == set(told["tasks"]), one.name


@EVERY
def test_the_clock_on_the_pages_is_the_documents(name: str) -> None:
    schedule = sample(name)["schedule"]
    tasks = {one["number"]: one for one in schedule["tasks"]}
    hours, minutes = (int(part) for part in schedule["shift_start"].split(":"))
    first: dict[int, str] = {}
    last: dict[int, str] = {}
    for one in day.sheets(sample(name)):
        for begins, ends, number in _tasks(one):
            first.setdefault(number, begins)
            last[number] = ends
    for number, task in tasks.items():
        for said, key in ((first[number], "start_min"), (last[number], "end_min")):
            at = int(said[:2]) * 60 + int(said[3:]) - 60 * hours - minutes
            apart = (task[key] - at) % DAY
            assert min(apart, DAY - apart) <= ROUNDED, (number, key)


@EVERY
def test_the_parts_of_a_task_add_up_to_it_and_lie_within_it(name: str) -> None:
    schedule = sample(name)["schedule"]
    for task in schedule["tasks"]:
        parts = by_task(schedule)[task["number"]]
        assert sum(part.minutes for part in parts) == pytest.approx(
            task["duration_min"], rel=1e-8, abs=1e-5
        )  # past the seventh day ten digits leave 1e-6 min at either end of a part
        assert (parts[0].start, parts[-1].end) == pytest.approx(
            (task["start_min"], task["end_min"]), abs=1e-5
        )  # past the seventh day ten digits leave 1e-6 min at either end of a part
        assert [part.day for part in parts] == list(range(parts[0].day, parts[0].day + len(parts)))
        assert all(part.start <= part.end for part in parts)


@EVERY
def test_the_days_end_with_their_parts_and_their_fire_watch(name: str) -> None:
    schedule = sample(name)["schedule"]
    for told in schedule["days"]:
        parts = [part for part in by_day(schedule)[told["day"]] if part.task["people"]]
        hot = [part.end for part in parts if part.task["hot"]]
        assert told["hot_until"] == (clock(schedule, max(hot)) if hot else None)
        for key in ("begins", "ends", "hot_until", "watch_until"):
            assert told[key] == (None if told[f"{key}_min"] is None else clock(schedule, told[f"{key}_min"]))
        if told["day"] < len(schedule["days"]):
            watched = [told["watch_until_min"]] if hot else []
            leaves = max([part.end for part in parts] + watched) + schedule["closing_min"]
            leaves += 0.0 if schedule["stays"] else schedule["arrives_min"]
            assert told["ends_min"] == pytest.approx(leaves, rel=1e-9)


@EVERY
def test_a_document_of_before_the_parts_stood_in_it_shows_the_same_days(name: str) -> None:
    """Clock times there are rounded to the minute, and so are drives between two days and the end of a fire watch."""
    schedule = sample(name)["schedule"]
    new = {"parts", "drives", "begins_min", "ends_min", "hot_until_min", "watch_until_min"}
    old: Any = {**schedule, "days": [{k: v for k, v in one.items() if k not in new} for one in schedule["days"]]}
    for number, here in by_day(schedule).items():
        before, parts = ([*sorted(each, key=lambda one: one.task["number"])] for each in (by_day(old)[number], here))
        assert [one.task["number"] for one in before] == [one.task["number"] for one in parts]
        for one, then in zip(parts, before, strict=True):
            assert (one.start, one.end) == pytest.approx((then.start, then.end), abs=1e-6)
    for way, way_then in zip(sorted(drives(schedule)), sorted(drives(old)), strict=True):
        assert way[:2] == way_then[:2]
        assert way[2:] == pytest.approx(way_then[2:], abs=ROUNDED)
    pairs: Any = zip(days_of(schedule), days_of(old), strict=True)
    for told, told_then in pairs:
        assert [told[key] for key in sorted(new - {"parts", "drives"})] == [
            value if value is None else pytest.approx(value, abs=ROUNDED)
            for value in (told_then[key] for key in sorted(new - {"parts", "drives"}))
        ]


@EVERY
def test_nobody_is_in_two_places_at_once(name: str) -> None:
    schedule = sample(name)["schedule"]
    parts = [part for here in by_day(schedule).values() for part in here]
    for person in range(1, len(schedule["roles"]) + 1):
        own = sorted((part.start, part.end) for part in parts if person in part.task["people"])
        assert all(before[1] <= after[0] + 1e-6 for before, after in pairwise(own))


@EVERY
def test_what_the_days_use_adds_up_to_the_job(name: str) -> None:
    found = sample(name)
    uses = uses_of(found, tuple(day.SUPPLIES))
    for key in day.SUPPLIES:
        whole = found["totals"][key]
        today = sum(one.today for here in uses.values() for one in here if one.key == key)
        first = next(iter(uses.values()))
        assert today == pytest.approx(whole, rel=1e-7, abs=1e-6), key
        assert sum(one.whole for one in first if one.key == key) == pytest.approx(whole, rel=1e-7, abs=1e-6)
        assert all(one.after == pytest.approx(0, abs=1e-5) for one in list(uses.values())[-1])


def test_gas_is_used_on_the_days_of_welding_only() -> None:
    found = sample("twelve")
    uses, parts = uses_of(found, ("gas_L",)), by_day(found["schedule"])
    gas = {one["name"]: one["consumption"]["gas_L"] for one in found["bores"]}
    for number, here in parts.items():
        expected = sum(
            gas[part.task["bore"]] * part.minutes / part.task["duration_min"]
            for part in here
            if part.task["code"] == "weld"
        )
        assert sum(one.today for one in uses[number]) == pytest.approx(expected, rel=1e-7, abs=1e-6)


def test_the_first_page_says_what_the_whole_job_takes() -> None:
    found = sample("twelve")
    first, second, *_ = (_said(one) for one in day.sheets(found))
    gas = f"{found['totals']['gas_L']:,.0f} L"
    assert "TAKE, for the whole job" in first
    assert gas in first
    assert "whole job" in first and "later" in first
    assert "TAKE, for today" in second
    assert "wire, G3Si1 1.0 mm" in second


def test_what_to_measure_has_its_figures() -> None:
    found = sample("feller_lugs")
    said = "\n".join(_said(one) for one in day.sheets(found))
    left = found["bores"][0]
    sizes, heat = left["sizes"], left["heat"]
    assert f"diameter after clean-up, planned {sizes['cleanup_mm']:.2f} mm" in said
    assert f"{sizes['finish_min_mm']:.3f} to {sizes['finish_max_mm']:.3f} mm at depths 8, 35, 62 mm" in said
    assert f"{heat['preheat_C']:.0f} \u00b0C through the wall before the arc" in said
    assert f"never above {heat['interpass_max_C']:.0f} \u00b0C" in said
    assert f"{heat['finish_cut_max_C']:.0f} \u00b0C or less before the finish cut" in said
    assert f"see the card of bore {left['name']}" in said


def test_safety_of_the_day() -> None:
    found = sample("feller_lugs")
    for one, told in zip(day.sheets(found), found["schedule"]["days"], strict=True):
        said = _said(one)
        assert f"Hot work until {told['hot_until']}, fire watch until {told['watch_until']}." in said
        assert all(caution in said for caution in found["cautions_short"])
    closed = _said(day.sheets(sample("confined"))[0])
    assert "CONFINED SPACE" in closed
    assert "attendant 1" in closed


def test_an_own_row_stands_on_the_page() -> None:
    rows = {"oil": {"task": "papers", "kind": "measure", "when": "always", "text": "oil level of the generator"}}
    found = estimate(job(), read_pricebook({"tables": {"day_card": rows}}))
    papers = next(one for one in found["schedule"]["tasks"] if one["code"] == "papers")
    assert "oil level of the generator" in papers["measure"]


@pytest.mark.parametrize("text", ["{size} mm", "{", "{cleanup.real}", "{cleanup!r}"])
def test_a_row_with_an_unknown_word_is_refused_with_the_known_ones(text: str) -> None:
    rows = {"odd": {"task": "papers", "kind": "measure", "when": "always", "text": text}}
    with pytest.raises(DocumentError, match="finish_min"):
        read_pricebook({"tables": {"day_card": rows}})


def test_a_row_that_uses_something_unknown_is_refused() -> None:
    rows = {"odd": {"task": "weld", "kind": "use", "when": "always", "text": "gas"}}
    with pytest.raises(DocumentError, match="gas_L"):
        read_pricebook({"tables": {"day_card": rows}})


def test_each_thing_that_is_used_up_has_its_task_and_its_line() -> None:
    found = sample("one bore")
    used = {key for task in found["schedule"]["tasks"] for key in task["uses"]}
    assert set(USABLE) <= set(found["bores"][0]["consumption"])
    assert used == set(day.SUPPLIES) == set(USABLE) - {"energy_kWh"}  # nobody takes mains power along


@EVERY
def test_the_sheet_of_the_order_lists_each_part_of_each_task(name: str) -> None:
    schedule = sample(name)["schedule"]
    (sheet,) = order_of_work.sheet(sample(name))
    rows = [row for row in _rows(sheet)[3:] if row and isinstance(row[0], int)]
    parts = [p for here in by_day(schedule).values() for one in here for p in parted(one) if p is not None]
    parts.sort(key=lambda p: (p.start, p.end))
    assert [row[0] for row in rows] == [part.task["number"] for part in parts]
    assert [row[2] for row in rows] == [clock(schedule, part.start) for part in parts]


@pytest.mark.parametrize("role", ["field", "fleet"])
@EVERY
def test_who_sees_no_cost_gets_the_same_pages(name: str, role: Any) -> None:
    found = sample(name)
    seen = redact(found, role)
    assert day.sheets(seen) == day.sheets(found)
    assert order_of_work.sheet(seen) == order_of_work.sheet(found)
    assert role == "field" or "DAYS: " in page(seen, "metric", ["days"])
    assert {"Day 1", "Order of work"} <= {one.name for one in sheets_of(seen, quote_sheets(seen))}


def test_an_old_document_has_no_pages_of_days_and_no_fault() -> None:
    found = copy.deepcopy(sample("one bore"))
    del found["schedule"]
    assert day.sheets(found) == order_of_work.sheet(found) == ()
    assert "DAYS" not in page(found)
    names = openpyxl.load_workbook(io.BytesIO(quote_workbook(found, quote_sheets(found)))).sheetnames
    assert not any(one.startswith(("Day", "Order of work")) for one in names)


def test_a_document_of_before_the_day_card_still_gives_pages() -> None:
    found = copy.deepcopy(sample("two crews"))
    for task in found["schedule"]["tasks"]:
        for key in ("measure", "tools", "uses", "begins_with"):
            task.pop(key, None)
    pages = day.sheets(found)
    assert [len(_tasks(one)) for one in pages] == [len(one["tasks"]) for one in found["schedule"]["days"]]


@pytest.mark.office
def test_each_day_prints_on_one_page() -> None:
    names = ("feller_lugs", "two crews", "twelve")
    files = {name: quote_workbook(sample(name), [day.sheets]) for name in names}
    for name, data in converted(files, "pdf").items():
        pages = len(re.findall(rb"/Type\s*/Page\b", data))
        assert pages == len(sample(name)["schedule"]["days"])
