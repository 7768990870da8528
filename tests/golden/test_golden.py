"""No figure drifts unseen: the documents of all samples and of three hundred random jobs are those that are held."""

import json
import math
import subprocess
from pathlib import Path
from typing import Any

import pytest

from tests.depth import seeds
from tests.golden import against
from tests.golden.__main__ import read_choice
from tests.golden.against import in_all, told
from tests.golden.hold import HELD, changes, computed, names

HELD_NOW: dict[str, Any] = json.loads(HELD.read_text("utf-8"))
AT_ONCE, PUSH = 25, 5  # at a push all samples and more than a hundred random jobs
CURE = "if that is meant: python -m tests.golden --write, and a line in CHANGELOG.md"


@pytest.mark.parametrize("block", seeds(math.ceil(len(names()) / AT_ONCE), PUSH))
def test_every_document_is_the_one_that_is_held(block: int) -> None:
    wanted = names()[AT_ONCE * block :][:AT_ONCE]
    found = list(changes({name: HELD_NOW.get(name, {}) for name in wanted}, computed(1, wanted)))
    assert not found, "\n".join([*found, CURE])


def test_nothing_is_held_that_is_no_job_any_more() -> None:
    assert list(HELD_NOW) == names(), CURE


# ---------------------------------------------------------------- how a change is told


def document(total: str, labour: str, waits: list[float]) -> dict[str, Any]:
    """Return as much of a document as is told."""
    return {
        "price": {"before_tax": total},
        "cost": {
            "lines": [
                {"code": "labour", "description": "labour", "amount": labour},
                {"code": "wire", "description": "wire", "amount": "3.00"},
            ]
        },
        "bores": [{"heat": {"wait_min": wait}} for wait in waits],
    }


def test_a_change_names_price_lines_and_keys() -> None:
    assert list(told("a", document("10.00", "7.00", [4.0, 5.0]), document("12.00", "8.00", [4.0, 6.0]))) == [
        "a: price 10.00 -> 12.00",
        "    cost: labour 1.00",
        '    price.before_tax: "10.00" -> "12.00"',
        '    cost.lines.0.amount: "7.00" -> "8.00"',
        "    bores.1.heat.wait_min: 5.0 -> 6.0",
    ]


def test_a_job_that_is_refused_now_says_why() -> None:
    assert list(told("a", document("1", "1", []), {"refused": "X", "because": "too thin"})) == [
        "a: a price -> too thin"
    ]


def test_over_all_jobs_each_key_is_counted_once_a_job() -> None:
    before, after = document("10.00", "7.00", [4.0, 5.0]), document("10.00", "7.00", [5.0, 6.0])
    assert list(in_all([(before, after), (before, before)])) == ["   1 jobs  bores.*.heat.wait_min  (up to +25.00%)"]


def test_a_revision_is_asked_for_its_own_documents(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    golden = tmp_path / "tests" / "golden"
    golden.mkdir(parents=True)
    for folder in (golden.parent, golden):
        (folder / "__init__.py").touch()
    (golden / "hold.py").write_text("def document_of(name):\n    return {'said': 'then', 'of': name}\n", "utf-8")
    (golden / "held.json").write_text('{"boom": {"sha256": "0"}}', "utf-8")
    who = ("-c", "user.name=a", "-c", "user.email=a@localhost")
    for words in (("init", "-q"), ("add", "."), (*who, "commit", "-q", "-m", "then")):
        subprocess.run(["git", *words], cwd=tmp_path, check=True)
    (golden / "hold.py").write_text("def document_of(name):\n    return {'said': 'now'}\n", "utf-8")
    monkeypatch.setattr(against, "ROOT", tmp_path)
    monkeypatch.setattr(against, "HELD", golden / "held.json")
    assert against.held_at("HEAD") == {"boom": {"sha256": "0"}}
    assert against.documents_at("HEAD", ["boom"]) == {"boom": {"said": "then", "of": "boom"}}
    trees = subprocess.run(["git", "worktree", "list"], cwd=tmp_path, check=True, capture_output=True, text=True)
    assert len(trees.stdout.splitlines()) == 1  # its work tree is gone again


@pytest.mark.parametrize("words", [["--only", "no such"], ["--write", "--only", "boom_foot"]])
def test_an_order_that_makes_no_sense_is_refused(words: list[str]) -> None:
    with pytest.raises(SystemExit) as refused:
        read_choice(words)
    assert refused.value.code == 2
