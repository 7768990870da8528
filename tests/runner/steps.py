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
VARIABLE = "TESTS_THOROUGH"  # read by tests/depth.py in each process
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
    said: str = ""

    @property
    def passed(self) -> bool:
        """Say whether the step ran and found nothing."""
        return self.word == "ok"

    def excused(self) -> "Outcome":
        """Return this outcome as passed: all tests asked for were left out."""
        return replace(self, word="ok")


BRIEF = ("--output-format=min-text", "--summary=none")
LINTS = (  # run beside the tests, one after the other
    Step("ruff check", ("ruff",), ("-m", "ruff", "check", "--output-format=concise", ".")),
    Step("ruff format", ("ruff",), ("-m", "ruff", "format", "--check", ".")),
    Step("pyrefly", ("pyrefly",), ("-m", "pyrefly", "check", f"--python-interpreter-path={sys.executable}", *BRIEF)),
    Step(
        "import-linter",
        ("importlinter",),
        ("-c", "from importlinter.cli import lint_imports_command as lint; lint()"),
    ),
)
PROCESSES = max(2, min(4, os.cpu_count() or 2))
PYTEST = Step(
    "pytest",
    ("pytest", "hypothesis", "xdist"),
    ("-m", "pytest", "--color=no", f"--numprocesses={PROCESSES}", "--dist=loadfile", "--no-loadscope-reorder"),
)
EXTRAS = "'.[postgres,test]'"


def pip_line() -> str:
    """Return the line that installs what the checks need, as the README has it."""
    pip = Path(sys.executable).with_name("pip")
    shown = pip.relative_to(ROOT) if pip.is_relative_to(ROOT) else pip
    return f"{shown} install -q -e {EXTRAS}"


def variables(thorough: bool) -> dict[str, str]:
    """Return what the processes of the tests are told.

    One thread for linear algebra, since the processes fill the machine; and what one process compiled of ours the
    others read, of which the tests start hundreds.
    """
    told = {name: value for name, value in os.environ.items() if name not in {"PYTHONDONTWRITEBYTECODE", VARIABLE}}
    return {"OPENBLAS_NUM_THREADS": "1", **told, **({VARIABLE: "1"} if thorough else {})}


def absent_modules(step: Step) -> list[str]:
    """Return what the step needs and this environment lacks."""
    return [name for name in step.needs if importlib.util.find_spec(name) is None]


def run_lint(step: Step) -> Outcome:
    """Run a step in silence; the outcome has what it said if it found something."""
    if absent := absent_modules(step):
        return Outcome(step.name, MISSING, said=f"{step.name}: {', '.join(absent)} not installed")
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
    took, said = time.perf_counter() - start, done.stdout if done.returncode else ""
    return Outcome(step.name, word_for(done.returncode), took, done.returncode, said=said)


def run_pytest(args: list[str], thorough: bool = False) -> Outcome:
    """Run the tests, showing what they say as they say it."""
    if absent := absent_modules(PYTEST):
        summary = f"no tests ran: {', '.join(absent)} not installed"
        return Outcome(PYTEST.name, MISSING, summary=summary)
    start = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, *PYTEST.command, *args],
        cwd=ROOT,
        env=variables(thorough),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
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
