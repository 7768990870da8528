"""A worker process: takes one piece of work at a time, answers it, and ends with whoever started it.

It holds no database, no listening socket and no setting; what it needs comes with each piece of work.
"""

import contextlib
import gc
import importlib
import os
import queue
import signal
import sys
import threading
from typing import Any, BinaryIO

from api.work.errors import packed
from api.work.line import give, take
from estimator import ENGINE

__all__ = ["DEFECT", "DONE", "FAULT", "LARGE", "READY", "main"]

READY, DONE, FAULT, DEFECT, LARGE = "ready", "done", "fault", "defect", "large"
ALONE = ("SIGINT", "SIGTERM", "SIGHUP")  # whoever started the worker ends it, once its work is answered
LATER = 5  # how much it stands back (nice) behind whoever answers requests
DIE_WITH_PARENT = 1  # PR_SET_PDEATHSIG of prctl(2)


def main(memory: int, room: str = "api.work.tasks") -> None:
    """Work until nobody asks any more.

    Parameters
    ----------
    memory
        What the process may take. [MB]
    room
        What is loaded before it can be asked.
    """
    for name in ALONE:
        if number := getattr(signal, name, None):
            signal.signal(number, signal.SIG_IGN)
    _bounded(memory)
    asked, answers = _pipes()
    pieces: queue.SimpleQueue[tuple[Any, ...]] = queue.SimpleQueue()
    threading.Thread(target=_listen, args=(asked, pieces), daemon=True).start()
    try:
        importlib.import_module(room)  # what takes long is loaded once it can be ended
        gc.collect()
        gc.freeze()
        give(answers, (READY, ENGINE))
        while True:
            give(answers, _answer(*pieces.get()))
    except OSError:
        os._exit(0)


def _bounded(memory: int) -> None:
    """Bound memory, stand back, and die with the parent, as far as the system knows of such things."""
    with contextlib.suppress(ImportError, OSError, ValueError):
        import resource  # noqa: PLC0415  # a system without such limits has not got it

        resource.setrlimit(resource.RLIMIT_AS, (memory << 20, memory << 20))
        os.nice(LATER)
    if sys.platform == "linux":
        import ctypes  # noqa: PLC0415  # needed here only

        ctypes.CDLL(None).prctl(DIE_WITH_PARENT, signal.SIGKILL)


def _pipes() -> tuple[BinaryIO, BinaryIO]:
    """Return where work comes from and answers go; what anything prints goes where faults go."""
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    return sys.stdin.buffer, answers


def _listen(asked: BinaryIO, pieces: "queue.SimpleQueue[tuple[Any, ...]]") -> None:
    """Pass pieces of work on; end the process, whatever it is doing, once nobody can ask any more."""
    while (piece := take(asked)) is not None:
        pieces.put(piece)
    os._exit(0)


def _answer(room: str, name: str, args: tuple[Any, ...]) -> tuple[Any, ...]:
    """Return what a function answers, or what came up instead."""
    try:
        return DONE, getattr(importlib.import_module(room), name)(*args)
    except MemoryError:
        return (LARGE,)
    except Exception as error:
        if (fault := packed(error)) is not None:
            return FAULT, fault
        if isinstance(error.__cause__ or error.__context__, MemoryError):
            return (LARGE,)
        from api.logs import place_of  # noqa: PLC0415  # only where something is wrong

        return DEFECT, type(error).__name__, place_of(error)
