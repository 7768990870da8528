"""Variation orders and invoices as they are frozen: priced as the letter said, taxed by rate, turned round."""

from decimal import ROUND_HALF_UP, Decimal
from typing import Any

import pytest

from estimator.after.frozen import AskedInvoice, Quoted, credit_note, invoice_document, variation_document
from estimator.after.invoice import invoice
from estimator.after.variation import read_variation, variation
from estimator.book.pricebook import read_pricebook
from estimator.errors import DocumentError
from tests.jobs import bore, job
from tests.raw import estimate

BOOK = {"tax": 0.19, "taxes": {"extra": 0.07}}
EXTRA = [{"text": "bush", "price": "100.05 EUR"}]
FOUND = estimate(job(bore(), bore(name="B"), extras=EXTRA, discount=0.03), read_pricebook(BOOK))
QUOTED = Quoted("100001", 1, "2027-03-01")
MORE: dict[str, Any] = {"cause": "deeper than read", "bores": [{"name": "A", "wear": "4.237 mm"}]}


def ordered(**changes: Any) -> Any:
    return variation(read_variation(MORE | changes, FOUND), FOUND)


def test_more_wear_costs_what_the_letter_said() -> None:
    """3.00 mm a side were quoted, 4.24 are read: 1.24 mm at 145.00 are 179.80 (by hand, 2026-11)."""
    (line,) = ordered()["lines"]
    assert (line["before_mm"], line["after_mm"], line["quantity"], line["unit"]) == (3.0, 4.24, 1.24, "mm")
    assert (line["unit_price"], line["price"], line["tax_fraction"]) == ("145.00", "179.80", 0.19)


def test_a_price_of_its_own_stands_before_the_rate() -> None:
    found = ordered(bores=[{"name": "A", "wear": "4.2 mm", "price": "99.00 EUR"}])
    assert (found["lines"][0]["unit"], found["before_tax"], found["tax"], found["total"]) == (
        "each", "99.00", "18.81", "117.81",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "paths"),
    [
        ({"cause": ""}, ["cause"]),
        ({"bores": []}, ["bores"]),
        ({"bores": [{"name": "Z", "wear": "4 mm"}]}, ["bores.0.name"]),
        ({"bores": [{"name": "A", "wear": "3.004 mm"}]}, ["bores.0.wear"]),
        ({"bores": [{"name": "A", "wear": "4 mm"}, {"name": "A", "wear": "5 mm"}]}, ["bores.1.name"]),
        ({"work": [{"description": "x", "price": "1.00 USD"}]}, ["work.0.price"]),
        ({"nothing": 1}, ["nothing"]),
    ],
)
def test_a_wrong_variation_is_refused_at_its_path(changes: Any, paths: list[str]) -> None:
    with pytest.raises(DocumentError) as caught:
        ordered(**changes)
    assert [fault.path for fault in caught.value.faults] == paths


def test_without_a_rate_in_the_letter_a_price_is_due() -> None:
    found = estimate(job(), read_pricebook({"terms": {"more_wear": None}}))
    with pytest.raises(DocumentError) as caught:
        read_variation(MORE, found)
    assert [fault.path for fault in caught.value.faults] == ["bores.0.price"]


# ---------------------------------------------------------------- invoices


def frozen(*variations: Any) -> Any:
    lines = invoice("100001", FOUND, [], variations)
    return invoice_document(lines, "200001", QUOTED, FOUND, "2027-03-12", AskedInvoice())


def test_an_invoice_has_tax_by_rate_as_its_quote_and_a_day_when_it_is_due() -> None:
    found, price = frozen(), FOUND["price"]
    assert found["taxes"] == price["taxes"]
    assert [found[key] for key in ("before_tax", "tax", "total")] == [
        price[key] for key in ("before_tax", "tax", "total")
    ]
    assert (found["delivered_on"], found["due_on"]) == ("2027-03-12", "2027-04-11")  # 30 days, as the terms say


def test_a_variation_is_taxed_with_the_work() -> None:
    one = variation_document(ordered(), "1", QUOTED, "2027-03-09") | {"approved_by": "J. Alder"}
    found = frozen(one)
    high = Decimal(FOUND["price"]["taxes"][0]["before_tax"]) + Decimal("179.80")
    due = (high * Decimal("0.19")).quantize(Decimal("0.01"), ROUND_HALF_UP)
    assert found["taxes"][0] == {"tax_fraction": 0.19, "before_tax": f"{high}", "tax": f"{due}"}
    assert frozen(one | {"approved_by": None}) == frozen()


def test_a_credit_note_turns_every_amount_round() -> None:
    found = frozen()
    note = credit_note(found, "200002", "2027-03-14")
    assert (note["cancels"], note["number"], note["due_on"]) == ("200001", "200002", None)
    for key in ("before_tax", "tax", "total"):
        assert Decimal(note[key]) == -Decimal(found[key])
    assert sum(Decimal(line["price"]) for line in note["lines"]) == Decimal(note["before_tax"])
    for line in note["lines"]:
        assert Decimal(str(line["quantity"])) * Decimal(line["unit_price"]) == Decimal(line["price"])


def test_work_is_not_invoiced_before_it_is_done() -> None:
    lines = invoice("100001", FOUND, [])
    with pytest.raises(DocumentError) as caught:
        invoice_document(lines, "200001", QUOTED, FOUND, "2027-03-12", AskedInvoice(delivered="2027-03-13"))
    assert [fault.path for fault in caught.value.faults] == ["delivered"]
