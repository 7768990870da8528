"""How much an estimate says: `price` what it comes to, `plan` the rest, `full` what was weighed beside as well."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.document.redact import ROLES, redact
from estimator.estimate import estimate
from exports.page.estimate import page
from exports.page.first import SHOWN
from exports.pictures.job import pictures
from exports.sheets import quote_sheets
from exports.workbook import sheets_of
from tests.depth import seeds, some
from tests.golden.jobs import golden_case
from tests.jobs import bore, job, quick

SAMPLES = sorted((Path(__file__).parents[2] / "sample_jobs").glob("*.json"))
PRICED = {"reference", "engine", "pricebook", "input_sha256", "totals", "cost", "price", "demo", "warnings"}
BESIDE = {
    "bores.buildup.frontier",
    "bores.buildup.neighbours",
    "bores.buildup.shadow_prices",
    "bores.buildup.alternatives",
    "bores.plate.may_be",
    "schedule.crews",
    "budget.other_wear",
    "budget.other_price",
    "budget.other_refused",
    "ways",
    "letter",  # what only papers print
}


def missing(less: Any, more: Any, path: str = "") -> Iterator[str]:
    """Yield the keys of a document that another one lacks; fail where they differ otherwise."""
    if isinstance(more, dict):
        for key, value in more.items():
            here = f"{path}.{key}" if path else key
            if key in less:
                yield from missing(less[key], value, here)
            else:
                yield here
        assert list(less) == [key for key in more if key in less], path
    elif isinstance(more, list):
        assert len(less) == len(more), path
        for one, other in zip(less, more, strict=True):
            yield from missing(one, other, path)
    else:
        assert less == more, path


def jobs() -> list[Any]:
    """Return samples and random jobs with their books, as test cases."""
    random = [pytest.param(*golden_case(number), id=f"random {number}") for number in (3, 4, 9, 12, 25, 31)]
    return [pytest.param(json.loads(path.read_text("utf-8")), {}, id=path.stem) for path in SAMPLES] + random


@pytest.mark.parametrize(("document", "patch"), some(jobs(), 6))
def test_the_details_differ_in_nothing_but_what_they_leave_out(document: Any, patch: Any) -> None:
    book = read_pricebook(patch)
    full, plan, price = (estimate(document, book, detail) for detail in ("full", "plan", "price"))
    assert set(price) == PRICED
    assert not set(missing(price, plan)) & PRICED
    left_out = set(missing(plan, full))
    assert left_out <= BESIDE
    assert {key for key in BESIDE if key.startswith(("bores", "schedule"))} <= left_out
    assert estimate(document, book) == plan


def test_what_was_weighed_beside_is_left_out_of_a_budget() -> None:
    document = job(bore(), quick(90, 93, name="B"))
    full, plan = (estimate(document, read_pricebook(), detail)["budget"] for detail in ("full", "plan"))
    assert set(missing(plan, full)) == {"other_wear", "other_price", "other_refused"}


@pytest.mark.parametrize("path", some(SAMPLES, 4), ids=lambda path: path.stem)
def test_exports_do_without_what_was_not_asked_for(path: Path) -> None:
    found = estimate(path.read_bytes(), read_pricebook())
    for role in ROLES:
        seen = redact(found, role)
        assert page(seen, "metric", [part for part in SHOWN if part != "cost" or "cost" in seen])
        assert sheets_of(seen, quote_sheets(seen))
        assert pictures(seen)[0]


@pytest.mark.parametrize("seed", seeds(30, 3))
def test_a_refusal_is_the_same_at_every_detail(seed: int) -> None:
    document, patch = golden_case(300 + seed)
    found = []
    for detail in ("full", "plan", "price"):
        try:
            found.append(estimate(document, read_pricebook(patch), detail)["price"]["total"])
        except Exception as error:  # whatever refuses it
            found.append(f"{type(error).__name__}: {error}")
    assert len(set(found)) == 1
