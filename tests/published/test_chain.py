"""Rates and shapes of a chain of lumps: closed forms, and the two laws that a set of shapes keeps."""

import math

import numpy as np
import numpy.typing as npt
import pytest

from estimator.weld.chain import decays_of

Array = npt.NDArray[np.float64]


@pytest.mark.parametrize("count", [2, 5, 25])
@pytest.mark.parametrize("loss", [1.0, 1e-6, 1e-13])
def test_an_even_chain(count: int, loss: float) -> None:
    """Carslaw and Jaeger 3.3 in steps: h/c + 4 g/c sin²(pi k / 2 n), cosines for shapes; slow rates sharp as well."""
    capacity, lost, between = np.full(count, 3.0), np.full(count, loss), np.full(count - 1, 7.0)
    decay, modes = decays_of(capacity, lost, between)
    exact = [loss / 3.0 + 4 * 7.0 / 3.0 * math.sin(math.pi * k / (2 * count)) ** 2 for k in range(count)]
    assert decay == pytest.approx(exact, rel=1e-12)
    place = (np.arange(count) + 0.5) / count
    shapes = np.cos(math.pi * place[:, None] * np.arange(count))
    shapes /= np.sqrt((3.0 * shapes**2).sum(axis=0))
    assert np.abs(modes) == pytest.approx(np.abs(shapes), abs=1e-9)


def _uneven(seed: int, sets: int = 1) -> tuple[Array, Array, Array]:
    dice = np.random.default_rng(seed)
    capacity, between = 10 ** dice.uniform(-1, 5, 25), 10 ** dice.uniform(-1, 2, 24)
    return capacity, 10 ** dice.uniform(-4, 0, (sets, 25)), between


@pytest.mark.parametrize("seed", range(20))
def test_shapes_are_even_in_heat_and_solve_their_equation(seed: int) -> None:
    """Orthogonal over the heat capacity; each loses at its own rate (to the last digits but few)."""
    capacity, (lost,), between = _uneven(seed)
    decay, modes = decays_of(capacity, lost, between)
    assert modes.T @ (capacity[:, None] * modes) == pytest.approx(np.eye(25), abs=1e-9)
    flow = between[:, None] * np.diff(modes, axis=0)
    gone = lost[:, None] * modes + np.concatenate((np.zeros((1, 25)), flow)) - np.concatenate((flow, np.zeros((1, 25))))
    scale = np.abs(lost[:, None] * modes).max(axis=0) + np.abs(flow).max(axis=0)
    assert gone / scale == pytest.approx(capacity[:, None] * modes * decay / scale, abs=1e-10)
    assert np.all(np.diff(decay) > 0)


def test_sets_are_what_each_is() -> None:
    capacity, lost, between = _uneven(3, sets=4)
    decays, modes = decays_of(capacity, lost, between)
    for number in range(4):
        one = decays_of(capacity, lost[number], between)
        assert np.array_equal(decays[number], one[0])
        assert np.array_equal(modes[number], one[1])


def test_the_last_digits_of_the_library_do_not_count(monkeypatch: pytest.MonkeyPatch) -> None:
    """Another processor's rates, a millionth of a millionth off, lead to the same ones but for the last digits."""
    capacity, (lost,), between = _uneven(5)
    usual, shapes = decays_of(capacity, lost, between)
    library = np.linalg.eigvalsh
    monkeypatch.setattr(np.linalg, "eigvalsh", lambda matrix: library(matrix) * (1 + 1e-11))
    decay, modes = decays_of(capacity, lost, between)
    assert decay == pytest.approx(usual, rel=1e-13)
    assert modes == pytest.approx(shapes, rel=1e-9, abs=1e-12)
