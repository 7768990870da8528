"""The same bytes on any processor: under other kernels of the linear algebra, and with the last bits of it all moved.

A processor that we do not have is stood for by noise: whatever a library may round another way comes out by up to two
last bits more or less.
"""

import ast
import functools
import hashlib
import json
import math
import os
import random
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from estimator.bore import form
from estimator.steps import memo
from estimator.weld import body, ring
from tests.depth import seeds
from tests.golden.hold import document_of

ROOT = Path(__file__).parents[2]
SAMPLES = sorted(path.stem for path in (ROOT / "sample_jobs").glob("*.json"))
ANY, AVX2 = (
    ("Prescott", "Nehalem"),
    ("Haswell", "Zen"),
)  # what runs on any processor of the kind, and what asks for more
BITS = 4e-16  # relative: two last bits
NOISY = ("exp", "expm1", "log", "log1p", "sin", "cos", "tan", "arctan2", "hypot", "power", "sinh", "cosh", "tanh")
PLAIN = ("exp", "expm1", "log", "log1p", "sin", "cos", "tan", "atan", "atan2", "tanh", "erfc", "hypot", "pow")
BORES = ROOT / "estimator" / "bore"
FREE = {"linalg", "dot", "vdot", "inner", "einsum", "matmul", "tensordot", "exp", "log", "sin", "cos", "tan", "arctan2"}
FREE |= {"hypot", "power", "arctan", "arcsin", "arccos", "exp2", "log2", "log10", "cbrt", "polyfit"}
SCRIPT = "from tests.estimator.test_kernels import said; print(said())"


def said() -> str:
    """Return a hash of every sample's document."""
    text = "\n".join(json.dumps(document_of(name), ensure_ascii=False) for name in SAMPLES)
    return hashlib.sha256(text.encode()).hexdigest()


def kernels() -> list[str]:
    """Return three kernels and more that this processor can run."""
    flags = Path("/proc/cpuinfo").read_text("utf-8") if Path("/proc/cpuinfo").exists() else ""
    found = [*ANY, *(AVX2 if " avx2 " in flags else ())]
    return [*found, "SkylakeX"] if " avx512vl " in flags else found


@functools.cache
def under(kernel: str, threads: int) -> str:
    """Return the hash of the samples' documents in a process with a kernel and a number of threads."""
    named = {"OPENBLAS_CORETYPE": kernel, "OPENBLAS_NUM_THREADS": str(threads), "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT],
        env={**os.environ, **named},
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout


def _runs() -> list[Any]:
    """Return kernels and threads; at a push the oldest kernel with two threads, and one of each newer kind."""
    each = [(one, 1 + n % 2) for n, one in enumerate(kernels())] + [("Prescott", 2)]
    return [run if run[0] not in {"Nehalem", "Zen"} else pytest.param(*run, marks=pytest.mark.thorough) for run in each]


@pytest.mark.parametrize(("kernel", "threads"), _runs())
def test_the_kernel_and_the_threads_change_no_byte(kernel: str, threads: int) -> None:
    assert under(kernel, threads) == under(ANY[0], 1)


class Noise:
    """Moves the last bits of what functions answer, never twice alike."""

    def __init__(self, seed: int) -> None:
        self.dice, self.calls = random.Random(seed), 0
        self.many = np.random.default_rng(seed)

    def moved(self, value: Any) -> Any:
        """Return a number, an array or several with their last bits moved."""
        self.calls += 1
        if isinstance(value, tuple):
            return type(value)(*map(self.moved, value)) if hasattr(value, "_fields") else tuple(map(self.moved, value))
        if isinstance(value, np.ndarray) and value.ndim:
            return value * (1 + self.many.uniform(-BITS, BITS, value.shape))
        return type(value)(value * (1 + self.dice.uniform(-BITS, BITS)))

    def on(self, function: Callable[..., Any]) -> Callable[..., Any]:
        """Return the function with noise on what it answers."""
        return lambda *given, **named: self.moved(function(*given, **named))


def _fresh() -> None:
    """Let go of all that was worked out before."""
    memo.forget()
    ring._known.cache_clear()
    body._known.cache_clear()
    form.fitted_once.cache_clear()


@functools.cache
def _unmoved() -> dict[str, str]:
    """Return every sample's document."""
    return {name: json.dumps(document_of(name)) for name in SAMPLES}


@pytest.mark.parametrize("seed", seeds(3, 2))
def test_moved_last_bits_change_no_byte(monkeypatch: pytest.MonkeyPatch, seed: int) -> None:
    before = _unmoved()
    noise = Noise(seed)
    for home, names in ((np, NOISY), (math, PLAIN), (np.linalg, ("eigh",))):
        for name in names:
            monkeypatch.setattr(home, name, noise.on(getattr(home, name)))
    _fresh()
    after = {name: json.dumps(document_of(name)) for name in SAMPLES}
    monkeypatch.undo()
    _fresh()
    assert noise.calls > 1000
    assert [name for name in SAMPLES if after[name] != before[name]] == []


@pytest.mark.parametrize("path", sorted(BORES.glob("*.py")), ids=lambda path: path.stem)
def test_the_geometry_of_bores_calls_no_function_that_rounds_by_processor(path: Path) -> None:
    """What decides where a bore lies adds, multiplies, divides and takes roots, which every processor rounds alike."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        assert not (isinstance(node, ast.BinOp) and isinstance(node.op, ast.MatMult)), f"line {node.lineno}: @"
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "np":
            assert node.attr not in FREE, f"line {node.lineno}: np.{node.attr}"
