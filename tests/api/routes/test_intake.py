"""The routes of the intake sheet: a blank one out, a filled one in, its job back, each fault at its cell."""

import io
import json
from collections.abc import Iterator
from typing import Any

import openpyxl
import pytest
from starlette.testclient import TestClient

from exports.intake.form import intake_workbook
from tests.api.routes.test_answers import problem_of
from tests.api.service import SAMPLES, WORKBOOK, client
from tests.exports.intake.sheets import typed
from tests.exports.intake.test_hostile import packed
from tests.jobs import bore, job

FILE = {"content-type": WORKBOOK}


@pytest.fixture
def service() -> Iterator[TestClient]:
    with client() as found:
        yield found


def sent(service: TestClient, sheet: bytes, **headers: str) -> Any:
    return service.post("/api/intake", content=sheet, headers=FILE | headers)


def test_a_blank_sheet_is_a_workbook_and_the_same_each_time(service: TestClient) -> None:
    first, again = service.get("/api/intake.xlsx"), service.get("/api/intake.xlsx")
    assert (first.status_code, first.headers["content-type"]) == (200, WORKBOOK)
    assert "intake.xlsx" in first.headers["content-disposition"]
    assert first.content == again.content == intake_workbook()
    assert openpyxl.load_workbook(io.BytesIO(first.content)).sheetnames[:3] == ["Job", "Bores", "Readings"]


def test_a_filled_sheet_answers_its_job_which_can_be_estimated(service: TestClient) -> None:
    document = json.loads((SAMPLES / "boom_foot.json").read_text("utf-8"))
    answer = sent(service, intake_workbook(document))
    assert (answer.status_code, answer.json()) == (200, {"job": document})
    assert service.post("/api/estimates", json=answer.json()["job"]).status_code == 200


def test_faults_are_told_by_cell(service: TestClient) -> None:
    sheet = typed(intake_workbook(job(bore())), {"Readings!D8": 908, "Bores!H5": "=A1"})
    found = dict(problem_of(sent(service, sheet), 422))
    assert found["Readings!D8"] == "908 mm is ten times the nominal 90 mm: a decimal comma?"
    assert "holds a formula" in found["Bores!H5"]


def test_a_blank_sheet_says_what_is_missing(service: TestClient) -> None:
    assert set(problem_of(sent(service, intake_workbook()), 422)) == {
        ("Bores!A5", "is missing"),
        ("Job!B5", "is missing"),
    }


def test_it_takes_a_workbook_alone_and_ten_megabytes_of_it(service: TestClient) -> None:
    sheet = intake_workbook(job())
    problem_of(sent(service, sheet, **{"content-type": "application/json"}), 415)
    problem_of(sent(service, sheet, **{"content-encoding": "gzip"}), 415)
    problem_of(sent(service, b""), 422)
    problem_of(sent(service, b"x" * (10 * 1024 * 1024)), 422)
    problem_of(sent(service, b"x" * (10 * 1024 * 1024 + 1)), 413)
    problem_of(sent(service, packed({"xl/media/a.bin": bytes(60 << 20)})), 413)
    problem_of(service.post("/api/intake?x=1", content=sheet, headers=FILE), 422)


def test_a_large_body_is_taken_here_and_nowhere_else(service: TestClient) -> None:
    large = b"x" * (2 * 1024 * 1024 + 1)
    problem_of(sent(service, large), 422)
    problem_of(service.post("/api/estimates", content=large, headers={"content-type": "application/json"}), 413)
    problem_of(service.put("/api/intake", content=large), 413)


def test_a_sheet_in_another_currency_is_read(service: TestClient) -> None:
    document = job(currency="JPY")
    assert sent(service, intake_workbook(document)).json()["job"] == document


def test_a_record_of_the_work_stands_beside_the_job(service: TestClient) -> None:
    sheet = typed(intake_workbook(job(bore())), {"Record!B3": 100001, "Record!C15": 34})
    record = {"quote": "100001", "bores": [{"name": "A", "arc_time": "34 min"}]}
    assert sent(service, sheet).json() == {"job": job(bore()), "record": record}
