"""What moved since a revision: its own documents beside ours, cost line by cost line and key by key."""

import json
import re
import subprocess
import sys
import tempfile
from collections import defaultdict
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from estimator.trust.causes import differences, moved_lines
from tests.golden.hold import HELD, document_of

__all__ = ["documents_at", "held_at", "in_all", "told"]

ROOT = HELD.parents[2]
MOST_KEYS = 6  # a job; the rest is counted
NUMBER = re.compile(r"\.\d+(?=\.|$)")
THERE = """
import json, sys
from tests.golden.hold import document_of
print(json.dumps({name: document_of(name) for name in json.loads(sys.stdin.read())}))
"""
Documents = dict[str, Any]
Moved = tuple[str, object, object]


def held_at(revision: str) -> Documents:
    """Return what a revision held; raises `subprocess.CalledProcessError` where it held nothing."""
    where = f"{revision}:{HELD.relative_to(ROOT).as_posix()}"
    shown = subprocess.run(["git", "show", where], cwd=ROOT, check=True, stdout=subprocess.PIPE)
    found: Documents = json.loads(shown.stdout)
    return found


def documents_at(revision: str, names: list[str]) -> Documents:
    """Return the documents of some jobs as a revision writes them, in a work tree of its own that goes again."""
    with _tree(revision) as folder:
        done = subprocess.run(
            [sys.executable, "-c", THERE], cwd=folder, check=True, input=json.dumps(names), text=True, encoding="utf-8",
            stdout=subprocess.PIPE,
        )  # fmt: skip
    found: Documents = json.loads(done.stdout)
    return found


@contextmanager
def _tree(revision: str) -> Iterator[Path]:
    with tempfile.TemporaryDirectory() as folder:
        there = Path(folder) / "tree"
        git = ("git", "-C", str(ROOT), "worktree")
        subprocess.run([*git, "add", "--quiet", "--detach", str(there), revision], check=True)
        try:
            yield there
        finally:
            subprocess.run([*git, "remove", "--force", str(there)], check=True)


def _moved(before: object, after: object) -> list[Moved]:
    return [(".".join(map(str, path)), was, now) for path, was, now in differences(before, after)]


def _shown(value: object) -> str:
    text = json.dumps(value, ensure_ascii=False) if isinstance(value, (str, int, float, dict, list)) else "nothing"
    return text if len(text) <= 60 else text[:57] + "..."


def told(name: str, before: Any, after: Any) -> Iterator[str]:
    """Yield what moved in a job: its price, the cost lines that moved it, the keys that differ."""
    if "refused" in before or "refused" in after:
        was, now = (one.get("because", "a price") for one in (before, after))
        yield f"{name}: {was} -> {now}"
        return
    was, now = (one["price"]["before_tax"] for one in (before, after))
    yield f"{name}: price {was} -> {now}" if was != now else f"{name}: price {was} as before"
    if lines := moved_lines(before, after):
        yield "    cost: " + ", ".join(f"{line['code']} {line['moved']}" for line in lines)
    found = _moved(before, after)
    for key, old, new in found[:MOST_KEYS]:
        yield f"    {key}: {_shown(old)} -> {_shown(new)}"
    if len(found) > MOST_KEYS:
        yield f"    and {len(found) - MOST_KEYS} more keys"


def in_all(pairs: Iterable[tuple[Any, Any]]) -> Iterator[str]:
    """Yield each key that moved anywhere, in how many jobs, and its largest change in percent."""
    jobs, most = defaultdict[str, int](int), defaultdict[str, float](float)
    for before, after in pairs:
        moved = _moved(before, after)
        keys = [NUMBER.sub(".*", key) for key, _, _ in moved]
        for key in set(keys):
            jobs[key] += 1
        for key, (_, old, new) in zip(keys, moved, strict=True):
            if isinstance(old, int | float) and isinstance(new, int | float) and old:
                most[key] = max(most[key], new / old - 1, key=abs)
    for key, count in sorted(jobs.items(), key=lambda item: -item[1]):
        yield f"{count:4d} jobs  {key}" + (f"  (up to {most[key]:+.2%})" if most[key] else "")


def against(revision: str, names: list[str]) -> Iterator[str]:
    """Yield what moved in some jobs since a revision."""
    before = documents_at(revision, names) if names else {}
    after = {name: json.loads(json.dumps(document_of(name))) for name in names}
    for name in names:
        yield from told(name, before[name], after[name])
    if len(names) > 1:
        yield ""
        yield from in_all((before[name], after[name]) for name in names)
