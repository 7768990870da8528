"""Jobs: revisions over a known one, idempotency keys, pages, search, removal; on both databases."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from starlette.testclient import TestClient

from api.store import replays
from api.store.engine import Store
from tests.api.service import job, refused_job

Any_ = Any  # the test client's own type


def faults(reply: Any_, status: int) -> list[str]:
    """Return the paths of a problem's faults."""
    assert (reply.status_code, reply.headers["content-type"]) == (status, "application/problem+json"), reply.text
    return [error["path"] for error in reply.json()["errors"]]


def add(shop: TestClient, **changes: object) -> int:
    """Store a job with some keys changed; return its number."""
    number: int = shop.post("/api/jobs", json=job() | changes).json()["id"]
    return number


# ---------------------------------------------------------------- revisions


def test_a_job_is_kept_as_it_was_sent(shop: TestClient) -> None:
    sent = job() | {"customer": {"name": "Brüder Ω quarry"}, "title": "Pin"}
    made = shop.post("/api/jobs", json=sent)
    assert made.status_code == 201
    assert made.headers["location"] == f"/api/jobs/{made.json()['id']}"
    read = shop.get(made.headers["location"])
    assert read.json() == made.json()
    assert (read.json()["job"], read.json()["revision"]) == (sent, 1)
    assert list(read.json()["job"]) == list(sent)
    assert read.headers["etag"] == made.headers["etag"]


def test_a_job_that_must_not_be_welded_is_kept_and_not_quoted(shop: TestClient) -> None:
    number = shop.post("/api/jobs", json=refused_job()).json()["id"]
    assert faults(shop.post(f"/api/jobs/{number}/quotes"), 409)[0].startswith("bores.0")
    assert shop.get(f"/api/jobs/{number}/quotes").json() == {"items": [], "next": None}


def test_a_wrong_job_is_not_kept(shop: TestClient) -> None:
    assert faults(shop.post("/api/jobs", json=job(length=70)), 422) == ["bores.0.length"]
    assert shop.get("/api/jobs").json()["items"] == []


def test_only_who_knows_the_revision_changes_it(shop: TestClient) -> None:
    number = add(shop)
    path, tag = f"/api/jobs/{number}", '"1"'
    assert faults(shop.put(path, json=job()), 428) == []
    for other in ('"2"', 'W/"1"', "1", '"1', ""):
        assert faults(shop.put(path, json=job(), headers={"If-Match": other}), 412) == ["If-Match"]
    assert faults(shop.put(path, json={}, headers={"If-Match": tag}), 422) == ["reference", "bores"]
    changed = shop.put(path, json=job() | {"title": "new"}, headers={"If-Match": f'"7", {tag}'})
    assert (changed.status_code, changed.json()["revision"], changed.headers["etag"]) == (200, 2, '"2"')
    assert faults(shop.put(path, json=job(), headers={"If-Match": tag}), 412) == ["If-Match"]
    assert "title" not in shop.get(f"{path}?revision=1").json()["job"]
    assert shop.get(f"{path}?revision=3").status_code == 404
    assert shop.put(path, json=job(), headers={"If-Match": "*"}).json()["revision"] == 3


@pytest.mark.parametrize("path", ["/api/jobs/700", "/api/jobs/x", "/api/jobs/0", f"/api/jobs/{9**30}", "/api/jobs/1e3"])
def test_a_job_that_is_not_there_is_404_before_anything_else(stand: TestClient, path: str) -> None:
    assert stand.get(path).status_code == 404
    assert stand.put(path, json={}).status_code == 404
    assert stand.delete(path).status_code == 404
    assert stand.post(f"{path}/quotes").status_code == 404


def test_a_job_is_removed_with_its_drafts_and_never_with_what_was_issued(shop: TestClient) -> None:
    number = add(shop)
    shop.post(f"/api/jobs/{number}/quotes")
    assert faults(shop.delete(f"/api/jobs/{number}"), 428) == []
    assert faults(shop.delete(f"/api/jobs/{number}", headers={"If-Match": '"9"'}), 412) == ["If-Match"]
    assert shop.delete(f"/api/jobs/{number}", headers={"If-Match": '"1"'}).status_code == 204
    assert shop.get("/api/quotes").json()["items"] == []
    other = add(shop)
    assert other > number
    quote = shop.post(f"/api/jobs/{other}/quotes").json()["number"]
    assert int(quote) == 100002
    shop.post(f"/api/quotes/{quote}/issue")
    assert faults(shop.delete(f"/api/jobs/{other}", headers={"If-Match": "*"}), 409) == [""]
    assert shop.get(f"/api/jobs/{other}").status_code == 200


# ---------------------------------------------------------------- idempotency keys


def test_a_replay_answers_as_the_first_time(shop: TestClient) -> None:
    first, second = (shop.post("/api/jobs", json=job(), headers={"Idempotency-Key": "k 1"}) for _ in range(2))
    assert (first.content, first.status_code) == (second.content, second.status_code)
    assert second.headers["idempotent-replayed"] == "true"
    assert first.headers["etag"] == second.headers["etag"]
    assert len(shop.get("/api/jobs").json()["items"]) == 1
    path = f"/api/jobs/{first.json()['id']}/quotes"
    drafts = [shop.post(path, headers={"Idempotency-Key": "q"}) for _ in range(2)]
    assert drafts[0].content == drafts[1].content
    assert shop.post(path).json()["number"] != drafts[0].json()["number"]


def test_a_key_stands_for_one_request(shop: TestClient) -> None:
    key = {"Idempotency-Key": "k"}
    number = shop.post("/api/jobs", json=job(), headers=key).json()["id"]
    assert faults(shop.post("/api/jobs", json=job() | {"title": "x"}, headers=key), 422) == ["Idempotency-Key"]
    assert faults(shop.post(f"/api/jobs/{number}/quotes", headers=key), 422) == ["Idempotency-Key"]
    for odd in ("", "x" * 201, "\u00e9"):
        raw = [(b"idempotency-key", odd.encode())]
        assert faults(shop.post("/api/jobs", json=job(), headers=raw), 422) == ["Idempotency-Key"]


def test_what_was_refused_may_be_put_right_under_the_same_key(shop: TestClient) -> None:
    key = {"Idempotency-Key": "k"}
    assert shop.post("/api/jobs", json=job(length=70), headers=key).status_code == 422
    assert shop.post("/api/jobs", json=job(), headers=key).status_code == 201


def test_a_key_is_kept_for_a_day(shop: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    key = {"Idempotency-Key": "k"}
    first = shop.post("/api/jobs", json=job(), headers=key).json()["id"]
    for hours, same in ((23.9, True), (24.1, False)):
        moment = (datetime.now(UTC) + timedelta(hours=hours)).isoformat(timespec="microseconds")
        monkeypatch.setattr(replays, "now", lambda at=moment: at.replace("+00:00", "Z"))
        assert (shop.post("/api/jobs", json=job(), headers=key).json()["id"] == first) is same


# ---------------------------------------------------------------- lists


def test_pages_hold_everything_once_whatever_comes_meanwhile(shop: TestClient) -> None:
    numbers = [add(shop) for _ in range(7)]
    seen, after = list[int](), ""
    while True:
        page = shop.get(f"/api/jobs?limit=3{after}").json()
        seen += [item["id"] for item in page["items"]]
        add(shop)
        if page["next"] is None:
            break
        after = f"&after={page['next']}"
    assert seen == numbers[::-1]


def test_search_looks_at_reference_title_customer_and_machine(shop: TestClient) -> None:
    machine = {"description": "Wheel loader 100%_new"}
    one = add(shop, reference="K-204", customer={"name": "STRASSE & Söhne"}, equipment=machine)
    other = add(shop, reference="K-2041", title="Boom foot")

    def found(words: str, **more: str) -> list[int]:
        reply = shop.get("/api/jobs", params={"q": words, **more})
        return [item["id"] for item in reply.json()["items"]]

    assert found("k-204") == [other, one]
    assert found("straße söhne") == [one]
    assert found("SÖHNE loader") == [one]
    assert found("loader foot") == []
    assert found("100%_") == [one]
    assert found("%") == [one]
    assert found("_") == [one]
    assert found("boom") == [other]
    assert found("") == found("  ") == [other, one]
    row = shop.get("/api/jobs?q=strasse").json()["items"][0]
    assert (row["customer"], row["equipment"]) == ("STRASSE & Söhne", machine["description"])
    assert [item["customer"] for item in shop.get("/api/quotes?q=boom").json()["items"]] == []


def test_lists_are_narrowed_by_state_and_date(shop: TestClient) -> None:
    number, plain = add(shop), add(shop)
    quote = shop.post(f"/api/jobs/{number}/quotes").json()["number"]
    shop.post(f"/api/quotes/{quote}/issue")
    today, tomorrow = (str(datetime.now(UTC).date() + timedelta(days=days)) for days in (0, 1))

    def found(query: str) -> list[int]:
        return [item["id"] for item in shop.get(f"/api/jobs?{query}").json()["items"]]

    assert (found("state=issued"), found("state=new")) == ([number], [plain])
    assert found(f"since={today}") == found(f"until={today}") == [plain, number]
    assert found(f"since={tomorrow}") == found("until=2020-01-01T00:00:00%2B02:00") == []
    assert [item["number"] for item in shop.get(f"/api/quotes?state=issued&since={today}").json()["items"]] == [quote]


@pytest.mark.parametrize(
    ("query", "path"),
    [
        ("limit=0", "limit"), ("limit=501", "limit"), ("limit=x", "limit"), ("after=x", "after"), ("after=", "after"),
        ("state=lost", "state"), ("since=yesterday", "since"), ("until=2026-13-01", "until"), ("page=2", "page"),
        ("q=a&q=b", "q"), ("q=%00", "q"), (f"q={'x' * 201}", "q"), ("since=0001-01-01T00:00:00%2B14:00", "since"),
    ],
)  # fmt: skip
def test_a_list_refuses_what_it_does_not_know(stand: TestClient, query: str, path: str) -> None:
    assert faults(stand.get(f"/api/jobs?{query}"), 422) == [path]


def test_many_of_one_customer_are_one_customer(shop: TestClient, store: Store) -> None:
    for _ in range(3):
        add(shop, customer={"name": "x" * 2000}, equipment={"description": "y" * 2000})
    with store.reading() as session:
        connection = session.connection()
        for table in ("customers", "equipment"):
            assert connection.exec_driver_sql(f"SELECT count(*) FROM {table}").scalar() == 1


# ---------------------------------------------------------------- price books


def test_a_stored_price_book_is_used_by_its_name(shop: TestClient) -> None:
    book = {"rates": {"labour_on_site": "200.00 EUR/h"}}
    made = shop.put("/api/pricebooks/north", json=book)
    assert (made.status_code, made.headers["etag"], made.json()["pricebook"]) == (201, '"1"', book)
    usual, dear = (shop.post(f"/api/estimates{end}", json=job()).json() for end in ("", "?pricebook=north"))
    assert float(dear["price"]["total"]) > float(usual["price"]["total"])
    number = shop.post("/api/jobs?pricebook=north", json=job()).json()["id"]
    quote = shop.post(f"/api/jobs/{number}/quotes").json()
    assert (quote["pricebook"], quote["total"]) == ("north", dear["price"]["total"])
    path = f"/api/jobs/{number}"
    assert shop.put(path, json=job(), headers={"If-Match": "*"}).json()["pricebook"] == "north"
    assert shop.put(f"{path}?pricebook=", json=job(), headers={"If-Match": "*"}).json()["pricebook"] is None
    assert faults(shop.post("/api/estimates?pricebook=nort", json=job()), 422) == ["pricebook"]
    assert faults(shop.post("/api/estimates?pricebook=../north", json=job()), 422) == ["pricebook"]


def test_a_price_book_is_stored_over_by_who_read_it(shop: TestClient) -> None:
    path, book = "/api/pricebooks/north", {"crew": 3}
    assert faults(shop.put(path, json={"crew": "three"}), 422) == ["crew"]
    assert faults(shop.put(path, json=book, headers={"If-Match": '"1"'}), 412) == []
    assert shop.put(path, json=book).status_code == 201
    assert faults(shop.put(path, json=book), 428) == []
    assert faults(shop.put(path, json=book, headers={"If-Match": '"2"'}), 412) == ["If-Match"]
    assert shop.put(path, json=book, headers={"If-Match": '"1"'}).json()["revision"] == 2
    shop.put("/api/pricebooks/b", json={})
    assert [item["name"] for item in shop.get("/api/pricebooks").json()["items"]] == ["b", "north"]
    first = shop.get("/api/pricebooks?limit=1").json()
    assert first["next"] == "b"
    assert [item["name"] for item in shop.get("/api/pricebooks?after=b").json()["items"]] == ["north"]
    assert shop.delete(path, headers={"If-Match": '"2"'}).status_code == 204
    assert shop.get(path).status_code == 404


def test_a_name_that_no_database_takes_is_of_no_book(shop: TestClient) -> None:
    for name in ("%00", "a%00b"):
        assert shop.get(f"/api/pricebooks/{name}").status_code == 404
        assert shop.delete(f"/api/pricebooks/{name}", headers={"If-Match": "*"}).status_code == 404
        assert shop.put(f"/api/pricebooks/{name}", json={}).status_code == 404
        for path in ("/api/jobs?pricebook=", "/api/estimates?pricebook="):
            assert shop.post(path + name, json=job()).status_code == 422
        for path in ("/api/jobs?q=", "/?q=", "/api/audit?subject=", "/api/pricebooks?after=", "/api/quotes?state="):
            assert shop.get(path + name).status_code in {200, 422}
