"""What happened, by the routes: recorded, corrected, invoiced, and compared over all jobs."""

from typing import Any

import pytest
from starlette.testclient import TestClient

from api.describe.examples import RECORDS
from api.store import actuals
from tests.api.store.test_jobs import add, faults
from tests.api.store.test_quotes import draft, step

DAY: dict[str, Any] = RECORDS["a day"]["value"]


def accepted(shop: TestClient) -> tuple[int, str]:
    """Return a job and its accepted quote."""
    number = add(shop)
    quote = draft(shop, number)
    step(shop, quote, "issue")
    step(shop, quote, "accept")
    return number, quote


def test_a_record_is_kept_as_sent_and_set_beside_the_estimate(shop: TestClient) -> None:
    number, quote = accepted(shop)
    sent = DAY | {"quote": quote}
    made = shop.post(f"/api/jobs/{number}/actuals", json=sent)
    assert (made.status_code, made.json()["record"]) == (201, sent)
    assert [size["verdict"] for size in made.json()["bores"][0]["finished"]] == ["conforms", "conforms"]
    listed = shop.get(f"/api/jobs/{number}/actuals").json()
    assert (listed["items"], listed["next"]) == ([made.json()], None)
    assert shop.get(f"/api/jobs/{number}").json()["state"] == "accepted"


def test_a_record_belongs_to_a_quote_of_the_job(shop: TestClient) -> None:
    number, quote = accepted(shop)
    other = add(shop)
    for wrong in (quote, "100009", "x", None, True):
        assert faults(shop.post(f"/api/jobs/{other}/actuals", json=DAY | {"quote": wrong}), 422) == ["quote"]
    assert shop.post(f"/api/jobs/{number}/actuals", json=DAY | {"quote": int(quote)}).status_code == 201
    assert shop.post("/api/jobs/999/actuals", json=DAY).status_code == 404
    assert faults(shop.delete(f"/api/jobs/{number}", headers={"If-Match": "*"}), 409) == [""]


def test_a_record_that_was_wrong_is_replaced_once(shop: TestClient) -> None:
    number, quote = accepted(shop)
    path, sent = f"/api/jobs/{number}/actuals", DAY | {"quote": quote}
    first = shop.post(path, json=sent).json()["id"]
    assert faults(shop.post(path, json=sent | {"replaces": first + 50}), 422) == ["replaces"]
    assert shop.post(path, json=sent | {"replaces": first, "variations": []}).status_code == 201
    assert faults(shop.post(path, json=sent | {"replaces": first}), 422) == ["replaces"]
    codes = [line["code"] for line in shop.get(f"/api/quotes/{quote}/invoice").json()["lines"]]
    assert codes == ["quoted", "standing"]
    assert shop.get("/api/calibration").json()["jobs"] == 1


def test_a_page_of_large_records_ends_early_and_goes_on(shop: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    number, quote = accepted(shop)
    path = f"/api/jobs/{number}/actuals"
    made = [shop.post(path, json=DAY | {"quote": quote}).json()["id"] for _ in range(3)]
    assert [item["id"] for item in shop.get(path).json()["items"]] == made[::-1]
    two = shop.get(path, params={"limit": 2}).json()
    assert ([item["id"] for item in two["items"]], two["next"]) == (made[:0:-1], str(made[1]))
    monkeypatch.setattr(actuals, "LARGEST_PAGE", 10)
    pages = [shop.get(path, params={"limit": "500"}).json()]
    while pages[-1]["next"]:
        pages.append(shop.get(path, params={"limit": "500", "after": pages[-1]["next"]}).json())
    assert [[item["id"] for item in page["items"]] for page in pages] == [[one] for one in made[::-1]]


@pytest.mark.parametrize("bound", ["MOST_RECORDS", "MOST_TOGETHER"])
def test_the_records_of_a_quote_are_bounded(shop: TestClient, monkeypatch: pytest.MonkeyPatch, bound: str) -> None:
    number, quote = accepted(shop)
    path = f"/api/jobs/{number}/actuals"
    assert shop.post(path, json=DAY | {"quote": quote}).status_code == 201
    monkeypatch.setattr(actuals, bound, 1)
    assert faults(shop.post(path, json=DAY | {"quote": quote}), 409) == [""]
    assert len(shop.get(path).json()["items"]) == 1


def test_only_an_accepted_quote_is_invoiced(shop: TestClient) -> None:
    quote = draft(shop, add(shop))
    for word in ("issue", "accept"):
        assert faults(shop.get(f"/api/quotes/{quote}/invoice"), 409) == [""]
        step(shop, quote, word)
    assert shop.get(f"/api/quotes/{quote}/invoice").json()["lines"][0]["code"] == "quoted"


def test_work_is_recorded_on_an_accepted_quote_only(shop: TestClient) -> None:
    number = add(shop)
    quote = draft(shop, number)
    for word in ("issue", "accept"):
        assert faults(shop.post(f"/api/jobs/{number}/actuals", json=DAY | {"quote": quote}), 409) == [""]
        step(shop, quote, word)
    assert shop.post(f"/api/jobs/{number}/actuals", json=DAY | {"quote": quote}).status_code == 201


def test_the_variance_of_an_accepted_quote_stands_in_money(shop: TestClient) -> None:
    number, quote = accepted(shop)
    told = shop.get(f"/api/quotes/{quote}").json()["estimate"]
    minutes = told["bores"][0]["time"]["total_min"] + 60
    sent = {"quote": quote, "bores": [{"name": "A", "on_site": f"{minutes} min"}]}
    assert shop.post(f"/api/jobs/{number}/actuals", json=sent).status_code == 201
    found = shop.get(f"/api/quotes/{quote}/variance").json()
    rate = next(line["unit_cost"] for line in told["cost"]["lines"] if line["code"] == "labour-job")
    assert float(found["lines"][0]["amount"]) == pytest.approx(float(rate), abs=0.01)
    assert faults(shop.get(f"/api/quotes/{draft(shop, number)}/variance"), 409) == [""]


def test_a_slip_of_a_unit_is_asked_about_when_it_is_recorded(shop: TestClient) -> None:
    number, quote = accepted(shop)
    sent = {"quote": quote, "bores": [{"name": "A", "wire": "900 kg", "setup": "60 min", "gas": "500 L"}]}
    made = shop.post(f"/api/jobs/{number}/actuals", json=sent).json()
    (asked,) = [one for one in made["asked_about"] if one["key"] == "wire"]
    assert (asked["bore"], asked["question"][:19], asked["question"][-6:]) == ("A", "900 kg of wire for ", "grams?")
    sure = {"quote": quote, "replaces": made["id"], "bores": [{"name": "A", "wire": "900 kg", "sure": ["wire"]}]}
    assert shop.post(f"/api/jobs/{number}/actuals", json=sure).json()["asked_about"] == []
