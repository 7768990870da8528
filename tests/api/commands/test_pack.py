"""`boreworth pack`: one PDF for one job or several; any other ending is a fault."""

from pathlib import Path

import pytest

from tests.api.commands.test_commands import run, saved
from tests.api.service import job, refused_job
from tests.exports.papers.printed import said


@pytest.mark.office
def test_several_jobs_make_one_pack(tmp_path: Path) -> None:
    jobs = [saved(tmp_path / f"{name}.json", job() | {"reference": name}) for name in ("T-1", "T-2")]
    out = tmp_path / "pack.pdf"
    done = run("pack", *jobs, "--out", out)
    assert (done.exit_code, done.stdout) == (0, ""), done.stderr
    text = said(out.read_bytes())
    assert "Work pack T-1, T-2" in text and "Parts to take, for all jobs together" in text
    assert "T-1, day 1" in text and "T-2, day 1" in text
    assert f"{out}: work pack for T-1, T-2" in done.stderr


def test_any_other_ending_is_a_fault(tmp_path: Path) -> None:
    good = saved(tmp_path / "good.json", job())
    done = run("pack", good, "--out", tmp_path / "pack.xlsx")
    assert (done.exit_code, done.stdout) == (2, "")
    assert "ends in .xlsx; write a name that ends in .pdf" in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["good.json"]


def test_a_job_that_must_not_be_welded_has_no_pack(tmp_path: Path) -> None:
    bad = saved(tmp_path / "bad.json", refused_job())
    done = run("pack", bad, "--out", tmp_path / "pack.pdf")
    assert done.exit_code == 1 and not (tmp_path / "pack.pdf").exists()
