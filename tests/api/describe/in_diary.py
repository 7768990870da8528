"""Requests to the diary and of the field that are answered well, and those that the state of a thing forbids."""

import json
from typing import Any, Protocol

from starlette.testclient import TestClient

from api.describe.diary import DAYS_OFF, NAMES
from tests.api.service import JSON

__all__ = ["clash_of_diary", "of_diary"]

FOUND_AT = "/api/quotes/{number}/found"
Request = tuple[str, dict[str, Any]]


class Shop(Protocol):
    """What is asked of the shop of `test_kept`."""

    client: TestClient

    def quote(self, *words: str) -> str:
        """Return the number of a new quote, brought on by some steps."""


def _sent(document: object) -> dict[str, Any]:
    return {"content": json.dumps(document), "headers": JSON}


def _placing(shop: Shop, name: str) -> Request:
    return f"/api/quotes/{shop.quote('issue', 'accept')}/days", _sent({"start": "2027-03-08", "technicians": [name]})


def _found(shop: Shop, diameter: str) -> Request:
    more = {"bores": [{"name": "A", "cleanup_diameter": diameter}]}
    return f"/api/quotes/{shop.quote('issue', 'accept')}/found", _sent(more)


def of_diary(shop: Shop, path: str, method: str, status: int) -> Request | None:
    """Return a request with a good answer; None where it is neither the diary's nor of who is on site."""
    if path.endswith("/found"):
        return _found(shop, "96.5 mm")
    if path == "/api/quotes/{number}/days" and method != "get":
        found = _placing(shop, f"technician of {method} {status}")
        if status in {200, 204}:
            shop.client.post(found[0], **found[1])
        return found if method == "post" else (found[0], {})
    if path == FOUND_AT:
        return path.replace("{number}", shop.quote()), _sent({"bores": [{"name": "A", "cleanup_diameter": "99 mm"}]})
    if path.startswith("/api/diary/names"):
        shop.client.post("/api/diary/names", **_sent(NAMES["a rig"]["value"]))
        return (path, _sent(NAMES["a technician"]["value"])) if method == "post" else ("/api/diary/names/rig/Rig 1", {})
    if path.startswith("/api/diary/days-off"):
        shop.client.post("/api/diary/days-off", **_sent(DAYS_OFF["a day off"]["value"]))
        date = DAYS_OFF["a day off"]["value"]["date"]
        return (path, _sent({"date": date, "name": "x"})) if method == "post" else (f"/api/diary/days-off/{date}", {})
    return None


def clash_of_diary(shop: Shop, path: str) -> Request | None:
    """Return a request that days ahead forbid, or the metal there is; None where it is neither's."""
    if path.endswith("/found"):
        return _found(shop, "149 mm")
    if path == "/api/quotes/{number}/days":
        _stands(shop, "Busy")
        return _placing(shop, "Busy")
    if path == FOUND_AT:
        return path.replace("{number}", shop.quote()), _sent({"bores": [{"name": "A", "cleanup_diameter": "149 mm"}]})
    if path.startswith("/api/diary/names/"):
        _stands(shop, "Zoe")
        return "/api/diary/names/technician/Zoe", {}
    if path == "/api/diary/names":
        for number in range(201):
            reply = shop.client.post(path, **_sent({"kind": "rig", "name": f"Rig of many {number}"}))
        assert reply.status_code == 409
        return path, _sent({"kind": "rig", "name": "one more"})
    return None


def _stands(shop: Shop, name: str) -> None:
    """Put a quote on the days of somebody, once."""
    path, said = _placing(shop, name)
    shop.client.post(path, **said)
