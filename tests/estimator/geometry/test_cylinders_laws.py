"""Laws of the cylinders: they go with the points, hold them, and what is said of the gap holds."""

import math
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.errors import PointsError
from estimator.geometry.cylinders import EnclosingCylinder, least_squares_cylinder, smallest_enclosing_cylinder
from tests.depth import deep

Array = npt.NDArray[np.float64]

UP = np.array([0.0, 0.0, 1.0])


def away(points: Array, foot: Array, direction: Array) -> Array:
    return np.linalg.norm(np.cross(points - foot, direction), axis=1) / float(np.linalg.norm(direction))


def bore(seed: int, count: int) -> Array:
    rng = np.random.default_rng(seed)
    t, z = rng.random(count) * 2 * math.pi, rng.random(count) * 80
    radius = 45 + rng.normal(0, 0.05, count) + 0.3 * np.cos(t - 1) ** 2
    return np.stack((radius * np.sin(t) + 0.01 * z, radius * np.cos(t) - 0.02 * z, z), 1)


@settings(max_examples=deep(40), deadline=None)
@given(st.integers(0, 10**6), st.integers(24, 60), st.floats(1e-3, 1e3))
def test_the_cylinders_go_with_the_points(seed: int, count: int, scale: float) -> None:
    points, rng = bore(seed, count), np.random.default_rng(seed + 1)
    turn = np.linalg.qr(rng.normal(0, 1, (3, 3)))[0]
    moved = scale * (points @ turn.T) + scale * rng.normal(0, 100, 3)
    for fit in (least_squares_cylinder, smallest_enclosing_cylinder):
        before: Any = fit(points, UP)
        after: Any = fit(moved, turn @ UP)
        assert after.radius == pytest.approx(scale * before.radius, rel=1e-10)
        assert after.direction == pytest.approx(turn @ before.direction, abs=1e-6)
        assert after.direction @ (turn @ UP) > 0


@settings(max_examples=deep(60), deadline=None)
@given(st.integers(0, 10**6), st.integers(24, 120), st.lists(st.floats(-1, 1), min_size=4, max_size=4))
def test_no_cylinder_near_does_better(seed: int, count: int, other: list[float]) -> None:
    points = bore(seed, count)  # of 16 to 20 scattered ones, 1 cloud in 100 to 1 in 1000 lies nearer round another axis
    mean, around = least_squares_cylinder(points, UP), smallest_enclosing_cylinder(points, UP)
    assert isinstance(around, EnclosingCylinder)
    assert away(points, around.point, around.direction).max() <= around.radius + 1e-11
    assert around.residual_high == 0 and around.residual_low < 0
    assert 0 <= around.gap <= around.radius * around.tilt**2 / 2 + 1e-9
    touching = list(around.deciding)
    assert 2 <= len(touching) <= 8
    assert away(points[touching], around.point, around.direction) == pytest.approx(around.radius, abs=1e-6)
    own = away(points, mean.point, mean.direction) - mean.radius
    assert own.sum() == pytest.approx(0, abs=1e-9)
    assert np.abs(own).argmax() == mean.deciding[0]
    for scale in (1.0, 0.05):
        shift = scale * np.array([other[0], other[1], 0])
        tilt = scale * around.tilt / math.sqrt(2) * np.array([other[2], other[3], 0])
        distances = away(points, around.point + shift, around.direction + tilt)
        assert distances.max() >= around.radius - around.gap - 1e-10
        distances = away(points, mean.point + shift, mean.direction + tilt)
        assert distances.var() * len(points) >= own @ own * (1 - 1e-12)


def test_the_point_of_the_axis_lies_nearest_the_middle() -> None:
    points = bore(4, 50)
    for fit in (least_squares_cylinder(points), smallest_enclosing_cylinder(points)):
        assert (fit.point - points.mean(axis=0)) @ fit.direction == pytest.approx(0, abs=1e-9)
        assert float(np.linalg.norm(fit.direction)) == pytest.approx(1, abs=1e-15)


def test_a_hundred_thousand_points_are_as_those_that_decide() -> None:
    points = bore(9, 100_000)
    whole = smallest_enclosing_cylinder(points, UP)
    outer = np.argsort(away(points, whole.point, whole.direction))[-500:]
    part = smallest_enclosing_cylinder(points[outer], UP)
    assert part.radius == pytest.approx(whole.radius, abs=1e-10)
    assert set(outer[list(part.deciding)].tolist()) == set(whole.deciding)
    assert whole.gap <= whole.radius * whole.tilt**2 / 2


def test_a_wider_proof_leaves_a_wider_gap() -> None:
    points = bore(2, 30)
    gaps = [smallest_enclosing_cylinder(points, UP, tilt).gap for tilt in (1e-4, 0.01, 0.1)]
    assert gaps == sorted(gaps)
    assert gaps[0] <= 1e-9


@pytest.mark.parametrize("fit", [least_squares_cylinder, smallest_enclosing_cylinder])
@pytest.mark.parametrize(
    ("points", "reason"),
    [
        (bore(1, 4), "4 points given"),
        (np.zeros((6, 2)), "shape"),
        (np.full((6, 3), 7.0), "in one place"),
        (bore(1, 20) * (1, 1, 0), "in one plane"),
        (np.outer(np.arange(8.0), (1, 2, 3)), "in one plane"),
        (np.where(np.arange(60).reshape(20, 3) == 7, np.nan, bore(1, 20)), "not a number"),
        (np.where(np.arange(60).reshape(20, 3) == 7, -np.inf, bore(1, 20)), "not a number"),
    ],
)
def test_points_that_fix_no_cylinder_are_refused(fit: Any, points: Array, reason: str) -> None:
    with pytest.raises(PointsError, match=reason):
        fit(points)


def test_an_axis_far_off_its_direction_is_refused() -> None:
    """A rod along x is held by no narrow cylinder along z."""
    rod = bore(5, 60)[:, [2, 0, 1]] * (20, 1, 1)
    with pytest.raises(PointsError, match="no axis near that direction"):
        smallest_enclosing_cylinder(rod, (0.6, 0, 1))


@pytest.mark.parametrize("fit", [least_squares_cylinder, smallest_enclosing_cylinder])
@pytest.mark.parametrize("direction", [(0, 0, 0), (1, 2), (math.nan, 0, 1)])
def test_no_direction_is_refused(fit: Any, direction: tuple[float, ...]) -> None:
    with pytest.raises(PointsError, match="direction"):
        fit(bore(1, 20), direction)
