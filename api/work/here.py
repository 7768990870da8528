"""Where work is done: what a pool promises, and how it is done without one."""

from collections.abc import Callable
from typing import Protocol, TypeVar, TypeVarTuple, Unpack

from starlette.concurrency import run_in_threadpool

__all__ = ["Here", "Work"]

Args = TypeVarTuple("Args")
R = TypeVar("R")


class Work(Protocol):
    """Where work is done, by functions of a module whose arguments and answers are plain values."""

    async def done(self, caller: str, weight: int, function: Callable[[Unpack[Args]], R], *args: *Args) -> R:
        """Return what a function answers for a caller; `weight` bores' worth of work."""

    def waiting(self) -> int:
        """Return how much work waits. [bores]"""

    def under_way(self) -> int:
        """Return how many pieces of work are being done."""

    def close(self) -> None:
        """End what is under way."""


class Here:
    """Work done in this process, without bounds: in tests, and where no other process may be started."""

    async def done(self, _: str, __: int, function: Callable[[Unpack[Args]], R], *args: *Args) -> R:
        """Return what a function answers."""
        return await run_in_threadpool(function, *args)

    def waiting(self) -> int:
        """Return 0: nothing waits."""
        return 0

    def under_way(self) -> int:
        """Return 0: nothing is counted."""
        return 0

    def close(self) -> None:
        """Do nothing: there is nothing to end."""
