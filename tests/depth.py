"""How deep the tests look: a few samples of every law at a push, all of them under `python -m tests --thorough`."""

import os
from collections.abc import Sequence
from typing import Any

import pytest

from tests.runner.steps import VARIABLE

__all__ = ["THOROUGH", "deep", "seeds", "some"]

THOROUGH = bool(os.environ.get(VARIABLE))


def deep(full: int, push: int | None = None) -> int:
    """Return how many samples are tried: all, or at a push fewer (an eighth, and no less than eight, unless said)."""
    if THOROUGH:
        return full
    return min(full, max(8, full // 8) if push is None else push)


def seeds(full: int, push: int) -> list[Any]:
    """Return the seeds of a parametrised test; those past `push` are held for --thorough."""
    return [seed if seed < push else pytest.param(seed, marks=pytest.mark.thorough) for seed in range(full)]


def some(cases: Sequence[Any], push: int) -> list[Any]:
    """Return the cases of a parametrised test; at a push `push` of them, spread over all, the rest for --thorough."""
    kept = {number * len(cases) // push for number in range(push)}
    return [case if at in kept else _held(case) for at, case in enumerate(cases)]


def _held(case: Any) -> Any:
    """Return a case that is tried under --thorough alone; one with a name of its own keeps it."""
    if hasattr(case, "marks"):
        return pytest.param(*case.values, marks=[*case.marks, pytest.mark.thorough], id=case.id)
    return pytest.param(*(case if isinstance(case, tuple) else (case,)), marks=pytest.mark.thorough)
