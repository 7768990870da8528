"""The call in this process: price beside the form, faults at fields, a job and a quote; each form is done once."""

import re
from typing import Any

import pytest
from starlette.testclient import TestClient

from api.store.engine import Store
from tests.api.conftest import client_of
from tests.jobs import bore

PAGE = {"accept": "text/html"}
TWO = {
    "reference": "C-1", "customer.name": "Quarry", "equipment.description": "loader", "site.distance": "85",
    "bores.0.nominal_diameter": "90", "bores.0.worn_diameter": "93", "bores.0.length": "70",
    "bores.1.nominal_diameter": "90", "bores.1.worn_diameter": "92,8", "bores.1.length": "70", "bores.1.same": "A",
}  # fmt: skip


def sent(shop: TestClient, path: str, **fields: object) -> Any:
    return shop.post(path, data={"units": "metric"} | fields, headers=PAGE, follow_redirects=False)


def test_the_price_follows_what_is_typed(stand: TestClient) -> None:
    one = {name: text for name, text in TWO.items() if ".1." not in name}
    text = sent(stand, "/call/price", **one).text
    assert re.search(r"<dd>[\d,.]+ EUR</dd>", text)
    assert "1 bore" in text
    both = sent(stand, "/call/price", **TWO | {"bores.1.length": ""}).text
    assert "bore in row 2: length" in both
    wrong = sent(stand, "/call/price", **TWO | {"bores.1.length": "70 kg", "bores.0.tolerance": "Q9"}).text
    assert 'data-field="bores.1.length"' in wrong
    assert 'data-field="bores.0.tolerance"' in wrong
    refused = sent(stand, "/call/price", **one | {"bores.0.condition.cracks": "yes"}).text
    assert "Not to be welded" in refused
    assert "Type nominal" in sent(stand, "/call/price").text


def test_how_far_it_may_come_out_and_what_to_ask(stand: TestClient) -> None:
    one = {name: text for name, text in TWO.items() if ".1." not in name}
    assert "before tax" in sent(stand, "/call/range", **one).text
    asked = sent(stand, "/call/ask", **one).text
    assert 1 <= len(re.findall('href="#f-', asked)) <= 5
    known = sent(stand, "/call/ask", **one | {"bores.0.material": "S355J2"}).text
    assert "Which steel" not in known
    assert sent(stand, "/call/range").text.strip() == sent(stand, "/call/ask").text.strip() == ""
    assert sent(stand, "/call/nothing").status_code == 404


def test_a_call_becomes_a_quote_and_a_form_sent_twice_is_one_job(store: Store) -> None:
    with client_of(store) as shop:
        form = TWO | {"key": "once", "intent": "quote"}
        first, again = (sent(shop, "/call", **form) for _ in range(2))
        assert (first.status_code, first.headers["location"]) == (303, "/quotes/100001")
        assert again.headers["location"] == "/quotes/100001"
        assert len(shop.get("/api/jobs").json()["items"]) == 1
        back = sent(shop, "/call", **form | {"intent": "save", "reference": "C-2"})  # gone back to, and changed
        assert back.headers["location"] == "/jobs/2"
        assert sent(shop, "/quotes/100001/issue", key="b").status_code == 409  # it is a budget price
        assert sent(shop, "/quotes/100001/issue", key="i", budget="yes").status_code == 303
        assert shop.get("/api/quotes/100001").json()["state"] == "issued"
        page = shop.get("/quotes/100001", headers=PAGE).text
        assert "quote issued: quote 100001" in page
        links = re.findall(r'class="why" href="([^"]+)"', page)
        assert {"price.total", "bores.0.sizes.cleanup_mm", "cost.lines.0.amount"} <= {
            one.rpartition("=")[2] for one in links
        }
        reason = shop.get(f"{links[0]}&piece=1").text
        assert re.search(r"before tax [\d.]+ \+ tax [\d.]+", reason)
        assert "not a figure" in shop.get("/quotes/100001/explain?key=price.colour", headers=PAGE).text
        assert sent(shop, "/quotes/100001/remove", key="r").status_code == 409  # it was issued
        next_one = sent(shop, "/quotes/100001/revise", key="v").headers["location"]
        assert next_one == "/quotes/100002"
        assert sent(shop, f"{next_one}/remove", key="d").headers["location"] == "/jobs/1"
        assert sent(shop, "/quotes/100001/accept", key="a").status_code == 409
        _measured(shop)
        assert sent(shop, "/quotes/100001/revise", key="m").headers["location"] == "/quotes/100003"
        assert sent(shop, "/quotes/100003/issue", key="j").status_code == 303
        assert sent(shop, "/quotes/100003/accept", key="k").status_code == 303
        assert shop.get("/api/jobs/1").json()["state"] == "accepted"
        _billed(shop)
        assert "Quarry" in shop.get("/call/customers", params={"q": "quar"}).text
        assert "loader" in shop.get("/call/machines", params={"customer": "Quarry"}).text


def _measured(shop: TestClient) -> None:
    """The bores are measured and the steel is known: a quote that binds can follow."""
    document = shop.get("/api/jobs/1").json()["job"]
    for one in document["bores"]:
        del one["worn_diameter"]
        one |= {"readings": bore()["readings"], "material": "S355J2"}
    assert shop.put("/api/jobs/1", json=document, headers={"If-Match": "*"}).status_code == 200


def _billed(shop: TestClient) -> None:
    """A variation is offered and ordered, all of it invoiced, and the invoice cancelled."""
    quote = "/quotes/100003"
    work = {"cause": "grease line in the way", "work": "moved", "price": "85", "currency": "EUR", "key": "w"}
    for _ in range(2):
        assert sent(shop, f"{quote}/variations", **work).headers["location"] == f"{quote}#bills"
    more = sent(
        shop, f"{quote}/variations", cause="deeper", **{"wear.A": "4,2", "price.A": "120"}, currency="EUR", key="m"
    )
    assert more.status_code == 303
    wrong = sent(shop, f"{quote}/variations", cause="deeper", **{"wear.A": "wide"})
    assert (wrong.status_code, "bores.0.wear" in wrong.text) == (422, True)
    assert sent(shop, f"{quote}/variations/1/accept", by="foreman", how="phone", key="o").status_code == 303
    assert sent(shop, f"{quote}/variations/2/eat", by="foreman").status_code == 404
    assert sent(shop, f"{quote}/invoices", key="n").status_code == 303
    page = shop.get(quote, headers=PAGE).text
    made = re.findall(r"/api/invoices/(\d+)\.pdf", page)
    assert (len(made), page.count("/variations/1.pdf"), 'class="state accepted"' in page) == (1, 1, True)
    assert sent(shop, f"{quote}/invoices", key="n2").status_code == 409  # nothing is open any more
    assert sent(shop, f"{quote}/invoices/{made[0]}/cancel", key="g").status_code == 303
    assert "credit note for" in shop.get(quote, headers=PAGE).text


def test_a_job_is_changed_over_what_was_read_and_the_change_taken_back(shop: TestClient) -> None:
    assert sent(shop, "/call", **TWO).headers["location"] == "/jobs/1"
    page = shop.get("/call?job=1", headers=PAGE).text
    assert 'name="revision" value="1"' in page
    opened = {"job": "1", "revision": "1", "bores.0.was": "0", "bores.1.was": "1"}
    assert sent(shop, "/call", **TWO | opened | {"site.distance": "10"}).status_code == 303
    assert shop.get("/api/jobs/1").json()["job"]["site"]["distance"] == "10 km"
    assert sent(shop, "/call", **TWO | opened).status_code == 412
    assert sent(shop, "/jobs/1/restore", revision="2").status_code == 303
    kept = shop.get("/api/jobs/1").json()
    assert (kept["revision"], kept["job"]["site"]["distance"]) == (3, "85 km")
    assert sent(shop, "/jobs/1/quote").headers["location"] == "/quotes/100001"
    assert sent(shop, "/jobs/1/remove").headers["location"] == "/"
    assert shop.get("/jobs/1", headers=PAGE).status_code == 404


def test_without_a_script_the_form_comes_back_with_what_is_wrong_and_a_row_more(stand: TestClient) -> None:
    wrong = sent(stand, "/call", **TWO | {"bores.0.length": "", "bores.1.tolerance": "Q9"})
    assert wrong.status_code == 422
    assert wrong.text.count('aria-invalid="true"') == 1
    assert "is missing" in wrong.text
    one_more = sent(stand, "/call", **TWO, intent="add").text
    assert 'name="bores.2.length"' in one_more
    assert 'value="92,8"' in one_more
    assert 'name="bores.0.nominal_diameter"' in stand.get("/call?units=us", headers=PAGE).text


@pytest.mark.parametrize("fields", [{"reference": "x"}, {}])
def test_nothing_typed_is_no_job(stand: TestClient, fields: dict[str, str]) -> None:
    assert sent(stand, "/call", **fields).status_code == 422


def test_what_is_no_form_of_ours_is_refused(stand: TestClient) -> None:
    assert stand.post("/call", json={}, headers=PAGE).status_code == 415
    many = "&".join(f"a{number}=1" for number in range(5000))
    kind = {"content-type": "application/x-www-form-urlencoded"}
    assert stand.post("/call", content=many, headers=kind).status_code == 413
    assert sent(stand, "/quotes/1/eat").status_code == 404


def test_our_scripts_are_served_and_known_again(stand: TestClient) -> None:
    found = stand.get("/static/call.js")
    assert found.headers["content-type"].startswith("text/javascript")
    assert stand.get("/static/call.js", headers={"if-none-match": found.headers["etag"]}).status_code == 304
    assert stand.get("/static/../app.py").status_code == 404
