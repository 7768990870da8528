"""What was measured at which commit, in `kept.json`: to see what was lost between two of them."""

import json
import subprocess
import sys
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

from tests.benchmarks.ratio import ROOT, Ratio

__all__ = ["KEPT", "keep", "losses"]

KEPT = ROOT / "tests" / "benchmarks" / "kept.json"
LOSS = 0.2


def _commit(revision: str = "HEAD") -> str:
    words = ["git", "rev-parse", "--short=12", f"{revision}^{{commit}}"]
    return subprocess.run(words, cwd=ROOT, check=True, text=True, stdout=subprocess.PIPE).stdout.strip()


def _runs() -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads(KEPT.read_text("utf-8")) if KEPT.exists() else []
    return found


def keep(ratios: Sequence[Ratio], bare: float) -> None:
    """Add a run to those kept, in the place of an earlier one of the same commit."""
    commit = _commit()
    one = {
        "commit": commit,
        "on": f"{datetime.now(UTC):%Y-%m-%d}",
        "python": ".".join(map(str, sys.version_info[:3])),
        "bare_import_s": round(bare, 4),
        "ratios": {ratio.name: round(ratio.value, 4) for ratio in ratios},
    }
    runs = [*(run for run in _runs() if run["commit"] != commit), one]
    KEPT.write_text(json.dumps(runs, indent=1) + "\n", "utf-8")


def losses(ratios: Sequence[Ratio], revision: str) -> list[str]:
    """Return what has become worse than it was at a revision by more than a fifth, a line a ratio.

    Raises
    ------
    LookupError
        If nothing is kept of that revision.
    """
    commit = _commit(revision)
    run = next((run for run in reversed(_runs()) if run["commit"] == commit), None)
    if run is None:
        known = ", ".join(run["commit"] for run in _runs()) or "none"
        raise LookupError(f"nothing is kept of {commit}; kept are {known}")
    found = []
    for ratio in ratios:
        before = run["ratios"].get(ratio.name)
        if before is not None and lost(before, ratio.value, most=ratio.most):
            found.append(f"{ratio.name}: {before:.3g} at {commit}, now {ratio.value:.3g}")
    return found


def lost(before: float, now: float, *, most: bool) -> bool:
    """Return whether more than a fifth was lost; `most`: less is better."""
    return now > before * (1 + LOSS) if most else now < before * (1 - LOSS)
