"""The interior-point method on small programmes with known answers, and its bound from anywhere on the way."""

import numpy as np
import numpy.typing as npt
import pytest
from scipy.optimize import minimize

from estimator.geometry.cones import Programme, _Walk, least
from tests.depth import seeds

Array = npt.NDArray[np.float64]


def _programme(rng: np.random.Generator, points: int) -> Programme:
    """Return the smallest circle round points, its radius squared, the centre right of a line and within a circle."""
    place = rng.normal(size=(2, points))
    across = np.zeros((2, points + 1, 3))
    across[0, :, 0], across[1, :, 1] = 1.0, 1.0
    side, room = np.zeros((points + 1, 3)), np.zeros(points + 1)
    side[:-1, 2], room[-1] = 1.0, 4.0
    return Programme(
        np.array([0.0, 0.0, 1.0]), np.zeros(3), np.full(3, 20.0), side, room,
        across, np.hstack((place, np.zeros((2, 1)))), np.array([[1.0, 0.0, 0.0]]), np.array([0.25]),
    )  # fmt: skip


def _answer(programme: Programme) -> float:
    """Return the least squared radius by scipy's SLSQP."""
    place = programme.place[:, :-1]

    def rules(u: Array) -> Array:
        off = u[2] ** 2 - ((u[:2, None] - place) ** 2).sum(axis=0)
        return np.concatenate((off, [u[0] - 0.25, 16 - u[0] ** 2 - u[1] ** 2]))

    done = minimize(
        lambda u: u[2] ** 2, np.array([0.5, 0.0, 6.0]), method="SLSQP",
        constraints={"type": "ineq", "fun": rules}, options={"ftol": 1e-12, "maxiter": 300},
    )  # fmt: skip
    assert rules(done.x).min() > -3e-8  # as near as it keeps its rules
    return float(done.fun)


@pytest.mark.parametrize("seed", range(10))
def test_the_least_is_the_one_scipy_finds_and_the_bound_lies_below(seed: int) -> None:
    programme = _programme(np.random.default_rng(seed), 9)
    answer = _answer(programme)
    found = least(programme, np.array([0.5, 0.0, 6.0]), 1e-9)
    assert found.value == pytest.approx(answer, rel=1e-7)  # rules kept to 3e-8
    assert found.value - 1e-9 <= found.bound <= found.value


@pytest.mark.parametrize("seed", seeds(20, 6))
def test_the_bound_holds_from_any_point_inside_along_any_step_at_any_weight(seed: int) -> None:
    """The Lagrangian of multipliers inside their cones is a bound however far from central the point is."""
    rng = np.random.default_rng(seed)
    programme = _programme(rng, 9)
    best = least(programme, np.array([0.5, 0.0, 6.0]), 1e-12)
    told = 0
    for _ in range(200):
        x = np.array([*rng.uniform(0.3, 2.0, 2), rng.uniform(3.0, 8.0)])
        walk = _Walk(programme, *programme.stack(), x)
        weight = 10 ** rng.uniform(-6, 2)
        if walk.look(weight):
            newton = walk.step
            for step in (newton, newton * rng.normal(size=3), 0.2 * rng.normal(size=3)):
                walk.step = step
                bound = walk.prove(weight)[0]
                assert bound <= best.value * (1 + 1e-9)
                told += bound > 0
    assert told > 5  # some of them say more than that a square is not negative


def test_a_bound_is_paid_for_what_is_left_of_the_slope() -> None:
    """Multipliers that leave a slope are worth less by that slope over the span; by hand, 2026-11."""
    none = np.zeros((1, 1))
    programme = Programme(
        np.zeros(1), np.array([2.0]), np.array([5.0]), none, np.array([9.0]), np.zeros((2, 1, 1)), np.zeros((2, 1)),
        np.array([[1.0]]), np.array([1.0]),
    )  # fmt: skip
    walk = _Walk(programme, *programme.stack(), np.array([3.0]))
    assert walk.look(1e-9)
    walk.step = np.zeros(1)
    # at 3, weight 1e-9: the multiplier of x >= 1 is 5e-10; 2 * 3 less next to nothing, less a slope of 2 over 5
    assert walk.prove(1e-9)[0] == pytest.approx(6.0 - 10.0, abs=1e-8)


def test_multipliers_are_held_inside_their_cones() -> None:
    """x^2 with x within 0.5 of 1, at 1, weight 1/12, step -0.75: multipliers (1/3, 1/2) would prove 0.27, above 0.25.

    Held inside, (1/2, 1/2), they prove 0.25^2 + 0.75 / 2 - 0.5 / 2 = 0.1875 (by hand, 2026-11).
    """
    across = np.array([[[1.0]], [[0.0]]])
    programme = Programme(
        np.ones(1), np.zeros(1), np.array([2.0]), np.zeros((1, 1)), np.array([0.5]), across, np.array([[1.0], [0.0]]),
        np.zeros((0, 1)), np.zeros(0),
    )  # fmt: skip
    walk = _Walk(programme, *programme.stack(), np.array([1.0]))
    assert walk.look(1 / 12)
    walk.step = np.array([-0.75])
    assert walk.prove(1 / 12)[0] == pytest.approx(0.1875, rel=1e-12)
    assert least(programme, np.array([1.0]), 1e-9).value == pytest.approx(0.25, abs=1e-9)
