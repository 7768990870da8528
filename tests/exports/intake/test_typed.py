"""What people type into the sheet is read as they mean it, and what cannot be meant is told at its cell."""

import datetime
from typing import Any

import pytest

from estimator.errors import DocumentError
from exports.intake.fields import BORES, JOB, Field, fields_of
from exports.intake.form import intake_workbook
from exports.intake.said import Odd, as_cell, as_said, clock, lone_number, reading, tidy
from tests.exports.intake.sheets import faults, read, taken, typed
from tests.jobs import bore, job, quick

SIZE = Field("size", "Size", "quantity", ("mm", "in"))
DOCUMENT = job(bore(), bore(name="B"), **{"site": {"distance": "85 km", "ambient": "12 degC"}})


@pytest.mark.parametrize(
    ("typed", "unit", "said"),
    [
        (90, "mm", "90 mm"), (90.8, "mm", "90.8 mm"), ("90.8", "mm", "90.8 mm"), ("90,8", "mm", "90.8 mm"),
        (" 90,80 ", "mm", "90.80 mm"), ("90,8 mm", "in", "90.8 mm"), ("3.5 in", "mm", "3.5 in"),
        ("3 1/2", "in", "3 1/2 in"),
        ("3 1/2 in", "mm", "3 1/2 in"), ("3-1/2 in", "mm", "3-1/2 in"), ("3½", "in", "3 1/2 in"),
        ("½ in", "mm", "1/2 in"),
        ('3 1/2"', "mm", '3 1/2"'), ("91.2mm", "mm", "91.2mm"), ("91\u00a0mm", "mm", "91 mm"),
        ("9.08 cm", "mm", "9.08 cm"),
        ("-0,5", "mm", None), (True, "mm", None), ("ninety", "mm", None), ("1.234,5", "mm", None),
        ("1,234,5", "mm", None),
        (90, "", None), ("90 kg", "mm", None), (1e300, "mm", None), (float("inf"), "mm", None), ("", "mm", None),
        (datetime.date(2026, 3, 4), "in", None), ("2*45 mm", "mm", None),
    ],
)  # fmt: skip
def test_a_size(typed: Any, unit: str, said: str | None) -> None:
    if said is None and typed != "-0,5":
        with pytest.raises(ValueError, match=r"type|write|choose|number"):
            as_said(typed, SIZE, unit)
    else:
        assert as_said(typed, SIZE, unit) == (said or "-0.5 mm")


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (91.2, 91.2), (91, 91), ("91,2", 91.2), ("91.0", 91.0), ("3 1/2 in", "3 1/2 in"), ("91.2 mm", "91.2 mm"),
        ("91.2; 91,3", [91.2, 91.3]), ("91.2;", [91.2]), (None, None), ("91.2; 3 5/8 in", [91.2, "3 5/8 in"]),
    ],
)  # fmt: skip
def test_a_reading(typed: Any, said: Any) -> None:
    assert reading(typed, "in") == said
    assert type(reading(typed, "in")) is type(said)


@pytest.mark.parametrize(
    ("typed", "degrees"),
    [(90, 90), ("90", 90), ("22,5", 22.5), ("90°", 90), ("3 o'clock", 90), ("12 o\u2019clock", 0), ("9h", 270)],
)
def test_a_place_on_the_clock(typed: Any, degrees: float) -> None:
    assert clock(typed) == degrees


def test_a_number_with_a_comma_is_one_number_and_a_text_is_none() -> None:
    assert (lone_number("0,054"), lone_number("1/2"), lone_number("x")) == (0.054, None, None)
    assert tidy("\u2212 2 ¼ in") == "- 2 1/4 in"


def test_what_is_written_into_a_cell_reads_back_or_is_not_written() -> None:
    asked = [*fields_of(JOB), *fields_of(BORES)]
    for one in asked:
        for value in [
            "90 mm",
            "90.0 mm",
            "yes",
            "no",
            "even",
            True,
            1,
            1.0,
            0.1 + 0.2,
            "",
            " a",
            "H8",
            {"lower": "0 mm", "upper": "1 mm"},
        ]:
            cell = as_cell(value, one, "mm")
            if cell is not None:
                assert (as_said(cell, one, "mm"), type(as_said(cell, one, "mm"))) == (value, type(value))


def test_words_are_taken_in_any_case_and_a_truth_of_the_spreadsheet_as_yes() -> None:
    found = taken(DOCUMENT, {"Bores!T5": "Unknown", "Bores!Q5": True, "Bores!M5": "EVEN ", "Job!B21": "Restricted"})
    assert found["bores"][0]["condition"]["cracks"] == "unknown"
    assert (found["bores"][0]["blind"], found["bores"][0]["wear"]) == (True, "even")
    assert found["site"]["access"] == "restricted"


def test_a_date_of_the_spreadsheet_is_a_date() -> None:
    assert taken(DOCUMENT, {"Job!B7": datetime.date(2027, 3, 8)})["start"] == "2027-03-08"


def test_what_a_workbook_holds_besides_values_is_told_by_its_name() -> None:
    cells = {
        "Readings!B8": "=90+1", "Readings!C8": "#REF!", "Readings!D8": datetime.datetime(2026, 3, 4),
        "Readings!E8": datetime.time(9, 8), "Job!B7": datetime.datetime(2027, 3, 8, 9, 30), "Bores!D5": True,
        "Bores!E5": "=D5",
    }  # fmt: skip
    with pytest.raises(DocumentError) as found:
        read(typed(intake_workbook(DOCUMENT), cells))
    assert {fault.path: fault.message.partition(";")[0].partition(" by ")[0] for fault in found.value.faults} == {
        "Readings!B8": "holds a formula",
        "Readings!C8": "holds the error #REF!",
        "Readings!D8": "was taken for the date 2026-03-04",
        "Readings!E8": "holds a time of day",
        "Job!B7": "holds a date with a time",
        "Bores!D5": "holds TRUE",
        "Bores!E5": "holds a formula",
    }


def test_a_blank_sheet_filled_by_hand_is_a_job() -> None:
    found = taken(
        None,
        {
            "Job!B5": 2041, "Job!B12": "Invented quarry", "Job!B20": "24,5", "Job!C20": "mile",
            "Bores!A5": "left", "Bores!C5": 0,
            "Bores!D5": "3 1/2", "Bores!D4": "in", "Bores!E5": 70, "Bores!F5": "0 to 0,054", "Bores!G5": "unknown",
            "Bores!A6": "right", "Bores!C6": 400, "Bores!D6": "90 mm", "Bores!E6": "70,0",
            "Bores!G6": "S355J2", "Bores!L6": 91.5,
            "Readings!B5": "left", "Readings!A8": 10, "Readings!B8": "90,1", "Readings!D8": 90.4,
            "Readings!A9": 60, "Readings!B9": 90.2, "Readings!D9": 90.6,
        },
    )  # fmt: skip
    assert found == {
        "reference": "2041",
        "customer": {"name": "Invented quarry"},
        "site": {"distance": "24.5 mile"},
        "bores": [
            {
                "name": "left", "line": "1", "position": "0 mm", "nominal_diameter": "3 1/2 in", "length": "70 mm",
                "tolerance": {"lower": "0 mm", "upper": "0.054 mm"}, "material": "unknown",
                "readings": {
                    "kind": "diameter", "clock": [0, 90], "depth": [10, 60],
                    "values": [[90.1, 90.4], [90.2, 90.6]], "unit": "mm",
                },
            },
            {
                "name": "right", "line": "1", "position": "400 mm", "nominal_diameter": "90 mm", "length": "70.0 mm",
                "material": "S355J2", "worn_diameter": "91.5 mm",
            },
        ],
    }  # fmt: skip


FAULTS: list[tuple[dict[str, Any], str, str]] = [
    ({"Readings!C8": 908}, "Readings!C8", "908 mm is ten times the nominal 90 mm: a decimal comma?"),
    ({"Readings!C8": 9080}, "Readings!C8", "9080 mm is a hundred times the nominal 90 mm: a decimal comma?"),
    ({"Readings!C8": "9,08"}, "Readings!C8", "9.08 mm is a tenth of the nominal 90 mm: a decimal comma?"),
    ({"Bores!D5": 9}, "Bores!D5", "9 mm: all 12 sizes read are off it alike"),
    ({"Readings!C8": 45.9}, "Readings!C8", "a radius, where a diameter is due?"),
    ({"Readings!C8": 3.62}, "Readings!C8", "inches typed as millimetres?"),
    ({"Readings!C8": 200}, "Readings!C8", "times the nominal size"),
    ({"Readings!C8": Odd("a formula")}, "Readings!C8", "holds a formula"),
    ({"Readings!C8": Odd("the error #REF!")}, "Readings!C8", "holds the error #REF!"),
    ({"Readings!C8": datetime.date(2026, 3, 4)}, "Readings!C8", "was taken for the date 2026-03-04"),
    ({"Readings!C8": Odd("a time of day")}, "Readings!C8", "holds a time of day"),
    ({"Readings!C8": "see photo"}, "Readings!C8", "is not a number with a unit"),
    ({"Readings!C8": None}, "Readings!C8", "is missing: read it again, or choose allowed"),
    ({"Readings!C7": None}, "Readings!C7", "at which place on the clock"),
    ({"Readings!C7": 0}, "Readings!B7", "two positions are the same"),
    ({"Readings!C7": 270}, "Readings!B7", "a diameter's clock covers 0 to 180 degrees"),
    ({"Readings!A8": None}, "Readings!A8", "how far from the face"),
    ({"Readings!A8": 350}, "Readings!A8", "lies beyond the bore's length"),
    ({"Readings!B5": None}, "Readings!B5", "which bore is this?"),
    ({"Readings!B5": "Z"}, "Readings!B5", "no bore 'Z' on sheet Bores"),
    ({"Readings!B5": "B"}, "Readings!B12", "bore B has a block above"),
    ({"Readings!E5": None}, "Readings!E5", "what was read?"),
    ({"Readings!H5": None}, "Readings!H5", "in which unit"),
    ({"Readings!H5": "kg"}, "Readings!H5", "is no unit that fits here; choose mm or in"),
    ({"Readings!B6": "warm"}, "Readings!B6", "is not a number with a unit"),
    ({"Bores!A5": None}, "Bores!A5", "give the bore a mark"),
    ({"Bores!A6": "A"}, "Bores!A6", "'A' stands above"),
    ({"Bores!D5": None}, "Bores!D5", "is missing"),
    ({"Bores!D5": True}, "Bores!D5", "holds TRUE"),
    ({"Bores!D4": "kg"}, "Bores!D4", "is no unit that fits here"),
    ({"Bores!D4": None}, "Bores!D5", "has no unit"),
    ({"Bores!D5": Odd("a formula")}, "Bores!D5", "holds a formula"),
    ({"Bores!F5": "H99"}, "Bores!F5", "near: H9"),
    ({"Bores!G5": "S355"}, "Bores!G5", "no steel named 'S355'; near: S355JR"),
    ({"Bores!H5": 80}, "Bores!H5", "must be larger than nominal_diameter"),
    ({"Bores!J5": "lug"}, "Bores!K5", "the nearest free edge"),
    ({"Bores!L5": 92}, "Readings!B5", "readings or worn_diameter, not both"),
    ({"Bores!T5": "maybe"}, "Bores!T5", "choose one from the list"),
    ({"Job!B5": None}, "Job!B5", "is missing"),
    ({"Job!B7": "8.3.2027"}, "Job!B7", "write year, month and day"),
    ({"Job!B7": 46089}, "Job!B7", "is no date"),
    ({"Job!B17": "lots"}, "Job!B17", "is no number"),
    ({"Job!B20": "-300"}, "Job!B20", "must be zero or more"),
    ({"Job!A5": "Number"}, "Job", "the row 'Reference' is gone"),
    ({"Bores!D3": "Size"}, "Bores", "its heads are not those of an intake sheet"),
]  # fmt: skip


@pytest.mark.parametrize(("cells", "at", "said"), FAULTS)
def test_a_fault_is_told_at_its_cell(cells: dict[str, Any], at: str, said: str) -> None:
    found = faults(DOCUMENT, cells)
    assert said in found.get(at, ""), found


def test_all_faults_are_told_at_once() -> None:
    found = faults(DOCUMENT, {"Readings!B8": 929, "Readings!C9": "x", "Bores!H5": "wide", "Job!B20": "far"})
    assert {"Readings!B8", "Readings!C9", "Bores!H5", "Job!B20"} <= set(found)


def test_what_stands_on_the_sheet_more_is_told_there() -> None:
    document = job(quick(90, 92, cleanup_allowance="0.5 mm"))
    assert "is not JSON" in faults(document, {"More!C4": "0.5 mm"})["More!C4"]
    assert "no bore 'Z'" in faults(document, {"More!A4": "Z"})["More!A4"]
    assert "is no key" in faults(document, {"More!B4": "a b"})["More!B4"]
    assert "stands on Bores!E5 as well" in faults(document, {"More!B4": "length"})["More!C4"]
    assert "must be 20 mm at most" in faults(document, {"More!C4": '"500 mm"'})["More!C4"]


def test_labels_are_told_apart_and_no_heading_is_taken_for_one() -> None:
    for groups in (JOB, BORES):
        labels = [one.label for one in fields_of(groups)]
        assert len(set(labels)) == len(labels)
    assert not {group.name for group in JOB} & {one.label for one in fields_of(JOB)}
