"""The description of all that is kept is true: every status it names occurs, as a problem or with its schema."""

import json
from collections.abc import Iterator
from typing import Any

import pytest
from starlette.testclient import TestClient

from api.access.secrets import digest, new_token
from api.app import create_app
from api.describe.examples import RECORDS
from api.settings import Settings
from api.store.address import read_address
from api.store.engine import Store
from api.store.keys import add as add_token
from api.store.schema import prepare
from tests.api.conftest import client_of
from tests.api.describe.billed import bill_request, is_bill
from tests.api.describe.in_diary import clash_of_diary, of_diary
from tests.api.describe.test_openapi import DESCRIPTION, KEPT, LIMIT, OPERATIONS, holds, schema_of
from tests.api.service import ELSEWHERE, HERE, JSON, job, refused_job

DECLARED = [
    (path, method, int(status))
    for path, method in OPERATIONS
    if path.startswith(KEPT)
    for status in DESCRIPTION["paths"][path][method]["responses"]
]
ANY = {"If-Match": "*"}
FIELD = new_token()
Request = tuple[str, dict[str, Any]]


class Shop:
    """A store with one of everything, and a client of it."""

    def __init__(self, store: Store) -> None:
        self.store, self.client = store, client_of(store)
        self.asked: dict[tuple[str, str], Request] = {}
        with store.writing() as session:
            add_token(session, "tablet", "field", digest(FIELD), None)

    def job(self, document: dict[str, Any] | None = None) -> int:
        """Return the number of a new job."""
        number: int = self.client.post("/api/jobs", json=document or job()).json()["id"]
        return number

    def quote(self, *words: str) -> str:
        """Return the number of a new quote, brought on by some steps."""
        number: str = self.client.post(f"/api/jobs/{self.job()}/quotes").json()["number"]
        for word in words:
            assert self.client.post(f"/api/quotes/{number}/{word}").status_code == 200
        return number

    def book(self) -> str:
        """Return the name of a stored price book."""
        self.client.put("/api/pricebooks/north", json={}, headers=ANY)
        self.client.put("/api/pricebooks/north", json={})
        return "north"


STEPS = {"issue": (), "accept": ("issue",), "decline": ("issue",), "revise": ("issue",)}


def recorded(shop: Shop, quote: str) -> Request:
    """Return a request that records work on a quote."""
    number = shop.client.get(f"/api/quotes/{quote}").json()["job_id"]
    said = {"content": json.dumps(RECORDS["a day"]["value"] | {"quote": quote}), "headers": JSON}
    return f"/api/jobs/{number}/actuals", said


def good(shop: Shop, path: str, method: str, status: int) -> Request:
    """Return a request with a good answer."""
    found = bill_request(shop, path, method, refused=False) if is_bill(path) else of_diary(shop, path, method, status)
    if found is not None:
        return found
    word = path.rpartition("/")[2]
    steps = STEPS.get(word, ("issue", "accept") if word == "variance" else ())
    said: dict[str, Any] = {}
    if "{number}" in path:
        path = path.replace("{number}", shop.quote(*steps))
    if "{id}" in path:
        path = path.replace("{id}", str(shop.job()))
    if "{name}" in path:
        path = path.replace("{name}", shop.book() if status != 201 else "south")
    if method == "post" and word == "actuals":
        return recorded(shop, shop.quote("issue", "accept"))
    if "{version}" in path:
        path = path.replace("{version}", str(shop.client.post("/api/calibrations", json={}).json()["version"]))
    if method == "post" and word == "calibrations":
        return path, {"content": "{}", "headers": JSON}
    if method == "put":
        document: dict[str, Any] = {} if "pricebooks" in path else job()
        return path, {"content": json.dumps(document), "headers": JSON | (ANY if status != 201 else {})}
    if method == "delete":
        return path, {"headers": ANY}
    if (path, method) == ("/api/jobs", "post"):
        said = {"content": json.dumps(job()), "headers": JSON}
    return path, said


def usual(shop: Shop, path: str, method: str) -> Request:
    """Return a request that would be answered well, but for what is made amiss with it; made once."""
    if (path, method) not in shop.asked:
        shop.asked[path, method] = good(shop, path, method, 0)
    return shop.asked[path, method]


def refused(shop: Shop, path: str, method: str) -> Request:
    """Return a request that the state of a thing forbids."""
    found = bill_request(shop, path, method, refused=True) if is_bill(path) else clash_of_diary(shop, path)
    if found is not None:
        return found
    word = path.rpartition("/")[2]
    if word == "quotes":
        return f"/api/jobs/{shop.job(refused_job())}/quotes", {}
    if word == "actuals":
        return recorded(shop, shop.quote())
    if word == "calibrations":
        return path, {"content": json.dumps({"sha256": "x"}), "headers": JSON}
    if path == "/api/jobs/{id}":
        number = shop.client.get(f"/api/quotes/{shop.quote('issue')}").json()["job_id"]
        return f"/api/jobs/{number}", {"headers": ANY}
    return path.replace("{number}", shop.quote(*(("issue",) if word == "issue" else ()))), {}


def with_headers(request: Request, headers: dict[str, str]) -> Request:
    """Return a request with some headers more."""
    path, said = request
    return path, {**said, "headers": said.get("headers", {}) | headers}


def nowhere(path: str) -> str:
    """Return a path to what is not there."""
    found = path.replace("{variation}", "9").replace("{version}", "99999").replace("{date}", "none")
    return found.replace("{id}", "99999").replace("{number}", "99999").replace("{name}", "none")


HEADERS: dict[int, dict[str, str]] = {
    400: {"content-length": "x"},
    401: ELSEWHERE,
    412: {"If-Match": '"99"'},
    413: {"content-length": str(LIMIT + 1)},
    415: {"content-type": "text/plain"},
    421: {"host": "evil.example"},
    429: ELSEWHERE,
}


def request_for(shop: Shop, path: str, method: str, status: int) -> Request:
    """Return a request that is answered with a status."""
    if status == 409:
        return refused(shop, path, method)
    found = good(shop, path, method, status) if status < 300 else usual(shop, path, method)
    if status == 403:
        strange = {"origin": "http://evil.example"} if method != "get" else {"authorization": f"Bearer {FIELD}"}
        return with_headers(found, strange | (ELSEWHERE if method == "get" else {}))
    if status == 404:
        return nowhere(path), found[1]
    if status == 415:
        found = found[0], {**found[1], "content": b"x"}
    if status == 422:
        return f"{found[0]}?nonsense=1", found[1]
    if status == 428:
        return found[0], {**found[1], "headers": JSON if method == "put" else {}}
    return with_headers(found, HEADERS.get(status, {}))


@pytest.fixture(scope="module")
def everything(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    store = Store(read_address(f"sqlite:///{tmp_path_factory.mktemp('described')}/shop.db"))
    prepare(store)
    yield Shop(store)
    store.close()


EVERYWHERE = {400, 401, 413, 415, 421, 429, 500, 503}  # what stands before every route answers these
HELD = [
    pytest.param(*one, marks=pytest.mark.thorough) if one[2] in EVERYWHERE and place % 8 else one
    for place, one in enumerate(DECLARED)
]


@pytest.mark.parametrize(("path", "method", "status"), HELD)
def test_every_status_declared_occurs_as_declared(
    everything: Shop, monkeypatch: pytest.MonkeyPatch, path: str, method: str, status: int
) -> None:
    url, said = request_for(everything, path, method, status)
    service = everything.client
    if status in {429, 503}:
        settings, store = (Settings(rate_limit=1), everything.store) if status == 429 else (None, None)
        app = create_app(settings, store)
        service = TestClient(app, base_url="http://localhost:8000", raise_server_exceptions=False, client=HERE)
    if status == 429:
        service.request(method, url, **said)
    if status == 500:
        monkeypatch.setattr(Store, "reading", None)
        monkeypatch.setattr(Store, "writing", None)
    response = service.request(method, url, **said)
    assert response.status_code == status, response.text
    if status == 204:
        assert response.content == b""
        return
    kind = response.headers["content-type"]
    described = DESCRIPTION["paths"][path][method]["responses"][str(status)]["content"]
    assert list(described) == [kind]
    assert kind.endswith(("sheet", "pdf")) or holds(schema_of(path, method, status, kind), response.json())
