"""What moved a price: the causes add up to the difference, and each is named by its key."""

import json
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from estimator.book.pricebook import read_pricebook
from estimator.errors import DocumentError, JobRefusedError
from estimator.trust.causes import causes
from exports.page.choice import causes_page
from tests.depth import deep
from tests.jobs import any_job, bore, changed, job

BOOK = read_pricebook()


def _moved(first: Any, second: Any, **books: Any) -> dict[str, Any]:
    other = read_pricebook(books) if books else BOOK
    return causes(json.dumps(first), json.dumps(second), BOOK, other)


def _adds_up(found: dict[str, Any]) -> bool:
    total = Decimal(found["second"]["total"]) - Decimal(found["first"]["total"])
    return sum((Decimal(one["moved"]) for one in found["causes"]), Decimal(0)) == total == Decimal(found["difference"])


def test_one_key_is_one_cause() -> None:
    found = _moved(job(), changed(job(), "site.distance", "120 km"))
    (cause,) = found["causes"]
    assert (cause["keys"], cause["from"], cause["to"]) == (["site.distance"], ["85 km"], ["120 km"])
    assert {line["code"] for line in cause["lines"]} >= {"distance", "labour-travel"}
    assert _adds_up(found)


def test_two_books_are_told_apart() -> None:
    found = _moved(job(), job(), rates={"labour_on_site": "70.00 EUR/h"}, margin=0.3)
    assert {cause["keys"][0] for cause in found["causes"]} == {"pricebook: rates.labour_on_site", "pricebook: margin"}
    assert _adds_up(found)


def test_causes_that_only_stand_together_go_together() -> None:
    """Readings give way to a worst diameter: neither change stands alone."""
    quick = bore(readings=None, worn_diameter="93 mm")
    found = _moved(job(), job(quick))
    assert any(len(cause["keys"]) == 2 for cause in found["causes"])
    assert _adds_up(found)


def test_bores_that_come_or_go_are_one_cause() -> None:
    found = _moved(job(), job(bore(), bore(name="B")))
    (cause,) = found["causes"]
    assert cause["keys"] == ["bores"]
    assert Decimal(cause["moved"]) > 0


def test_the_same_job_moves_nothing() -> None:
    found = _moved(job(), job())
    assert (found["causes"], found["difference"]) == ([], "0.00")
    assert "Nothing differs" in causes_page(found)


@given(any_job(most=2), any_job(most=2), st.floats(0.0, 0.5))
@settings(max_examples=deep(25), suppress_health_check=[HealthCheck.too_slow])
def test_the_causes_add_up_for_any_two_jobs(first: dict[str, Any], second: dict[str, Any], margin: float) -> None:
    found = _moved(first, second, margin=margin)
    assert _adds_up(found)
    page = causes_page(found)
    assert f"{Decimal(found['difference']):,}" in page
    assert not any(sign in page for sign in "{}[]")


def test_a_wrong_or_refused_job_is_refused_as_elsewhere() -> None:
    with pytest.raises(DocumentError):
        _moved(job(), {})
    with pytest.raises(JobRefusedError):
        _moved(job(), changed(job(), "bores.0.condition", {"cracks": "yes"}))


def test_what_moves_nothing_stands_together_at_the_end() -> None:
    text = causes_page(_moved(job(title="one"), job(bore(length="80 mm"), title="two")))
    above, _, below = text.partition("WITHOUT EFFECT ON THE PRICE")
    assert "title: one → two" in below
    assert "title" not in above and "length" in above and "  0.00 EUR" not in text
