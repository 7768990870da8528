"""Calibrations by the routes: what records teach, accepted by version, and what quotes are drawn up with."""

from typing import Any

from starlette.testclient import TestClient

from tests.api.routes.test_actuals import accepted
from tests.api.store.test_jobs import add, faults
from tests.api.store.test_quotes import draft

JOBS = 6


def recorded(shop: TestClient, slower: float, jobs: int = JOBS) -> None:
    """Record jobs whose set-up takes so many times what was expected, give or take."""
    number, quote = accepted(shop)
    time = shop.get(f"/api/quotes/{quote}").json()["estimate"]["bores"][0]["time"]
    for place in range(jobs):
        if place:
            number, quote = accepted(shop)
        taken = {"setup": time["setup_min"] * slower * (1 + 0.01 * (place % 3 - 1)), "finish": time["finish_min"]}
        bore = {"name": "A", **{name: f"{minutes} min" for name, minutes in taken.items()}}
        sent = {"quote": quote, "bores": [bore], "finished_at": f"2027-01-{place + 1:02d}", "crew": "north"}
        assert shop.post(f"/api/jobs/{number}/actuals", json=sent).status_code == 201


def test_records_teach_and_an_accepted_calibration_moves_new_quotes_alone(shop: TestClient) -> None:
    before = draft(shop, add(shop))
    first = shop.get(f"/api/quotes/{before}").json()
    recorded(shop, 1.4)
    found = shop.get("/api/calibration").json()
    (factor,) = found["factors"]
    assert (factor["element"], factor["group"], factor["jobs"]) == ("setup", "all", JOBS)
    assert 1.1 < factor["low"] < factor["ratio"] < 1.4
    assert (found["accepted"], found["jobs"]) == (None, JOBS)
    made = shop.post("/api/calibrations", json={"sha256": found["sha256"]})
    assert (made.status_code, made.json()["version"], made.headers["location"]) == (201, 1, "/api/calibrations/1")
    assert made.json()["calibration"]["factors"] == found["factors"]
    after = shop.get(f"/api/quotes/{draft(shop, add(shop))}").json()["estimate"]
    assert (after["calibration"]["version"], after["bores"][0]["calibrated"]) == (
        1,
        [{"element": "setup", "factor": factor["ratio"]}],
    )
    plain = first["estimate"]["bores"][0]["time"]["setup_min"]
    assert abs(after["bores"][0]["time"]["setup_min"] / plain - factor["ratio"]) < 1e-6
    assert shop.get(f"/api/quotes/{before}").json() == first
    actions = [one["action"] for one in shop.get("/api/audit").json()["items"]]
    assert actions.count("calibration accepted") == 1


def test_records_of_calibrated_quotes_teach_what_they_take_over_the_book(shop: TestClient) -> None:
    recorded(shop, 1.4)
    assert shop.post("/api/calibrations", json={}).status_code == 201
    one = shop.get("/api/calibration").json()["factors"][0]["ratio"]
    recorded(shop, 1.0)  # as expected by now: what was learnt stands
    two = shop.get("/api/calibration").json()["factors"][0]["ratio"]
    assert abs(two / one - 1) < 0.05


def test_another_calibration_than_was_read_is_not_accepted(shop: TestClient) -> None:
    read = shop.get("/api/calibration").json()["sha256"]
    recorded(shop, 1.4)
    assert faults(shop.post("/api/calibrations", json={"sha256": read}), 409) == [""]
    assert shop.get("/api/calibrations").json() == {"items": [], "next": None}


def test_an_earlier_calibration_or_the_book_alone_is_accepted_again(shop: TestClient) -> None:
    recorded(shop, 1.4)
    for body in ({}, {"book_alone": True}):
        assert shop.post("/api/calibrations", json=body).status_code == 201
    assert "calibration" not in shop.get(f"/api/quotes/{draft(shop, add(shop))}").json()["estimate"]
    assert shop.post("/api/calibrations", json={"version": 1}).json()["version"] == 3
    listed: Any = shop.get("/api/calibrations").json()["items"]
    assert [one["version"] for one in listed] == [3, 2, 1]
    assert listed[0]["sha256"] == listed[2]["sha256"] == shop.get("/api/calibrations/1").json()["sha256"]
    assert shop.get("/api/calibrations/9").status_code == 404
    assert faults(shop.post("/api/calibrations", json={"version": 9}), 422) == ["version"]


def test_what_is_asked_wrongly_is_said(shop: TestClient) -> None:
    assert faults(shop.post("/api/calibrations", json={"version": 1, "book_alone": True}), 422) == [""]
    assert faults(shop.post("/api/calibrations", json={"version": 0}), 422) == ["version"]
    assert faults(shop.post("/api/calibrations", json={"odd": 0}), 422) == ["odd"]
    assert faults(shop.post("/api/calibrations", json={"version": "1"}), 422) == ["version"]


def test_days_of_one_bore_add_up_and_a_record_sent_twice_is_asked_about(shop: TestClient) -> None:
    number, quote = accepted(shop)
    time = shop.get(f"/api/quotes/{quote}").json()["estimate"]["bores"][0]["time"]
    half = {"quote": quote, "bores": [{"name": "A", "setup": f"{time['setup_min'] / 2} min"}]}
    for _ in range(2):
        shop.post(f"/api/jobs/{number}/actuals", json=half)
    found = shop.get("/api/calibration").json()
    assert (found["jobs"], found["asked_about"]) == (1, [])
    for _ in range(2):
        shop.post(f"/api/jobs/{number}/actuals", json=half)
    (asked,) = shop.get("/api/calibration").json()["asked_about"]
    assert (asked["element"], asked["question"].endswith("written down twice?")) == ("setup", True)


def test_what_is_learnt_from_is_bounded(shop: TestClient, monkeypatch: Any) -> None:
    recorded(shop, 1.0, 3)
    monkeypatch.setattr("api.store.actuals.MOST_LEARNT", 2)
    assert shop.get("/api/calibration").json()["jobs"] == 2
    monkeypatch.setattr("api.store.actuals.MOST_TOGETHER", 10)
    assert shop.get("/api/calibration").json()["jobs"] == 0
