"""The service's description is true: its examples run, its statuses occur, its schemas hold."""

import atexit
import functools
import json
import re
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis.checks import CHECKS
from starlette.testclient import TestClient
from starlette.types import ASGIApp, Receive, Scope, Send

from api.access.keys import NoKeys
from api.app import create_app
from api.caller import Caller
from api.routes import health, metrics
from api.settings import Settings
from api.store.address import read_address
from api.store.engine import Store
from api.store.schema import prepare
from api.work import tasks
from api.work.errors import FullError
from api.work.here import Here
from estimator.job.job import Job
from tests.api.describe.sheets import of_sheets
from tests.api.service import ELSEWHERE, HERE, JSON, PDF, SAMPLES, WORKBOOK, client, from_here, job, refused_job
from tests.depth import THOROUGH, deep

LIMIT = 2 * 1024 * 1024
DESCRIPTION: dict[str, Any] = create_app().openapi()
OPERATIONS = [(path, method) for path, methods in DESCRIPTION["paths"].items() for method in methods]
NAMES = ("jobs", "quotes", "pricebooks", "calibration", "audit", "diary", "invoices")
KEPT = tuple(f"/api/{name}" for name in NAMES)  # tried in tests/api/store
EXAMPLES = [
    pytest.param(path, name, example["value"], id=f"{path} {name}")
    for path, methods in DESCRIPTION["paths"].items()
    if "post" in methods
    if (content := methods["post"]["requestBody"]["content"].get("application/json"))
    for name, example in content["examples"].items()
]


@pytest.fixture
def service() -> Iterator[TestClient]:
    with client() as found:
        yield found


def holds(schema: dict[str, Any], document: object) -> bool:
    """Say whether a document fits a schema of the description."""
    whole = {**schema, "components": DESCRIPTION["components"]}
    return jsonschema_rs.Draft202012Validator(whole).is_valid(document)


def schema_of(path: str, method: str, status: int, kind: str) -> dict[str, Any]:
    found: dict[str, Any] = DESCRIPTION["paths"][path][method]["responses"][str(status)]["content"][kind]["schema"]
    return found


def body_schema(path: str) -> dict[str, Any]:
    found: dict[str, Any] = DESCRIPTION["paths"][path]["post"]["requestBody"]["content"]["application/json"]["schema"]
    return found


def test_every_post_has_examples() -> None:
    posts = {path for path, method in OPERATIONS if method == "post"} - {"/api/intake"}  # which takes a file
    stateless = {"/api/estimates", "/api/explanations", "/api/comparisons", "/api/fleets", "/api/orders"}
    assert {path for path in posts if not path.startswith(KEPT)} == stateless
    assert posts == {str(example.values[0]) for example in EXAMPLES}


@pytest.mark.parametrize(
    ("path", "name", "value"), [one for one in EXAMPLES if not str(one.values[0]).startswith(KEPT)]
)
def test_the_examples_run(service: TestClient, path: str, name: str, value: dict[str, Any]) -> None:
    response = service.post(path, content=json.dumps(value), headers=JSON)
    assert response.status_code == 200, (name, response.text)
    assert holds(body_schema(path), value)
    assert holds(schema_of(path, "post", 200, "application/json"), response.json())


# ---------------------------------------------------------------- schemas


@pytest.mark.parametrize("sample", sorted(SAMPLES.glob("*.json")), ids=lambda path: path.stem)
def test_samples_fit_the_schema_of_the_job_as_sent(sample: Path) -> None:
    document = json.loads(sample.read_text("utf-8"))
    assert holds(body_schema("/api/estimates"), document)
    document["bores"][0]["length"] = 70
    assert not holds(body_schema("/api/estimates"), document)


def test_a_job_is_described_as_it_is_sent() -> None:
    parts = DESCRIPTION["components"]["schemas"]
    assert parts["JobBore"]["properties"]["length"]["type"] == "string"
    assert set(parts["Job"]["properties"]) == set(Job.model_fields)


def test_every_good_answer_has_a_schema_and_every_other_one_is_a_problem() -> None:
    for path, method in OPERATIONS:
        for status, said in DESCRIPTION["paths"][path][method]["responses"].items():
            if (path, status) == ("/metrics", "200") or status == "204":
                continue
            kind, *others = said["content"]
            if kind in (WORKBOOK, PDF):
                continue
            assert others in ([], [WORKBOOK])
            assert kind == ("application/json" if status.startswith("2") else "application/problem+json")
            assert not holds(said["content"][kind]["schema"], {}), (path, status)


def test_no_schema_is_named_by_the_file_it_lies_in() -> None:
    assert [name for name in DESCRIPTION["components"]["schemas"] if "__" in name] == []


def test_every_reference_leads_somewhere() -> None:
    named = set(re.findall(r'"#/components/schemas/([^"]+)"', json.dumps(DESCRIPTION)))
    assert named <= set(DESCRIPTION["components"]["schemas"])
    assert {"Job", "Estimate", "Explanation", "Problem"} <= named


def test_a_method_that_is_not_described_is_refused_by_name(service: TestClient) -> None:
    for path, described in DESCRIPTION["paths"].items():
        for method in {"get", "post", "put", "delete", "patch", "trace"} - set(described):
            response = service.request(method, re.sub(r"{\w+}", "1", path))
            assert response.status_code == 405, (path, method)
            assert {one.lower() for one in re.findall(r"\w+", response.headers["allow"])} & set(described)


def test_the_description_is_served(service: TestClient) -> None:
    assert service.get("/openapi.json").json() == DESCRIPTION


# ---------------------------------------------------------------- statuses


def _broken(*_: object) -> None:
    raise RuntimeError


async def _full(*_: object) -> None:
    raise FullError("too much work is waiting")


def _posts(path: str, good: object, refused: object, wrong: object) -> dict[tuple[str, str, int], dict[str, Any]]:
    """Return a request for each status that a POST may answer with."""
    body = json.dumps(good)
    return {
        (path, "post", 200): {"content": body, "headers": JSON},
        (path, "post", 400): {"content": b"", "headers": JSON | {"content-length": "x"}},
        (path, "post", 401): {"content": body, "headers": JSON | ELSEWHERE},
        (path, "post", 429): {"content": body, "headers": JSON | ELSEWHERE},
        (path, "post", 403): {"content": body, "headers": JSON | {"origin": "http://evil.example"}},
        (path, "post", 409): {"content": json.dumps(refused), "headers": JSON},
        (path, "post", 413): {"content": b" " * (LIMIT + 1), "headers": JSON},
        (path, "post", 415): {"content": body, "headers": {"content-type": "text/plain"}},
        (path, "post", 421): {"content": body, "headers": JSON | {"host": "evil.example"}},
        (path, "post", 422): {"content": json.dumps(wrong), "headers": JSON},
        (path, "post", 500): {"content": body, "headers": JSON},
        (path, "post", 503): {"content": body, "headers": JSON},
    }


def _gets(path: str) -> dict[tuple[str, str, int], dict[str, Any]]:
    return {
        (path, "get", 200): {},
        (path, "get", 400): {"headers": {"content-length": "x"}},
        (path, "get", 413): {"headers": {"content-length": str(LIMIT + 1)}},
        (path, "get", 421): {"headers": {"host": "evil.example"}},
        (path, "get", 429): {"headers": ELSEWHERE},
        (path, "get", 500): {},
    }


def costed_job() -> dict[str, object]:
    """Return a job with what a comparison needs."""
    return {**job(), "economics": {"discount_rate": 0.08, "hours_per_year": 1800, "repair": {"life": "6000 h"}}}


def _question(document: object) -> dict[str, object]:
    return {"job": document, "key": "price.total"}


REQUESTS: dict[tuple[str, str, int], dict[str, Any]] = {
    **of_sheets(_posts("/api/intake", {}, None, {}), _gets("/api/intake.xlsx")),
    **_posts("/api/estimates", job(), refused_job(), {}),
    **_posts("/api/explanations", _question(job()), _question(refused_job()), {}),
    **_posts("/api/comparisons", costed_job(), None, {}),
    **_posts("/api/fleets", {"rows": []}, None, {}),
    **_posts("/api/orders", {"jobs": [job()]}, {"jobs": [refused_job()]}, {}),
    ("/api/estimates", "post", 406): {"content": json.dumps(job()), "headers": JSON | {"accept": "text/csv"}},
    **_gets("/health"),
    **_gets("/ready"),
    **_gets("/metrics"),
    ("/metrics", "get", 401): {"headers": ELSEWHERE},
    ("/metrics", "get", 403): {"headers": {"authorization": "Bearer any"}},
    ("/ready", "get", 503): {},
}
BREAKABLE = [
    (tasks, "estimate"),
    (tasks, "explained"),
    (tasks, "compare"),
    (tasks, "fleet"),
    (tasks, "order"),
    (tasks, "book_of"),
    (tasks, "to_fill_in"),
    (health, "answer"),
    (metrics, "CONTENT_TYPE_LATEST"),
]
DECLARED = [
    (path, method, int(status))
    for path, method in OPERATIONS
    if not path.startswith(KEPT)
    for status in DESCRIPTION["paths"][path][method]["responses"]
]


@pytest.mark.parametrize(("path", "method", "status"), DECLARED)
def test_every_status_declared_occurs_as_declared(
    service: TestClient, monkeypatch: pytest.MonkeyPatch, path: str, method: str, status: int
) -> None:
    if status == 500:
        for module, name in BREAKABLE:
            monkeypatch.setattr(module, name, _broken)
    if status == 503:
        monkeypatch.setattr(health, "read_pricebook", _broken)
        monkeypatch.setattr(Here, "done", _full)
    if (path, status) in {("/metrics", 403), ("/api/intake.xlsx", 403)}:
        monkeypatch.setattr(NoKeys, "token", lambda *_: Caller("mine 2", "fleet", "token", "token 1"))
    if status == 429:
        service = client(Settings(rate_limit=1))
        service.request(method, path, **REQUESTS[path, method, status])
    response = service.request(method, path, **REQUESTS[path, method, status])
    kind = response.headers["content-type"].partition(";")[0]
    assert response.status_code == status, response.text
    assert kind in ("text/plain", WORKBOOK) or holds(schema_of(path, method, status, kind), response.json())


# ---------------------------------------------------------------- whatever is sent

THERE = dict.fromkeys(("id", "variation", "version"), "1")
THERE |= {"number": "100001", "name": "north", "kind": "rig", "date": "2027-03-26"}


def stocked_store() -> Store:
    """Return a store with a job, its issued quote, and a price book."""
    folder = tempfile.mkdtemp()
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    store = Store(read_address(f"sqlite:///{folder}/shop.db"))
    prepare(store)
    with TestClient(create_app(None, store), base_url="http://localhost:8000", client=HERE) as service:
        service.post("/api/jobs", json=job())
        service.post("/api/jobs/1/quotes")
        service.post("/api/quotes/100001/issue")
        service.put("/api/pricebooks/north", json={})
    return store


SCHEMA = schemathesis.openapi.from_dict(DESCRIPTION)
for phase in (SCHEMA.config.phases.examples, SCHEMA.config.phases.coverage):
    phase.enabled = THOROUGH  # twelve thousand requests at the edges of the schemas, made while tests are collected


@functools.cache
def stocked() -> ASGIApp:
    """Return a service over the store; made when first asked, not when tests are collected."""
    return create_app(None, stocked_store())


async def _lazily(scope: Scope, receive: Receive, send: Send) -> None:
    await stocked()(scope, receive, send)


SCHEMA.app = from_here(_lazily)
LAWS: list[Any] = CHECKS.get_by_names(
    [
        "not_a_server_error",
        "status_code_conformance",
        "content_type_conformance",
        "response_schema_conformance",
        "unsupported_method",
    ]
)


@SCHEMA.parametrize()
@settings(max_examples=deep(25), deadline=None, suppress_health_check=list(HealthCheck))
def test_no_request_gets_an_undeclared_answer(case: schemathesis.Case[Any]) -> None:
    if case.path_parameters and len(str(case.body)) % 2:  # every other time, of what is there
        case.path_parameters = {name: THERE[name] for name in case.path_parameters}
    response = case.call_and_validate(base_url="http://localhost:8000", checks=LAWS)
    assert response.status_code not in {403, 421}  # it came past the guard
