"""`boreworth pricebook`: ten questions to a book, by pipe, by file; two books compared for a job."""

import json
from pathlib import Path

from typer.testing import CliRunner

from api.commands import app
from estimator.book.pricebook import read_pricebook
from estimator.book.questions import book_from

SAMPLES = Path(__file__).resolve().parents[3] / "sample_jobs"
FOOT, INCH = str(SAMPLES / "boom_foot.json"), str(SAMPLES / "dozer_cut.json")
RUN = CliRunner()


def test_a_pipe_answers_line_by_line_and_what_is_left_is_the_built_in_book(tmp_path: Path) -> None:
    out = tmp_path / "mine.json"
    said = RUN.invoke(app, ["pricebook", "--ask", "--out", str(out)], input="CHF 0.94 2026-11-30\n71,50\n\n0.91\n")
    assert said.exit_code == 0 and "prices are still invented" in said.stderr
    answers = {"currency": "CHF 0.94 2026-11-30", "wage": "71,50", "km": "0.91"}
    assert json.loads(out.read_text("utf-8")) == book_from(answers)
    done = RUN.invoke(app, ["estimate", INCH, "--pricebook", str(out)])
    assert done.exit_code == 0 and "CHF" in done.stdout and "DEMO" in done.stdout


def test_a_file_answers_by_question_and_a_wrong_answer_is_told_at_its_question(tmp_path: Path) -> None:
    file, out = tmp_path / "answers.json", tmp_path / "mine.json"
    file.write_text(json.dumps({"wage": "71.50", "tax": "19 %"}), "utf-8")
    assert RUN.invoke(app, ["pricebook", "--answers", str(file), "--out", str(out)]).exit_code == 0
    assert read_pricebook(out.read_bytes()).tax == 0.19
    file.write_text(json.dumps({"wage": "x", "tax": "-"}), "utf-8")
    done = RUN.invoke(app, ["pricebook", "--answers", str(file), "--out", str(out), "--force"])
    assert done.exit_code == 2
    assert [line.split(": ")[1] for line in done.stderr.splitlines()] == ["wage", "tax"]
    many = RUN.invoke(app, ["pricebook", "--ask", "--out", str(out), "--force"], input="\n" * 11)
    assert (many.exit_code, "11 lines" in many.stderr) == (2, True)


def test_two_books_are_compared_in_words_and_in_money(tmp_path: Path) -> None:
    other = tmp_path / "other.json"
    other.write_text(json.dumps({"margin": 0.3, "travel": {"night": "140.00 EUR"}}), "utf-8")
    asked = ["pricebook", "--against", str(other), "--job", FOOT]
    page, found = RUN.invoke(app, asked), json.loads(RUN.invoke(app, [*asked, "--json"]).stdout)
    assert page.exit_code == 0 and "WHAT MOVED THE PRICE" in page.stdout and "margin" in page.stdout
    assert {key for cause in found["causes"] for key in cause["keys"]} == {
        "pricebook: margin",
        "pricebook: travel.night",
    }
    other.write_text(json.dumps({"currency": "CHF", "converted": {"rate": 0.94, "on": "2026-11-30"}}), "utf-8")
    for words in (asked[:3], asked):
        assert RUN.invoke(app, words).exit_code == 2
