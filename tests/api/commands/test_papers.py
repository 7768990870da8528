"""Papers and pages as a person types the command: warnings by grade, units as the job was typed or as asked."""

import json
from pathlib import Path

from typer.testing import CliRunner, Result

from api.commands import app
from tests import jobs
from tests.api.service import SAMPLES


def run(*words: object) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


def saved(path: Path, document: object) -> Path:
    path.write_text(json.dumps(document), encoding="utf-8")
    return path


def test_a_warning_is_named_by_how_grave_it_is(tmp_path: Path) -> None:
    condition = {"cracks": "unknown", "welded_before": "no", "hardened": "no", "coated": "no", "bush": "no"}
    grave = jobs.job(jobs.bore(condition={**condition, "duty": "lifting"}, length="70 cm"))
    file = saved(tmp_path / "grave.json", grave)
    said = run("quote", file, "--out", tmp_path / "q.xlsx").stderr.splitlines()
    names = [one.removeprefix(f"{file}: ").partition(":")[0] for one in said if one.startswith(f"{file}: ")]
    grades = [name.partition(" by ")[0] for name in names]  # an approval names who decides
    assert list(dict.fromkeys(grades)) == ["stop", "approval required", "check", "note"]


def test_pages_and_papers_are_in_the_units_that_the_job_was_typed_in(tmp_path: Path) -> None:
    inch, metric = SAMPLES / "inch_bucket.json", SAMPLES / "boom_foot.json"
    assert run("estimate", inch).stdout == run("estimate", inch, "--units", "us").stdout
    assert run("estimate", inch).stdout != run("estimate", inch, "--units", "metric").stdout
    assert run("estimate", metric).stdout == run("estimate", metric, "--units", "metric").stdout
    for command in ("quote", "cards"):
        books = {}
        for units in ([], ["--units", "us"], ["--units", "metric"]):
            file = tmp_path / "book.xlsx"
            assert run(command, inch, "--out", file, *units).exit_code == 0
            books[units[-1] if units else ""] = file.read_bytes()
        assert books[""] == books["us"] != books["metric"]
