"""The drawing of the order of work: each task once a day, where the clock has it; no text over another; no cost."""

import copy
import re
from collections import Counter
from itertools import combinations, pairwise
from typing import Any

import pytest

from estimator.document.redact import redact
from exports.days import by_day, clock, drives
from exports.pictures.job import pictures
from exports.pictures.paper import MARGIN, ems
from exports.pictures.schedule import schedule_pictures
from exports.stored_days import DAY
from tests.exports.pictures.picture_samples import NAMES as ODD
from tests.exports.pictures.pictures_read import SVG, Read, read
from tests.exports.schedule_samples import NAMES, sample

EVERY = pytest.mark.parametrize("name", NAMES)
PLACES = 0.01  # coordinates are written to a micrometre; the scale is read off the hours' places [mm]


def _drawn(name: str) -> list[Read]:
    return [read(text) for text in schedule_pictures(sample(name))]


def _number(element: Any, key: str) -> float:
    return float(element.get(key))


@EVERY
def test_each_task_is_drawn_once_a_day_for_each_who_does_it(name: str) -> None:
    drawn = Counter(
        int(one.get("data-task") or 0) for sheet in _drawn(name) for one in sheet.every("rect") if one.get("data-task")
    )
    expected: Counter[int] = Counter()
    for parts in by_day(sample(name)["schedule"]).values():
        for part in parts:
            expected[part.task["number"]] += max(1, len(part.task["people"]))
    assert drawn == expected


def _scale(sheet: Read) -> list[tuple[float, float, dict[str, float]]]:
    """Return for each day of a sheet the left end of its hours, millimetres a minute, and hours by label."""
    found = []
    for group in sheet.root.iter(f"{SVG}g"):
        if group.get("data-part") == "day":
            hours = [t for t in group.iter(f"{SVG}text") if re.fullmatch(r"\d\d:\d\d", t.text or "")]
            at = {t.text or "": _number(t, "x") for t in hours}
            (one, left), (other, right) = list(at.items())[:2]
            step = (int(other[:2]) - int(one[:2])) % 24 * 60
            found.append((left, (right - left) / step, at))
    return found


@EVERY
def test_bars_lie_where_the_clock_has_them(name: str) -> None:
    schedule = sample(name)["schedule"]
    tasks = {task["number"]: task for task in schedule["tasks"]}
    for sheet in _drawn(name):
        left, per_minute, at = _scale(sheet)[0]
        begins = int(next(iter(at))[:2]) * 60
        hours, minutes = (int(part) for part in schedule["shift_start"].split(":"))
        for bar in sheet.every("rect"):
            task = tasks.get(int(bar.get("data-task") or 0))
            if task is None or not task["people"] or task["end_min"] - task["start_min"] > task["duration_min"] + 1e-6:
                continue
            at_clock = task["start_min"] % DAY + hours * 60 + minutes
            assert _number(bar, "x") == pytest.approx(left + (at_clock - begins) * per_minute, abs=PLACES)
            assert _number(bar, "width") == pytest.approx(max(0.3, task["duration_min"] * per_minute), abs=PLACES)


@EVERY
def test_no_text_runs_over_another_or_off_the_sheet(name: str) -> None:
    for sheet in _drawn(name):
        width, height = (float(part) for part in (sheet.root.get("viewBox") or "").split()[2:])
        boxes = []
        for one in sheet.every("text"):
            size, said = _number(one, "font-size"), one.text or ""
            wide, x, y = size * ems(said) * 0.9, _number(one, "x"), _number(one, "y")  # letters are narrower than ems
            left = x - wide / 2 if one.get("text-anchor") == "middle" else x
            boxes.append((left, y - 0.75 * size, left + wide, y + 0.2 * size, said))
            if one.get("text-anchor") == "middle" or size < 2.8:
                assert left >= 0 and left + wide <= width and y <= height, said
        for here, other in combinations(boxes, 2):
            clear = here[2] <= other[0] or other[2] <= here[0] or here[3] <= other[1] or other[3] <= here[1]
            assert clear, (here[4], other[4])


@EVERY
def test_shapes_stay_on_the_sheet_and_rows_apart(name: str) -> None:
    for sheet in _drawn(name):
        width, height = (float(part) for part in (sheet.root.get("viewBox") or "").split()[2:])
        assert width == 180 and height < 270  # fits A4 and Letter upright
        bars = [one for one in sheet.every("rect") if one.get("data-kind")]
        for one in bars:
            assert _number(one, "x") >= MARGIN
            assert _number(one, "x") + _number(one, "width") <= width - MARGIN + PLACES
            assert _number(one, "y") + _number(one, "height") <= height
        rows: dict[float, list[tuple[float, float]]] = {}
        for one in bars:
            left = _number(one, "x")
            rows.setdefault(_number(one, "y"), []).append((left, left + _number(one, "width")))
        for row in rows.values():
            assert all(before[1] <= after[0] + 0.3 for before, after in pairwise(sorted(row)))  # 0.3: the least bar


@EVERY
def test_hot_work_and_the_chain_show_without_colour(name: str) -> None:
    tasks = sample(name)["schedule"]["tasks"]
    sheets = _drawn(name)
    hot = {one["number"] for one in tasks if one["hot"]}
    critical = {one["number"] for one in tasks if one["critical"]}
    rects = [one for sheet in sheets for one in sheet.every("rect") if one.get("data-task")]
    heavy = {int(one.get("data-task") or 0) for one in rects if _number(one, "stroke-width") > 0.5}
    assert heavy == critical
    teeth = [one for sheet in sheets for one in sheet.part("row", "path")]
    drawn_hot = sum(1 for one in rects if int(one.get("data-task") or 0) in hot)
    assert len(teeth) == drawn_hot
    cooling = [one for one in rects if one.get("data-kind") == "cools"]
    assert all((one.get("fill") or "").startswith("url(#hatch") for one in cooling)


@EVERY
def test_end_dates_and_drives_are_said(name: str) -> None:
    schedule = sample(name)["schedule"]
    said = " ".join(sheet.said() for sheet in _drawn(name))
    assert schedule["ends"] in said
    assert clock(schedule, schedule["leaves_min"]) in said
    assert all(one["date"] in said for one in schedule["days"] if one["date"])
    driven = sum(1 for s in _drawn(name) for one in s.every("rect") if one.get("data-kind") == "drive")
    assert driven == len(drives(schedule)) * len(schedule["roles"])


@EVERY
def test_the_same_bytes_each_time_and_for_whoever_sees_it_without_cost(name: str) -> None:
    found = sample(name)
    drawn = schedule_pictures(found)
    assert drawn == schedule_pictures(copy.deepcopy(found))
    assert drawn == schedule_pictures(redact(found, "field")) == schedule_pictures(redact(found, "fleet"))
    said = " ".join(read(text).said() for text in drawn)
    amounts = [found["price"]["total"], found["cost"]["total"], found["price"]["currency"]]
    amounts += [one["price_more"] for one in found["schedule"]["crews"]]
    assert not any(amount in said for amount in amounts)


def test_an_old_document_has_no_such_picture_and_no_fault() -> None:
    found = copy.deepcopy(sample("one bore"))
    assert [one.file for one in pictures(found)[0]][-1] == "schedule.svg"
    del found["schedule"]
    assert not any(one.file.startswith("schedule") for one in pictures(found)[0])


def test_many_days_go_on_sheets_of_their_own() -> None:
    found = copy.deepcopy(sample("twelve"))
    days = found["schedule"]["days"]
    found["schedule"]["days"] = days + [
        {**days[0], "day": n, "tasks": [], "hot_until": None, "watch_until": None} for n in range(len(days) + 1, 40)
    ]
    sheets = schedule_pictures(found)
    assert len(sheets) > 1
    shown = [one.get("data-day") for text in sheets for one in read(text).root.iter(f"{SVG}g") if one.get("data-day")]
    assert shown == [str(n) for n in range(1, 40)]
    assert all(float((read(text).root.get("viewBox") or "").split()[3]) < 270 for text in sheets)


@pytest.mark.parametrize("odd", ODD)
def test_names_that_are_long_or_steer_do_no_harm(odd: str) -> None:
    found = copy.deepcopy(sample("two crews"))
    for task in found["schedule"]["tasks"]:
        task["name"] = task["name"].replace("A", ODD[odd])
        task["line"], task["bore"] = ODD[odd], ODD[odd] if task["bore"] else None
    found["job"]["title"] = ODD[odd]
    for text in schedule_pictures(found):
        assert read(text).root.get("role") == "img"
