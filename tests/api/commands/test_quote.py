"""`boreworth quote`: a workbook or a letter, by the ending of the name; any other ending is a fault."""

import datetime
import json
from pathlib import Path

import pytest

from exports.papers import letter as papers
from exports.papers.customer_book import customer_book
from tests.api.commands.test_commands import run, saved
from tests.api.service import job
from tests.exports.papers.printed import said


@pytest.fixture
def good(tmp_path: Path) -> Path:
    return saved(tmp_path / "good.json", job())


@pytest.mark.office
@pytest.mark.parametrize(("language", "word"), [("en", "DRAFT, not issued"), ("de", "ENTWURF, nicht ausgestellt")])
def test_a_name_that_ends_in_pdf_gets_the_letter(good: Path, tmp_path: Path, language: str, word: str) -> None:
    out = tmp_path / "QUOTE.PDF"
    done = run("quote", good, "--out", out, "--language", language, "--json")
    assert done.exit_code == 0, done.stderr
    found = json.loads(done.stdout)
    assert (found["file"], found["sheets"]) == (str(out), [])
    assert word in said(out.read_bytes())
    assert out.read_bytes() == papers.letter(found["estimate"], datetime.date.today(), None, language)


@pytest.mark.parametrize("name", ["quote.docx", "quote", "quote.pdf.txt", "pdf", ".pdf/quote"])
def test_any_other_ending_is_a_fault(good: Path, tmp_path: Path, name: str) -> None:
    done = run("quote", good, "--out", tmp_path / name)
    assert (done.exit_code, done.stdout) == (2, "")
    (line,) = done.stderr.splitlines()
    assert line.startswith(f"{tmp_path / name}: ") and ".xlsx or .pdf" in line
    assert [path.name for path in tmp_path.iterdir()] == ["good.json"]


def test_a_language_that_is_not_there_is_a_fault(good: Path, tmp_path: Path) -> None:
    done = run("quote", good, "--out", tmp_path / "q.pdf", "--language", "xx")
    assert (done.exit_code, done.stdout) == (2, "")
    assert "'xx' is none of en, de" in done.stderr


def test_a_workbook_is_written_as_before(good: Path, tmp_path: Path) -> None:
    out = tmp_path / "q.xlsx"
    assert run("quote", good, "--out", out).exit_code == 0
    assert out.read_bytes().startswith(b"PK")


def test_a_workbook_for_the_customer_stands_alone(good: Path, tmp_path: Path) -> None:
    out = tmp_path / "q.xlsx"
    done = run("quote", good, "--out", out, "--for", "customer", "--language", "de", "--json")
    assert done.exit_code == 0, done.stderr
    found = json.loads(done.stdout)
    assert found["sheets"] == ["Angebot", "Maße", "Messwerte"]
    assert out.read_bytes() == customer_book(found["estimate"], datetime.date.today(), None, "de")


@pytest.mark.parametrize("more", [("--for", "nobody"), ("--for", "customer", "--language", "xx")])
def test_a_workbook_for_whom_nobody_knows_is_a_fault(good: Path, tmp_path: Path, more: tuple[str, ...]) -> None:
    done = run("quote", good, "--out", tmp_path / "q.xlsx", *more)
    assert (done.exit_code, done.stdout, (tmp_path / "q.xlsx").exists()) == (2, "", False)
