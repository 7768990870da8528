"""The commands: data to standard output, faults one a line to standard error, the exit code; never a traceback."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from api.commands import app
from estimator.book.pricebook import builtin_document, read_pricebook
from estimator.estimate import DETAILS, Detail, estimate
from exports.format import by_grade
from tests.api.service import SAMPLES, job, refused_job

COMMAND = [sys.executable, "-m", "api.commands"]
ROOT = SAMPLES.parent
SAMPLE = min(SAMPLES.glob("*.json"))


def run(*words: object) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


def saved(path: Path, document: object) -> Path:
    path.write_text(json.dumps(document), encoding="utf-8")
    return path


@pytest.fixture
def good(tmp_path: Path) -> Path:
    return saved(tmp_path / "good.json", job())


def test_json_is_the_document_of_the_engine_and_nothing_else() -> None:
    done = run("estimate", SAMPLE, "--json")
    expected = estimate(SAMPLE.read_bytes(), read_pricebook())
    assert (done.exit_code, json.loads(done.stdout)) == (0, expected)
    assert done.stderr.splitlines() == [f"{SAMPLE}: note: {warning}" for warning in by_grade(expected)]


def test_the_page_is_made_in_the_units_asked_for(good: Path) -> None:
    metric, american = run("estimate", good), run("estimate", good, "--units", "us")
    assert (metric.exit_code, american.exit_code) == (0, 0)
    assert metric.stdout.strip()
    assert metric.stdout != american.stdout
    assert metric.stdout == run("estimate", good, "--units", "metric").stdout


def test_each_fault_is_a_line_that_begins_with_file_and_place(tmp_path: Path) -> None:
    bad = saved(tmp_path / "bad.json", job(length=70, material="S355J3"))
    done = run("estimate", bad)
    lines = done.stderr.splitlines()
    assert (done.exit_code, done.stdout, len(lines)) == (2, "", 2)
    assert lines[0].startswith(f"{bad}: bore A, length: ")
    assert lines[1].startswith(f"{bad}: bore A, material: no steel named 'S355J3'; near: ")
    assert "S355J2" in lines[1]


def test_a_fault_of_the_whole_document_has_no_path(tmp_path: Path) -> None:
    bad = tmp_path / "bad.json"
    bad.write_text("[1]", encoding="utf-8")
    done = run("estimate", bad)
    assert (done.exit_code, done.stderr) == (
        2,
        f"{bad}: an object is due: the document begins with {{ and ends with }}\n",
    )


def test_a_fault_stays_on_its_line_and_sends_no_escape_to_the_terminal(tmp_path: Path) -> None:
    bad = saved(tmp_path / "bad.json", job() | {"ke\ny\x1b[31m": 1})
    done = run("estimate", bad)
    assert (done.exit_code, done.stderr.count("\n")) == (2, 1)
    assert done.stderr.startswith(f"{bad}: the key 'ke\\ny\\x1b[31m' holds the control or direction character U+001B")


def test_a_job_that_must_not_be_welded_ends_with_1_and_its_reasons(tmp_path: Path) -> None:
    bad = saved(tmp_path / "cracked.json", refused_job())
    done = run("estimate", bad, "--json")
    assert (done.exit_code, done.stdout) == (1, "")
    assert done.stderr.startswith(f"{bad}: bore A, condition, cracks: ")


@pytest.mark.parametrize("command", ["estimate", "explain"])
def test_a_file_that_cannot_be_read_is_said_in_one_line(tmp_path: Path, command: str) -> None:
    rest = ["price.total"] if command == "explain" else []
    for file, said in [(tmp_path / "none.json", "no such file or directory"), (tmp_path, "is a directory")]:
        done = run(command, file, *rest)
        assert (done.exit_code, done.stdout, done.stderr) == (2, "", f"{file}: {said}\n")


def test_a_file_larger_than_a_document_is_refused(tmp_path: Path) -> None:
    large = tmp_path / "large.json"
    large.write_bytes(b" " * (2 * 1024 * 1024 + 1))
    done = run("estimate", large)
    assert (done.exit_code, done.stderr) == (2, f"{large}: the document is larger than 2 MB\n")


@pytest.mark.parametrize("detail", DETAILS)
def test_a_detail_asked_for_is_printed(good: Path, detail: Detail) -> None:
    done = run("estimate", good, "--json", "--detail", detail)
    assert (done.exit_code, json.loads(done.stdout)) == (0, estimate(good.read_bytes(), read_pricebook(), detail))


def test_a_detail_goes_with_json_alone(good: Path) -> None:
    done = run("estimate", good, "--detail", "full")
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith("boreworth estimate: --detail: goes with --json")


def test_the_whole_page_shows_what_was_weighed_beside(good: Path) -> None:
    short, whole = run("estimate", good).stdout, run("estimate", good, "--full").stdout
    assert "Alternatives:" in whole
    assert "Alternatives:" not in short


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--spread", "1"], "--spread: 1 days; 2 to 1000000"),
        (["--spread", "9", "--json", "--detail", "price"], "--spread: goes with --detail plan or full"),
    ],
)
def test_a_spread_that_cannot_be_is_said(good: Path, words: list[str], said: str) -> None:
    done = run("estimate", good, *words)
    assert (done.exit_code, done.stdout, done.stderr) == (2, "", f"boreworth estimate: {said}\n")


@pytest.mark.parametrize(
    "words",
    [
        [],
        ["estimat"],
        ["estimate"],
        ["estimate", "x", "--bad"],
        ["estimate", "x", "--units", "feet"],
        ["serve", "--port", "70000"],
        ["pricebook"],
    ],
)
def test_a_wrong_use_ends_with_2(words: list[str]) -> None:
    done = run(*words)
    assert done.exit_code == 2
    assert "Usage" in done.output


# ---------------------------------------------------------------- price book


def test_the_written_book_is_the_built_in_one_and_changes_nothing(tmp_path: Path, good: Path) -> None:
    out = tmp_path / "book.json"
    assert run("pricebook", "--out", out).exit_code == 0
    assert json.loads(out.read_text("utf-8")) == builtin_document()
    assert run("pricebook", "--out", "-").stdout == out.read_text("utf-8")
    assert run("estimate", good, "--json", "--pricebook", out).stdout == run("estimate", good, "--json").stdout


def test_a_partial_book_is_laid_over_the_built_in_one(tmp_path: Path, good: Path) -> None:
    part = saved(tmp_path / "part.json", {"tax": 0.5})
    before, after = (run("estimate", good, "--json", *words) for words in ([], ["--pricebook", part]))
    prices = [json.loads(done.stdout)["price"] for done in (before, after)]
    assert prices[0]["before_tax"] == prices[1]["before_tax"]
    assert float(prices[1]["tax"]) == pytest.approx(0.5 * float(prices[1]["before_tax"]), abs=0.01)


@pytest.mark.parametrize("command", ["estimate", "explain"])
def test_a_fault_of_the_book_begins_with_the_file_of_the_book(tmp_path: Path, good: Path, command: str) -> None:
    part = saved(tmp_path / "part.json", {"tacks": 0.5})
    rest = ["price.total"] if command == "explain" else []
    done = run(command, good, *rest, "--pricebook", part)
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith(f"{part}: tacks: unknown key")


def test_a_file_is_written_whole_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = tmp_path / "book.json"
    out.write_text("as it was", encoding="utf-8")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    done = run("pricebook", "--out", out, "--force")
    assert (done.exit_code, done.stderr) == (2, f"{out}: no space left on device\n")
    assert [(path.name, path.read_text("utf-8")) for path in tmp_path.iterdir()] == [("book.json", "as it was")]


def test_a_book_of_ones_own_is_not_written_over(tmp_path: Path) -> None:
    out = tmp_path / "book.json"
    assert [run("pricebook", "--out", out).exit_code for _ in range(2)] == [0, 0]
    out.write_text("{}", encoding="utf-8")
    done = run("pricebook", "--out", out)
    assert (done.exit_code, out.read_text("utf-8")) == (2, "{}")
    assert "--force" in done.stderr
    assert run("pricebook", "--out", out, "--force").exit_code == 0
    assert json.loads(out.read_text("utf-8")) == builtin_document()


def test_an_output_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    for out, said in [(tmp_path / "no" / "b.json", "no such file or directory"), (tmp_path, "is a directory")]:
        done = run("pricebook", "--out", out)
        assert (done.exit_code, done.stderr) == (2, f"{out}: {said}\n")


def test_a_link_stays_a_link_and_a_device_a_device(tmp_path: Path) -> None:
    real, link = tmp_path / "real.json", tmp_path / "link.json"
    link.symlink_to(real)
    assert run("pricebook", "--out", link).exit_code == 0
    assert link.is_symlink()
    assert json.loads(real.read_text("utf-8")) == builtin_document()
    pipe, write_end = os.pipe()
    done = subprocess.run(
        [*COMMAND, "pricebook", "--out", f"/dev/fd/{write_end}"], cwd=ROOT, check=False, pass_fds=[write_end]
    )
    os.close(write_end)
    with os.fdopen(pipe, "rb") as read_end:
        assert (done.returncode, json.loads(read_end.read())) == (0, builtin_document())


# ---------------------------------------------------------------- as a process


def test_the_command_itself_writes_utf8_wherever_it_runs(tmp_path: Path) -> None:
    named = saved(tmp_path / "named.json", job(name="Größe 90"))
    plain = {**os.environ, "LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    done = subprocess.run(
        [*COMMAND, "estimate", named, "--json"], cwd=ROOT, env=plain, check=False, capture_output=True
    )
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout.decode("utf-8"))["bores"][0]["name"] == "Größe 90"
    page = subprocess.run([*COMMAND, "estimate", named], cwd=ROOT, env=plain, check=False, capture_output=True)
    assert (page.returncode, page.stderr) == (0, b"")


def test_a_reader_that_stops_early_is_no_fault() -> None:
    read_end, write_end = os.pipe()
    os.close(read_end)
    with os.fdopen(write_end, "wb") as closed:
        done = subprocess.run(
            [*COMMAND, "pricebook", "--out", "-"], cwd=ROOT, check=False, stdout=closed, stderr=subprocess.PIPE
        )
    assert (done.returncode, done.stderr) == (0, b"")


def test_a_full_disk_is_said_in_one_line() -> None:
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [*COMMAND, "pricebook", "--out", "-"], cwd=ROOT, check=False, stdout=full, stderr=subprocess.PIPE
        )
    assert (done.returncode, done.stderr) == (2, b"standard output: no space left on device\n")


def test_the_version_is_the_one_in_the_estimate() -> None:
    done = subprocess.run([*COMMAND, "--version"], cwd=ROOT, check=False, capture_output=True, text=True)
    assert (done.returncode, done.stdout.strip()) == (0, estimate(job(), read_pricebook())["engine"])


BROKEN = """
import sys
import estimator.estimate

def broken(*_):
    raise ZeroDivisionError("division by zero")

estimator.estimate.estimate = broken
from api.commands import main

main()
"""


def test_a_defect_is_told_in_one_line_with_its_place() -> None:
    done = subprocess.run(
        [sys.executable, "-c", BROKEN, "estimate", str(SAMPLE)], cwd=ROOT, check=False, capture_output=True, text=True
    )
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr == "boreworth: a defect of the program, at <string>:6: ZeroDivisionError: division by zero\n"
