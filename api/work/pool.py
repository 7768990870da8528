"""The pool: work waits in one queue, a thread for each process takes it from there, too much is refused at once.

Whoever has least work under way is served first, nobody may fill more than half of the queue, and large work never
takes the last worker, so that one caller's large jobs keep no other from small ones.
"""

import asyncio
import os
import threading
import time
from collections import Counter
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass, field
from functools import partial
from typing import Any, TypeVar, TypeVarTuple, Unpack

from api.logs import log
from api.work.errors import FullError, LostError
from api.work.process import Process

__all__ = ["Pool", "cores"]

USUAL = 40  # bores that the deadline is for; more work has more time, in proportion
LARGE = 100  # bores; more than that is large work
LARGEST = 64 << 20  # [bytes] that may wait
FULL = "too much work is waiting; ask again later"
ENDING = "the service is ending; ask again later"
NONE = "no process can be started to do the work; ask again later"
LONGEST = 120.0  # [s] that a piece of work waits; callers hang up before
SELDOM = 60.0  # [s] between two lines of the log about the same
PATIENCE = 5.0  # [s] for a thread to end whose process was killed
Args = TypeVarTuple("Args")
R = TypeVar("R")


@dataclass(eq=False)
class Piece:
    """A piece of work that waits: for whom, how much, and how many bytes it holds."""

    caller: str
    weight: int
    size: int
    message: tuple[Any, ...]
    since: float = field(default_factory=time.monotonic)
    answer: Future[Any] = field(default_factory=Future)


def cores() -> int:
    """Return how many processors this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class Pool:
    """Worker processes, started one by one as they are needed."""

    def __init__(self, workers: int, deadline: float, queue: int, memory: int) -> None:
        """Begin with none.

        Parameters
        ----------
        workers
            How many there are at most.
        deadline
            How long the work of forty bores may take. [s]
        queue
            How much work may wait. [bores]
        memory
            What each process may take. [MB]
        """
        self._most, self._deadline, self._queue, self._memory = workers, deadline, queue, memory
        self._turn = threading.Condition()
        self._waiting: list[Piece] = []
        self._busy: Counter[str] = Counter()  # pieces under way, by caller
        self._processes: dict[int, Process] = {}  # by thread
        self._threads: list[threading.Thread] = []
        self._said = -SELDOM
        self._large = 0  # pieces of large work under way
        self._free, self._closed = 0, False  # threads that have nothing to do, or will have once they have started

    async def done(self, caller: str, weight: int, function: Callable[[Unpack[Args]], R], *args: *Args) -> R:
        """Return what a function answers; raise `FullError` at once where too much waits, else as `Process.ask` does.

        Function and arguments go to another process: a function of a module, and plain values.
        """
        size = sum(len(one) for one in args if isinstance(one, str | bytes))
        message = (function.__module__, function.__qualname__, args)
        found: R = await asyncio.wrap_future(self._put(Piece(caller, weight, size, message)))
        return found

    def start(self) -> None:
        """Start a first worker, so that whoever comes first need not wait for it."""
        with self._turn:
            self._hire()

    def waiting(self) -> int:
        """Return how much work waits. [bores]"""
        with self._turn:
            return sum(one.weight for one in self._waiting)

    def under_way(self) -> int:
        """Return how many pieces of work are being done."""
        with self._turn:
            return self._busy.total()

    def close(self) -> None:
        """End all processes, and tell whoever waits."""
        with self._turn:
            self._closed = True
            left, self._waiting = self._waiting, []
            for process in self._processes.values():
                process.kill()
            self._turn.notify_all()
        for piece in left:
            if piece.answer.set_running_or_notify_cancel():
                piece.answer.set_exception(LostError(ENDING))
        for thread in self._threads:
            thread.join(PATIENCE)

    # ---------------------------------------------------------------- what waits

    def _put(self, piece: Piece) -> Future[Any]:
        """Let a piece of work wait, if there is room for it."""
        with self._turn:
            if self._closed:
                raise LostError(ENDING)
            if len(self._waiting) >= self._free + self._most - len(self._threads) and self._over(piece):
                raise FullError(FULL)
            self._waiting.append(piece)
            if len(self._waiting) > self._free and len(self._threads) < self._most:
                self._hire()
            self._turn.notify()
        return piece.answer

    def _over(self, piece: Piece) -> bool:
        """Return whether a piece is one too many where nobody is free."""
        own = sum(one.weight for one in self._waiting if one.caller == piece.caller) + piece.weight
        every = sum(one.weight for one in self._waiting) + piece.weight
        size = sum(one.size for one in self._waiting) + piece.size
        return own > self._queue / 2 or every > self._queue or size > LARGEST

    def _may_begin(self) -> list[Piece]:
        """Return what waits and may begin now: of large work only what leaves a worker to the small."""
        room = self._large < max(1, self._most - 1)
        return [one for one in self._waiting if room or one.weight <= LARGE]

    def _next(self) -> Piece | None:
        """Return a piece of whoever has least under way, the first that came; None once the pool is closed."""
        with self._turn:
            self._turn.wait_for(lambda: self._closed or self._may_begin())
            if self._closed:
                return None
            piece = min(self._may_begin(), key=lambda one: self._busy[one.caller])
            self._waiting.remove(piece)
            self._busy[piece.caller] += 1
            self._large += piece.weight > LARGE
            self._free -= 1
            return piece

    def _done(self, piece: Piece) -> None:
        with self._turn:
            self._busy[piece.caller] -= 1
            self._busy = +self._busy  # forgets who has nothing under way
            self._large -= piece.weight > LARGE
            self._free += 1
            self._turn.notify_all()

    # ---------------------------------------------------------------- who works

    def _hire(self) -> None:
        thread = threading.Thread(target=self._run, name="worker", daemon=True)
        self._threads.append(thread)
        self._free += 1
        thread.start()

    def _run(self) -> None:
        """Take work until the pool is closed, with a process of this thread's own; one that ended is replaced."""
        process = self._begun(None)
        while (piece := self._next()) is not None:
            process = self._begun(process)  # it may have ended while it had nothing to do
            if piece.answer.set_running_or_notify_cancel():
                tell = self._answer(process, piece)
                self._done(piece)
                tell()
            else:
                self._done(piece)
            process = self._begun(process)
        if process is not None:
            process.end()

    def _begun(self, before: Process | None) -> Process | None:
        """Return a process that is ready to work, another one where that ended; None where none can be started."""
        if before is not None and before.lives:
            return before
        if before is not None:
            before.end()
        try:
            process = Process(self._memory)
        except OSError as error:
            self._say(f"no process can be started: {error.strerror}")
            return None
        with self._turn:
            self._processes[threading.get_ident()] = process
            if self._closed:
                process.kill()
        return process if process.ready() else None

    def _say(self, said: str) -> None:
        """Write down that no process can be started, now and then only."""
        with self._turn:
            due = time.monotonic() - self._said > SELDOM
            self._said = time.monotonic() if due else self._said
        if due:
            log().error("worker", said=said)

    def _answer(self, process: Process | None, piece: Piece) -> Callable[[], None]:
        """Let a process do a piece of work and return how to tell of it; what nobody waits for is not begun."""
        seconds = self._deadline * max(1.0, piece.weight / USUAL)
        try:
            if process is None:
                raise LostError(ENDING if self._closed else NONE)
            if time.monotonic() - piece.since > LONGEST:
                raise FullError(FULL)
            return partial(piece.answer.set_result, process.ask(piece.message, seconds))
        except Exception as error:
            return partial(piece.answer.set_exception, error)
