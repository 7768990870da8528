"""One worker process as the service sees it: started, asked, ended."""

import json
import os
import signal
import subprocess
import sys
import threading
from typing import Any

from api.logs import log
from api.work.errors import DefectError, LargeError, LateError, LostError, raised
from api.work.line import give, take
from api.work.worker import DEFECT, DONE, FAULT, READY
from estimator import ENGINE

__all__ = ["Process"]

# Isolated, so that no file of the working directory is taken for a module; then with the paths of the service itself.
BEGIN = (
    "import json, sys; sys.path[:], memory = json.loads(sys.argv[1]); from api.work.worker import main; main(memory)"
)
STARTING = 120.0  # [s]; a loaded machine starts slowly
ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"}
LATE = "the work took longer than {:g} s and was given up; ask for less at once, or again later"
LARGE = "the work took more than {} MB of memory and was given up; ask for less at once, or again later"
LOST = "the process that did the work ended; ask again"


class Process:
    """A worker process that runs, ready to be asked."""

    def __init__(self, memory: int) -> None:
        """Start a process; it ends with the thread that starts it, where the system knows of that.

        Parameters
        ----------
        memory
            What it may take. [MB]
        """
        self._memory, self._late = memory, False
        self._process = subprocess.Popen(
            [sys.executable, "-I", "-c", BEGIN, json.dumps([sys.path, memory])],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env=_environment(),
        )  # fmt: skip

    def ready(self) -> bool:
        """Wait until it can be asked; return whether it can be."""
        found = self._within(STARTING, None)
        if found == (READY, ENGINE):
            return True
        self.end()
        if found is not None:
            log().error("worker", said=f"{found[-1]} lies here by now, and {ENGINE} serves: start the service again")
        elif self._process.returncode != -signal.SIGKILL:
            log().error("worker", said=f"a worker does not start; it ended with {self._process.returncode}")
        return False

    @property
    def lives(self) -> bool:
        """Return whether it can be asked."""
        return not self._late and self._process.poll() is None

    def ask(self, piece: tuple[Any, ...], seconds: float) -> Any:  # noqa: ANN401  # whatever the function answers
        """Return what a piece of work comes to.

        Parameters
        ----------
        piece
            Module and name of a function, and its arguments.
        seconds
            How long that may take; the process is ended where it takes longer. [s]

        Raises
        ------
        WorkError
            If there is no answer: `LateError`, `LargeError`, `LostError`.
        DefectError
            If something of ours is wrong.
        DocumentError, JobRefusedError, OutOfRangeError
            As the function raises them.
        """
        found = self._within(seconds, piece)
        if found is None:
            self.end()
            raise LateError(LATE.format(seconds)) if self._late else LostError(LOST)
        kind, *rest = found
        if kind == DONE:
            return rest[0]
        if kind == FAULT:
            raise raised(rest[0])
        if kind == DEFECT:
            raise DefectError(*rest)
        self.end()
        raise LargeError(LARGE.format(self._memory))

    def _within(self, seconds: float, piece: tuple[Any, ...] | None) -> tuple[Any, ...] | None:
        """Return the next answer to a piece of work; None where there is none in time, or ever."""
        clock = threading.Timer(seconds, self._give_up)
        clock.daemon = True
        clock.start()
        stdin, stdout = self._process.stdin, self._process.stdout
        assert stdin is not None
        assert stdout is not None
        try:
            if piece is not None:
                give(stdin, piece)
            return take(stdout)
        except OSError:
            return None
        finally:
            clock.cancel()
            clock.join()  # either it has given up by now, or it never will

    def _give_up(self) -> None:
        self._late = True
        self.kill()

    def kill(self) -> None:
        """End the process, whatever it is doing; whoever waits for it is told."""
        self._process.kill()

    def end(self) -> None:
        """End the process, and clear away what is left of it."""
        self.kill()
        self._process.wait()
        for pipe in (self._process.stdin, self._process.stdout):
            assert pipe is not None
            try:
                pipe.close()
            except OSError:
                continue  # what was not yet written reaches nobody


def _environment() -> dict[str, str]:
    """Return the variables of a worker: none of ours, which may hold a password."""
    return ONE_THREAD | {name: value for name, value in os.environ.items() if not name.startswith("BOREWORTH_")}
