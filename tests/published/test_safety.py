"""Safety shown: filter shades of the published table, cautions, and who decides where a procedure is due."""

import csv
import math
from importlib import resources
from pathlib import Path
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from estimator.tables.rows import Shade
from exports.sheets import cautions
from tests.jobs import SOUND, bore, job

BOOK = read_pricebook()
SHADES = [row for row in BOOK.facts.rows("shades").values() if isinstance(row, Shade)]
SAMPLES = sorted(Path("sample_jobs").glob("*.json"))


def _table(name: str) -> list[dict[str, str]]:
    text = resources.files("estimator.tables").joinpath(f"{name}.csv").read_text("utf-8")
    return list(csv.DictReader(text.splitlines()))


def _least(current: float) -> float:
    (row,) = [row for row in SHADES if row.above <= current < row.below]
    return row.shade


# 29 CFR 1910.133(a)(5), gas metal arc and flux cored arc welding: under 60 A 7, 60 to 500 A 10.
@pytest.mark.parametrize(("current", "shade"), [(50, 7), (60, 10), (130, 10), (159, 10), (200, 10), (300, 10)])
def test_least_shade_by_current(current: float, shade: float) -> None:
    assert _least(current) == shade


def _transmittance(shade: float) -> float:
    """Return the light that a filter lets through: EN 169, shade = 1 + 7/3 log10(1/transmittance)."""
    return float(10 ** (-3 / 7 * (shade - 1)))


# Standard luminous transmittance in percent of some shades as listed by medicalalgorithms.com after ANSI Z87.1.
@pytest.mark.parametrize(("shade", "percent"), [(3, 13.9), (5, 1.93), (7, 0.27), (10, 0.0139)])
def test_the_relation_of_shade_and_light(shade: float, percent: float) -> None:
    assert 100 * _transmittance(shade) == pytest.approx(percent, rel=0.01)  # three printed digits


def test_a_light_shield_over_light_glasses_is_no_welding_filter() -> None:
    """Common practice, no source: shade 5 over shade 3; together 7 by EN 169, below the published least of 10."""
    together = 1 + 7 / 3 * math.log10(1 / (_transmittance(5) * _transmittance(3)))
    assert together == pytest.approx(7.0, abs=1e-9)
    for current in (60, 110, 130, 159):
        assert together < _least(current)
    (told,) = [row["text"] for row in _table("cautions") if row["code"] == "eyes"]
    assert "shade 5 over glasses of shade 3 comes to about 7" in told
    assert "short of the 10" in told


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_no_sample_shows_less_than_the_published_shade(path: Path) -> None:
    found = estimate(path.read_bytes(), BOOK)
    currents = [layer["current_A"] for one in found["bores"] for layer in one["buildup"]["layers"]]
    least = max(_least(current) for current in currents)
    assert max(one["minimum_shade"] for one in found["shades"]) == least >= 10
    assert found["cautions"][0].startswith("Local codes and a qualified welding procedure come first")


# What the safety rules of hot work and rotating machinery name; the words that must reach whoever reads the cautions.
NAMED = {
    "29 CFR 1910.252(c), ventilation": "Draw fume off",
    "NFPA 51B-2019 5.6.1.1, fire watch": "fire watch",
    "29 CFR 1910.252(a)(2), hot-work permit": "Hot-work permit",
    "29 CFR 1910.146, confined space": "Confined space: permit, attendant",
    "29 CFR 1910.147, power removed": "Take the power off",
    "common practice, no source: rotating parts": "Rotating bar",
    "common practice, no source: chips": "Chips are sharp",
    "common practice, no source: leads": "nobody trips",
    "common practice, no source: brackets": "Brackets welded on for the bar follow the rules of the bore",
}


@pytest.mark.parametrize("words", NAMED.values(), ids=NAMED)
def test_the_cautions_name(words: str) -> None:
    found = estimate(job(site={"access": "confined"}), BOOK)
    assert any(words in one for one in found["cautions"])


def test_each_case_says_who_decides() -> None:
    rows = _table("procedures")
    assert len(rows) >= 15
    assert all(row["who"].strip() and row["why"].strip() for row in rows)
    assert {row["action"] for row in rows} == {"refuse", "approve", "warn"}


# A case of the table, the job that it holds for, and words of who decides.
HOLDS = [
    ("lifting gear", {"condition": {**SOUND, "duty": "lifting"}}, "certifies"),
    ("pressure", {"condition": {**SOUND, "duty": "pressure"}}, "inspection body"),
    ("rollover", {"condition": {**SOUND, "duty": "rollover"}}, "maker or certifier"),
    ("welded before", {"condition": {**SOUND, "welded_before": "yes"}}, "welding engineer"),
    ("hardfaced", {"condition": {**SOUND, "hardened": "yes"}}, "welding engineer"),
    ("cadmium", {"condition": {**SOUND, "coated": "yes"}}, "safety"),
    ("quenched and tempered", {"material": "4140"}, "welding engineer"),
    ("case hardening", {"material": "16MnCr5"}, "welding engineer"),
    ("0.3 % carbon", {"material": "C45"}, "welding engineer"),
    ("under 10 mm", {"outside_diameter": "111 mm"}, "welding engineer"),
]


@pytest.mark.parametrize(("words", "changes", "who"), HOLDS)
def test_a_case_holds_where_it_should_and_nowhere_else(words: str, changes: dict[str, Any], who: str) -> None:
    for changed, expected in ((changes, ["A"]), ({}, [])):
        found = estimate(job(bore(**changed)), BOOK)["procedures"]
        (case,) = [one for one in found if words in one["case"] and one["action"] != "refuse"]
        assert case["bores"] == expected
        assert who in case["who_decides"]


def test_the_sheet_lists_every_case() -> None:
    found = estimate(job(), BOOK)
    said = " ".join(str(cell.value) for row in cautions.sheet(found).rows for cell in row.cells)
    assert all(row["case"] in said and row["who"] in said for row in _table("procedures"))
