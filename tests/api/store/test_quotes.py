"""The life of a quote: states and their order, numbers, and that what was issued stays as it is."""

import hashlib
import json
from typing import Any

import pytest
import sqlalchemy as sa
from sqlalchemy.exc import DatabaseError
from starlette.testclient import TestClient

from api.describe.examples import JOBS
from api.store.engine import Store
from api.store.papers import explanations_of
from api.store.quotes import find_paper
from estimator.book.pricebook import builtin_document, read_pricebook
from estimator.estimate import estimate
from estimator.strict import sha256
from tests.api.service import job
from tests.api.store.test_jobs import add, faults

STEPS = ("issue", "accept", "decline", "revise")
ALLOWED = {
    "draft": {"issue"}, "issued": {"accept", "decline", "revise"}, "accepted": {"revise"}, "declined": {"revise"},
    "superseded": set[str](), "expired": {"revise"},
}  # fmt: skip


def draft(shop: TestClient, number: int) -> str:
    """Draft a quote of a job; return its number."""
    found: str = shop.post(f"/api/jobs/{number}/quotes").json()["number"]
    return found


def step(shop: TestClient, quote: str, word: str) -> dict[str, Any]:
    """Bring a quote on, which must be allowed; return what is answered."""
    reply = shop.post(f"/api/quotes/{quote}/{word}")
    assert reply.status_code == (201 if word == "revise" else 200), reply.text
    found: dict[str, Any] = reply.json()
    return found


def overdue(store: Store, quote: str) -> None:
    """Let a quote have been valid until yesterday, past what guards it."""
    text = "UPDATE quotes SET valid_until = '2026-01-01T00:00:00.000000Z' WHERE number = :number"
    with store.writing() as session:
        line = session.connection()
        if store.address.shared:
            line.execute(sa.text("ALTER TABLE quotes DISABLE TRIGGER USER"))
            line.execute(sa.text(text), {"number": int(quote)})
            line.execute(sa.text("ALTER TABLE quotes ENABLE TRIGGER USER"))
            return
        guard = line.scalar(sa.text("SELECT sql FROM sqlite_master WHERE name = 'quotes_no_update'"))
        line.execute(sa.text("DROP TRIGGER quotes_no_update"))
        line.execute(sa.text(text), {"number": int(quote)})
        line.exec_driver_sql(str(guard))


def in_state(shop: TestClient, store: Store, state: str) -> str:
    """Return a quote in a state."""
    quote = draft(shop, add(shop))
    if state != "draft":
        step(shop, quote, "issue")
    if state in {"accepted", "declined"}:
        step(shop, quote, state.removesuffix("ed").removesuffix("e") + ("e" if state == "declined" else ""))
    if state == "superseded":
        step(shop, step(shop, quote, "revise")["number"], "issue")
    if state == "expired":
        overdue(store, quote)
    return quote


@pytest.mark.parametrize("state", sorted(ALLOWED))
def test_a_state_allows_its_steps_and_says_so_of_others(shop: TestClient, store: Store, state: str) -> None:
    quote = in_state(shop, store, state)
    for word in sorted({*STEPS} - ALLOWED[state]):
        reply = shop.post(f"/api/quotes/{quote}/{word}")
        assert faults(reply, 409) == [""]
        assert f"{quote} is {state}" in reply.json()["detail"]
        assert shop.get(f"/api/quotes/{quote}").json()["state"] == state
    for count, word in enumerate(sorted(ALLOWED[state])):
        quote = in_state(shop, store, state) if count else quote
        reply = shop.post(f"/api/quotes/{quote}/{word}")
        assert reply.status_code == (201 if word == "revise" else 200), (word, reply.text)


def test_a_draft_is_the_estimate_and_issuing_dates_it(shop: TestClient) -> None:
    number = add(shop)
    quote = draft(shop, number)
    drafted = shop.get(f"/api/quotes/{quote}").json()
    assert drafted["estimate"] == json.loads(json.dumps(estimate(job(), read_pricebook(), "full")))
    assert (drafted["sha256"], drafted["issued_at"], drafted["valid_until"]) == (None, None, None)
    issued = step(shop, quote, "issue")
    assert issued["sha256"] == sha256(issued["estimate"])
    assert issued["valid_until"][:10] > issued["issued_at"][:10]
    assert {**issued, "state": "accepted"} == {**step(shop, quote, "accept"), "settled_at": None}
    assert shop.get(f"/api/jobs/{number}").json()["state"] == "accepted"


def test_a_revision_is_of_the_job_as_it_stands_and_supersedes(shop: TestClient) -> None:
    number = add(shop)
    first = draft(shop, number)
    step(shop, first, "issue")
    changed = job() | {"site": {"distance": "400 km"}}
    shop.put(f"/api/jobs/{number}", json=changed, headers={"If-Match": '"1"'})
    second, third = (step(shop, first, "revise") for _ in range(2))
    assert (second["revision"], second["revises"], second["job_revision"]) == (2, first, 2)
    assert float(second["total"]) > float(shop.get(f"/api/quotes/{first}").json()["total"])
    assert shop.get(f"/api/quotes/{first}").json()["state"] == "issued"
    step(shop, second["number"], "issue")
    assert shop.get(f"/api/quotes/{first}").json()["state"] == "superseded"
    late = shop.post(f"/api/quotes/{third['number']}/issue")
    assert faults(late, 409) == [""]
    assert f"revise {second['number']}" in late.json()["detail"]
    items = shop.get(f"/api/jobs/{number}/quotes").json()["items"]
    assert [item["number"] for item in items] == [third["number"], second["number"], first]


def test_what_was_issued_is_the_same_bytes_after_an_upgrade(
    shop: TestClient, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop.put("/api/pricebooks/north", json={"rates": {"labour_on_site": "99.00 EUR/h"}})
    number = shop.post("/api/jobs?pricebook=north", json=job()).json()["id"]
    quote = draft(shop, number)
    step(shop, quote, "issue")
    paths = (f"/api/quotes/{quote}", f"/api/quotes/{quote}.xlsx")
    before = [shop.get(path).content for path in paths]
    with store.reading() as session:
        paper = find_paper(session, int(quote))
    shop.put(f"/api/jobs/{number}", json=job(length="60 mm"), headers={"If-Match": "*"})
    shop.delete("/api/pricebooks/north", headers={"If-Match": "*"})
    monkeypatch.setattr("api.work.drawn_up.estimate", lambda *_: {"engine": "another"})
    monkeypatch.setattr("api.work.tasks.workbooks_of", lambda *_: (b"", b""))
    monkeypatch.setattr("exports.workbook.MADE", None)
    assert [shop.get(path).content for path in paths] == before
    assert paper.estimate.encode() in before[0]
    assert json.loads(paper.pricebook) == {**builtin_document(), "rates": json.loads(paper.pricebook)["rates"]}
    assert json.loads(paper.job) == job()
    assert hashlib.sha256(before[1]).digest() == hashlib.sha256(paper.workbook or b"").digest()
    assert len(paper.tables_sha256) == 64


def test_every_figure_of_a_quote_is_explained_for_good(shop: TestClient, store: Store) -> None:
    quote = draft(shop, add(shop))
    with store.reading() as session:
        paper = find_paper(session, int(quote))
    found, steps = explanations_of(paper)["figures"], explanations_of(paper)["steps"]
    said = json.loads(paper.estimate)
    assert steps[found["bores.0.buildup.deposit_mass_kg"] - 1]["formula"]
    assert f"{steps[found['price.before_tax'] - 1]['value']}" == said["price"]["before_tax"]
    assert all(item["step"] < one["step"] for one in steps for item in one["inputs"] if "step" in item)


@pytest.mark.parametrize(
    "text",
    [
        "UPDATE papers SET estimate = '{}'", "DELETE FROM papers", "UPDATE audit SET actor = 'nobody'",
        "DELETE FROM audit",
    ],
)  # fmt: skip
def test_the_database_itself_refuses_to_change_what_was_issued_or_noted(
    shop: TestClient, store: Store, text: str
) -> None:
    quote = draft(shop, add(shop))
    step(shop, quote, "issue")
    with pytest.raises(DatabaseError, match="never changed"), store.engine.begin() as connection:
        connection.execute(sa.text(text))
    assert step(shop, quote, "accept")["state"] == "accepted"


def test_each_deed_is_noted_once_with_who_did_it(shop: TestClient) -> None:
    quote = draft(shop, add(shop))
    for word in ("issue", "accept"):
        step(shop, quote, word)
        shop.post(f"/api/quotes/{quote}/{word}")
    found = shop.get("/api/audit").json()["items"]
    assert [(one["actor"], one["action"], one["subject"]) for one in found] == [
        ("loopback", "quote accepted", f"quote {quote}"),
        ("loopback", "quote issued", f"quote {quote}"),
        ("loopback", "quote drafted", f"quote {quote}"),
        ("loopback", "job stored", "job 1"),
    ]
    page = shop.get(f"/api/audit?subject=quote+{quote}&limit=2").json()
    assert page["items"] == found[:2]
    assert shop.get(f"/api/audit?subject=quote+{quote}&after={page['next']}").json()["items"] == found[2:3]


def test_a_body_is_empty_or_an_empty_object(stand: TestClient) -> None:
    number = add(stand)
    assert stand.post(f"/api/jobs/{number}/quotes", json={}).status_code == 201
    assert faults(stand.post(f"/api/jobs/{number}/quotes", json={"spread": 5}), 422) == ["spread"]
    assert faults(stand.post(f"/api/jobs/{number}/quotes", json=[]), 422) == [""]
    assert faults(stand.post(f"/api/jobs/{number}/quotes?spread=5"), 422) == ["spread"]
    assert stand.post(f"/api/jobs/{number}/quotes", content=b"x").status_code == 415


@pytest.mark.parametrize("number", ["1", "x", "0100001", "100001.5", f"{9**30}", "100001.xlsx.xlsx"])
def test_a_quote_that_is_not_there_is_404(stand: TestClient, number: str) -> None:
    draft(stand, add(stand))
    assert stand.get(f"/api/quotes/{number}").status_code == 404
    assert stand.get(f"/api/quotes/{number}.xlsx").status_code == 404
    assert stand.post(f"/api/quotes/{number}/issue").status_code == 404


def test_a_budget_price_is_issued_as_one_and_never_accepted(shop: TestClient) -> None:
    job_of = shop.post("/api/jobs", json=JOBS["quick"]["value"]).json()["id"]
    number = draft(shop, job_of)
    for body in (None, {}, {"budget": False}):
        assert faults(shop.post(f"/api/quotes/{number}/issue", json=body), 409) == [""]
    assert faults(shop.post(f"/api/quotes/{number}/issue", json={"budget": 1}), 422) == ["budget"]
    assert faults(shop.post(f"/api/quotes/{number}/issue", json={"other": True}), 422) == ["other"]
    assert shop.post(f"/api/quotes/{number}/issue", json={"budget": True}).status_code == 200
    assert faults(shop.post(f"/api/quotes/{number}/accept"), 409) == [""]
    assert shop.post(f"/api/quotes/{number}/decline").status_code == 200
