"""Every check in one command: `python -m tests [--thorough] [--without browser,office] [pytest arguments]`."""

import argparse
import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

from tests.runner.steps import LINTS, MISSING, NOTHING_COLLECTED, Outcome, pip_line, run_lint, run_pytest
from tests.runner.tools import TOOLS, count_marked, make_ready


@dataclass(frozen=True)
class Choice:
    """What the caller asked for."""

    without: frozenset[str]
    marks: str
    pytest_args: tuple[str, ...]
    thorough: bool = False


def tool_marks(text: str) -> frozenset[str]:
    """Read a list like `browser,office`."""
    marks = frozenset(part.strip() for part in text.split(","))
    if unknown := sorted(marks - {tool.mark for tool in TOOLS}):
        msg = f"{', '.join(map(repr, unknown))}: known are browser and office"
        raise argparse.ArgumentTypeError(msg)
    return marks


def read_choice(argv: list[str]) -> Choice:
    """Split our own options from those that pytest gets."""
    parser = argparse.ArgumentParser(prog="python -m tests", description=__doc__, allow_abbrev=False)
    parser.add_argument(
        "--without",
        type=tool_marks,
        default=frozenset[str](),
        metavar="browser,office",
        help="leave these tests out, on purpose: they then do not make the run fail",
    )
    parser.add_argument("--thorough", action="store_true", help="try every law on all its samples, as before a release")
    parser.add_argument("-m", dest="marks", default="", help="marker expression, as pytest reads it")
    known, rest = parser.parse_known_args(argv)
    return Choice(known.without, known.marks, tuple(rest), known.thorough)


def left_out(choice: Choice) -> dict[str, int]:
    """Return how many tests of each mark cannot or shall not run; install what is missing where allowed."""
    wanted = [tool for tool in TOOLS if tool.mark in choice.without or not tool.find()]
    if not wanted:
        return {}
    counts = count_marked(pytest_args(choice, {}), choice.thorough)
    return {
        tool.mark: counts[tool.mark]
        for tool in wanted
        if counts[tool.mark] and (tool.mark in choice.without or not make_ready(tool))
    }


def pytest_args(choice: Choice, absent: dict[str, int]) -> list[str]:
    """Return the arguments for pytest, with the marks of `absent` left out."""
    terms = [f"({choice.marks})"] if choice.marks else []
    expression = " and ".join(terms + [f"not {mark}" for mark in absent])
    return [*choice.pytest_args, *(["-m", expression] if expression else [])]


def report(outcomes: list[Outcome], choice: Choice, absent: dict[str, int]) -> int:
    """Print how it went, pytest's own summary last; return the exit code."""
    print()
    print("".join(f"{outcome.said.rstrip()}\n\n" for outcome in outcomes if outcome.said), end="")
    for outcome in outcomes:
        print(f"{outcome.name:<20}{outcome.word:<10}{outcome.seconds:6.1f} s")
    if any(outcome.word == MISSING for outcome in outcomes):
        print(f"Some checks are not installed. Run: {pip_line()}")
    if absent:
        print("NOT RUN: " + ", ".join(f"{absent.get(tool.mark, 0)} {tool.mark}" for tool in TOOLS))
    print(outcomes[-1].summary, flush=True)
    failed = any(not outcome.passed for outcome in outcomes)
    return int(failed or not choice.without.issuperset(absent))


def main(argv: list[str]) -> int:
    """Run all checks and return 0 only if every one of them ran and passed."""
    choice = read_choice(argv)
    absent = left_out(choice)
    with ThreadPoolExecutor(1) as beside:
        linted = [beside.submit(run_lint, step) for step in LINTS]
        tested = run_pytest(pytest_args(choice, absent), choice.thorough)
    outcomes = [one.result() for one in linted]
    if tested.code == NOTHING_COLLECTED and absent:
        tested = tested.excused()
    return report([*outcomes, tested], choice, absent)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
