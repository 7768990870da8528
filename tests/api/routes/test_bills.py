"""Invoices and variation orders by the routes: numbered without gaps, frozen, cancelled, printed."""

import json
import re
import threading
from decimal import Decimal
from typing import Any

import pytest
import sqlalchemy as sa
from sqlalchemy.exc import DatabaseError
from starlette.testclient import TestClient

from api.describe.examples import VARIATIONS
from api.store.engine import Store
from estimator.strict import sha256
from tests.api.routes.test_actuals import DAY, accepted
from tests.api.store.test_jobs import add, faults
from tests.api.store.test_quotes import draft
from tests.exports.papers.printed import said

MORE: dict[str, Any] = VARIATIONS["more wear"]["value"]


def invoiced(shop: TestClient, quote: str, **body: Any) -> dict[str, Any]:
    """Return an invoice that is made of a quote."""
    reply = shop.post(f"/api/quotes/{quote}/invoices", json=body)
    assert reply.status_code == 201, reply.text
    assert reply.headers["Location"] == f"/api/invoices/{reply.json()['number']}"
    found: dict[str, Any] = reply.json()
    return found


def offered(shop: TestClient, quote: str, **changes: Any) -> dict[str, Any]:
    """Return a variation order that is offered to a quote."""
    reply = shop.post(f"/api/quotes/{quote}/variations", json=MORE | changes)
    assert reply.status_code == 201, reply.text
    found: dict[str, Any] = reply.json()
    return found


def codes(invoice: dict[str, Any]) -> list[str]:
    return [line["code"] for line in invoice["invoice"]["lines"]]


def test_an_invoice_is_the_quote_with_what_was_ordered_and_approved(shop: TestClient) -> None:
    number, quote = accepted(shop)
    estimate = shop.get(f"/api/quotes/{quote}").json()["estimate"]
    shop.post(f"/api/jobs/{number}/actuals", json=DAY | {"quote": quote})
    for by in ("accept", "decline"):
        one = offered(shop, quote)
        path = f"/api/quotes/{quote}/variations/{one['number']}/{by}"
        assert shop.post(path, json={"by": "J. Alder", "how": "paper"}).status_code == 200
        assert faults(shop.post(path, json={"by": "J. Alder"}), 409) == [""]
    offered(shop, quote)
    found = invoiced(shop, quote)
    assert codes(found) == ["quoted", "variation", "standing", "variation"]
    lines = found["invoice"]["lines"]
    assert [line["approved_by"] for line in lines[1:]] == ["site foreman", "site foreman", "J. Alder"]
    assert lines[3]["description"].startswith("variation order 1: ")
    before = sum(Decimal(line["price"]) for line in lines)
    tax = (before * Decimal(str(estimate["price"]["rule"]["tax"]))).quantize(Decimal("0.01"))
    assert [found["invoice"][key] for key in ("before_tax", "tax", "total")] == [
        f"{before}", f"{tax}", f"{before + tax}",
    ]  # fmt: skip
    assert found["sha256"] == sha256(found["invoice"]) and found["invoice"]["purchase_order"] == "PO 7731"


def test_nothing_is_invoiced_twice_and_what_came_later_alone(shop: TestClient) -> None:
    _, quote = accepted(shop)
    first = invoiced(shop, quote)
    assert faults(shop.post(f"/api/quotes/{quote}/invoices"), 409) == [""]
    assert shop.get(f"/api/quotes/{quote}/invoice").json()["lines"] == []
    one = offered(shop, quote)
    shop.post(f"/api/quotes/{quote}/variations/{one['number']}/accept", json={"by": "A", "how": "phone"})
    second = invoiced(shop, quote)
    assert (codes(first), codes(second)) == (["quoted"], ["variation"])
    assert int(second["number"]) == int(first["number"]) + 1


def test_a_cancelled_invoice_is_turned_round_and_can_be_made_again(shop: TestClient) -> None:
    _, quote = accepted(shop)
    first = invoiced(shop, quote)
    reply = shop.post(f"/api/invoices/{first['number']}/cancel")
    assert reply.status_code == 201
    note = reply.json()
    assert (note["cancels"], note["total"]) == (first["number"], f"-{first['total']}")
    assert faults(shop.post(f"/api/invoices/{first['number']}/cancel"), 409) == [""]
    assert faults(shop.post(f"/api/invoices/{note['number']}/cancel"), 409) == [""]
    again = invoiced(shop, quote)
    assert again["total"] == first["total"] and codes(again) == codes(first)
    listed = shop.get(f"/api/quotes/{quote}/invoices").json()["items"]
    assert [one["number"] for one in listed] == [first["number"], note["number"], again["number"]]
    assert [one["number"] for one in shop.get("/api/invoices?limit=2").json()["items"]] == [
        again["number"], note["number"],
    ]  # fmt: skip


def test_only_an_accepted_quote_has_invoices_and_variations(shop: TestClient) -> None:
    quote = draft(shop, add(shop))
    for path, body in (("invoices", {}), ("variations", MORE)):
        assert faults(shop.post(f"/api/quotes/{quote}/{path}", json=body), 409) == [""]
        assert shop.post(f"/api/quotes/999/{path}", json=body).status_code == 404
    for path in ("/api/invoices/1", "/api/invoices/1.pdf", f"/api/quotes/{quote}/variations/1"):
        assert shop.get(path).status_code == 404
    assert faults(shop.post("/api/quotes/1/invoices", json={"delivered": "x"}), 404) == [""]


def test_the_day_of_the_work_lies_before_the_invoice_and_a_request_sent_twice_makes_one(shop: TestClient) -> None:
    _, quote = accepted(shop)
    path = f"/api/quotes/{quote}/invoices"
    assert faults(shop.post(path, json={"delivered": "2099-01-01"}), 422) == ["delivered"]
    replies = [shop.post(path, json={"delivered": "2026-03-09"}, headers={"Idempotency-Key": "k"}) for _ in range(2)]
    assert [reply.status_code for reply in replies] == [201, 201] and replies[0].content == replies[1].content
    found = replies[0].json()["invoice"]
    assert found["delivered_on"] == "2026-03-09" < found["issued_on"] < found["due_on"]
    assert len(shop.get("/api/invoices").json()["items"]) == 1


def test_numbers_have_no_gaps_whoever_asks_together_or_in_vain(shop: TestClient) -> None:
    quotes = [accepted(shop)[1] for _ in range(4)]
    made: list[int] = []

    def ask(quote: str) -> None:
        for body in ({"delivered": "2099-01-01"}, {}, {}):
            reply = shop.post(f"/api/quotes/{quote}/invoices", json=body)
            made.extend([int(reply.json()["number"])] if reply.status_code == 201 else [])

    threads = [threading.Thread(target=ask, args=(quote,)) for quote in quotes]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(made) == list(range(200001, 200005))


# ---------------------------------------------------------------- papers

FIELDS = (
    "Invoice 200001", "Number 200001", "Invoice date", "Work done by", "Due", "Quote 100001 of", "Our reference",
    "Repair of bore A", "Sum before tax", "VAT, 20 %", "Sum with tax", "Please pay", "Tax no.",
    "Payable within 30 days",
)  # fmt: skip


@pytest.mark.office
def test_an_invoice_on_paper_says_what_one_must_say_and_is_the_same_every_time(shop: TestClient) -> None:
    _, quote = accepted(shop)
    found = invoiced(shop, quote)
    replies = [shop.get("/api/invoices/200001.pdf") for _ in range(2)]
    assert replies[0].content == replies[1].content and replies[0].headers["Content-Type"] == "application/pdf"
    text = said(replies[0].content)
    assert [one for one in FIELDS if one not in text] == [] and f"{Decimal(found['total']):,}" in text
    assert "Rechnung 200001" in said(shop.get("/api/invoices/200001.pdf?language=de").content)
    assert faults(shop.get("/api/invoices/200001.pdf?language=xx"), 422) == ["language"]
    note = shop.post("/api/invoices/200001/cancel").json()
    paper = said(shop.get(f"/api/invoices/{note['number']}.pdf").content)
    assert "cancels invoice 200001" in paper and f"-{Decimal(found['total']):,}" in paper and "Please pay" not in paper


@pytest.mark.office
def test_a_variation_on_paper_has_before_after_cause_price_and_room_to_sign(shop: TestClient) -> None:
    _, quote = accepted(shop)
    one = offered(shop, quote)
    text = said(shop.get(f"/api/quotes/{quote}/variations/1.pdf").content)
    for part in (f"Variation order 1 to quote {quote}", "As quoted", "As found", "4.20", MORE["cause"], "Signature"):
        assert part in text
    assert f"We order variation 1 to quote {quote} at {Decimal(one['total']):,} EUR with tax" in text
    assert re.search(r"grease line moved 85\.00", text)


# ---------------------------------------------------------------- frozen

CHANGES = (
    *(
        f"UPDATE invoices SET {change}"
        for change in ("total = '1.00'", "number = 9", "document = '{}'", "sha256 = 'x'")
    ),
    "DELETE FROM invoices",
    "UPDATE variations SET total = '1.00'",
    "UPDATE variations SET state = 'offered'",
    "UPDATE variations SET state = 'declined' WHERE state = 'accepted'",
    "DELETE FROM variations",
)


def test_no_statement_changes_an_invoice_or_what_a_variation_says(shop: TestClient, store: Store) -> None:
    _, quote = accepted(shop)
    invoiced(shop, quote)
    one = offered(shop, quote)
    shop.post(f"/api/quotes/{quote}/variations/{one['number']}/accept", json={"by": "A"})
    kind = (
        "TRUNCATE invoices CASCADE"
        if store.address.shared
        else "INSERT OR REPLACE INTO invoices SELECT * FROM invoices"
    )
    for text in (*CHANGES, kind):
        with pytest.raises(DatabaseError, match="never changed"), store.engine.begin() as connection:
            connection.execute(sa.text(text))
    assert shop.get("/api/invoices/200001").status_code == 200


def test_what_was_altered_all_the_same_is_told(shop: TestClient, store: Store) -> None:
    if store.address.shared:
        return  # the file shows it; triggers of the other database are held above
    _, quote = accepted(shop)
    invoiced(shop, quote)
    with store.writing() as session:
        line = session.connection()
        line.execute(sa.text("DROP TRIGGER invoices_no_update"))
        line.execute(sa.text("UPDATE invoices SET document = replace(document, '\"EUR\"', '\"USD\"')"))
    for path in ("/api/invoices/200001", "/api/invoices/200001.pdf"):
        assert shop.get(path).json()["type"] == "urn:boreworth:problem:altered-quote"
    assert json.loads(shop.get("/api/invoices").content)["items"]


def test_what_was_invoiced_is_not_superseded_until_it_is_cancelled(shop: TestClient) -> None:
    _, quote = accepted(shop)
    made = invoiced(shop, quote)
    after = shop.post(f"/api/quotes/{quote}/revise").json()["number"]
    assert faults(shop.post(f"/api/quotes/{after}/issue"), 409) == [""]
    assert shop.post(f"/api/invoices/{made['number']}/cancel").status_code == 201
    assert shop.post(f"/api/quotes/{after}/issue").status_code == 200


def test_a_record_on_an_invoice_is_not_corrected_until_that_is_cancelled(shop: TestClient) -> None:
    number, quote = accepted(shop)
    path, sent = f"/api/jobs/{number}/actuals", DAY | {"quote": quote}
    first = shop.post(path, json=sent).json()["id"]
    made = invoiced(shop, quote)
    assert faults(shop.post(path, json=sent | {"replaces": first}), 409) == [""]
    shop.post(f"/api/invoices/{made['number']}/cancel")
    assert shop.post(path, json=sent | {"replaces": first, "variations": []}).status_code == 201
