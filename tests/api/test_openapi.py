"""The service's description is true: its examples run, its statuses occur, its schemas hold."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis.checks import CHECKS
from starlette.testclient import TestClient

from api.app import create_app
from api.routes import choices, estimates, explanations, health, metrics
from api.settings import Settings
from estimator.job import Job
from tests.api.service import ELSEWHERE, JSON, SAMPLES, WORKBOOK, client, from_here, job, refused_job

LIMIT = 2 * 1024 * 1024
DESCRIPTION: dict[str, Any] = create_app().openapi()
OPERATIONS = [(path, method) for path, methods in DESCRIPTION["paths"].items() for method in methods]
EXAMPLES = [
    pytest.param(path, name, example["value"], id=f"{path} {name}")
    for path, methods in DESCRIPTION["paths"].items()
    if "post" in methods
    for name, example in methods["post"]["requestBody"]["content"]["application/json"]["examples"].items()
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
    posts = {path for path, method in OPERATIONS if method == "post"}
    wanted = {"/api/estimates", "/api/explanations", "/api/comparisons", "/api/orders"}
    assert posts == wanted == {str(example.values[0]) for example in EXAMPLES}


@pytest.mark.parametrize(("path", "name", "value"), EXAMPLES)
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
            kind, *others = said["content"]
            if (path, status) == ("/metrics", "200"):
                continue
            assert others in ([], [WORKBOOK])
            assert kind == ("application/json" if status.startswith("2") else "application/problem+json")
            assert not holds(said["content"][kind]["schema"], {}), (path, status)


def test_every_reference_leads_somewhere() -> None:
    named = set(re.findall(r'"#/components/schemas/([^"]+)"', json.dumps(DESCRIPTION)))
    assert named <= set(DESCRIPTION["components"]["schemas"])
    assert {"Job", "Estimate", "Explanation", "Problem"} <= named


def test_the_description_is_served(service: TestClient) -> None:
    assert service.get("/openapi.json").json() == DESCRIPTION


# ---------------------------------------------------------------- statuses


def _broken(*_: object) -> None:
    raise RuntimeError


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


REQUESTS = {
    **_posts("/api/estimates", job(), refused_job(), {}),
    **_posts("/api/explanations", _question(job()), _question(refused_job()), {}),
    **_posts("/api/comparisons", costed_job(), None, {}),
    **_posts("/api/orders", {"jobs": [job()]}, {"jobs": [refused_job()]}, {}),
    ("/api/estimates", "post", 406): {"content": json.dumps(job()), "headers": JSON | {"accept": "text/csv"}},
    **_gets("/health"),
    **_gets("/ready"),
    **_gets("/metrics"),
    ("/metrics", "get", 401): {"headers": ELSEWHERE},
    ("/ready", "get", 503): {},
}
BREAKABLE = [
    (estimates, "estimate"),
    (explanations, "explained"),
    (choices, "compare"),
    (choices, "order"),
    (health, "answer"),
    (metrics, "CONTENT_TYPE_LATEST"),
]
DECLARED = [
    (path, method, int(status))
    for path, method in OPERATIONS
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
    if status == 429:
        service = client(Settings(rate_limit=1))
        service.request(method, path, **REQUESTS[path, method, status])
    response = service.request(method, path, **REQUESTS[path, method, status])
    kind = response.headers["content-type"].partition(";")[0]
    assert response.status_code == status, response.text
    assert kind == "text/plain" or holds(schema_of(path, method, status, kind), response.json())


# ---------------------------------------------------------------- whatever is sent

SCHEMA = schemathesis.openapi.from_dict(DESCRIPTION)
SCHEMA.app = from_here(create_app())
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
@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
def test_no_request_gets_an_undeclared_answer(case: schemathesis.Case[Any]) -> None:
    response = case.call_and_validate(base_url="http://localhost:8000", checks=LAWS)
    assert response.status_code not in {403, 421}  # it came past the guard
