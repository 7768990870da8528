"""The routes: what the engine says, unchanged; and every fault as one kind of problem document."""

import io
import json
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from pydantic_core import to_json
from starlette.testclient import TestClient

from api.work import tasks
from estimator.book.pricebook import read_pricebook
from estimator.estimate import DETAILS, Detail, estimate
from estimator.trust.explain import explain
from tests.api.service import JSON, SAMPLES, WORKBOOK, client, job, refused_job

LIMIT = 2 * 1024 * 1024


@pytest.fixture
def service() -> Iterator[TestClient]:
    with client() as found:
        yield found


def problem_of(response: Any, status: int) -> list[tuple[str, str]]:  # the test client's own type
    """Return path and message of each fault, having checked the shape."""
    said = response.json()
    assert (response.status_code, response.headers["content-type"]) == (status, "application/problem+json")
    assert set(said) == {"type", "title", "status", "detail", "errors"}
    assert said["status"] == status
    assert said["title"]
    assert said["detail"]
    return [(error["path"], error["message"]) for error in said["errors"]]


def post(
    service: TestClient, document: object, path: str = "/api/estimates", **headers: str
) -> Any:  # the test client's own type
    return service.post(path, content=json.dumps(document), headers=JSON | headers)


@pytest.mark.parametrize("sample", sorted(SAMPLES.glob("*.json")), ids=lambda path: path.stem)
def test_the_answer_is_the_document_of_the_engine(service: TestClient, sample: Path) -> None:
    body = sample.read_bytes()
    response = service.post("/api/estimates", content=body, headers=JSON)
    assert (response.status_code, response.headers["content-type"]) == (200, "application/json")
    assert response.content == to_json(estimate(body, read_pricebook()))


@pytest.mark.parametrize("detail", DETAILS)
def test_a_detail_asked_for_is_answered(service: TestClient, detail: Detail) -> None:
    response = post(service, job(), f"/api/estimates?detail={detail}")
    assert response.content == to_json(estimate(job(), read_pricebook(), detail))


@pytest.mark.parametrize(
    "kind",
    [
        "application/json",
        "Application/JSON; charset=UTF-8",
        'application/json;charset="utf-8"',
        "application/vnd.x+json",
    ],
)
def test_json_by_any_of_its_names_is_taken(service: TestClient, kind: str) -> None:
    response = service.post("/api/estimates", content=json.dumps(job()), headers={"content-type": kind})
    assert response.status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"content-type": "text/plain"},
        {"content-type": "application/jsonp"},
        {"content-type": "application/json; charset=latin-1"},
        {"content-type": WORKBOOK},
        {"content-type": "application/json", "content-encoding": "gzip"},
    ],
)
def test_any_other_body_is_415_before_it_is_read(service: TestClient, headers: dict[str, str]) -> None:
    problem_of(service.post("/api/estimates", content=b"{", headers=headers), 415)


def test_a_wrong_document_is_422_with_a_path_a_fault(service: TestClient) -> None:
    faults = problem_of(post(service, job(length=70, colour="red")), 422)
    assert [path for path, _ in faults] == ["bores.0.length", "bores.0.colour"]


@pytest.mark.parametrize("body", [b"", b" \n", b"{", b"[]", b'{"a": NaN}', b"\xff", b"[" * 100_000, b'{"a":1,"a":2}'])
def test_what_is_no_json_object_is_422(service: TestClient, body: bytes) -> None:
    ((path, message),) = problem_of(service.post("/api/estimates", content=body, headers=JSON), 422)
    assert (path, bool(message)) == ("", True)


def test_a_job_that_must_not_be_welded_is_409_with_its_reasons(service: TestClient) -> None:
    faults = problem_of(post(service, refused_job()), 409)
    assert faults[0][0].startswith("bores.0")


@pytest.mark.parametrize(
    ("query", "path", "said"),
    [
        ("spread=1", "spread", "must be a whole number from 2 to 1000000"),
        ("spred=1", "spred", 'did you mean "spread"?'),
        ("q=", "q", "known here: detail, pricebook, spread"),
        ("detail=most", "detail", "must be one of price, plan, full"),
    ],
)
def test_a_parameter_is_never_ignored(service: TestClient, query: str, path: str, said: str) -> None:
    ((where, message),) = problem_of(post(service, job(), f"/api/estimates?{query}"), 422)
    assert where == path
    assert said in message


def test_a_workbook_comes_where_it_is_asked_for(service: TestClient) -> None:
    response = post(service, job(), accept=WORKBOOK)
    assert (response.status_code, response.headers["content-type"]) == (200, WORKBOOK)
    assert "Price" in openpyxl.load_workbook(io.BytesIO(response.content)).sheetnames
    both = post(service, job(), accept=f"application/json, {WORKBOOK};q=0.5")
    assert both.headers["content-type"] == "application/json"
    problem_of(post(service, job(), accept="text/csv"), 406)
    problem_of(post(service, refused_job(), accept=WORKBOOK), 409)


def test_a_comparison_is_made(service: TestClient) -> None:
    costs = {"discount_rate": 0.08, "hours_per_year": 1800, "repair": {"life": "6000 h", "downtime": "16 h"}}
    found = post(service, {**job(), "economics": costs}, "/api/comparisons").json()
    assert [choice["name"] for choice in found["choices"]] == ["repair", "sleeve", "replace"]
    assert found["best"] == "repair"
    refused = post(service, {**refused_job(), "economics": costs}, "/api/comparisons").json()
    assert refused["choices"][0]["feasible"] is False
    assert problem_of(post(service, job(), "/api/comparisons"), 422)[0][0] == "economics"


def test_an_order_is_made(service: TestClient) -> None:
    body = {"jobs": [job(), job()], "stock": [{"item": "tip", "on_hand": 50}], "service_level": 0.9}
    lines = {line["item"]: line for line in post(service, body, "/api/orders").json()["lines"]}
    assert (lines["tip"]["packs"], lines["tip"]["on_hand"]) == (0, 50)
    wrong = {"jobs": [job(), {}], "stock": [{"item": "tipp", "on_hand": -1}], "service_level": 1}
    assert {path for path, _ in problem_of(post(service, wrong, "/api/orders"), 422)} == {
        "service_level",
        "stock.0.item",
        "stock.0.on_hand",
    }
    assert problem_of(post(service, {"jobs": [job(), {}]}, "/api/orders"), 422)[0][0].startswith("jobs.1.")


def test_work_is_never_done_where_requests_are_answered(service: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    threads: list[str] = []

    def watched(body: bytes, *_: object) -> dict[str, int]:
        threads.append(threading.current_thread().name)
        return {"length": len(body)}

    monkeypatch.setattr(tasks, "estimate", watched)
    for size in (1, 100_000):
        assert service.post("/api/estimates", content=b"x" * size, headers=JSON).json() == {"length": size}
    assert all("worker" in name.lower() for name in threads)


# ---------------------------------------------------------------- explanations


def test_a_figure_is_explained(service: TestClient) -> None:
    response = post(service, {"job": job(), "key": "bores.A.buildup.deposit_mass_kg"}, "/api/explanations")
    expected = explain(job(), read_pricebook(), "bores.A.buildup.deposit_mass_kg")
    assert (response.status_code, response.content) == (200, to_json(expected))


@pytest.mark.parametrize(
    ("question", "path", "said"),
    [
        ({"job": job(), "key": "price.totl"}, "key", "no such figure; near: price.total"),
        ({"job": job(), "key": 7}, "key", "must be a text"),
        ({"job": job()}, "key", "is missing"),
        ({"job": "x", "key": "price.total"}, "job", "must be an object"),
        ({"job": job(length="70"), "key": "price.total"}, "job.bores.0.length", "70"),
        ({"job": job(), "key": "price.total", "pricebook": {}}, "pricebook", "known here: job, key"),
        ({"job": job(), "key": "price.total", "keys": []}, "keys", 'did you mean "key"?'),
    ],
)
def test_a_wrong_question_is_422_at_its_path(
    service: TestClient, question: dict[str, Any], path: str, said: str
) -> None:
    ((where, message),) = problem_of(post(service, question, "/api/explanations"), 422)
    assert where == path
    assert said in message


def test_a_refused_job_is_not_explained(service: TestClient) -> None:
    faults = problem_of(post(service, {"job": refused_job(), "key": "price.total"}, "/api/explanations"), 409)
    assert faults[0][0].startswith("job.bores.0")


def test_explanations_take_no_parameter(service: TestClient) -> None:
    question = {"job": job(), "key": "price.total"}
    assert problem_of(post(service, question, "/api/explanations?key=x"), 422) == [
        ("key", "unknown parameter; none is known here")
    ]


# ---------------------------------------------------------------- what every path has


def test_a_path_without_anything_is_404_and_a_promised_one_says_so(
    service: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    for path, said in [("/nothing", "nothing at this path"), ("/docs", "nothing"), ("/health/", "nothing")]:
        response = service.get(path, follow_redirects=False)
        problem_of(response, 404)
        assert said in response.json()["detail"]
    monkeypatch.setattr("api.later.LATER", ("/api/promised",))
    for path in ("/api/promised", "/api/promised/x"):
        response = service.get(path)
        problem_of(response, 404)
        assert response.json()["detail"] == "Not built yet."


def test_another_method_is_405_with_those_allowed(service: TestClient) -> None:
    response = service.get("/api/estimates")
    problem_of(response, 405)
    assert response.headers["allow"] == "POST"


def test_a_body_over_the_limit_is_413_said_or_not(service: TestClient) -> None:
    problem_of(service.post("/api/estimates", content=b" " * (LIMIT + 1), headers=JSON), 413)
    taken = []

    def parts() -> Iterator[bytes]:
        for number in range(100):
            taken.append(number)
            yield b" " * (LIMIT // 4)

    problem_of(service.post("/api/estimates", content=parts(), headers=JSON), 413)
    whole = json.dumps(job()).encode().ljust(LIMIT)
    assert service.post("/api/estimates", content=whole, headers=JSON).status_code == 200


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("localhost", 200), ("LOCALHOST:8000", 200), ("127.0.0.1", 200), ("127.9.9.9:1", 200), ("[::1]:8000", 200),
        ("bores.example", 421), ("127.0.0.1.example", 421), ("localhost.example", 421), ("192.168.0.7", 421),
        ("localhost:8000@evil", 421), ("[::2]", 421), ("0.0.0.0", 421), ("127.1", 421), ("", 421),
    ],
)  # fmt: skip
def test_only_a_loopback_name_is_answered(service: TestClient, host: str, status: int) -> None:
    response = service.get("/health", headers={"host": host})
    assert response.status_code == status
    if status != 200:
        problem_of(response, status)


@pytest.mark.parametrize(
    ("origin", "status"),
    [
        ("http://localhost:8000", 200), ("HTTP://LOCALHOST:8000", 200),
        ("http://localhost", 403), ("http://localhost:8001", 403), ("http://127.0.0.1:8000", 403),
        ("http://evil.example", 403), ("null", 403), ("http://localhost:8000.evil.example", 403), ("", 403),
    ],
)  # fmt: skip
def test_a_change_from_another_origin_is_403(service: TestClient, origin: str, status: int) -> None:
    assert post(service, job(), origin=origin).status_code == status
    assert service.get("/health", headers={"origin": origin}).status_code == 200


def test_an_origin_may_leave_out_the_usual_port(service: TestClient) -> None:
    for origin, host in [("http://localhost", "localhost:80"), ("http://localhost:80", "localhost")]:
        assert post(service, job(), origin=origin, host=host).status_code == 200


def test_a_length_that_is_no_number_or_not_the_only_one_is_400(service: TestClient) -> None:
    for length, more in (("-1", {}), ("x", {}), ("\u0661", {}), ("2", {"transfer-encoding": "chunked"})):
        headers = {**JSON, "content-length": length, **more}.items()
        raw = [(name.encode(), value.encode()) for name, value in headers]
        problem_of(service.post("/api/estimates", content=b"", headers=raw), 400)


def test_a_defect_is_500_and_tells_nothing_of_the_program(service: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("inner workings")

    monkeypatch.setattr(tasks, "estimate", broken)
    response = post(service, job())
    assert problem_of(response, 500) == []
    assert "inner" not in response.text


def test_it_lives_and_is_ready(service: TestClient) -> None:
    assert service.get("/health").json() == {"status": "ok"}
    assert service.get("/ready").json() == {"status": "ready"}
