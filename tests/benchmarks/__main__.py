"""Ratios and their aims: `python -m tests.benchmarks [--only WORD] [--keep] [--against REV]`."""

import argparse
import socket
import sys
from collections.abc import Callable, Iterable, Iterator

from tests.benchmarks.arrays import array_ratio
from tests.benchmarks.engine import engine_ratios
from tests.benchmarks.keep import keep, losses
from tests.benchmarks.papers import letter_ratio
from tests.benchmarks.ratio import Ratio, bare_import
from tests.benchmarks.serve import route_ratio, serve
from tests.benchmarks.shell import shell_ratio
from tests.benchmarks.spread import spread_ratios
from tests.benchmarks.typing import keystroke_ratio
from tests.benchmarks.workbooks import workbook_ratio

GROUPS: dict[str, Callable[[float], Iterable[Ratio]]] = {
    "engine": engine_ratios,
    "shell": lambda _: [shell_ratio()],
    "workbook": lambda _: [workbook_ratio()],
    "letter": lambda _: [letter_ratio()],
    "arrays": lambda _: [array_ratio()],
    "spread": lambda _: spread_ratios(),
    "typing": lambda _: [keystroke_ratio()],
    "serve": lambda _: [route_ratio()],
}


def read_choice(argv: list[str]) -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("--only", action="append", choices=list(GROUPS), help="this group alone; again for more")
    parser.add_argument("--keep", action="store_true", help="add what is measured to kept.json, with its commit")
    parser.add_argument("--against", metavar="REV", help="tell what is worse than what is kept of it by over a fifth")
    parser.add_argument("--serve", type=int, help=argparse.SUPPRESS)
    return parser.parse_args(argv)


def told(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _measured(groups: Iterable[str], bare: float) -> Iterator[Ratio]:
    for group in groups:
        for ratio in GROUPS[group](bare):
            told(ratio.line())
            yield ratio


def main(argv: list[str]) -> int:
    """Measure, print, keep; return 0 only if all meet their aims and nothing was lost."""
    choice = read_choice(argv)
    if choice.serve is not None:
        serve(socket.socket(fileno=choice.serve))
        return 0
    bare = bare_import()
    told(f"importing NumPy and pydantic takes {1e3 * bare:.0f} ms of the processor")
    ratios = list(_measured(choice.only or GROUPS, bare))
    if choice.keep:
        keep(ratios, bare)
    lost = losses(ratios, choice.against) if choice.against else []
    for line in [f"LOST {each}" for each in lost] or ["nothing lost"] * bool(choice.against):
        told(line)
    return int(bool(lost) or not all(ratio.met for ratio in ratios))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
