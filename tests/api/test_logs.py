"""What is written down: lines of JSON with keys that were named, and of a defect only its place."""

import json
import logging
import re
from collections.abc import Iterator
from typing import Any

import pytest

from api import logs
from api.work import tasks
from tests.api.service import JSON, client, job

SECRET = "bwt_abcdefgh at a cost of 4711.42 EUR"


@pytest.fixture(autouse=True)
def _configured(capsys: pytest.CaptureFixture[str]) -> Iterator[None]:
    capsys.readouterr()
    logs.configure("info")
    yield
    logs.configure("error")


def lines(capsys: pytest.CaptureFixture[str]) -> list[dict[str, Any]]:
    out, err = capsys.readouterr()
    assert out == ""
    return [json.loads(line) for line in err.splitlines()]


def test_a_request_is_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    with client() as service:
        sent = service.post("/api/estimates", content=json.dumps(job()), headers=JSON)
    (line,) = lines(capsys)
    assert set(line) == {
        "caller", "event", "level", "method", "ms", "peer", "request_id", "role", "route", "status", "time", "way",
    }  # fmt: skip
    assert (line["event"], line["status"], line["route"]) == ("request", 200, "/api/estimates")
    assert (line["request_id"], line["way"]) == (sent.headers["x-request-id"], "loopback")


def test_health_is_quiet(capsys: pytest.CaptureFixture[str]) -> None:
    with client() as service:
        assert service.get("/health").status_code == 200
        assert service.get("/ready").status_code == 200
    assert lines(capsys) == []


def test_a_defect_is_told_by_its_place_and_never_by_its_words(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError(SECRET)

    monkeypatch.setattr(tasks, "estimate", broken)
    with client() as service:
        answer = service.post("/api/estimates", content=json.dumps(job()), headers=JSON)
    assert answer.status_code == 500
    assert SECRET not in answer.text
    defect, request = lines(capsys)
    assert (defect["event"], defect["level"], defect["kind"]) == ("defect", "error", "RuntimeError")
    assert defect["where"].startswith("test_logs.py:")
    assert defect["request_id"] == request["request_id"]
    assert request["status"] == 500
    assert "4711" not in json.dumps([defect, request])


def test_the_place_is_in_our_code_though_a_library_raised() -> None:
    with pytest.raises(ValueError, match="Expecting value") as caught:
        json.loads(SECRET)
    assert re.fullmatch(r"test_logs\.py:\d+ in decoder\.py:\d+", logs.place_of(caught.value))


def test_a_key_that_is_not_named_is_dropped(capsys: pytest.CaptureFixture[str]) -> None:
    logs.log().info("request", token=SECRET, cost="4711.42", status=200)
    (line,) = lines(capsys)
    assert set(line) == {"event", "level", "time", "status"}


def test_the_server_librarys_own_words_are_lines_too(capsys: pytest.CaptureFixture[str]) -> None:
    server = logging.getLogger("uvicorn.error")
    server.warning("Invalid HTTP request received.")
    try:
        raise RuntimeError(SECRET)
    except RuntimeError:
        server.exception("Exception in ASGI application")
    told, failed = lines(capsys)
    assert (told["event"], told["said"]) == ("server", "Invalid HTTP request received.")
    assert (failed["kind"], failed["level"]) == ("RuntimeError", "error")
    assert "4711" not in json.dumps(failed)


def test_less_is_written_where_less_is_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    logs.configure("error")
    logs.log().warning("sign-in refused")
    logs.log().error("defect")
    assert [line["event"] for line in lines(capsys)] == ["defect"]
