"""The letter of a quote by REST: frozen as it is issued, in every language; a draft says that it is one."""

import json

import pytest
from starlette.testclient import TestClient

from api.store.engine import Store
from api.store.papers import kept_letters, letters_in
from api.store.quotes import find_paper, stored_letter
from tests.api.service import PDF
from tests.api.store.test_jobs import add, faults
from tests.api.store.test_quotes import draft, step
from tests.exports.papers.printed import said


def letter(shop: TestClient, quote: str, language: str = "") -> bytes:
    reply = shop.get(f"/api/quotes/{quote}.pdf" + (f"?language={language}" if language else ""))
    assert (reply.status_code, reply.headers["content-type"]) == (200, PDF), reply.text
    assert reply.headers["content-disposition"] == f'attachment; filename="quote-{quote}.pdf"'
    return reply.content


@pytest.mark.office
def test_a_draft_has_a_letter_that_says_so(shop: TestClient) -> None:
    quote = draft(shop, add(shop))
    paper = letter(shop, quote)
    assert paper == letter(shop, quote, "en")
    assert "DRAFT, not issued" in said(paper) and quote not in said(paper)


@pytest.mark.office
def test_an_issued_letter_is_frozen_with_number_and_dates(
    shop: TestClient, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    quote = draft(shop, add(shop))
    issued = step(shop, quote, "issue")
    monkeypatch.setattr("api.work.tasks.letter_of", lambda *_: b"made anew")
    papers = {language: letter(shop, quote, language) for language in ("en", "de")}
    with store.reading() as session:
        assert letters_in(find_paper(session, int(quote)).letters) == papers
    english, german = (said(papers[language]) for language in ("en", "de"))
    assert f"Quote {quote}" in english and f"Angebot {quote}" in german and "DRAFT" not in english
    day, until = (int(issued[key][8:10]) for key in ("issued_at", "valid_until"))
    assert f"Issued {day} " in english and f"Valid until {until} " in english
    step(shop, quote, "accept")
    assert letter(shop, quote) == papers["en"]


def test_a_quote_issued_before_letters_were_kept_has_one_all_the_same(
    shop: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("api.routes.quotes.kept_letters", lambda _: kept_letters({}))
    quote = draft(shop, add(shop))
    step(shop, quote, "issue")
    monkeypatch.setattr("api.work.tasks.letter_of", lambda *asked: json.dumps(asked[2][:2]).encode())
    assert json.loads(letter(shop, quote)) == [quote, 1]


@pytest.mark.parametrize(
    ("path", "status", "at"),
    [("999.pdf", 404, ""), ("x.pdf", 404, ""), ("{}.pdf?language=fr", 422, "language"), ("{}.pdf?x=1", 422, "x")],
)
def test_what_is_asked_wrongly_is_refused(shop: TestClient, path: str, status: int, at: str) -> None:
    quote = draft(shop, add(shop))
    assert faults(shop.get(f"/api/quotes/{path.format(quote)}"), status) == [at]


def test_the_page_of_a_quote_leads_to_its_letters(shop: TestClient) -> None:
    quote = draft(shop, add(shop))
    page = shop.get(f"/quotes/{quote}").text
    assert all(f'href="/api/quotes/{quote}.pdf?language={language}"' in page for language in ("en", "de"))


def test_letters_are_read_as_they_were_kept(store: Store, shop: TestClient) -> None:
    assert letters_in(None) == {}
    assert letters_in(kept_letters({"en": b"a", "../x": b"b"})) == {"en": b"a"}
    quote = draft(shop, add(shop))
    assert stored_letter(store, int(quote), "en")[0] is None
