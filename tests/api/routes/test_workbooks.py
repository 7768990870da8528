"""The workbooks of a quote by REST: the shop's unless asked, the customer's frozen as the quote is issued."""

import io

import openpyxl
import pytest
from starlette.testclient import TestClient

from tests.api.service import WORKBOOK
from tests.api.store.test_jobs import add, faults
from tests.api.store.test_quotes import draft, step


def book(shop: TestClient, quote: str, asked: str = "") -> bytes:
    reply = shop.get(f"/api/quotes/{quote}.xlsx{asked}")
    assert (reply.status_code, reply.headers["content-type"]) == (200, WORKBOOK), reply.text
    return reply.content


def sheets(data: bytes) -> list[str]:
    return openpyxl.load_workbook(io.BytesIO(data), read_only=True).sheetnames


def test_the_shops_is_given_unless_the_customers_is_asked_for(shop: TestClient) -> None:
    quote = draft(shop, add(shop))
    assert book(shop, quote) == book(shop, quote, "?for=shop")
    assert "Inputs" in sheets(book(shop, quote))
    assert sheets(book(shop, quote, "?for=customer")) == ["Quote", "Sizes", "Readings"]
    reply = shop.get(f"/api/quotes/{quote}.xlsx?for=customer")
    assert reply.headers["content-disposition"] == f'attachment; filename="quote-{quote}-customer.xlsx"'


def test_the_customers_of_an_issued_quote_is_frozen_and_bears_its_number(
    shop: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    quote = draft(shop, add(shop))
    step(shop, quote, "issue")
    monkeypatch.setattr("api.work.tasks.customer_book_of", lambda *_: b"made anew")
    data = book(shop, quote, "?for=customer")
    page = openpyxl.load_workbook(io.BytesIO(data)).worksheets[0]
    assert page["A1"].value == f"Quote {quote}"


def test_for_whom_nobody_knows_is_refused(shop: TestClient) -> None:
    quote = draft(shop, add(shop))
    assert faults(shop.get(f"/api/quotes/{quote}.xlsx?for=nobody"), 422) == ["for"]


def test_the_page_of_a_quote_leads_to_both(shop: TestClient) -> None:
    quote = draft(shop, add(shop))
    page = shop.get(f"/quotes/{quote}").text
    assert all(f'href="/api/quotes/{quote}.xlsx{asked}"' in page for asked in ("", "?for=customer"))
