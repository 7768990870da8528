"""Cost and margin on the page: only where they are asked for, adding up, and never for who may not see them."""

import copy
import re
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from exports.page.estimate import page
from exports.page.first import SHOWN
from tests.jobs import job, tens
from tests.raw import estimate

SAMPLES = sorted(Path("sample_jobs").glob("*.json"))
IDS = [path.stem for path in SAMPLES]
BOOK = read_pricebook()
COST = "INTERNAL: COST AND MARGIN, not to be read out"


def _sections(text: str) -> dict[str, str]:
    """Return the sections of a page by their headings: what stands after two empty lines."""
    parts = [part.partition("\n") for part in text.split("\n\n\n")]
    return {head.strip(): body for head, _, body in parts}


def _costs(found: Any) -> dict[str, tuple[Decimal, float]]:
    """Return amount and share of each kind of cost on the page."""
    body = _sections(page(found, "metric", ["cost"]))[COST]
    rows = re.findall(r"^ +(.+?) +([\d,.]+) EUR +([\d.]+) %$", body, re.MULTILINE)
    return {name: (Decimal(amount.replace(",", "")), float(share)) for name, amount, share in rows}


def test_wire_and_gas_are_a_few_percent_and_the_shares_add_up() -> None:
    found = estimate(job(), BOOK)
    shares = {name: share for name, (_, share) in _costs(found).items() if name != "cost"}
    assert sum(shares.values()) == pytest.approx(100, abs=0.05 * len(shares))  # each rounded to 0.1
    total, lines = float(found["cost"]["total"]), found["cost"]["lines"]
    setup = sum(float(line["amount"]) for line in lines if line["code"] in ("labour-setup", "labour-job"))
    assert shares["set-up and once-a-job work"] == pytest.approx(100 * setup / total, abs=0.051)
    assert 0 < shares["wire, gas, tips, nozzles, inserts, electricity"] < 5 < shares["set-up and once-a-job work"]


def test_the_house_part_adds_up_to_the_cost() -> None:
    found = estimate(job(), BOOK)
    amounts = [amount for amount, _ in _costs(found).values()]
    assert sum(amounts[:-1]) == amounts[-1] == Decimal(found["cost"]["total"])


def test_a_cost_line_of_a_new_kind_is_not_lost() -> None:
    found = estimate(job(), BOOK)
    extra = found["cost"]["lines"][0].copy()
    extra["code"], extra["description"], extra["amount"] = "lifting", "hire of a lift", "77.00"
    found["cost"]["lines"].append(extra)
    assert "hire of a lift" in _costs(found)


def _redacted(found: Any, gone: str) -> Any:
    """Return the document without margin, rule and the whole of the cost, or its lines' amounts, or its total."""
    found = copy.deepcopy(found)
    del found["price"]["margin"], found["price"]["rule"]
    if gone == "cost":
        del found["cost"]
    elif gone == "total":
        del found["cost"]["total"]
    else:
        for line in found["cost"]["lines"]:
            del line["amount"], line["unit_cost"]
    return found


@pytest.mark.parametrize("gone", ["cost", "total", "amounts"])
@pytest.mark.parametrize("path", SAMPLES, ids=IDS)
def test_a_page_without_costs_shows_none(path: Path, gone: str) -> None:
    found = estimate(path.read_bytes(), BOOK)
    text = page(_redacted(found, gone), "metric", SHOWN)
    assert f"{Decimal(found['cost']['total']):,} EUR" in page(found, "metric", SHOWN)
    assert f"{Decimal(found['cost']['total']):,}" not in text
    assert "INTERNAL" not in text and "margin" not in text
    total = found["price"]["total"]
    assert f"{tens(total) if 'budget' in found else Decimal(total):,} EUR" in text
