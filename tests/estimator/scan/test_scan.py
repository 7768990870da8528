"""Where an arm's points put a bore: its first axis by the wall that is not worn, or the answer that it is not told."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from estimator.bore.point_faults import faults_of
from estimator.geometry.cylinders import least_squares_cylinder
from estimator.geometry.frame import Frame, frame_of, in_bore, merged
from estimator.geometry.points import gridded
from estimator.scan.place import Found, Wanted, placed_bores
from estimator.scan.thin import shares_of
from estimator.scan.unworn import unworn_axis
from tests.estimator.geometry.points import LENGTH, NOMINAL, Array, Shape, arm, ellipse, offset, scattered, worn

PLACE = ([0.3, -0.2, 0.15], [1.0, 0.2, 0.1], [0.0, 0.0, 1.0])
TRUE = frame_of(*PLACE)
ROUND = [offset(radius, 0.0) for radius in (0.0450, 0.04505, 0.0452, 0.0460)]  # worn evenly or not at all
NOISE = 4e-6  # an arm's scatter [m]


def _tapering(angle: Array, depth: Array) -> Array:
    """Return wear on one side that deepens from face to face, so that the worn hole is tilted."""
    return NOMINAL / 2 + 0.003 * np.maximum(0.0, np.cos(angle - np.pi)) ** 3 * depth / LENGTH


def _two_walls(angle: Array, _: Array) -> Array:
    """Return a bore into which a pin of nominal size wore its own shape, 1.5 mm deep towards 6 o'clock."""
    return np.maximum(NOMINAL / 2, offset(NOMINAL / 2, 0.0015)(angle - np.pi / 2, _))


def _seen(shape: Shape, count: int = 800) -> Array:
    points = scattered(shape, count)
    points[:, :2] *= 1 + np.random.default_rng(3).normal(0, NOISE / NOMINAL * 2, count)[:, None]
    return arm(points, *PLACE)


def _off(point: Array, direction: Array) -> float:
    """Return how far an axis passes the true one at mid-length. [m]"""
    apart = TRUE.origin + TRUE.along * LENGTH / 2 - point
    return float(np.linalg.norm(apart - (apart @ direction) * direction))


@pytest.mark.parametrize("shape", [worn(0.0005), worn(0.0015), worn(0.004), _tapering])
def test_the_first_axis_is_where_the_bore_was_drawn(shape: Shape) -> None:
    """The bore was drawn about a known axis; the worn hole's middle lies a third of the wear or more off it."""
    points = _seen(shape)
    hole = least_squares_cylinder(points)
    first = unworn_axis(points, (hole.point, hole.direction), NOMINAL)
    assert first is not None
    assert _off(first.point, first.direction) < 15e-6  # a sixth of the band within which the wall counts as unworn
    assert abs(first.direction @ TRUE.along) > np.cos(np.radians(0.06))
    assert _off(hole.point, hole.direction) > 10 * _off(first.point, first.direction)


@pytest.mark.parametrize("shape", [ellipse(0.0465, 0.0450), *ROUND, _two_walls])
def test_where_the_first_wall_is_gone_or_double_nothing_is_claimed(shape: Shape) -> None:
    points = _seen(shape)
    hole = least_squares_cylinder(points)
    assert unworn_axis(points, (hole.point, hole.direction), NOMINAL) is None
    placed = placed_bores({"A": Found(points, LENGTH, NOMINAL, "")}, Wanted())["A"]
    assert "cannot be told" in placed.said


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_the_worn_side_tells_two_walls_apart(sign: float) -> None:
    """Which of the two was first is the user's to say: the other lies 1.5 mm off."""
    points = _seen(_two_walls)
    hole = least_squares_cylinder(points)
    first = unworn_axis(points, (hole.point, hole.direction), NOMINAL, -sign * TRUE.up)
    assert first is not None
    assert _off(first.point, first.direction) == pytest.approx(0.0 if sign > 0 else 0.0015, abs=15e-6)


def test_the_wear_of_an_arms_points_is_that_of_the_bores_own() -> None:
    own = scattered(worn(0.0015), 2000)
    placed = placed_bores({"A": Found(arm(own, *PLACE), LENGTH, NOMINAL, "")}, Wanted())["A"]
    largest = np.hypot(own[:, 0], own[:, 1]).max()
    again = in_bore(arm(own, *PLACE), placed.frame)
    assert np.hypot(again[:, 0], again[:, 1]).max() == pytest.approx(largest, abs=10e-6)
    assert_allclose(np.abs(again - own).max(axis=0), 0, atol=200e-6)  # the face by the first and the last point


def test_cells_far_from_any_point_are_marked_and_take_other_depths() -> None:
    points = scattered(offset(0.046, 0.001), 4000)
    hidden = (points[:, 2] < 0.03) & (points[:, 0] > 0.0) & (np.abs(points[:, 1]) < 0.035)
    grid = gridded(points[~hidden], None, LENGTH, NOMINAL)
    full = gridded(points, None, LENGTH, NOMINAL)
    assert grid.filled.any()
    assert not full.filled.any()
    assert not grid.counts[grid.filled].any()
    assert_allclose(grid.radius, full.radius, atol=20e-6)


def test_each_cell_names_the_points_that_decide_it() -> None:
    points = scattered(worn(0.0015), 3000)
    grid = gridded(points, None, LENGTH, NOMINAL)
    radius = np.hypot(points[:, 0], points[:, 1])
    held = grid.counts > 0
    assert int(grid.counts.sum()) == len(points)
    assert_allclose(radius[grid.largest_index[held]], grid.largest_radius[held], rtol=1e-15)
    assert_allclose(radius[grid.smallest_index[held]], grid.smallest_radius[held], rtol=1e-15)
    assert np.nanmax(grid.largest_radius) == radius.max()
    assert (grid.largest_index[~held] == -1).all()


@pytest.mark.parametrize(
    ("along", "up", "said"),
    [
        ([0, 0, 0], [0, 1, 0], "along"),
        ([0, 0, 1], [0, 0, 0], "up"),
        ([0, 0, 1], [0, 0, -2], "up points along the axis"),
    ],
)
def test_a_frame_that_is_none_is_refused(along: list[float], up: list[float], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        frame_of([0, 0, 0], along, up)


def test_a_sound_bore_has_no_fault_and_repeats_are_merged() -> None:
    points = scattered(worn(0.0015), 400)
    rows = np.arange(400)
    twice, kept = merged(np.concatenate((points, points)), np.concatenate((rows, rows + 400)))
    assert len(twice) == 400
    assert sorted(kept.tolist()) == rows.tolist()
    frame: Frame = TRUE
    assert faults_of(points, None, LENGTH, NOMINAL, rows) == []
    assert faults_of(arm(points, *PLACE), frame, LENGTH, NOMINAL, rows) == []


def test_shares_leave_small_bores_whole() -> None:
    assert shares_of([5, 1000, 8000], 4005) == [5, 1000, 3000]
    assert shares_of([100, 200], 20_000) == [100, 200]
