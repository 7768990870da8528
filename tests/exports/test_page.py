"""The page for people says what the document says, in both systems of units, and the money to the letter."""

import copy
import re
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from estimator.estimate import estimate
from estimator.pricebook import read_pricebook
from exports.format import amount, shown
from exports.page import page
from tests.jobs import bore, job

SAMPLES = sorted(Path("sample_jobs").glob("*.json"))
BOOK = read_pricebook()


@pytest.mark.parametrize("path", SAMPLES, ids=[path.stem for path in SAMPLES])
@pytest.mark.parametrize("units", ["metric", "us"])
def test_every_sample_has_its_page(path: Path, units: Any) -> None:
    found = estimate(path.read_bytes(), BOOK)
    text = page(found, units)
    assert all(line.isprintable() for line in text.split("\n"))
    assert max(len(line) for line in text.split("\n")) < 125
    for key in ("before_tax", "tax", "total"):
        assert amount(found["price"][key], "EUR") in text
    for one in found["bores"]:
        assert f"Bore {one['name']}:" in text
        for layer in one["buildup"]["layers"]:
            assert shown("wire_feed_m_min", layer["wire_feed_m_min"], units) in text
    for words in (*found["scope"]["included"], *found["scope"]["customer"], *found["warnings"], *found["cautions"]):
        assert words.split(":")[0][:40] in text.replace("\n    ", " ").replace("\n  ", " ")


def test_us_units_are_only_on_the_page() -> None:
    found = estimate(job(), BOOK)
    before = copy.deepcopy(found)
    metric, us = page(found), page(found, "us")
    assert found == before
    assert "3.5433 in" in us and "ipm" in us and "cfh" in us and "degF" in us and " lb" in us
    assert "90.00 mm" in metric and " ipm" not in metric


def test_wire_feed_comes_before_the_current_with_its_scatter() -> None:
    found = estimate(job(), BOOK)
    layer = found["bores"][0]["buildup"]["layers"][1]
    scatter = layer["current_A"] * found["bores"][0]["buildup"]["feed_scatter"]
    (line,) = [line for line in page(found).split("\n") if line.strip().startswith("layer 2")]
    assert line.index("m/min") < line.index(f"{layer['current_A']:.0f} +/- {scatter:.0f} A")
    assert "seen from the machine's side" in page(found)


def test_the_split_adds_up_to_the_cost() -> None:
    found = estimate(job(), BOOK)
    part = page(found).split("For us:")[1]
    amounts = [Decimal(text.replace(",", "")) for text in re.findall(r"EUR ([\d,]+\.\d\d)", part)]
    assert sum(amounts[:-1]) == amounts[-1] == Decimal(found["cost"]["total"])
    wire = next(line for line in part.split("\n") if "wire, gas, tips" in line)
    assert float(wire.split()[-2]) < 5.0


def test_a_budget_price_is_titled_so() -> None:
    found = estimate(job(bore(readings=None, worn_diameter="93 mm")), BOOK)
    text = page(found)
    assert text.startswith("BUDGET PRICE, NOT AN OFFER")
    assert "worn one-sided" in text and "worn even" in text
    assert amount(found["budget"]["price_low"], "EUR") in text
    assert "Measure before an offer may be issued" in text
    assert page(estimate(job(), BOOK)).startswith("ESTIMATE")


def test_invented_prices_are_said_loudly() -> None:
    assert "ALL PRICES ARE INVENTED" in page(estimate(job(), BOOK))
    own = read_pricebook({"invented": False, "note": "Ours."})
    assert "INVENTED" not in page(estimate(job(), own))


def test_a_page_without_costs_shows_none() -> None:
    found = estimate(job(), BOOK)
    cost = found.pop("cost")["total"]
    del found["price"]["margin"], found["price"]["rule"]
    text = page(found)
    assert "For us" not in text
    assert amount(cost, "EUR") not in text
