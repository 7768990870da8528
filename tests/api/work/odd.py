"""Work of every awkward kind, for a pool to do."""

import os
import sys
import time
from pathlib import Path

from estimator.errors import DocumentError, Fault, JobRefusedError, OutOfRangeError

__all__ = ["begins", "breaks", "dies", "grows", "holds", "loaded", "prints", "refuses", "sleeps", "surroundings", "who"]

FAULTS = [Fault(f"bores.{number}", "is wrong", "code") for number in range(130)]


def who(said: str) -> tuple[str, int]:
    """Say it again, and by which process."""
    return said, os.getpid()


def loaded() -> tuple[bool, bool]:
    """Return whether the engine, and what is asked of a worker, is loaded."""
    return "estimator.estimate" in sys.modules, "api.work.tasks" in sys.modules


def sleeps(seconds: float) -> float:
    """Wait."""
    time.sleep(seconds)
    return seconds


def begins(file: str, seconds: float) -> str:
    """Write a file, then wait."""
    Path(file).write_text(str(os.getpid()))
    time.sleep(seconds)
    return file


def holds(power: int) -> int:
    """Let no other thread of the process run for a long time."""
    return int((3**power).bit_length())


def grows(megabytes: int) -> int:
    """Take memory."""
    return len(bytearray(megabytes << 20))


def dies() -> None:
    """End the process."""
    os._exit(3)


def breaks(said: str) -> None:
    """Raise what no caller may read."""
    raise RuntimeError(f"quotes {said}")


def refuses(kind: str) -> None:
    """Raise a fault of the engine."""
    if kind == "range":
        raise OutOfRangeError("travel", 2.0, 0.0, 1.0)
    raise {"document": DocumentError, "job": JobRefusedError}[kind](FAULTS)


def prints(said: str) -> str:
    """Print, as a library might."""
    sys.stdout.write(said * 1000)
    sys.stdout.flush()
    os.write(1, said.encode())
    return said


def surroundings() -> tuple[list[str], list[str]]:
    """Return our variables, and what the process has open."""
    kept = sorted(name for name in os.environ if name.startswith("BOREWORTH_"))
    open_files = [os.readlink(one) for one in Path("/proc/self/fd").iterdir() if one.exists() or one.is_symlink()]
    return kept, open_files
