"""The recipes of DEVELOPERS.md, carried out as written in a copy of the tree."""

import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

TREE = Path(__file__).parents[1]
BLOCK = re.compile(r"^```(append|create|insert|replace|run|refuse|expect) ?(.*?)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
TEXT = (TREE / "DEVELOPERS.md").read_text("utf-8")
SECTION = TEXT.split("\n## Recipes\n", 1)[1].split("\n## ", 1)[0]
RECIPES = {part.partition("\n")[0].strip(): part for part in SECTION.split("\n### ")[1:]}
WANTED = {
    "Add a wire", "Add a gas", "Add a time standard", "Add a bore feature", "Add a cost line", "Add a sheet",
    "Add a route", "Say something more", "Add a line to the letter", "Add a language",
    "Add a doubt", "Add a line to the weld card", "Add a question to the intake sheet",
    "Add a column to the fleet's list",
}  # fmt: skip


def test_every_recipe_is_there() -> None:
    assert set(RECIPES) >= WANTED


def _insert(path: Path, body: str, *, instead: bool = False) -> None:
    anchor, new = body.split("\n---\n", 1)
    text = path.read_text("utf-8")
    assert text.count(anchor) == 1, f"{path}: the recipe's line stands {text.count(anchor)} times"
    path.write_text(text.replace(anchor, new.rstrip() if instead else f"{anchor}\n{new.rstrip()}"), "utf-8")


def _run(tree: Path, body: str, *, refused: bool = False) -> str:
    """Run a command as it is written; return what it says: its page, or why it refuses."""
    words = shlex.split(body.strip())
    assert words[0] == "python"
    done = subprocess.run(
        [sys.executable, *words[1:]], cwd=tree, capture_output=True, text=True, check=False, timeout=120
    )
    assert (done.returncode != 0) is refused, done.stderr
    return done.stderr if refused else done.stdout


@pytest.mark.parametrize("name", sorted(RECIPES))
def test_a_recipe_does_what_it_says(name: str, tmp_path: Path) -> None:
    for part in ("api", "estimator", "exports", "sample_jobs"):
        shutil.copytree(TREE / part, tmp_path / part)
    printed, expected = "", []
    for kind, where, body in BLOCK.findall(RECIPES[name]):
        if kind == "append":
            with (tmp_path / where).open("a", encoding="utf-8") as file:
                file.write(body)
        elif kind == "create":
            (tmp_path / where).write_text(body, "utf-8")
        elif kind in {"insert", "replace"}:
            _insert(tmp_path / where, body, instead=kind == "replace")
        elif kind == "run":
            printed += _run(tmp_path, body)
        elif kind == "refuse":
            printed += _run(tmp_path, body, refused=True)
        else:
            expected.append(body.strip())
    assert expected, "a recipe says what to expect"
    for text in expected:
        assert text in printed
