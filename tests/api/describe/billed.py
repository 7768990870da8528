"""Requests for invoices and variation orders, answered well or refused by the state of a thing."""

import json
from typing import TYPE_CHECKING, Any

from api.describe.examples import VARIATIONS
from tests.api.service import JSON

if TYPE_CHECKING:
    from tests.api.describe.test_kept import Shop

__all__ = ["bill_request", "is_bill"]

MORE = VARIATIONS["more wear"]["value"]
ACCEPTED = ("issue", "accept")


def is_bill(path: str) -> bool:
    """Return whether a path is about invoices or variation orders."""
    return "invoice" in path or "variation" in path


def _sent(body: object) -> dict[str, Any]:
    return {"content": json.dumps(body), "headers": JSON}


def bill_request(shop: "Shop", path: str, method: str, *, refused: bool) -> tuple[str, dict[str, Any]]:
    """Return a request with a good answer, or one that the state of a thing forbids."""
    word = path.rpartition("/")[2]
    quote = shop.quote(*(() if refused and word in ("invoice", "invoices", "variations") else ACCEPTED))
    found, said = path, dict[str, Any]()
    if "/api/invoices/" in path:
        number = shop.client.post(f"/api/quotes/{quote}/invoices").json()["number"]
        if refused:
            shop.client.post(f"/api/invoices/{number}/cancel")
        found = path.replace("{number}", number)
    if "{variation}" in path:
        one = f"/api/quotes/{quote}/variations"
        assert shop.client.post(one, json=MORE).status_code == 201
        found = path.replace("{variation}", "1")
        if refused:
            shop.client.post(f"{one}/1/accept", json={"by": "A"})
        said = _sent({"by": "A"}) if method == "post" else {}
    elif method == "post":
        said = _sent(MORE if word == "variations" else {})
    return found.replace("{number}", quote), said
