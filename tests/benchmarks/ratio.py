"""A ratio with its aim, and what time is counted by: that of the processor, the least of several rounds."""

import json
import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from api.describe.examples import JOBS

__all__ = ["ROOT", "Ratio", "bare_import", "changed", "least", "of_child", "readings_job"]

ROOT = Path(__file__).resolve().parents[2]
ROUNDS, STARTS = 7, 9
CLOCK, DEPTHS = 12, 3  # 36 readings a bore


@dataclass(frozen=True)
class Ratio:
    """What was measured against what; `most`: whether the aim is the most that it may be, or the least."""

    name: str
    value: float
    aim: float
    said: str
    most: bool = True

    @property
    def met(self) -> bool:
        """Whether the aim is met."""
        return self.value <= self.aim if self.most else self.value >= self.aim

    def line(self) -> str:
        """Return it as a line."""
        word = "at most" if self.most else "at least"
        return f"{self.name}: {self.value:.3g}, aim {word} {self.aim:g}{'' if self.met else ', MISSED'} ({self.said})"


def least(work: Callable[[], object], rounds: int = ROUNDS, before: Callable[[], object] = lambda: None) -> float:
    """Return the least time of this process that some work takes. [s]; `before`: done before each round, uncounted."""
    found = []
    for _ in range(rounds):
        before()
        start = time.process_time()
        work()
        found.append(time.process_time() - start)
    return min(found)


def of_child(words: Sequence[str], rounds: int = STARTS, **more: Any) -> float:  # of a process
    """Return the least time of the processor that a run of Python takes. [s]"""
    found = []
    for _ in range(rounds):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, *words], cwd=ROOT, check=True, capture_output=True, **more)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        found.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return min(found)


def bare_import() -> float:
    """Return what importing our two libraries takes, which other times are told in. [s]"""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return of_child(["-c", "import numpy, pydantic"], env=kept)


def readings_job(bores: int) -> dict[str, Any]:
    """Return a job of so many bores with 36 readings each."""
    first: dict[str, Any] = JOBS["measured"]["value"]["bores"][0]
    rows = [[82.0 + 0.04 * (station + abs(6 - place)) for place in range(CLOCK)] for station in range(DEPTHS)]
    readings = {
        "kind": "diameter",
        "unit": "mm",
        "clock": [180 / CLOCK * place for place in range(CLOCK)],
        "depth": [10, 25, 40],
        "values": rows,
    }
    own = [first | {"name": f"B{number}", "readings": readings} for number in range(bores)]
    found: dict[str, Any] = json.loads(json.dumps(JOBS["measured"]["value"] | {"bores": own}))
    return found


def changed(job: dict[str, Any], by: float, *bores: int) -> dict[str, Any]:
    """Return a job with one reading of some of its bores moved. [mm]"""
    found: dict[str, Any] = json.loads(json.dumps(job))
    for number in bores:
        found["bores"][number]["readings"]["values"][0][0] += by
    return found
