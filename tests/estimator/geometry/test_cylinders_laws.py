"""Laws of the cylinder of least squares: it goes with the points, and none near it is nearer to them."""

import math

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.errors import PointsError
from estimator.geometry.cylinders import least_squares_cylinder
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
def test_the_cylinder_goes_with_the_points(seed: int, count: int, scale: float) -> None:
    points, rng = bore(seed, count), np.random.default_rng(seed + 1)
    turn = np.linalg.qr(rng.normal(0, 1, (3, 3)))[0]
    moved = scale * (points @ turn.T) + scale * rng.normal(0, 100, 3)
    before, after = least_squares_cylinder(points, UP), least_squares_cylinder(moved, turn @ UP)
    assert after.radius == pytest.approx(scale * before.radius, rel=1e-10)
    assert after.direction == pytest.approx(turn @ before.direction, abs=1e-6)
    assert after.direction @ (turn @ UP) > 0


@settings(max_examples=deep(60), deadline=None)
@given(st.integers(0, 10**6), st.integers(24, 120), st.lists(st.floats(-1, 1), min_size=4, max_size=4))
def test_no_cylinder_near_does_better(seed: int, count: int, other: list[float]) -> None:
    points = bore(seed, count)
    mean = least_squares_cylinder(points, UP)
    own = away(points, mean.point, mean.direction) - mean.radius
    assert own.sum() == pytest.approx(0, abs=1e-9)
    assert np.abs(own).argmax() == mean.deciding[0]
    for scale in (1.0, 0.05):
        shift = scale * np.array([other[0], other[1], 0])
        tilt = scale * 0.01 / math.sqrt(2) * np.array([other[2], other[3], 0])
        distances = away(points, mean.point + shift, mean.direction + tilt)
        assert distances.var() * len(points) >= own @ own * (1 - 1e-12)


def test_the_point_of_the_axis_lies_nearest_the_middle() -> None:
    points = bore(4, 50)
    fit = least_squares_cylinder(points)
    assert (fit.point - points.mean(axis=0)) @ fit.direction == pytest.approx(0, abs=1e-9)
    assert float(np.linalg.norm(fit.direction)) == pytest.approx(1, abs=1e-15)


@pytest.mark.parametrize("seed", range(20))
def test_points_in_one_plane_are_refused_however_it_lies(seed: int) -> None:
    """Eight points of a plane turned any way once gave a cylinder of radius 8e-11 of their size."""
    rng = np.random.default_rng(seed)
    flat = rng.normal(0, 40, (8, 3)) * (1, 1, 0)
    turn = np.linalg.qr(rng.normal(0, 1, (3, 3)))[0]
    for direction in (None, turn @ UP, turn @ (1, 0, 0)):
        with pytest.raises(PointsError, match="in one plane"):
            least_squares_cylinder(flat @ turn.T + rng.normal(0, 100, 3), direction)


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
def test_points_that_fix_no_cylinder_are_refused(points: Array, reason: str) -> None:
    with pytest.raises(PointsError, match=reason):
        least_squares_cylinder(points)


@pytest.mark.parametrize("direction", [(0, 0, 0), (1, 2), (math.nan, 0, 1)])
def test_no_direction_is_refused(direction: tuple[float, ...]) -> None:
    with pytest.raises(PointsError, match="direction"):
        least_squares_cylinder(bore(1, 20), direction)
