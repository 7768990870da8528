"""Reference circles against published fits, closed forms, exhaustive search, shapely and scipy.

The exhaustive search below shares no code with the project: it tries every circle through three points and every pair
across.
"""

import math
from itertools import combinations

import numpy as np
import numpy.typing as npt
import pytest
from scipy.optimize import least_squares
from shapely import MultiPoint, minimum_bounding_radius

from estimator.geometry.circles import clock_of, least_squares_circle, minimum_circumscribed_circle
from tests.depth import deep, seeds

Array = npt.NDArray[np.float64]

EXACT = 1e-9  # of a section of size 1: rounding of the oracles' 2 x 2 systems on points that nearly coincide


# ---------------------------------------------------------------- least squares


@pytest.mark.parametrize(
    ("x", "y", "centre", "radius", "tolerance"),
    [
        # W. Gander, G. H. Golub, R. Strebel, BIT 34 (1994) 558-578: six points, "best fit" circle; half a last place.
        # Points and digits from memory, the paper not read again; both agree to four places.
        ([1, 2, 5, 7, 9, 3], [7, 6, 8, 7, 5, 7], (4.7398, 2.9835), 4.7142, 0.5e-4),
        # SciPy Cookbook, "Least squares circle", leastsq on a whole circle (10.50008746970535, 9.659948682813534,
        # 23.3335276080614 in a public notebook of the same data, stored copy read 2026-11): half a last place.
        ([9, 35, -13, 10, 23, 0], [34, 10, 6, -14, 27, -10], (10.50009, 9.65995), 23.33353, 0.5e-5),
        # The same on an arc (from memory): leastsq stops there 3e-5 before the least sum.
        ([36, 36, 19, 18, 33, 26], [14, 10, 28, 31, 18, 26], (9.88760, 3.68753), 27.35040, 5e-5),
    ],
)
def test_published_least_squares_circles(
    x: list[float], y: list[float], centre: tuple[float, float], radius: float, tolerance: float
) -> None:
    fit = least_squares_circle(np.array(x, float), np.array(y, float))
    assert (fit.x, fit.y, fit.radius) == pytest.approx((*centre, radius), abs=tolerance)


def test_least_squares_is_scipys_on_random_bores() -> None:
    """scipy.optimize.least_squares (Levenberg-Marquardt of MINPACK) on centre and radius, from many starts."""
    for seed in range(deep(60)):
        x, y = bore(seed, wear=0.1)

        def error(at: Array, x: Array = x, y: Array = y) -> Array:
            return np.hypot(x - at[0], y - at[1]) - at[2]

        starts = np.random.default_rng(seed).normal((x.mean(), y.mean(), 1.0), 0.3, (4, 3))
        found = [least_squares(error, start, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15) for start in starts]
        best = min(found, key=lambda one: float(one.cost))
        fit = least_squares_circle(x, y)
        assert (fit.x, fit.y, fit.radius) == pytest.approx(
            tuple(best.x), abs=1e-7
        )  # where its cost is flat to rounding
        own = error(np.array([fit.x, fit.y, fit.radius]))
        assert own @ own <= 2 * best.cost * (1 + 1e-12)


# ---------------------------------------------------------------- closed forms


def ellipse(a: float, b: float, count: int, turn: float) -> tuple[Array, Array]:
    t = np.arange(count) * 2 * math.pi / count
    x, y = a * np.cos(t), b * np.sin(t)
    return x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn)


@pytest.mark.parametrize("count", [8, 36, 720])
def test_an_ellipse_by_its_axes(count: int) -> None:
    """With the ends of both axes read, the long half axis is the outer circle."""
    x, y = ellipse(50.4, 49.7, count, 0.3)
    outer, mean = minimum_circumscribed_circle(x + 3, y - 2), least_squares_circle(x + 3, y - 2)
    assert outer.radius == pytest.approx(50.4, abs=1e-11)
    for one in (outer, mean):
        assert (one.x, one.y) == pytest.approx((3, -2), abs=1e-9)


@pytest.mark.parametrize(("lobes", "count"), [(3, 12), (3, 36), (5, 60), (7, 700)])
def test_a_lobed_bore_by_its_lobes(lobes: int, count: int) -> None:
    """An odd number of equal lobes e about R: both circles about the middle, the outer one of radius R + e."""
    t = np.arange(count) * 2 * math.pi / count
    radius = 50 + 0.2 * np.cos(lobes * t)
    x, y = radius * np.sin(t) - 4, radius * np.cos(t) + 9
    outer, mean = minimum_circumscribed_circle(x, y), least_squares_circle(x, y)
    assert outer.radius == pytest.approx(50.2, abs=1e-11)
    for one in (outer, mean):
        assert (one.x, one.y) == pytest.approx((-4, 9), abs=1e-9)


def test_an_offset_circle_is_itself() -> None:
    t = np.radians([0, 40, 95, 170, 230, 300])
    x, y = 12.5 + 40 * np.sin(t), -7.25 + 40 * np.cos(t)
    for one in (least_squares_circle(x, y), minimum_circumscribed_circle(x, y)):
        assert (one.x, one.y, one.radius) == pytest.approx((12.5, -7.25, 40), abs=1e-11)


def test_a_square_with_one_corner_out() -> None:
    """By hand: radii 51, 50, 50, 50 at 0, 90, 180, 270 deg; the two of the long diagonal lie across."""
    outside = minimum_circumscribed_circle(np.array([0.0, 50, 0, -50]), np.array([51.0, 0, -50, 0]))
    assert outside.radius == pytest.approx(50.5, abs=1e-12) and outside.deciding == (0, 2)


@pytest.mark.parametrize(
    ("x", "y", "clock"), [(0, 1, 0), (1, 0, 90), (0, -1, 180), (-1, 0, 270), (-1, 1, 315), (-1e-300, 1, 0)]
)
def test_the_clock(x: float, y: float, clock: float) -> None:
    assert clock_of(x, y) == pytest.approx(clock, abs=1e-12)


# ---------------------------------------------------------------- exhaustive search


def bore(seed: int, wear: float = 0.02) -> tuple[Array, Array]:
    """Return a worn bore of 4 to 10 points: even or uneven clock, smooth or rough, some rounded so that they tie."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(4, 11))
    clock = np.arange(count) / count if seed % 2 else np.sort(rng.random(count))
    radius = 1 + wear * (np.cos(2 * math.pi * clock) + rng.normal(0, 1, count))
    if seed % 3 == 0:
        radius = np.round(radius, 2)
    t = 2 * math.pi * clock
    return radius * np.sin(t) + rng.normal(), radius * np.cos(t) + rng.normal()


def through(a: Array, b: Array, c: Array) -> Array:
    """Return the centre of the circle through three points."""
    sides = np.array([b - a, c - a])
    if abs(np.linalg.det(sides)) < 1e-9:
        return np.array([np.nan, np.nan])
    return np.asarray(np.linalg.solve(sides, np.array([(b @ b - a @ a) / 2, (c @ c - a @ a) / 2])), dtype=np.float64)


def exhaustive(points: Array) -> float:
    """Return the circumscribed radius by trying every candidate."""
    threes = [c for c in (through(*three) for three in combinations(points, 3)) if np.isfinite(c).all()]
    centres = [*threes, *((a + b) / 2 for a, b in combinations(points, 2))]
    return min(float(np.hypot(*(points - centre).T).max()) for centre in centres)


@pytest.mark.parametrize("block", seeds(10, 2))
def test_every_candidate_tried_on_500_bores(block: int) -> None:
    for seed in range(50 * block, 50 * block + 50):
        x, y = bore(seed, wear=0.02 if seed % 5 else 0.3)
        expected = exhaustive(np.unique(np.stack((x, y), 1), axis=0))
        assert minimum_circumscribed_circle(x, y).radius == pytest.approx(expected, abs=EXACT), seed


def test_the_bounding_circle_is_shapelys() -> None:
    for seed in range(deep(200)):
        x, y = np.random.default_rng(seed).normal(0, 1, (2, 3 + seed))
        expected = minimum_bounding_radius(MultiPoint(np.stack((x, y), 1)))
        assert minimum_circumscribed_circle(x, y).radius == pytest.approx(expected, rel=1e-12)
