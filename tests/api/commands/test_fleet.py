"""The command fleet, run as a user runs it."""

import io
import json
from pathlib import Path

import openpyxl
import pytest
from typer.testing import CliRunner

from api.commands import app
from api.commands import fleet as room
from estimator.book.pricebook import read_pricebook

LIST = str(Path(__file__).resolve().parents[3] / "sample_jobs" / "fleet.csv")
RUN = CliRunner()
HEAD = "machine,bore,nominal_diameter [mm],length [mm],worn_diameter [mm],read_at [h]\n"


def listed(folder: Path, text: str, name: str = "list.csv") -> str:
    """Return the path of a list that was written."""
    path = folder / name
    path.write_text(text, "utf-8")
    return str(path)


def test_a_list_is_answered_as_a_page_and_a_workbook(tmp_path: Path) -> None:
    out = tmp_path / "fleet.xlsx"
    done = RUN.invoke(app, ["fleet", LIST, "--out", str(out), "--budget", "20000 EUR", "--crew-hours", "80 h"])
    assert done.exit_code == 0, done.output
    assert "THIS SHUTDOWN" in done.stdout
    assert "DEMO PRICES" in done.stdout
    rows = list(openpyxl.load_workbook(io.BytesIO(out.read_bytes())).worksheets[0].values)
    assert [row[0] for row in rows[3:5]] == ["CR-02", "CR-02"]
    assert rows[3][3] == "stop"
    assert len(rows) == 43


def test_a_bad_row_is_told_on_standard_error_and_the_rest_is_answered(tmp_path: Path) -> None:
    path = listed(tmp_path, f"{HEAD}E,A,90,70,92,8000\nE,B,90,70,,8000\n")
    done = RUN.invoke(app, ["fleet", path, "--json"])
    assert done.exit_code == 0
    found = json.loads(done.stdout)
    assert "window" not in found
    assert [row["bore"] for row in found["rows"]] == ["A"]
    assert f"{path}: line 3: set aside: worn_diameter: is missing" in done.stderr


WRONG = [
    (f"{HEAD}E,B,90,70,,8000\n", [], "no row could be answered"),
    ("machine;bore\n", [], "is missing"),
    (f"{HEAD}E,A,90,70,92,8000\n", ["--budget", "20000 USD"], "--budget: USD is not the price book's currency"),
    (f"{HEAD}E,A,90,70,92,8000\n", ["--crew-hours", "80"], "--crew-hours"),
]


@pytest.mark.parametrize(("text", "more", "said"), WRONG)
def test_a_wrong_list_ends_with_a_line(tmp_path: Path, text: str, more: list[str], said: str) -> None:
    done = RUN.invoke(app, ["fleet", listed(tmp_path, text), *more])
    assert done.exit_code == 2
    assert said in done.stderr


def test_parquet_is_not_built_yet(tmp_path: Path) -> None:
    for text, name in (("anything", "list.parquet"), ("PAR1anything", "list.csv")):
        done = RUN.invoke(app, ["fleet", listed(tmp_path, text, name)])
        assert (done.exit_code, "not built yet" in done.stderr) == (2, True)


def test_several_processes_answer_as_one_does(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = listed(tmp_path, HEAD + "".join(f"E,B{n},90,70,{91 + n / 10},8000\n" for n in range(6)))
    one = RUN.invoke(app, ["fleet", path, "--json"])
    monkeypatch.setattr(room, "FEW", 1)
    monkeypatch.setattr("api.work.pool.cores", lambda: 2)
    assert RUN.invoke(app, ["fleet", path, "--json"]).stdout == one.stdout
    with room._workers(None, read_pricebook(), 1) as work:
        assert list(work([])) == []
