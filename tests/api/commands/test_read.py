"""`boreworth read`: points of a measuring arm into a job document; every bad file is told by row."""

import io
import json
import re
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner, Result

from api.commands import app
from estimator.geometry.frame import Frame, frame_of
from estimator.geometry.points import grid_volume, gridded
from estimator.scan.table import read_points
from tests.estimator.geometry.points import LENGTH, NOMINAL, arm, ellipse, offset, rows_of, scattered, sections, worn

ROOT = Path(__file__).resolve().parents[3]
FOOT = ROOT / "sample_jobs" / "boom_foot.json"
HEAD = "x [mm],y [mm],z [mm]"
FACTS = ("--nominal", "90 mm", "--length", "70 mm", "--material", "S355J2")
PLACE: tuple[Any, Any, Any] = ([0.3, -0.2, 0.15], [1.0, 0.2, 0.1], [0.0, 0.0, 1.0])
POINTS = scattered(worn(0.0015), 600)


def run(*words: object) -> Result:
    return CliRunner().invoke(app, ["read", *(str(word) for word in words)])


def saved(path: Path, rows: Sequence[str], head: str = HEAD, encoding: str = "utf-8") -> Path:
    path.write_text("\n".join([head, *rows]) + "\n", encoding)
    return path


def read(file: Path, *words: object) -> dict[str, Any]:
    done = run(file, "--out", "-", *(words or FACTS))
    assert done.exit_code == 0, done.stderr
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def frame_in(readings: dict[str, Any]) -> Frame | None:
    said = readings["frame"]
    return None if said == "bore" else frame_of(np.array(said["origin"]) * 1e-3, said["along"], said["up"])


def volume_of(readings: dict[str, Any]) -> float:
    points = np.array(readings["values"]) * 1e-3
    return grid_volume(gridded(points, frame_in(readings), LENGTH, NOMINAL), LENGTH)


# ---------------------------------------------------------------- what comes out


def test_points_in_the_bores_own_frame_stay_as_they_are(tmp_path: Path) -> None:
    found = read(saved(tmp_path / "K-204.csv", rows_of(POINTS)))
    (bore,) = found["bores"]
    assert found["reference"] == "K-204"
    assert (bore["name"], bore["nominal_diameter"], bore["length"]) == ("A", "90 mm", "70 mm")
    readings = bore["readings"]
    assert (readings["kind"], readings["unit"], readings["frame"]) == ("points", "mm", "bore")
    written, read_back = (np.array(sorted(map(tuple, some))) for some in (POINTS.tolist(), readings["values"]))
    np.testing.assert_allclose(read_back * 1e-3, written, atol=0.6e-7)  # 5 decimals of a mm in the file, 4 in the job
    assert "600 points" in found["note"]


def test_an_arms_points_are_placed_by_their_cylinder(tmp_path: Path) -> None:
    """A round bore, so that the least-squares axis is the bore's own; depth starts where the face is."""
    points = arm(sections(offset(0.0452, 0.0), 8, 36), *PLACE)
    (bore,) = read(saved(tmp_path / "a.csv", rows_of(points)))["bores"]
    frame = frame_in(bore["readings"])
    true = frame_of(*PLACE)
    assert frame is not None
    assert np.degrees(np.arccos(min(1.0, float(frame.along @ true.along)))) < 0.01
    assert frame.up @ true.up > 1 - 1e-8
    assert np.linalg.norm(frame.origin - true.origin) < 2e-6  # the file gives 0.01 um, the document 0.1 um


@pytest.mark.parametrize(("side", "sign"), [("-", 1), ("+", -1), ("", 1)])
def test_the_machines_side_is_said_or_the_nearer_one(tmp_path: Path, side: str, sign: int) -> None:
    file = saved(tmp_path / "a.csv", rows_of(arm(POINTS, *PLACE)))
    (bore,) = read(file, *FACTS, *(("--from-side", side) if side else ()))["bores"]
    assert sign * bore["readings"]["frame"]["along"][0] > 0.9
    assert bore["readings"]["frame"]["up"][2] > 0.9


def test_twelve_oclock_may_be_said(tmp_path: Path) -> None:
    file = saved(tmp_path / "a.csv", rows_of(arm(POINTS, *PLACE)))
    (bore,) = read(file, *FACTS, "--up", "0,-1,0")["bores"]
    assert bore["readings"]["frame"]["up"][1] < -0.9


def test_bores_of_one_line_get_one_direction_and_keep_their_places(tmp_path: Path) -> None:
    along = np.array(PLACE[1]) / np.linalg.norm(PLACE[1])
    second = arm(scattered(worn(0.001), 500, 2), PLACE[0] + 0.42 * along, *PLACE[1:])
    rows = rows_of(arm(POINTS, *PLACE), label="A") + rows_of(second, label="B")
    found = read(saved(tmp_path / "a.csv", rows, HEAD + ",label"), "--job", FOOT)
    template = json.loads(FOOT.read_text("utf-8"))
    frames = [bore["readings"]["frame"] for bore in found["bores"]]
    assert frames[0]["along"] == frames[1]["along"]
    assert frames[0]["up"] == frames[1]["up"]
    apart = np.array(frames[1]["origin"]) - np.array(frames[0]["origin"])
    assert abs(apart @ along - 420) < 0.5
    for key in ("economics", "site", "customer", "reference"):
        assert found[key] == template[key]
    kept = [{key: value for key, value in bore.items() if key != "readings"} for bore in found["bores"]]
    assert kept == [{key: value for key, value in bore.items() if key != "readings"} for bore in template["bores"]]


def test_bores_without_points_keep_their_readings(tmp_path: Path) -> None:
    found = read(saved(tmp_path / "a.csv", rows_of(POINTS, label="B"), HEAD + ",label"), "--job", FOOT)
    assert found["bores"][0] == json.loads(FOOT.read_text("utf-8"))["bores"][0]
    assert found["bores"][1]["readings"]["kind"] == "points"


@given(st.randoms(use_true_random=False))
def test_the_order_of_rows_does_not_matter(random: Any) -> None:
    rows = rows_of(POINTS[:200])
    shuffled = random.sample(rows, len(rows))
    first, second = (_job_of([*some, *some[:5]]) for some in (rows, shuffled))
    assert first == second


def _job_of(rows: list[str]) -> Any:
    from estimator.geometry.frame import merged

    table = read_points(io.BytesIO("\n".join([HEAD, *rows]).encode()))
    return merged(table.points[""], table.rows[""])[0].tolist()


def test_inches_give_the_same_job_as_millimetres(tmp_path: Path) -> None:
    places = np.round(POINTS / 25.4e-9) * 25.4e-9  # whole millionths of an inch, so that both files say the same places
    metric = [f"{x:.9f},{y:.9f},{z:.9f}" for x, y, z in (places * 1e3).tolist()]
    inches = [f"{x:.6f},{y:.6f},{z:.6f}" for x, y, z in (places / 0.0254).tolist()]
    one = read(saved(tmp_path / "a.csv", metric))
    two = read(saved(tmp_path / "a.csv", inches, "x [in],y [in],z [in]"))
    three = read(saved(tmp_path / "a.csv", inches, "x,y,z"), *FACTS, "--unit", "in")
    assert one == two == three


ROWS = rows_of(POINTS)
SEMI = [row.replace(",", ";").replace(".", ",") for row in ROWS]


def _quoted(row: str) -> str:
    return ",".join(f'"{cell}"' for cell in row.split(","))


FORMS = [
    pytest.param("\n".join(["x_mm,y_mm,z_mm", *ROWS]).encode(), id="unit after the name"),
    pytest.param("\r\n".join(["X (mm),Y (mm),Z (mm)", *ROWS]).encode("utf-8-sig"), id="byte order mark, CR LF"),
    pytest.param("\r".join(["x mm;y mm;z mm", *SEMI]).encode("utf-16"), id="UTF-16, CR, semicolons, decimal comma"),
    pytest.param("\n".join(["x [mm]\ty [mm]\tz [mm]", *(r.replace(",", "\t") for r in ROWS)]).encode(), id="tabs"),
    pytest.param("\n".join(["x,y,z,unit", *(r + ",mm" for r in ROWS)]).encode(), id="a column of units"),
    pytest.param("\n".join(["x [mm],y [mm],z [mm],bore", *(r + ",A" for r in ROWS)]).encode(), id="a label"),
    pytest.param("\n".join(['"x [mm]","y [mm]","z [mm]"', *map(_quoted, ROWS)]).encode(), id="quotes"),
    pytest.param(("\n\n" + "\n\n".join([HEAD, *ROWS]) + "\n\n\n").encode(), id="blank lines"),
    pytest.param("\n".join(["nr,x [mm],y [mm],z [mm],i,j", *(f"7,{r},0,1" for r in ROWS)]).encode(), id="more columns"),
    pytest.param(
        "\n".join(["z [mm],x [mm],y [mm]", *(",".join((r.split(",")[2], *r.split(",")[:2])) for r in ROWS)]).encode(),
        id="another order of columns",
    ),
]  # fmt: skip


@pytest.mark.parametrize("data", FORMS)
def test_the_same_points_in_any_form_give_the_same_job(tmp_path: Path, data: bytes) -> None:
    file = tmp_path / "a.csv"
    file.write_bytes(data)
    assert read(file) == read(saved(tmp_path / "a.csv", ROWS))


def test_columns_that_are_not_used_are_named(tmp_path: Path) -> None:
    done = run(saved(tmp_path / "a.csv", [f"{row},1" for row in ROWS], HEAD + ",probe"), "--out", "-", *FACTS)
    assert "columns not used: probe" in done.stderr


def test_repeated_points_are_merged_and_said(tmp_path: Path) -> None:
    done = run(saved(tmp_path / "a.csv", ROWS + ROWS[:7]), "--out", "-", *FACTS)
    assert len(json.loads(done.stdout)["bores"][0]["readings"]["values"]) == len(ROWS)
    assert "7 repeated ones merged" in done.stderr


# ---------------------------------------------------------------- a million points


MEASURED = """
import sys
from pathlib import Path

from api.commands import main

try:
    main()
finally:
    peak = next(line for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmHWM"))
    print(peak.split()[1], file=sys.stderr)  # its own peak; the usual count begins with that of who started it
"""


def test_a_million_points_are_thinned_to_a_document(tmp_path: Path) -> None:
    shape, file, out = ellipse(0.0465, 0.0450), tmp_path / "million.csv", tmp_path / "job.json"
    points = scattered(shape, 1_000_000)
    points[123_456, :2] *= 1.01
    text = "%.4f,%.4f,%.4f\n" * 100_000
    with file.open("w") as sink:
        sink.write(f"{HEAD}\n")
        sink.writelines(text % tuple((part * 1e3).ravel().tolist()) for part in np.split(points, 10))
    command = [sys.executable, "-c", MEASURED, "read", str(file), "--out", str(out), *FACTS]
    done = subprocess.run(command, cwd=ROOT, check=False, capture_output=True, text=True, timeout=600)
    assert done.returncode == 0, done.stderr
    assert int(done.stderr.split()[-1]) < 600_000  # kB
    data = out.read_bytes()
    assert len(data) < 2 * 1024 * 1024
    readings = json.loads(data)["bores"][0]["readings"]
    assert 15_000 < len(readings["values"]) <= 20_000
    kept = np.array(readings["values"]) * 1e-3
    largest = np.hypot(points[:, 0], points[:, 1]).max()
    assert np.hypot(kept[:, 0], kept[:, 1]).max() == pytest.approx(largest, abs=1e-7)
    change = re.search(r"volume changed by ([0-9.e-]+) %", done.stderr)
    assert change is not None
    exact = np.pi * 0.0465 * 0.0450 * LENGTH
    assert abs(volume_of(readings) / exact - 1) < float(change[1]) / 100 + 1e-5
    assert float(change[1]) < 0.01
