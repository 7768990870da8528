"""The cylinder of least squares against closed forms and scipy from many starts."""

import math

import numpy as np
import numpy.typing as npt
import pytest
from scipy.optimize import least_squares

from estimator.geometry.cylinders import least_squares_cylinder
from tests.depth import seeds

Array = npt.NDArray[np.float64]

UP = (0.0, 0.0, 1.0)


def away(points: Array, foot: Array, direction: Array) -> Array:
    """Return distances from a line by the cross product."""
    return np.linalg.norm(np.cross(points - foot, direction), axis=1) / float(np.linalg.norm(direction))


def rings(radii: list[float], depths: list[float], count: int) -> Array:
    """Return points on circles about the z axis."""
    t = np.arange(count) * 2 * math.pi / count
    return np.concatenate(
        [np.stack((r * np.sin(t), r * np.cos(t), np.full(count, z)), 1) for r, z in zip(radii, depths, strict=True)]
    )


def turned(points: Array, seed: int) -> tuple[Array, Array, Array]:
    """Return the points turned and moved at random, with the turn and the move."""
    rng = np.random.default_rng(seed)
    turn = np.linalg.qr(rng.normal(0, 1, (3, 3)))[0]
    move = rng.normal(0, 100, 3)
    return points @ turn.T + move, turn, move


def worn(seed: int) -> Array:
    """Return a rough bore, worn to one side and more at one end, its axis a little off z."""
    rng = np.random.default_rng(seed)
    count, length = int(rng.integers(12, 90)), float(rng.choice([30, 70, 150]))
    t, z = rng.random(count) * 2 * math.pi, (rng.random(count) - 0.5) * length
    radius = 45 + rng.normal(0, 0.05, count) + 0.5 * np.maximum(0, np.cos(t - 1)) ** 2 * (1 + z / length)
    slope = rng.normal(0, 0.01, 2)
    return np.stack((radius * np.sin(t) + slope[0] * z, radius * np.cos(t) + slope[1] * z, z), 1)


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("depths", [[0, 20], [0, 50, 100], [0, 300, 600]])
def test_an_exact_cylinder_is_found_from_nothing(seed: int, depths: list[float]) -> None:
    """Points on a cylinder of radius 40, as short as half its radius and as long as 15 of them, turned any way."""
    points, turn, move = turned(rings([40.0] * len(depths), depths, 9), seed)
    fit = least_squares_cylinder(points)
    assert fit.radius == pytest.approx(40, abs=1e-9)
    assert abs(fit.direction @ turn[:, 2]) == pytest.approx(1, abs=1e-14)
    assert away(fit.point[None], move, turn[:, 2])[0] < 1e-9
    assert fit.residual_high - fit.residual_low < 1e-9


def test_a_taper_by_its_rings() -> None:
    """A cone read in equal rings: by symmetry its own axis and mean radius."""
    cone = rings([45.0, 45.1, 45.2, 45.3], [0, 20, 40, 60], 12)
    points, turn, move = turned(cone, 3)
    fit = least_squares_cylinder(points, turn[:, 2])
    assert fit.direction == pytest.approx(turn[:, 2], abs=1e-12)
    assert fit.point == pytest.approx(move + 30 * turn[:, 2], abs=1e-9)
    assert fit.radius == pytest.approx(45.15, abs=1e-11)
    assert (fit.residual_low, fit.residual_high) == pytest.approx((-0.15, 0.15), abs=1e-10)


@pytest.mark.parametrize("seed", seeds(20, 6))
def test_least_squares_is_scipys_best_of_many_starts(seed: int) -> None:
    """scipy.optimize.least_squares on the cross-product distance, the axis by its crossings of two planes."""
    points = worn(seed)

    def error(at: Array) -> Array:
        foot, far = np.array([at[0], at[1], -50.0]), np.array([at[2], at[3], 50.0])
        return away(points, foot, far - foot) - at[4]

    starts = np.random.default_rng(seed).normal((0, 0, 0, 0, 45), 1, (4, 5))
    best = min(
        (least_squares(error, start, xtol=1e-15, ftol=1e-15, gtol=1e-15) for start in starts), key=lambda r: r.cost
    )
    free, fit = least_squares_cylinder(points), least_squares_cylinder(points, UP)
    own = away(points, fit.point, fit.direction) - fit.radius
    assert own @ own <= 2 * best.cost * (1 + 1e-10)
    assert free.radius == pytest.approx(fit.radius, abs=1e-9)
    assert fit.radius == pytest.approx(best.x[4], abs=1e-6)  # its cost is flat to rounding there
    assert (fit.residual_low, fit.residual_high) == pytest.approx((own.min(), own.max()), abs=1e-8)
