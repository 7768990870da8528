"""The diary: accepted quotes on days, nobody and no rig twice, days off kept; on both databases."""

import threading
from typing import Any

import pytest
from starlette.testclient import TestClient

from api.store.engine import Store
from api.store.week import Week
from tests.api.conftest import client_of
from tests.api.store.test_jobs import Any_, add, faults
from tests.api.store.test_quotes import draft, step
from tests.jobs import bore
from tests.jobs import job as job_of

MONDAY, TUESDAY, FRIDAY = "2027-03-08", "2027-03-09", "2027-03-12"
TWO_DAYS = job_of(bore(), bore(name="B", length="85 mm"))  # of ten hours each


def accepted(shop: TestClient, **changes: object) -> str:
    """Return an accepted quote of a job of a day."""
    return accepted_of(shop, add(shop, **changes))


def accepted_of(shop: TestClient, number: int) -> str:
    quote = draft(shop, number)
    step(shop, quote, "issue")
    step(shop, quote, "accept")
    return quote


def put(shop: TestClient, quote: str, start: str, *names: str, **more: Any) -> Any_:
    said = {"start": start, **({"technicians": list(names)} if names else {}), **more}
    return shop.post(f"/api/quotes/{quote}/days", json=said)


def test_a_quote_is_placed_moved_and_taken_off(shop: TestClient) -> None:
    quote = accepted(shop, customer={"name": "Oakmoor Quarry"})
    assert [one["number"] for one in shop.get("/api/diary").json()["waiting"]] == [quote]
    made = put(shop, quote, MONDAY, "Anna")
    assert (made.status_code, made.json()["technicians"], made.json()["new"]) == (201, ["Anna"], ["Anna"])
    found = shop.get(f"/api/diary?from={MONDAY}&until={FRIDAY}").json()
    assert found["waiting"] == []
    assert [(one["number"], one["days"][0]["date"], one["customer"]) for one in found["items"]] == [
        (quote, MONDAY, "Oakmoor Quarry")
    ]
    moved = put(shop, quote, TUESDAY, "anna")
    assert (moved.status_code, moved.json()["start"], moved.json()["new"]) == (200, TUESDAY, [])
    assert moved.json()["moved"] is True
    assert shop.delete(f"/api/quotes/{quote}/days").status_code == 204
    assert shop.get(f"/api/diary?from={MONDAY}&until={FRIDAY}").json()["items"] == []
    assert shop.delete(f"/api/quotes/{quote}/days").status_code == 404
    deeds = [one["action"] for one in shop.get("/api/audit").json()["items"]]
    assert deeds[:4] == ["quote taken off its days", "quote placed", "quote placed", "technician added"]


def test_nobody_and_no_rig_is_booked_twice(shop: TestClient) -> None:
    shop.post("/api/diary/names", json={"kind": "rig", "name": "Rig 1"})
    one, other = accepted(shop), accepted(shop)
    assert put(shop, one, MONDAY, "Anna", rigs=["Rig 1"]).status_code == 201
    reply = put(shop, other, MONDAY, "Ben", "Anna")
    assert faults(reply, 409) == ["technicians.1"]
    assert reply.json()["errors"][0]["message"] == f"Anna is at quote {one} on {MONDAY}"
    assert faults(put(shop, other, MONDAY, "Ben", rigs=["Rig 1"]), 409) == ["rigs.0"]
    assert faults(put(shop, other, MONDAY, "Ben"), 409) == ["rigs", "rigs.0"]  # there is but the one
    assert put(shop, other, TUESDAY, "Anna").json()["rigs"] == ["Rig 1"]
    assert shop.get("/api/diary").json()["technicians"] == ["Anna"]  # who was refused was not taken on


def test_days_off_and_days_of_work_are_kept(shop: TestClient) -> None:
    quote = accepted_of(shop, shop.post("/api/jobs", json=TWO_DAYS).json()["id"])
    assert faults(put(shop, quote, "2027-03-07", "Anna"), 409) == ["start"]  # a Sunday
    shop.post("/api/diary/days-off", json={"date": MONDAY, "name": "fair"})
    assert "fair" in put(shop, quote, MONDAY, "Anna").json()["detail"]
    days = put(shop, quote, "2027-03-05", "Anna").json()["days"]
    assert [one["date"] for one in days] == ["2027-03-05", TUESDAY]  # over a week's end and a day off
    standing = shop.post("/api/diary/days-off", json={"date": TUESDAY, "name": "flood"}).json()["standing"]
    assert standing == [quote]
    assert shop.delete(f"/api/diary/days-off/{TUESDAY}").status_code == 204
    assert shop.delete(f"/api/diary/days-off/{TUESDAY}").status_code == 404


def test_only_what_is_accepted_is_placed(shop: TestClient) -> None:
    quote = draft(shop, add(shop))
    assert faults(put(shop, quote, MONDAY, "Anna"), 409) == [""]
    assert faults(put(shop, "999", MONDAY, "Anna"), 404) == [""]
    assert faults(put(shop, quote, "8 March"), 422) == ["start"]
    assert faults(shop.post(f"/api/quotes/{quote}/days", json={"start": MONDAY, "technician": ["A"]}), 422) == [
        "technician"
    ]
    assert faults(shop.get("/api/diary?from=8.3."), 422) == ["from"]
    assert faults(shop.get(f"/api/diary?from={FRIDAY}&until={MONDAY}"), 422) == ["until"]


def test_a_draft_is_told_its_earliest_start_and_who_goes_near(shop: TestClient) -> None:
    site = {"distance": "30 km", "address": "North face"}
    there = accepted(shop, site=site, reference="N-1")
    put(shop, there, MONDAY, "Anna")
    other = draft(shop, add(shop, site={"distance": "25 km"}))
    found = shop.get(f"/api/quotes/{other}/days?from={MONDAY}").json()
    assert (found["placed"], found["days"], found["earliest"]["start"]) == (None, 1, TUESDAY)
    assert found["earliest"]["technicians"] == ["Anna"]
    assert [one["basis"] for one in found["nearby"]] == [
        "as far away, 25 and 30 km; whether in the same direction is not known"
    ]
    same = shop.get(f"/api/quotes/{draft(shop, add(shop, site=site))}/days?from={MONDAY}").json()["nearby"]
    assert [(one["number"], one["basis"]) for one in same] == [(there, "same site")]


def test_the_next_free_week_is_one_that_somebody_has_whole(shop: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("api.routes.diary.today", lambda: MONDAY)
    assert shop.get("/api/diary").json()["next_free_week"] is None  # nobody is known
    put(shop, accepted(shop), FRIDAY, "Anna")
    assert shop.get("/api/diary").json()["next_free_week"] == {"start": "2027-03-15", "technicians": ["Anna"]}
    shop.post("/api/diary/names", json={"kind": "technician", "name": "Ben"})
    assert shop.get("/api/diary").json()["next_free_week"] == {"start": MONDAY, "technicians": ["Ben"]}


def test_who_has_days_ahead_does_not_go(shop: TestClient) -> None:
    quote = accepted(shop)
    put(shop, quote, MONDAY, "Anna")
    assert faults(shop.delete("/api/diary/names/technician/anna"), 409) == [""]
    shop.delete(f"/api/quotes/{quote}/days")
    assert shop.delete("/api/diary/names/technician/anna").status_code == 204
    assert shop.delete("/api/diary/names/technician/anna").status_code == 404
    assert shop.delete("/api/diary/names/technician/%00").status_code == 404


def test_a_revised_quote_takes_its_days_over(shop: TestClient) -> None:
    quote = accepted(shop)
    put(shop, quote, MONDAY, "Anna")
    again = step(shop, quote, "revise")["number"]
    step(shop, again, "issue")
    step(shop, again, "accept")
    assert put(shop, again, MONDAY, "Anna").status_code == 201
    assert [one["number"] for one in shop.get(f"/api/diary?from={MONDAY}").json()["items"]] == [again]


def test_of_two_at_once_one_gets_the_day(shop: TestClient, store: Store) -> None:
    quotes = [accepted(shop), accepted(shop)]
    shop.post("/api/diary/names", json={"kind": "technician", "name": "Anna"})
    said = list[int]()

    def ask(quote: str) -> None:
        with client_of(store) as mine:
            said.append(put(mine, quote, MONDAY, "Anna").status_code)

    threads = [threading.Thread(target=ask, args=(quote,)) for quote in quotes]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert sorted(said) == [201, 409]


def test_the_same_request_is_done_once(shop: TestClient) -> None:
    quote, sent = accepted(shop), {"start": MONDAY, "technicians": ["Anna"]}
    one, two = (shop.post(f"/api/quotes/{quote}/days", json=sent, headers={"Idempotency-Key": "k"}) for _ in range(2))
    assert (one.status_code, one.json()) == (two.status_code, two.json())


def test_no_week_without_a_day_of_work_is_looked_through_for_ever() -> None:
    week = Week(("Mon",), {})
    assert week.taken_by(MONDAY, 2) == [MONDAY, "2027-03-15"]
    assert week.off(TUESDAY) == "Tue 2027-03-09 is no day of work (Mon are)"
