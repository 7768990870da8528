"""Records of devices: kept once however late they are sent again, never over what somebody else recorded."""

from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.store.test_diary import accepted_of
from tests.api.store.test_jobs import Any_, faults
from tests.jobs import bore
from tests.jobs import job as job_of

PHONE, OTHER = "a1b2c3d4-0001", "ffff0000-0001"


@pytest.fixture
def quote(shop: TestClient) -> str:
    """An accepted quote of job 1."""
    return accepted_of(shop, shop.post("/api/jobs", json=job_of(bore())).json()["id"])


def send(shop: TestClient, quote: str, entry: str, seen: int = 0, **more: Any) -> Any_:
    said = {"quote": quote, "entry": entry, "seen": seen, "bores": [{"name": "A", "wire": "0.9 kg"}], **more}
    return shop.post("/api/jobs/1/actuals", json=said)


def test_an_entry_is_kept_once_without_any_key(shop: TestClient, quote: str) -> None:
    one, two = send(shop, quote, PHONE), send(shop, quote, PHONE, seen=1)
    assert (one.status_code, two.status_code) == (201, 201)
    assert one.json()["id"] == two.json()["id"]
    assert len(shop.get("/api/jobs/1/actuals").json()["items"]) == 1
    assert faults(send(shop, quote, PHONE, note="otherwise"), 409) == ["records.1"]


def test_what_others_recorded_since_is_a_clash(shop: TestClient, quote: str) -> None:
    send(shop, quote, PHONE)
    reply = send(shop, quote, OTHER)
    assert faults(reply, 409) == ["records.1"]
    assert reply.json()["errors"][0]["message"] == "record 1 of loopback says already: bore A wire"
    assert send(shop, quote, OTHER, bores=[{"name": "A", "on_site": "5 h"}]).status_code == 201  # something else of it
    assert send(shop, quote, "a1b2c3d4-0002").status_code == 201  # the same device knows what it recorded
    assert send(shop, quote, "ffff0000-0002", seen=3).status_code == 201  # who has seen it may stand beside it
    assert send(shop, quote, "eeee0000-0003", seen=3, replaces=4).status_code == 201


def test_a_record_without_what_was_seen_is_as_before(shop: TestClient, quote: str) -> None:
    said = {"quote": quote, "bores": [{"name": "A", "wire": "0.9 kg"}]}
    assert [shop.post("/api/jobs/1/actuals", json=said).status_code for _ in range(2)] == [201, 201]


@pytest.mark.parametrize("path", ["L1 1", "M1 1L", "M1 1<script>", "M12345 1"])
def test_a_signature_is_lines_and_nothing_else(shop: TestClient, quote: str, path: str) -> None:
    assert faults(send(shop, quote, PHONE, signature="x", signature_path=path), 422) == ["signature_path"]
    assert send(shop, quote, PHONE, signature="x", signature_path="M1 1L20 30L40 5M60 60").status_code == 201
