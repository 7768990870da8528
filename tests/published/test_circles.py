"""Reference circles against published fits, closed forms, exhaustive search, shapely and scipy.

The exhaustive searches below share no code with the project: they try every circle through three points, every pair
across, and every centre equally far from two pairs.
"""

import math
from itertools import combinations
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from scipy.optimize import least_squares, minimize
from scipy.spatial import ConvexHull
from shapely import MultiPoint, maximum_inscribed_circle, minimum_bounding_radius
from shapely.geometry import Polygon

from estimator.geometry import circles
from estimator.geometry.circles import (
    clock_of,
    least_squares_circle,
    minimum_circumscribed_circle,
    minimum_zone_circles,
    reference_circles,
)
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
    """With the ends of both axes read, half axes are the outer circle and the zone.

    The inscribed circle may slide along the long axis until a neighbour of the short axis' ends stops it: its excess is
    below what the profile rises to that neighbour.
    """
    x, y = ellipse(50.4, 49.7, count, 0.3)
    found = reference_circles(x + 3, y - 2)
    assert found.circumscribed.radius == pytest.approx(50.4, abs=1e-11)
    assert (found.zone.inner, found.zone.outer) == pytest.approx((49.7, 50.4), abs=1e-11)
    for one in (found.circumscribed, found.zone, found.least_squares):
        assert (one.x, one.y) == pytest.approx((3, -2), abs=1e-9)
    step = 2 * math.pi / count
    neighbour = math.hypot(50.4 * math.sin(step), 49.7 * math.cos(step))
    assert 49.7 <= found.inscribed.radius <= neighbour + 1e-11


@pytest.mark.parametrize(("lobes", "count"), [(3, 12), (3, 36), (5, 60), (7, 700)])
def test_a_lobed_bore_by_its_lobes(lobes: int, count: int) -> None:
    """An odd number of equal lobes e about R: all circles about the middle, radii R - e and R + e."""
    t = np.arange(count) * 2 * math.pi / count
    radius = 50 + 0.2 * np.cos(lobes * t)
    found = reference_circles(radius * np.sin(t) - 4, radius * np.cos(t) + 9)
    assert found.circumscribed.radius == pytest.approx(50.2, abs=1e-11)
    assert found.inscribed.radius == pytest.approx(49.8, abs=1e-11)
    assert (found.zone.inner, found.zone.outer) == pytest.approx((49.8, 50.2), abs=1e-11)
    for one in (found.circumscribed, found.inscribed, found.zone, found.least_squares):
        assert (one.x, one.y) == pytest.approx((-4, 9), abs=1e-9)


def test_an_offset_circle_is_itself() -> None:
    t = np.radians([0, 40, 95, 170, 230, 300])
    x, y = 12.5 + 40 * np.sin(t), -7.25 + 40 * np.cos(t)
    found = reference_circles(x, y)
    for one in (found.least_squares, found.circumscribed, found.inscribed):
        assert (one.x, one.y, one.radius) == pytest.approx((12.5, -7.25, 40), abs=1e-11)
    assert (found.zone.x, found.zone.y, found.zone.inner, found.zone.outer) == pytest.approx((12.5, -7.25, 40, 40))
    assert found.zone.width < 1e-12


def test_a_square_with_one_corner_out() -> None:
    """By hand: radii 51, 50, 50, 50 at 0, 90, 180, 270 deg; two of each side in turn leave a centre 0.5 up."""
    x, y = np.array([0.0, 50, 0, -50]), np.array([51.0, 0, -50, 0])
    found = minimum_zone_circles(x, y)
    assert (found.x, found.y) == pytest.approx((0, 0.5), abs=1e-12)
    assert (found.inner, found.outer) == pytest.approx((math.hypot(50, 0.5), 50.5), abs=1e-12)
    assert found.deciding == (0, 1, 2, 3)
    outside = minimum_circumscribed_circle(x, y)
    assert outside.radius == pytest.approx(50.5, abs=1e-12) and outside.deciding == (0, 2)
    inside = circles.maximum_inscribed_circle(x, y)  # 51 - t = sqrt(50² + t²): t = 101 / 102
    assert (inside.x, inside.y, inside.radius) == pytest.approx((0, 101 / 102, 51 - 101 / 102), abs=1e-12)
    assert inside.deciding == (0, 1, 3)


def test_a_blunt_triangle_is_inscribed_on_its_long_side() -> None:
    """By hand: on the side (0, 0)-(8, 0), t is as far from (0, 0) as from (4, 1) where t² = (t - 4)² + 1, 8 t = 17."""
    found = circles.maximum_inscribed_circle(np.array([0.0, 8, 4]), np.array([0.0, 0, 1]))
    assert found.radius == pytest.approx(17 / 8, abs=1e-12)
    assert found.y == pytest.approx(0, abs=1e-12)


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
    return equally_far([(a, b), (a, c)])


def equally_far(pairs: Any) -> Array:
    """Return the centre as far from one point of each of two pairs as from the other."""
    sides = np.array([b - a for a, b in pairs])
    if abs(np.linalg.det(sides)) < 1e-9:
        return np.array([np.nan, np.nan])
    return np.linalg.solve(sides, np.array([(b @ b - a @ a) / 2 for a, b in pairs]))


def span(points: Array, centre: Array) -> tuple[float, float]:
    away = np.hypot(*(points - centre).T)
    return float(away.min()), float(away.max())


def exhaustive(points: Array) -> tuple[float, float, float]:
    """Return circumscribed and inscribed radius and zone width by trying every candidate."""
    twos = list(combinations(points, 2))
    threes = [c for c in (through(*three) for three in combinations(points, 3)) if np.isfinite(c).all()]
    outer = min(span(points, c)[1] for c in (*threes, *((a + b) / 2 for a, b in twos)))
    hull = ConvexHull(points)
    held = [c for c in threes if (hull.equations[:, :2] @ c + hull.equations[:, 2] <= 1e-9).all()]
    for ends in hull.simplices:  # along a side of the hull, where two points are as far
        a, b = points[ends]
        for p, q in twos:
            slope = (b - a) @ (q - p)
            t = ((p + q) / 2 - a) @ (q - p) / slope if abs(slope) > 1e-12 else -1.0
            if 0 <= t <= 1:
                held.append(a + t * (b - a))
    inner = max(span(points, c)[0] for c in held)
    fours = [equally_far(pairs) for pairs in combinations(twos, 2)]
    rings = [span(points, c) for c in (*threes, *fours) if np.isfinite(c).all() and np.hypot(*c) < 1e3]
    return outer, inner, min(high - low for low, high in rings)


@pytest.mark.parametrize("block", seeds(10, 2))
def test_every_candidate_tried_on_500_bores(block: int) -> None:
    for seed in range(50 * block, 50 * block + 50):
        x, y = bore(seed, wear=0.02 if seed % 5 else 0.3)
        found = reference_circles(x, y)
        outer, inner, width = exhaustive(np.unique(np.stack((x, y), 1), axis=0))
        assert found.circumscribed.radius == pytest.approx(outer, abs=EXACT), seed
        assert found.inscribed.radius == pytest.approx(inner, abs=EXACT), seed
        assert found.zone.width == pytest.approx(width, abs=EXACT), seed


def test_the_bounding_circle_is_shapelys() -> None:
    for seed in range(deep(200)):
        x, y = np.random.default_rng(seed).normal(0, 1, (2, 3 + seed))
        expected = minimum_bounding_radius(MultiPoint(np.stack((x, y), 1)))
        assert minimum_circumscribed_circle(x, y).radius == pytest.approx(expected, rel=1e-12)


def test_the_inscribed_circle_is_shapelys_in_a_fine_profile() -> None:
    """Shapely fits a circle within the polygon; 2000 readings lie on it so densely that points and sides agree.

    Chords of 2 pi / 2000 sag 1.2e-6 of the radius; its own search stops at 1e-6.
    """
    for seed in range(20):
        rng = np.random.default_rng(seed)
        t = np.arange(2000) * math.pi / 1000
        radius = 1 + sum(rng.normal(0, 0.01) * np.cos(k * t + rng.random() * 6) for k in range(1, 6))
        x, y = radius * np.sin(t), radius * np.cos(t)
        expected = maximum_inscribed_circle(Polygon(np.stack((x, y), 1)), tolerance=1e-6).length
        assert circles.maximum_inscribed_circle(x, y).radius == pytest.approx(expected, abs=4e-6)


def test_no_start_of_scipy_finds_a_thinner_ring_or_a_larger_circle() -> None:
    """Nelder-Mead from 12 places on 30 bores of 60 readings: none is better, the best is as good."""
    for seed in range(deep(30, 6)):
        rng = np.random.default_rng(seed)
        t = np.sort(rng.random(60)) * 2 * math.pi
        radius = 1 + rng.normal(0, 0.02, 60) + 0.03 * np.cos(2 * t)
        points = np.stack((radius * np.sin(t), radius * np.cos(t)), 1)

        def width(at: Array, points: Array = points) -> float:
            low, high = span(points, at)
            return high - low

        def hole(at: Array, points: Array = points) -> float:
            return -span(points, at)[0]

        found = reference_circles(points[:, 0], points[:, 1])
        exact = {"xatol": 1e-12, "fatol": 1e-13, "maxiter": 2000}
        starts = rng.normal(0, 0.03, (12, 2))
        thin = min(minimize(width, at, method="Nelder-Mead", options=exact).fun for at in starts)
        large = max(-minimize(hole, at, method="Nelder-Mead", options=exact).fun for at in starts)
        assert found.zone.width <= thin + 1e-12 and found.zone.width == pytest.approx(thin, abs=1e-6)
        assert found.inscribed.radius >= large - 1e-12 and found.inscribed.radius == pytest.approx(large, abs=1e-6)
