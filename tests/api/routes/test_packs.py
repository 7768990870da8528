"""The work pack of a quote by REST: from the estimate that was stored; on the page of the quote for every role."""

import pytest
from starlette.testclient import TestClient

from tests.api.service import PDF
from tests.api.store.test_jobs import add, faults
from tests.api.store.test_quotes import draft, step
from tests.exports.papers.printed import said


@pytest.mark.office
def test_a_quote_has_a_pack_that_names_it(shop: TestClient) -> None:
    quote = draft(shop, add(shop))
    reply = shop.get(f"/api/quotes/{quote}/pack.pdf")
    assert (reply.status_code, reply.headers["content-type"]) == (200, PDF), reply.text
    assert reply.headers["content-disposition"] == f'attachment; filename="pack-{quote}.pdf"'
    assert f"{quote}, revision 1, a draft" in said(reply.content)
    issued = step(shop, quote, "issue")
    packs = [shop.get(f"/api/quotes/{quote}/pack.pdf").content for _ in range(2)]
    assert packs[0] == packs[1]
    text = said(packs[0])
    assert f"{quote}, revision 1" in text and "a draft" not in text and issued["issued_at"][:10] in text


@pytest.mark.parametrize(("path", "status", "at"), [("999", 404, ""), ("x", 404, "")])
def test_what_is_not_there_is_404(shop: TestClient, path: str, status: int, at: str) -> None:
    assert faults(shop.get(f"/api/quotes/{path}/pack.pdf"), status) == [at]


def test_a_pack_takes_no_parameter(shop: TestClient) -> None:
    quote = draft(shop, add(shop))
    assert faults(shop.get(f"/api/quotes/{quote}/pack.pdf?language=de"), 422) == ["language"]


def test_the_page_of_a_quote_leads_to_its_pack(shop: TestClient) -> None:
    quote = draft(shop, add(shop))
    assert f'href="/api/quotes/{quote}/pack.pdf"' in shop.get(f"/quotes/{quote}").text
