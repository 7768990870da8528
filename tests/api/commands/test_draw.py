"""The command `draw`: whole files under safe names, none of somebody else's overwritten."""

import json
import os
import subprocess
import sys
from pathlib import Path

from estimator.book.pricebook import read_pricebook
from exports.pictures.job import file_word, pictures
from tests.api.commands.test_commands import ROOT, run, saved
from tests.api.service import SAMPLES
from tests.depth import deep
from tests.jobs import bore, job, quick
from tests.raw import estimate

NAMES = ["A", "a", "eye", "EYE", "../../etc/passwd", 'con: the <eye> & "co"', "Öse", "軸", "x" * 120, "..."]


def in_folder(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_each_bore_has_a_map_and_a_section(tmp_path: Path) -> None:
    done = run("draw", SAMPLES / "boom_foot.json", "--out", tmp_path / "new" / "drawings")
    assert done.exit_code == 0
    assert {f"bore-{name}-{kind}.svg" for name in "AB" for kind in ("wear", "section")} <= set(
        in_folder(tmp_path / "new" / "drawings")
    )
    assert done.stdout.splitlines() == [
        str(tmp_path / "new" / "drawings" / picture.file)
        for picture in pictures(estimate((SAMPLES / "boom_foot.json").read_bytes(), read_pricebook()))[0]
    ]
    assert all(Path(line).read_text("utf-8").endswith("</svg>\n") for line in done.stdout.splitlines())


def test_json_lists_the_files(tmp_path: Path) -> None:
    done = run("draw", SAMPLES / "boom_foot.json", "--out", tmp_path, "--json")
    found = json.loads(done.stdout)
    assert list(found) == ["files"] and sorted(map(os.path.basename, found["files"])) == in_folder(tmp_path)


def test_one_worst_diameter_gives_a_section_and_the_reason(tmp_path: Path) -> None:
    file = saved(tmp_path / "quick.json", job(quick(90, 93)))
    done = run("draw", file, "--out", tmp_path / "out")
    assert in_folder(tmp_path / "out") == ["bore-A-section.svg", "plate-ends.svg", "schedule.svg"]
    assert f"{file}: bore A: one worst diameter only, so no wear map" in done.stderr


def test_any_name_gives_a_file_in_the_folder_and_none_twice(tmp_path: Path) -> None:
    file = saved(tmp_path / "names.json", job(*(bore(name=name) for name in NAMES)))
    done = run("draw", file, "--out", tmp_path / "out")
    found = in_folder(tmp_path / "out")
    assert done.exit_code == 0 and len({name.lower() for name in found}) == len(found)
    assert len([name for name in found if name.startswith("bore-")]) == 2 * len(NAMES)
    assert all(name.isascii() and set(name) <= set(file_signs()) and len(name) < 64 for name in found)
    words = ["A", "a-2", "eye", "EYE-2", "Ose", "8", "10"]  # what leaves no letter becomes its number
    assert {f"bore-{word}-wear.svg" for word in words} <= set(found)


def file_signs() -> str:
    return "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._-"


def test_a_word_for_a_file_begins_and_ends_with_a_letter_or_digit() -> None:
    for name in [*NAMES, "-rf", ".hidden", "a" * 39 + " b", "nul", "tab\tname"]:
        word = file_word(name, 7)
        assert word[0].isalnum() and word[-1].isalnum() and "/" not in word


def test_a_drawing_is_drawn_again_and_another_file_is_left_alone(tmp_path: Path) -> None:
    first = run("draw", SAMPLES / "boom_foot.json", "--out", tmp_path)
    (tmp_path / "bore-B-wear.svg").write_text("<svg>mine</svg>", encoding="utf-8")
    (tmp_path / "bore-A-wear.svg").write_text((tmp_path / "bore-A-wear.svg").read_text("utf-8")[:600], encoding="utf-8")
    again = run("draw", SAMPLES / "boom_foot.json", "--out", tmp_path)
    assert (first.exit_code, again.exit_code, again.stdout) == (0, 2, "")
    assert again.stderr.startswith(f"{tmp_path / 'bore-B-wear.svg'}: holds something that is no drawing of ours")
    assert (tmp_path / "bore-B-wear.svg").read_text("utf-8") == "<svg>mine</svg>"
    assert len((tmp_path / "bore-A-wear.svg").read_text("utf-8")) == 600  # nothing was written
    assert run("draw", SAMPLES / "boom_foot.json", "--out", tmp_path, "--force").exit_code == 0
    assert "mine" not in (tmp_path / "bore-B-wear.svg").read_text("utf-8")
    assert run("draw", SAMPLES / "boom_foot.json", "--out", tmp_path).exit_code == 0
    assert not [name for name in in_folder(tmp_path) if not name.endswith(".svg")]


def test_a_folder_that_cannot_be_is_said_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    for out, said in [
        (tmp_path / "file", "is a file; the drawings need a folder"),
        (tmp_path / "file" / "x", "not a directory"),
    ]:
        done = run("draw", SAMPLES / "boom_foot.json", "--out", out)
        assert (done.exit_code, done.stdout, done.stderr) == (2, "", f"{out}: {said}\n")


def test_a_wrong_job_draws_nothing(tmp_path: Path) -> None:
    file = saved(tmp_path / "bad.json", job(length=70))
    done = run("draw", file, "--out", tmp_path / "out")
    assert done.exit_code == 2 and done.stderr.startswith(f"{file}: ") and not (tmp_path / "out").exists()


DRAWN = """
import sys
from pathlib import Path

from typer.testing import CliRunner

from api.commands import app

for sample in map(Path, sys.argv[2:]):
    done = CliRunner().invoke(app, ["draw", str(sample), "--out", f"{sys.argv[1]}/{sample.stem}"])
    assert done.exit_code == 0, done.output
"""


def test_the_same_job_gives_the_same_bytes_in_any_process(tmp_path: Path) -> None:
    samples, found = sorted(SAMPLES.glob("*.json"))[: deep(11, 5)], []
    for seed in ("1", "2"):
        out = tmp_path / seed
        out.mkdir()
        command = [sys.executable, "-c", DRAWN, str(out), *map(str, samples)]
        subprocess.run(command, cwd=ROOT, check=True, env={**os.environ, "PYTHONHASHSEED": seed})
        found.append({str(path.relative_to(out)): path.read_bytes() for path in out.rglob("*.svg")})
    assert found[0] == found[1]
    assert {name.partition("/")[0] for name in found[0]} == {path.stem for path in samples}
