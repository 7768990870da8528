"""`boreworth intake` and `boreworth read` of a workbook: a sheet out, a job back, one line a fault."""

import json
from pathlib import Path
from typing import Any

import pytest

from estimator.strict import parse, sha256
from exports.intake.form import intake_workbook
from tests.api.commands.test_commands import run
from tests.api.service import SAMPLES
from tests.exports.intake.sheets import read as read_sheet
from tests.exports.intake.sheets import typed
from tests.jobs import bore, job

FOOT = SAMPLES / "boom_foot.json"


def test_a_job_goes_out_and_comes_back(tmp_path: Path) -> None:
    sheet, back = tmp_path / "sheet.xlsx", tmp_path / "back.json"
    assert run("intake", FOOT, "--out", sheet).exit_code == 0
    done = run("read", sheet, "--out", back)
    assert (done.exit_code, done.stderr) == (0, "")
    assert sha256(parse(back.read_bytes())) == sha256(parse(FOOT.read_bytes()))


def test_a_blank_sheet_is_written_in_either_units(tmp_path: Path) -> None:
    for name, more in (("a.xlsx", ()), ("b.XLSX", ("--inch",))):
        assert run("intake", "--out", tmp_path / name, *more).exit_code == 0
    assert (tmp_path / "a.xlsx").read_bytes() == intake_workbook()
    assert (tmp_path / "b.XLSX").read_bytes() == intake_workbook(None, us=True)


def test_what_is_not_known_yet_stays_empty(tmp_path: Path) -> None:
    known: dict[str, Any] = {"reference": "K-1", "bores": [bore(readings=None, material=None)]}
    file, sheet = tmp_path / "known.json", tmp_path / "sheet.xlsx"
    file.write_text(json.dumps(known), "utf-8")
    assert run("intake", file, "--out", sheet).exit_code == 0
    filled = typed(sheet.read_bytes(), {"Bores!G5": "S355J2", "Readings!A8": 10, "Readings!B8": 92, "Readings!C8": 91})
    assert read_sheet(filled)["bores"][0]["readings"]["values"] == [[92, 91]]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["intake", "--out", "x.xls"], "boreworth intake: --out: 'x.xls' must end in .xlsx, or in .pdf to print it\n"),
        (["intake", "--out", "-"], "boreworth intake: --out: '-' must end in .xlsx, or in .pdf to print it\n"),
        (["intake", "none.json", "--out", "x.xlsx"], "none.json: no such file or directory\n"),
        (["read", "none.xlsx", "--out", "-"], "none.xlsx: no such file or directory\n"),
        (["read", "a.xlsm", "--out", "-"], "boreworth read: a.xlsm: a filled sheet is read as .xlsx; save it as one\n"),
        (
            ["read", "a.xlsx", "--out", "-", "--nominal", "90 mm"],
            "boreworth read: --nominal: goes with points; leave it out\n",
        ),
    ],
)
def test_what_cannot_be_done_is_said_in_one_line(words: list[str], said: str) -> None:
    done = run(*words)
    assert (done.exit_code, done.stdout, done.stderr) == (2, "", said)


def test_a_wrong_job_gives_no_sheet(tmp_path: Path) -> None:
    file = tmp_path / "wrong.json"
    file.write_text(json.dumps(job(bore(length="70 kg"))), "utf-8")
    done = run("intake", file, "--out", tmp_path / "sheet.xlsx")
    assert (done.exit_code, (tmp_path / "sheet.xlsx").exists()) == (2, False)
    assert "bore A, length: " in done.stderr


def test_each_fault_is_a_line_with_its_cell(tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.xlsx"
    sheet.write_bytes(typed(intake_workbook(job(bore())), {"Readings!D8": 908, "Readings!E8": "x"}))
    done = run("read", sheet, "--out", tmp_path / "back.json")
    assert (done.exit_code, done.stdout, (tmp_path / "back.json").exists()) == (2, "", False)
    lines = done.stderr.splitlines()
    assert f"{sheet}: Readings!D8: 908 mm is ten times the nominal 90 mm: a decimal comma?" in lines
    assert len(lines) == 2


def test_what_is_no_workbook_is_a_fault(tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.xlsx"
    sheet.write_bytes(b"x,y,z\n")
    done = run("read", sheet, "--out", "-")
    assert (done.exit_code, done.stderr) == (2, f"{sheet}: is no .xlsx workbook\n")
    assert run("read", sheet, "--out", sheet).exit_code == 2


def test_a_record_goes_into_a_file_of_its_own(tmp_path: Path) -> None:
    sheet, back, record = tmp_path / "sheet.xlsx", tmp_path / "back.json", tmp_path / "record.json"
    sheet.write_bytes(typed(intake_workbook(job(bore())), {"Record!B3": 100001, "Record!C15": 34}))
    told = run("read", sheet, "--out", back)
    assert (told.exit_code, told.stderr) == (
        0,
        f"{sheet}: Record: is filled in; --record RECORD.json writes it as well\n",
    )
    assert run("read", sheet, "--out", back, "--record", record).stderr == ""
    assert json.loads(record.read_text("utf-8")) == {"quote": "100001", "bores": [{"name": "A", "arc_time": "34 min"}]}
    sheet.write_bytes(intake_workbook(job(bore())))
    done = run("read", sheet, "--out", back, "--record", record)
    assert (done.exit_code, done.stderr) == (2, f"{sheet}: Record: nothing is filled in; leave --record out\n")
    done = run("read", tmp_path / "points.csv", "--out", back, "--record", record)
    assert (done.exit_code, done.stderr) == (2, "boreworth read: --record: goes with a filled sheet; leave it out\n")
