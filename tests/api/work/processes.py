"""Whether processes live, and which are whose."""

import time
from collections.abc import Callable
from pathlib import Path

__all__ = ["alive", "children_of", "waited"]

PATIENCE = 60.0  # seconds; a loaded machine is slow


def _state(number: int | str) -> tuple[str, int]:
    """Return the state of a process and the number of its parent; an empty state where there is none."""
    try:
        state, parent, *_ = Path(f"/proc/{number}/stat").read_text().rpartition(")")[2].split()
    except OSError:
        return "", 0
    return ("" if state == "Z" else state), int(parent)


def alive(number: int) -> bool:
    """Return whether a process is there; one that ended and waits to be cleared away is not."""
    return _state(number)[0] != ""


def children_of(parent: int) -> list[int]:
    """Return the processes that a process started and that are there."""
    every = [folder.name for folder in Path("/proc").iterdir() if folder.name.isdigit()]
    states = {int(name): _state(name) for name in every}
    return sorted(number for number, (state, of) in states.items() if state and of == parent)


def waited(question: Callable[[], object], why: str) -> None:
    """Wait until something is so."""
    end = time.monotonic() + PATIENCE
    while not question():
        assert time.monotonic() < end, why
        time.sleep(0.02)
