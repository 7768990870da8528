"""What was worked out for a value is not worked out again for the same one: few and small results, held by value.

A job that is changed in one bore then costs one bore. Nothing is held while figures are recorded: each number then
knows the job that it comes from. What is held is never changed by whoever gets it. Threads share it, one at a time;
each process has its own.
"""

import os
import threading
from collections.abc import Callable, Hashable
from typing import Any, Literal, TypeVar, get_args

from estimator.formula import is_recording
from estimator.units import on_rescale

__all__ = ["Same", "forget", "hold", "recalled", "remembered"]

R = TypeVar("R")
Kind = Literal["survey", "boring", "plan", "work", "arranged", "written"]
MOST = 256  # results of a kind


class Same:
    """A thing that equals itself alone, whatever it holds."""

    __slots__ = ("thing",)

    def __init__(self, thing: object) -> None:
        """Hold the thing, so that no other takes its place."""
        self.thing = thing

    def __hash__(self) -> int:
        return id(self.thing)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Same) and self.thing is other.thing


class _Held:
    """Results by kind and key, the ones last asked for at the end."""

    def __init__(self) -> None:
        self.kinds: dict[Kind, dict[Hashable, Any]] = {kind: {} for kind in get_args(Kind)}
        self.lock = threading.Lock()

    def unlock(self) -> None:
        """Take a new lock: in a process just split off, nobody is left to give the old one back."""
        self.lock = threading.Lock()


HELD = _Held()
os.register_at_fork(after_in_child=HELD.unlock)


def recalled(kind: Kind, key: Hashable) -> Any:  # noqa: ANN401  # whatever was held
    """Return what is held for a key; None for nothing, and always while recording."""
    if is_recording():
        return None
    with HELD.lock:
        kept = HELD.kinds[kind]
        found = kept.pop(key, None)
        if found is not None:
            kept[key] = found
        return found


def hold(kind: Kind, key: Hashable, found: object) -> None:
    """Hold a result for a key, and let go of the one that was longest not asked for."""
    if is_recording():
        return
    with HELD.lock:
        kept = HELD.kinds[kind]
        kept[key] = found
        if len(kept) > MOST:
            del kept[next(iter(kept))]


def remembered(kind: Kind, key: Hashable, make: Callable[[], R]) -> R:
    """Return what is held for a key, else what `make` answers; what it raises is not held."""
    kept: R | None = recalled(kind, key)
    if kept is not None:
        return kept
    found = make()
    hold(kind, key, found)
    return found


def forget() -> None:
    """Let go of all that is held."""
    with HELD.lock:
        for kept in HELD.kinds.values():
            kept.clear()


on_rescale(forget)
