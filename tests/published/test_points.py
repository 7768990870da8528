"""Grids of XYZ points against closed forms, shapely's polygons and a mesh swept through the same points."""

import math

import numpy as np
import pytest
import trimesh
from numpy.testing import assert_allclose
from shapely.geometry import Polygon

from estimator.geometry.frame import frame_of, in_bore
from estimator.geometry.points import grid_volume, gridded
from estimator.scan.thin import thinned
from tests.depth import deep
from tests.estimator.geometry.points import (
    LENGTH,
    NOMINAL,
    Array,
    Shape,
    arm,
    ellipse,
    frustum,
    offset,
    scattered,
    sections,
    wall,
)

A, B, R, OFF = 0.0465, 0.0450, 0.0460, 0.0015
FRUSTUM = math.pi * LENGTH * (0.046**2 + 0.046 * 0.0475 + 0.0475**2) / 3
CLOSED_FORMS = [
    pytest.param(ellipse(A, B), math.pi * A * B * LENGTH, id="ellipse, pi a b L"),
    pytest.param(frustum(0.046, 0.0475), FRUSTUM, id="frustum, pi L (R^2 + R r + r^2) / 3"),
    pytest.param(offset(R, OFF), math.pi * R**2 * LENGTH, id="cylinder off the axis, pi R^2 L"),
]
# The square radius of these shapes varies by 2.3 % rms over the wall, so a plain mean over n random points scatters by
# 2.3 % / sqrt(n); cells and straight lines must leave no more than a twentieth of that.
SCATTER = 0.0012


@pytest.mark.parametrize(("shape", "volume"), CLOSED_FORMS)
@pytest.mark.parametrize("count", [300, 2_000, 20_000, 200_000])
def test_scattered_points_give_the_closed_form(shape: Shape, volume: float, count: int) -> None:
    grid = gridded(scattered(shape, count), None, LENGTH, NOMINAL)
    assert_allclose(grid_volume(grid, LENGTH), volume, rtol=SCATTER / math.sqrt(count))
    assert not grid.filled.any()


@pytest.mark.parametrize(("shape", "volume"), CLOSED_FORMS)
@pytest.mark.parametrize(("stations", "around"), [(3, 8), (5, 12), (3, 36), (7, 200)])
def test_sections_give_the_closed_form(shape: Shape, volume: float, stations: int, around: int) -> None:
    """Even radii of a smooth shape are exact; trapezoids of a frustum are over by (R - r)^2 / 6 (n - 1)^2 of R^2."""
    grid = gridded(sections(shape, stations, around), None, LENGTH, NOMINAL)
    assert len(grid.depth) == stations
    trapezoids = (0.0015 * 60 / 70 / R) ** 2 / 6 / (stations - 1) ** 2
    exact_round = 4 * (A / B - 1) ** (around / 2)  # aliasing of an ellipse's own harmonics
    assert_allclose(grid_volume(grid, LENGTH), volume, rtol=trapezoids + exact_round + 1e-8)


def _read_off(radii: Array) -> Shape:
    return lambda *_: radii


def test_sections_equal_the_contract_recomputed_from_their_radii() -> None:
    """Area pi x mean(r^2) per section, trapezoids, ends carried to the faces: written out with plain loops."""
    random = np.random.default_rng(7)
    radii = random.uniform(0.0450, 0.0485, (4, 24))
    depths, angle = [0.004, 0.02, 0.05, 0.066], np.arange(24) * math.pi / 12
    points = [wall(_read_off(row), angle, np.full(24, at)) for row, at in zip(radii, depths, strict=True)]
    areas = [math.pi * sum(r * r for r in row) / 24 for row in radii.tolist()]
    expected = areas[0] * depths[0] + areas[-1] * (LENGTH - depths[-1])
    for n in range(3):
        expected += (depths[n + 1] - depths[n]) * (areas[n] + areas[n + 1]) / 2
    grid = gridded(np.concatenate(points), None, LENGTH, NOMINAL)
    assert_allclose(grid_volume(grid, LENGTH), expected, rtol=1e-12)  # an identity
    assert_allclose(grid.radius[:, ::3], radii, rtol=1e-12)


def _any_bore(random: np.random.Generator) -> Shape:
    """Return a bore off its axis, oval, and worn in a hollow somewhere."""
    off, oval, deep = random.uniform(0, 0.0015), random.uniform(0, 0.001), random.uniform(0, 0.004)
    at, turn, width = random.uniform(0, 2 * np.pi, 3)

    def radius(angle: Array, _: Array) -> Array:
        hollow = deep * np.exp(-(1 - np.cos(angle - at)) * (1 + width))
        return 0.045 + off * np.sin(angle - turn) + oval * np.cos(2 * angle - width) + hollow

    return radius


def test_sections_of_500_random_bores_are_shapelys_polygons() -> None:
    """Polygon through 360 points of a section; its chords cut (2 pi / 360)^2 / 6 of the area, added here."""
    random = np.random.default_rng(11)
    angle = np.arange(360) * math.pi / 180
    for _ in range(deep(500)):
        points = wall(_any_bore(random), angle, np.full(360, LENGTH / 2))
        area = grid_volume(gridded(points, None, LENGTH, NOMINAL), LENGTH) / LENGTH
        polygon = Polygon(points[:, :2]).area * (1 + math.radians(1) ** 2 / 6)
        assert_allclose(area, polygon, rtol=2e-6)  # curvature of the worn wall against the circle's


def test_a_swept_bore_is_the_mesh_through_it() -> None:
    """A closed mesh through 90 x 360 points (trimesh, divergence theorem) of a bore that changes along its depth."""
    around, along = 360, 90
    angle, depth = np.meshgrid(np.arange(around) * 2 * np.pi / around, np.linspace(0, LENGTH, along))
    shape = ellipse(A, B)

    def swept(at: Array, z: Array) -> Array:
        return shape(at + 0.6 * z / LENGTH, z) + 0.001 * np.sin(3 * z / LENGTH)

    points = wall(swept, angle.ravel(), depth.ravel())
    row, column = np.meshgrid(np.arange(along - 1), np.arange(around), indexing="ij")
    a, b = row * around + column, row * around + (column + 1) % around
    walls = [np.stack((a, b, b + around), -1), np.stack((a, b + around, a + around), -1)]
    ring, last = np.arange(around), (along - 1) * around
    ends = [
        np.stack((np.full(around, len(points)), (ring + 1) % around, ring), -1),
        np.stack((np.full(around, len(points) + 1), last + ring, last + (ring + 1) % around), -1),
    ]
    corners = np.concatenate((points, [[0.0, 0.0, 0.0], [0.0, 0.0, LENGTH]]))
    mesh = trimesh.Trimesh(corners, np.concatenate([part.reshape(-1, 3) for part in walls + ends]), process=False)
    assert mesh.is_watertight
    chords = 1 + (2 * math.pi / around) ** 2 / 6
    volume = grid_volume(gridded(points, None, LENGTH, NOMINAL), LENGTH)
    # The last half bands, 2 mm, are carried square to the faces: the radius changes by 0.043 mm a mm there, so each
    # face is over by 0.043 / 46 x 2 of the area (a mean over 2 mm) over 2 / 70 of the length: 5.3e-5.
    assert_allclose(volume, abs(mesh.volume) * chords, rtol=1.1e-4)


@pytest.mark.parametrize("count", [30_000, 200_000])
def test_thinning_keeps_volume_and_largest_radius(count: int) -> None:
    """Against the closed form again; and the largest radius is that of all points, exactly."""
    points = scattered(ellipse(A, B), count)
    points[1234, :2] *= 1.02
    largest = np.hypot(points[:, 0], points[:, 1]).max()
    done = thinned(points, None, LENGTH, NOMINAL, 5000)
    assert len(done.kept) <= 5000
    assert np.nanmax(done.after.largest_radius) == largest
    assert_allclose(grid_volume(done.after, LENGTH), math.pi * A * B * LENGTH, rtol=SCATTER / math.sqrt(5000))


def test_an_arm_in_any_place_sees_the_same_bore() -> None:
    """A rigid motion changes no radius, and 3 o'clock is along x up in right-handed axes."""
    points = scattered(offset(R, OFF), 500)
    place = ([1.2, -0.4, 0.3], [0.3, -1.0, 0.2], [0.1, 0.2, 1.0])
    seen = arm(points, *place)
    assert_allclose(in_bore(seen, frame_of(*place)), points, atol=1e-15 * 1e3)
    three = np.array([[0.01, 0.0, 0.0]])  # someone at -y who looks along +y, head up to +z, has +x at the right hand
    assert_allclose(arm(three, [0, 0, 0], [0, 1, 0], [0, 0, 1]), three, atol=1e-18)
