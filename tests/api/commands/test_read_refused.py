"""What `boreworth read` refuses: every bad file and bad bore is told by row, and nothing is left behind."""

import contextlib
import io
import json
import os
import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.errors import DocumentError
from estimator.scan.table import read_points
from tests.api.commands.test_read import FACTS, FOOT, HEAD, PLACE, POINTS, ROWS, SEMI, run, saved
from tests.estimator.geometry.points import Array, arm, offset, rows_of, scattered


def told(path: Path, text: str | bytes, *words: object) -> list[str]:
    """Return what is said of a bad file, which must leave nothing behind."""
    file = path / "points.csv"
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    out = path / "job.json"
    done = run(file, "--out", out, *(words or FACTS))
    assert (done.exit_code, done.stdout, out.exists()) == (2, "", False), done.output
    lines = done.stderr.splitlines()
    assert lines
    assert all(line.startswith((f"{file}: ", "boreworth read: ")) for line in lines), lines
    return [line.removeprefix(f"{file}: ") for line in lines]


def rows(points: Array, unit: float = 1e-3) -> str:
    return "\n".join([HEAD, *rows_of(points, unit)])


def test_more_than_a_million_points_are_refused(tmp_path: Path) -> None:
    (line,) = told(tmp_path, HEAD + "\n" + "1,2,3\n" * 1_000_001)
    assert line == "holds more than 1000000 points; thin them before"


def test_a_direction_that_is_none_is_told(tmp_path: Path) -> None:
    text = rows(arm(POINTS, *PLACE))
    assert told(tmp_path, text, *FACTS, "--up", "1,0.2,0.1")[0].startswith("--up: up points along the axis")
    for option in ("--up", "--worn-side"):
        for said in ("nan,0,1", "0,0,0", "1,2", "up", "1e999,0,0"):
            assert f"{option}: {said!r} is no direction" in told(tmp_path, text, *FACTS, option, said)[0]


def _changed(row: int, text: str) -> str:
    lines = [HEAD, *ROWS]
    lines[row - 1] = text
    return "\n".join(lines)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "is empty; a header row"),
        ("\n\n \n", "is empty; a header row"),
        (HEAD, "row 2: no point follows the header"),
        ("\n".join(ROWS), "row 1: is no header; write x [mm],y [mm],z [mm]"),
        ("\n".join(["x,y,z", *ROWS]), "row 1: the unit is not said; write it in the header"),
        ("\n".join(["x [mm],y [mm]", *ROWS]), "row 1: has no column z"),
        ("\n".join(["x [mm],y [mm],y [mm],z [mm]", *ROWS]), "row 1: the column y stands twice"),
        ("\n".join(["x [kg],y [mm],z [mm]", *ROWS]), "row 1: 'kg' is no unit of length"),
        ("\n".join([HEAD + ",lable", *ROWS]), "row 1: unknown column 'lable'; did you mean 'label'?"),
        (_changed(17, "1,2"), "row 17: has 2 cells where the header has 3"),
        (_changed(17, "1,5,2,5,3,5"), "row 17: has 6 cells where the header has 3; with decimal commas"),
        (_changed(17, "1e999,2,3"), "row 17: x '1e999' is no finite number"),
        (_changed(17, "45.1,NaN,3"), "row 17: y 'NaN' is no finite number"),
        (_changed(17, "45.1,-inf,3"), "row 17: y '-inf' is no finite number"),
        (_changed(17, "45.1,,3"), "row 17: y is empty"),
        (_changed(17, "4_5.1,0,3"), "row 17: x '4_5.1' is no finite number"),
        (_changed(17, "0x2d,0,3"), "row 17: x '0x2d' is no finite number"),
        (_changed(17, "=A1,0,3"), "row 17: x '=A1' is no finite number"),
        (_changed(17, "1e9,0,3"), "row 17: lies farther off than 1 km"),
        (_changed(17, '45.1,"0,3'), "row 17: is no CSV"),
        (_changed(17, "9" * 200_000), "row 17: is no CSV"),
        (HEAD + "\n" + "9" * 5_000_000, "row 2: is longer than 10000 characters"),
        ("\n".join(["x [mm];y [mm];z [mm]", *SEMI, "45.1;0,5;3"]), "row 602: x '45.1' has another decimal sign"),
        (b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 99, "is no text, or UTF-16 without its byte order mark"),
        (b"x [mm],y [mm],z [mm]\n1,2,3\xff\n", "is no UTF-8 or UTF-16 text"),
        (b"\xff\xfex\x00,\x00y", "is no UTF-8 or UTF-16 text"),
    ],
)  # fmt: skip
def test_a_bad_file_is_told_by_row(tmp_path: Path, text: str | bytes, said: str) -> None:
    assert told(tmp_path, text)[0].startswith(said)


SECOND, IN_LINE, WIDER = (POINTS + np.array(way) for way in ([0.3, 0, 0], [0, 0, 0.42], [0, 0, 0]))
WIDER[:, :2] *= 1.25
BAD_POINTS = [
    pytest.param(POINTS[:11], "row 2: bore A: 11 different points make no bore; 12 at least", id="too few"),
    pytest.param(np.tile(POINTS[:5], (4, 1)), "5 different points make no bore", id="the same ones over and over"),
    pytest.param(POINTS[POINTS[:, 0] > 0], "degrees of the clock; 200 at least", id="half a bore"),
    pytest.param(np.append(POINTS, [[0.01, 0, 0.03]], 0), "row 602: bore A: lies off the bore, at 0.222", id="inside"),
    pytest.param(np.append(POINTS, [[0.1, 0, 0.03]], 0), "row 602: bore A: lies off the bore, at 2.22", id="outside"),
    pytest.param(np.append(POINTS, [[0.045, 0, 0.09]], 0), "row 602: bore A: lies beyond the other", id="too deep"),
    pytest.param(np.append(POINTS, [[0.045, 0, -0.01]], 0), "row 602: bore A: lies before the machine-", id="before"),
    pytest.param(POINTS * 25.4, "millimetres were read as inches", id="millimetres read as inches"),
    pytest.param(POINTS / 25.4, "inches were read as millimetres", id="inches read as millimetres"),
    pytest.param(POINTS * 1000, "the unit is wrong", id="metres for millimetres"),
    pytest.param(POINTS[:, [2, 1, 0]], "column x holds z, column z holds x", id="x and z swapped"),
    pytest.param(POINTS[:, [0, 2, 1]], "column y holds z, column z holds y", id="y and z swapped"),
    pytest.param(np.append(POINTS, SECOND, 0), "two bores in one", id="two bores side by side"),
    pytest.param(np.append(POINTS, IN_LINE, 0), "two bores in one", id="two bores in line"),
    pytest.param(np.append(POINTS, WIDER, 0), "two bores in one", id="two diameters"),
    pytest.param(arm(POINTS, *PLACE), "off its own axes; give", id="an arm's frame"),
]  # fmt: skip


@pytest.mark.parametrize(("points", "said"), BAD_POINTS)
def test_bad_points_are_told_by_row(tmp_path: Path, points: Array, said: str) -> None:
    lines = told(tmp_path, rows(points), *FACTS, "--frame", "bore")
    assert re.match(r"row \d+: bore A: ", lines[0])
    assert said in lines[0]


@pytest.mark.parametrize(
    ("points", "said"),
    [
        pytest.param(arm(POINTS[POINTS[:, 0] > 0], *PLACE), "degrees of the clock", id="half a bore"),
        pytest.param(arm(POINTS * 25.4, *PLACE), "millimetres were read as inches", id="millimetres read as inches"),
        pytest.param(arm(POINTS / 25.4, *PLACE), "inches were read as millimetres", id="inches read as millimetres"),
        pytest.param(arm(np.append(POINTS, SECOND, 0), *PLACE), "two bores in one", id="two side by side"),
        pytest.param(arm(np.append(POINTS, IN_LINE, 0), *PLACE), "two bores in one", id="two in line"),
        pytest.param(POINTS[:1] + 1e-6 * np.arange(60).reshape(20, 3), "row ", id="all in one spot"),
        pytest.param(np.linspace(0, 1, 40)[:, None] * [[0.1, 0.2, 0.3]], "row ", id="on a straight line"),
        pytest.param(scattered(offset(0.045, 0), 500) * [1, 1, 0], "row ", id="in a plane"),
    ],
)
def test_bad_points_of_an_arm_are_told_by_row(tmp_path: Path, points: Array, said: str) -> None:
    lines = told(tmp_path, rows(points), *FACTS, "--frame", "arm")
    assert lines[0].startswith("row ")
    assert said in lines[0]


def test_what_points_do_not_tell_is_asked_for(tmp_path: Path) -> None:
    text = "\n".join([HEAD, *ROWS])
    for missing in ("--nominal", "--length", "--material"):
        at = FACTS.index(missing)
        (line,) = told(tmp_path, text, *FACTS[:at], *FACTS[at + 2 :], "--reference", "R")
        assert line.startswith(f"boreworth read: {missing}: is missing;")
        assert "--job" in line
    assert told(tmp_path, text, *FACTS[:1], "90", *FACTS[2:]) == [
        "boreworth read: --nominal: bore A, nominal diameter: '90' has no unit; write for instance \"90 mm\""
    ]
    assert told(tmp_path, text, *FACTS[:-1], "S355J9")[0].startswith(
        "boreworth read: --material: bore A, material: no steel named 'S355J9'"
    )
    assert told(tmp_path, text, *FACTS, "--unit", "in") == [
        "row 1: the header says another unit than --unit in; keep one"
    ]
    assert (
        told(tmp_path, text, *FACTS, "--job", FOOT)[0] == "boreworth read: --nominal: is said by the job; leave it out"
    )


def test_labels_and_the_bores_of_a_job_must_match(tmp_path: Path) -> None:
    assert (
        "row 1: the job has 2 bores and the points no label"
        in told(tmp_path, "\n".join([HEAD, *ROWS]), "--job", FOOT)[0]
    )
    labelled = [f"{row},C" for row in ROWS]
    (line,) = told(tmp_path, "\n".join([HEAD + ",label", *labelled]), "--job", FOOT)
    assert line == "row 2: label 'C' is no bore of the job; near: A, B"
    half = [*labelled[:100], ROWS[100] + ",", *labelled[101:]]
    assert told(tmp_path, "\n".join([HEAD + ",label", *half]))[0].startswith("row 102: has no label")


def test_a_wrong_job_is_told_by_its_own_file(tmp_path: Path) -> None:
    points = saved(tmp_path / "a.csv", rows_of(POINTS, label="A"), HEAD + ",label")
    template = json.loads(FOOT.read_text("utf-8"))
    template["bores"][1]["length"] = 70
    wrong = tmp_path / "wrong.json"
    wrong.write_text(json.dumps(template), "utf-8")
    done = run(points, "--out", tmp_path / "o.json", "--job", wrong)
    assert (done.exit_code, done.stderr.startswith(f"{wrong}: bore B, length: ")) == (2, True)


def test_files_that_are_none_of_ours(tmp_path: Path) -> None:
    points = saved(tmp_path / "a.csv", ROWS)
    before = points.read_bytes()
    done = run(points, "--out", points, *FACTS)
    assert (done.exit_code, points.read_bytes()) == (2, before)
    for file, said in [(tmp_path / "none.csv", "no such file or directory"), (tmp_path, "is a directory")]:
        done = run(file, "--out", tmp_path / "o.json", *FACTS)
        assert (done.exit_code, done.stderr) == (2, f"{file}: {said}\n")
    done = run("filled.xls", "--out", tmp_path / "o.json")
    assert (done.exit_code, done.stderr) == (
        2,
        "boreworth read: filled.xls: a filled sheet is read as .xlsx; save it as one\n",
    )
    assert os.listdir(tmp_path) == ["a.csv"]


@given(st.binary(max_size=300))
def test_no_file_at_all_breaks_the_reader(data: bytes) -> None:
    """Whatever comes, points or faults; nothing else is raised."""
    for start in (b"", b"x [mm],y [mm],z [mm]\n", b"\xff\xfe", b"x [mm];y [mm];z [mm];label\n1;2;3;A\n"):
        with contextlib.suppress(DocumentError), io.BytesIO(start + data) as stream:
            assert read_points(stream).points
