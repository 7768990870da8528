"""The pictures of a spread: where the figures stand, no two over each other, and no cost."""

import json
import re
from itertools import pairwise
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.document.redact import redact
from estimator.estimate import estimate
from exports.page.estimate import page
from exports.page.spread import taught
from exports.pictures.job import pictures, spread_pictures
from exports.pictures.paper import WIDTH, ems
from exports.pictures.spread import MOST_BARS, TYPE
from exports.sheets import quote_sheets
from exports.workbook import sheets_of

SAMPLE = json.loads(Path("sample_jobs/boom_foot.json").read_text("utf-8"))
FOUND: Any = estimate(SAMPLE, read_pricebook(), "plan", 128)
SVG = "{http://www.w3.org/2000/svg}"


def drawn(name: str) -> ElementTree.Element:
    files = {one.file: one.svg for one in spread_pictures(FOUND)}
    return ElementTree.fromstring(files[name])


def texts(root: ElementTree.Element) -> list[str]:
    return [one.text or "" for one in root.iter(f"{SVG}text")]


def test_a_strip_lies_from_ten_to_ninety_with_a_line_at_half() -> None:
    strip = drawn("spread.svg")
    group = next(one for one in strip.iter(f"{SVG}g") if one.get("data-part") == "strips")
    bars = [one for one in group if one.tag == f"{SVG}rect"]
    marks = [one for one in group if one.tag == f"{SVG}line" and one.get("stroke-width") == "0.6"]
    for bar, mark, key in zip(bars, marks, ("price", "on_site_h", "wire_kg", "gas_L"), strict=True):
        left, wide, middle = (float(one.get(name, "")) for one, name in ((bar, "x"), (bar, "width"), (mark, "x1")))
        low, half, high = (float(value) for value in FOUND["spread"][key].values())
        assert (middle - left) / wide == pytest.approx((half - low) / (high - low), abs=1e-3)


def test_no_figure_of_a_strip_stands_on_another() -> None:
    rows: dict[str, list[tuple[float, float]]] = {}
    for one in drawn("spread.svg").iter(f"{SVG}text"):
        if one.get("text-anchor") == "middle":
            half = TYPE * ems(one.text or "") / 2
            x = float(one.get("x", ""))
            rows.setdefault(one.get("y", ""), []).append((x - half, x + half))
    for places in rows.values():
        ends = sorted(places)
        assert all(first[1] < second[0] for first, second in pairwise(ends))
        assert ends[0][0] > 0 and ends[-1][1] < WIDTH


def test_every_doubt_that_is_told_has_its_bar() -> None:
    said = texts(drawn("doubts.svg"))
    shares = [one for one in said if re.fullmatch(r"\d+ %", one)]
    assert len(shares) == min(MOST_BARS, len(FOUND["spread"]["drivers"]))
    assert said[2].startswith(FOUND["spread"]["drivers"][0]["name"][:20])


def test_pictures_page_and_sheet_hold_no_cost_where_it_is_not_asked_for() -> None:
    costs = set(FOUND["spread"]["cost"].values()) | set(FOUND["spread"]["price_for"].values())
    whole = "".join(one.svg for one in pictures(FOUND)[0]) + page(FOUND, "metric", ("spread",))
    plain = whole.replace(",", "")
    assert not any(cost in plain for cost in costs)
    assert any(cost in page(FOUND, "metric", ("cost",)).replace(",", "") for cost in costs)


def test_the_page_tells_the_spread_and_only_where_days_were_drawn() -> None:
    told = page(FOUND, "metric", ("spread",))
    assert "SPREAD, 128 days drawn" in told and "WHAT THE PRICE HANGS ON" in told
    without = {key: value for key, value in FOUND.items() if key != "spread"}
    assert "No days were drawn" in page(without, "metric", ("spread",))  # pyrefly: ignore[bad-argument-type] # an estimate again
    assert spread_pictures(without) == []  # pyrefly: ignore[bad-argument-type] # the same


@pytest.mark.parametrize("role", ["field", "fleet"])
def test_only_those_who_see_the_cost_see_the_spread(role: Any) -> None:
    shown = redact(FOUND, role)
    assert "spread" not in shown and spread_pictures(shown) == []
    assert "Spread" not in [one.name for one in sheets_of(shown, quote_sheets(shown))]


def test_the_shop_s_workbook_has_a_sheet_of_it() -> None:
    names = [one.name for one in sheets_of(FOUND, quote_sheets(FOUND))]
    assert "Spread" in names
    plain: Any = estimate(SAMPLE, read_pricebook())
    assert "Spread" not in [one.name for one in sheets_of(plain, quote_sheets(plain))]


def test_the_calibration_is_told_in_a_sentence() -> None:
    one = {"element": "setup", "group": "all", "jobs": 9, "ratio": 1.25, "low": 1.1, "high": 1.4}
    used = {"version": 3, "sha256": "", "jobs": 9, "factors": [one, {**one, "group": "crew: north"}]}
    told: Any = {**FOUND, "calibration": used}
    assert taught(told) == "calibration 3: setup x 1.25, 1 of groups"
    assert "by calibration 3: setup x 1.25" in page(told)
    assert taught(FOUND) == ""
