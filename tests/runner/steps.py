"""The checks: each one a command of its own process."""

import importlib.util
import os
import re
import subprocess
import sys
import time
from dataclasses import dataclass, replace
from pathlib import Path
from typing import IO

ROOT = Path(__file__).resolve().parents[2]
MISSING = "missing"
NOTHING_COLLECTED = 5  # pytest's exit code for it
SUMMARY = re.compile(r"\bin \d[\d.]*s\b")  # "12 passed in 0.31s"


@dataclass(frozen=True)
class Step:
    """A check: its name, the modules it needs, and what follows `python`."""

    name: str
    needs: tuple[str, ...]
    command: tuple[str, ...]


@dataclass(frozen=True)
class Outcome:
    """How a step ended."""

    name: str
    word: str
    seconds: float = 0.0
    code: int = 0
    summary: str = ""

    @property
    def passed(self) -> bool:
        """Say whether the step ran and found nothing."""
        return self.word == "ok"

    def excused(self) -> "Outcome":
        """Return this outcome as passed: all tests asked for were left out."""
        return replace(self, word="ok")


LINTS = (
    Step("ruff check", ("ruff",), ("-m", "ruff", "check", "--output-format=concise", ".")),
    Step("ruff format", ("ruff",), ("-m", "ruff", "format", "--check", ".")),
    Step("mypy", ("mypy",), ("-m", "mypy")),
    Step(
        "import-linter",
        ("importlinter",),
        ("-c", "from importlinter.cli import lint_imports_command as lint; lint()"),
    ),
)
PYTEST = Step("pytest", ("pytest", "hypothesis"), ("-m", "pytest", "--color=no"))


def pip_line() -> str:
    """Return the line that installs what the checks need."""
    python = Path(sys.executable)
    shown = python.relative_to(ROOT) if python.is_relative_to(ROOT) else python
    return f"{shown} -m pip install -e '.[test]'"


def absent_modules(step: Step) -> list[str]:
    """Return what the step needs and this environment lacks."""
    return [name for name in step.needs if importlib.util.find_spec(name) is None]


def run_lint(step: Step) -> Outcome:
    """Run a step, and show what it says only if it found something."""
    if absent := absent_modules(step):
        print(f"{step.name}: {', '.join(absent)} not installed", flush=True)
        return Outcome(step.name, MISSING)
    print(f"{step.name} ...", flush=True)
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, *step.command],
        cwd=ROOT,
        check=False,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
    )
    if done.returncode:
        print(done.stdout, flush=True)
    return Outcome(step.name, word_for(done.returncode), time.perf_counter() - start, done.returncode)


def run_pytest(args: list[str]) -> Outcome:
    """Run the tests, showing what they say as they say it."""
    if absent := absent_modules(PYTEST):
        summary = f"no tests ran: {', '.join(absent)} not installed"
        return Outcome(PYTEST.name, MISSING, summary=summary)
    start = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, *PYTEST.command, *args], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    ) as process:
        tail = pass_on(process.stdout) if process.stdout else ""
    code = process.returncode
    return Outcome(PYTEST.name, word_for(code), time.perf_counter() - start, code, summary_line(tail, code))


def pass_on(stream: IO[bytes]) -> str:
    """Copy a stream to standard output without delay, and return its end."""
    tail = b""
    while chunk := os.read(stream.fileno(), 65536):
        sys.stdout.buffer.write(chunk)
        sys.stdout.flush()
        tail = (tail + chunk)[-4096:]
    return tail.decode(errors="replace")


def summary_line(tail: str, code: int) -> str:
    """Return pytest's last summary, without its frame of equal signs."""
    found = [line for line in tail.splitlines() if SUMMARY.search(line)]
    return found[-1].strip("= ") if found else f"pytest ended with exit code {code}"


def word_for(code: int) -> str:
    """Name an exit code."""
    return "FAILED" if code else "ok"
