"""The sheet Record: what the work took comes back as a record for the quote's actuals, each fault at its cell."""

from typing import Any

import pytest

from api.describe.examples import RECORDS
from estimator.after.happened import judged, read_happened
from estimator.book.pricebook import read_pricebook
from estimator.errors import DocumentError
from estimator.estimate import estimate
from exports.intake.back import job_of_sheet
from exports.intake.form import intake_workbook
from exports.intake.record import record_of
from tests.exports.intake.sheets import CHECK, pages, typed
from tests.jobs import bore, job

DOCUMENT = job(bore(), bore(name="B"))
FILLED: dict[str, Any] = {
    "Record!B3": 100001, "Record!B4": "no. 14", "Record!B5": "W-2231", "Record!B7": "A. Fitter", "Record!B10": "rain",
    "Record!B15": 65, "Record!C15": "34,5", "Record!E15": 5.2, "Record!F15": "0,9", "Record!G15": 25,
    "Record!I15": 0.004, "Record!J15": 10, "Record!K15": "90,021", "Record!L15": 0, "Record!P15": 60,
    "Record!Q15": 90.024, "Record!R15": "3 o'clock",
}  # fmt: skip
RECORD = {
    "quote": "100001", "welder": "no. 14", "wire_batch": "W-2231", "signature": "A. Fitter", "note": "rain",
    "bores": [
        {
            "name": "A", "setup": "65 min", "arc_time": "34.5 min", "on_site": "5.2 h", "wire": "0.9 kg",
            "preheat_read": "25 degC",
            "finished": {
                "uncertainty": "0.004 mm",
                "stations": [
                    {"depth": "10 mm", "diameter": "90.021 mm", "clock": 0},
                    {"depth": "60 mm", "diameter": "90.024 mm", "clock": 90},
                ],
            },
        }
    ],
}  # fmt: skip


def recorded(cells: dict[str, Any]) -> dict[str, Any] | None:
    return record_of(pages(DOCUMENT, cells)["Record"])


def test_a_filled_record_comes_back_beside_its_job() -> None:
    assert job_of_sheet(typed(intake_workbook(DOCUMENT), FILLED), CHECK) == (DOCUMENT, RECORD)


def test_a_record_is_one_that_a_quote_takes() -> None:
    estimated = estimate(DOCUMENT, read_pricebook())
    found = judged(read_happened(RECORD, estimated), estimated, read_pricebook().facts)
    assert [one["verdict"] for one in found["bores"][0]["finished"]] == ["conforms", "conforms"]


def test_a_sheet_on_which_nothing_is_recorded_has_no_record() -> None:
    assert recorded({}) is None
    assert job_of_sheet(intake_workbook(DOCUMENT), CHECK)[1] is None


def test_every_key_that_a_crew_records_of_a_bore_is_asked_for() -> None:
    (known,) = RECORDS["a day"]["value"]["bores"]
    asked = {
        key for bore in [recorded({**FILLED, "Record!D15": 80, "Record!H15": 170}) or {}] for key in bore["bores"][0]
    }
    assert asked == set(known)


@pytest.mark.parametrize(
    ("cells", "at", "said"),
    [
        ({"Record!B3": None}, "Record!B3", "is missing"),
        ({"Record!C15": "long"}, "Record!C15", "is not a number with a unit"),
        ({"Record!C14": "kg"}, "Record!C14", "is no unit that fits here; choose min or h"),
        ({"Record!F15": "0.9 min"}, "Record!F15", "is a time where a mass is due"),
        ({"Record!A15": None}, "Record!A15", "give the bore a mark"),
        ({"Record!K15": None}, "Record!K15", "is missing"),
        ({"Record!R15": 400}, "Record!R15", "less than or equal to 360"),
        ({"Record!Q15": None, "Record!P15": None, "Record!R15": None, "Record!J15": None}, "Record!J15", "is missing"),
    ],
)
def test_a_fault_is_told_at_its_cell(cells: dict[str, Any], at: str, said: str) -> None:
    with pytest.raises(DocumentError) as found:
        recorded({**FILLED, **cells})
    assert said in {fault.path: fault.message for fault in found.value.faults}.get(at, ""), found.value


def test_faults_of_job_and_record_are_told_together() -> None:
    with pytest.raises(DocumentError) as found:
        job_of_sheet(typed(intake_workbook(DOCUMENT), {"Readings!C8": 908, "Record!C15": "x"}), CHECK)
    assert [fault.path for fault in found.value.faults] == ["Readings!C8", "Record!C15"]
