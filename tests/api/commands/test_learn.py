"""`boreworth learn` and `estimate --calibration`: files in, a calibration out, an estimate by it."""

import json
from pathlib import Path
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from tests.api.commands.test_commands import run
from tests.estimator.learn.test_make import records
from tests.jobs import job


@pytest.fixture
def actuals(tmp_path: Path) -> Path:
    file = tmp_path / "actuals.json"
    file.write_text(json.dumps(records(12, 1.4, 1, wire="900 kg")), "utf-8")
    return file


def test_records_become_a_calibration_and_an_estimate_takes_it(actuals: Path, tmp_path: Path) -> None:
    out, chart = tmp_path / "calibration.json", tmp_path / "chart.svg"
    done = run("learn", actuals, "--out", out, "--json", "--chart", chart)
    assert done.exit_code == 0
    assert done.stderr == f"{actuals}: T-0, bore A: 900 kg of wire for 0.96 kg expected: grams?\n"
    found: Any = json.loads(done.stdout)
    assert found == json.loads(out.read_text("utf-8"))
    assert {"factors", "back_test", "asked_about"} <= set(found)
    assert chart.read_text("utf-8").startswith("<?xml")
    file = tmp_path / "job.json"
    file.write_text(json.dumps(job()), "utf-8")
    after: Any = json.loads(run("estimate", file, "--calibration", out, "--json").stdout)
    before: Any = json.loads(run("estimate", file, "--json").stdout)
    ratio = after["bores"][0]["time"]["setup_min"] / before["bores"][0]["time"]["setup_min"]
    assert ratio == pytest.approx(found["factors"][0]["ratio"], rel=1e-6)
    assert "by calibration of a file: setup x" in " ".join(run("estimate", file, "--calibration", out).stdout.split())


def test_the_page_is_printed_and_the_same_records_give_the_same_bytes(actuals: Path, tmp_path: Path) -> None:
    out, again = tmp_path / "one.json", tmp_path / "two.json"
    assert "WHAT THIS SHOP TAKES" in run("learn", actuals, "--out", out).stdout
    run("learn", actuals, "--out", again)
    assert out.read_bytes() == again.read_bytes()


def test_a_wrong_file_is_told_line_by_line(tmp_path: Path) -> None:
    file = tmp_path / "wrong.json"
    file.write_text('{"jobs": [{"job": {}, "actuals": {}}]}', "utf-8")
    done = run("learn", file, "--out", tmp_path / "x.json")
    assert (done.exit_code, done.stdout) == (2, "")
    assert f"{file}: jobs.0.job.reference: is missing" in done.stderr
    good = tmp_path / "job.json"
    good.write_text(json.dumps(job()), "utf-8")
    file.write_text('{"factors": [{"element": "setup"}]}', "utf-8")
    done = run("estimate", good, "--calibration", file)
    assert (done.exit_code, done.stdout) == (2, "")
    assert f"{file}: factors.0.jobs: is missing" in done.stderr
    assert read_pricebook().calibration is None
