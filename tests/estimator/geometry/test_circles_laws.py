"""Laws of the reference circles: they go with the points, hold them, and no other does better."""

import math
from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from estimator.errors import EstimatorError, PointsError
from estimator.geometry.circles import (
    Circle,
    Zone,
    least_squares_circle,
    maximum_inscribed_circle,
    minimum_circumscribed_circle,
    minimum_zone_circles,
    reference_circles,
)
from estimator.geometry.diagram import convex_hull
from tests.depth import deep

Array = npt.NDArray[np.float64]

FITS: dict[str, Callable[[Array, Array], Circle | Zone]] = {
    "least squares": least_squares_circle,
    "circumscribed": minimum_circumscribed_circle,
    "inscribed": maximum_inscribed_circle,
    "zone": minimum_zone_circles,
}


def sizes(fit: Circle | Zone) -> tuple[float, ...]:
    return (fit.radius,) if isinstance(fit, Circle) else (fit.inner, fit.outer)


@st.composite
def bores(draw: st.DrawFn) -> tuple[Array, Array]:
    """Draw a bore of radius about 50 with up to 80 readings, rough, worn to one side, lobed, rounded or not."""
    count = draw(st.integers(5, 80))
    rng = np.random.default_rng(draw(st.integers(0, 2**32)))
    t = (np.arange(count) + draw(st.sampled_from([0.0, 0.4])) * rng.random(count)) * 2 * math.pi / count
    radius = 50 + draw(st.sampled_from([0.0, 0.02, 0.5])) * rng.normal(0, 1, count)
    radius += draw(st.floats(0, 2)) * np.maximum(0, np.cos(t - draw(st.floats(0, 6)))) ** 2
    radius += draw(st.floats(0, 0.5)) * np.cos(draw(st.integers(2, 5)) * t)
    radius = np.round(radius, draw(st.sampled_from([2, 14])))
    return radius * np.sin(t), radius * np.cos(t)


@pytest.mark.parametrize("name", FITS)
@settings(max_examples=deep(60), deadline=None)
@given(bores(), st.floats(0, 6.3), st.floats(-500, 500), st.floats(-500, 500), st.floats(1e-3, 1e3))
def test_the_answer_goes_with_the_points(
    name: str, section: tuple[Array, Array], turn: float, right: float, up: float, scale: float
) -> None:
    x, y = section
    cos, sin = math.cos(turn), math.sin(turn)
    moved_x, moved_y = scale * (x * cos - y * sin) + right, scale * (x * sin + y * cos) + up
    before, after = FITS[name](x, y), FITS[name](moved_x, moved_y)
    # Moving by 500 sizes of the section costs its coordinates three digits; a scale of 1e-3 three more.
    exact = 1e-12 * (50 * scale + abs(right) + abs(up)) * 100
    assert sizes(after) == pytest.approx([scale * size for size in sizes(before)], abs=exact)
    if name == "least squares":  # of several inscribed circles or rings as good, another may be found
        place = (scale * (before.x * cos - before.y * sin) + right, scale * (before.x * sin + before.y * cos) + up)
        assert (after.x, after.y) == pytest.approx(place, abs=exact)


@settings(max_examples=deep(150), deadline=None)
@given(bores(), st.lists(st.tuples(st.floats(-3, 3), st.floats(-3, 3)), min_size=8, max_size=8))
def test_each_circle_is_the_best_of_its_kind(section: tuple[Array, Array], others: list[tuple[float, float]]) -> None:
    x, y = section
    found = reference_circles(x, y)
    outer, inner, ring, mean = found.circumscribed, found.inscribed, found.zone, found.least_squares

    def away(centre: tuple[float, float]) -> Array:
        return np.hypot(x - centre[0], y - centre[1])

    slack = 1e-11  # of 50: rounding of a distance and of scaling back
    assert away((outer.x, outer.y)).max() <= outer.radius + slack
    assert away((inner.x, inner.y)).min() >= inner.radius - slack
    assert away((ring.x, ring.y)).max() <= ring.outer + slack and away((ring.x, ring.y)).min() >= ring.inner - slack
    assert inner.radius <= mean.radius + slack and mean.radius <= outer.radius + slack
    own = away((mean.x, mean.y)) - mean.radius
    assert own.sum() == pytest.approx(0, abs=1e-9)
    centres = [(c.x, c.y) for c in (outer, inner, ring, mean)]
    for centre in [*others, *centres, *((px + dx / 100, py + dy / 100) for px, py in centres for dx, dy in others)]:
        distances = away(centre)
        assert distances.max() >= outer.radius - slack
        assert distances.min() <= inner.radius + slack
        assert np.ptp(distances) >= ring.width - slack
        assert distances.var() * len(x) >= own @ own - slack


@settings(max_examples=deep(100), deadline=None)
@given(bores())
def test_the_deciding_points_alone_give_the_same(section: tuple[Array, Array]) -> None:
    x, y = section
    found = reference_circles(x, y)
    assume(found.inscribed.radius > 45)
    three = list(found.inscribed.deciding)
    # What lies within 1e-11 of the size touches; three such points carry that error to their circle tenfold or so.
    assert maximum_inscribed_circle(x[three], y[three]).radius == pytest.approx(found.inscribed.radius, abs=1e-8)
    some = list(found.circumscribed.deciding)
    assert len(some) in (2, 3)
    if len(some) == 3:
        alone = minimum_circumscribed_circle(x[some], y[some]).radius
    else:
        alone = float(np.hypot(*(np.diff(x[some]), np.diff(y[some])))[0]) / 2
    assert alone == pytest.approx(found.circumscribed.radius, abs=1e-8)
    farthest = found.least_squares.deciding[0]
    error = np.hypot(x - found.least_squares.x, y - found.least_squares.y) - found.least_squares.radius
    assert abs(error[farthest]) == pytest.approx(np.abs(error).max(), abs=1e-12)


@settings(max_examples=deep(60), deadline=None)
@given(bores())
def test_four_points_in_turn_fix_the_zone(section: tuple[Array, Array]) -> None:
    x, y = section
    ring = minimum_zone_circles(x, y)
    assume(ring.width > 1e-6)
    four = list(ring.deciding)
    assert len(four) == 4
    order = np.argsort(np.arctan2(y[four] - ring.y, x[four] - ring.x))
    distances = np.hypot(x[four] - ring.x, y[four] - ring.y)[order]
    outside = np.abs(distances - ring.outer) < 1e-7
    assert outside.tolist() in ([True, False, True, False], [False, True, False, True])
    assert distances[~outside] == pytest.approx(ring.inner, abs=1e-7)


@pytest.mark.parametrize("noise", [1e-4, 0.05, 1.0])
def test_a_hundred_thousand_points_are_as_their_hulls(noise: float) -> None:
    """What lies strictly within the hull, or behind the hull of the points turned inside out, decides nothing."""
    rng = np.random.default_rng(7)
    t = rng.random(100_000) * 2 * math.pi
    radius = 50 + rng.normal(0, noise, len(t)) + 0.3 * np.cos(2 * t)
    x, y = radius * np.sin(t), radius * np.cos(t)
    outside = convex_hull(x, y)
    inside = convex_hull(x / radius**2, y / radius**2)
    few = np.union1d(outside, inside)
    assert len(few) < 10_000
    whole, part = reference_circles(x, y), reference_circles(x[few], y[few])
    assert part.circumscribed.radius == pytest.approx(whole.circumscribed.radius, abs=1e-11)
    assert part.inscribed.radius == pytest.approx(whole.inscribed.radius, abs=1e-11)
    assert (part.zone.inner, part.zone.outer) == pytest.approx((whole.zone.inner, whole.zone.outer), abs=1e-10)


@pytest.mark.parametrize("name", FITS)
def test_one_by_one_is_as_all_at_once(name: str) -> None:
    rng = np.random.default_rng(3)
    x, y = rng.normal(0, 1, (2, 40))
    together = reference_circles(x, y)
    parts = {
        "least squares": together.least_squares,
        "circumscribed": together.circumscribed,
        "inscribed": together.inscribed,
        "zone": together.zone,
    }
    assert FITS[name](x, y) == parts[name]


@pytest.mark.parametrize("name", FITS)
@pytest.mark.parametrize(
    ("x", "y", "reason"),
    [
        ([0, 1], [0, 1], "2 points given"),
        ([5, 5, 5], [7, 7, 7], "in one place"),
        ([0, 1, 2, 3], [1, 3, 5, 7], "in one line"),
        ([1e3, 1e3 + 1, 1e3 + 2], [0, 0, 1e-11], "in one line"),
        ([0, 1, math.nan], [1, 0, 0], "not a number"),
        ([0, 1, math.inf], [1, 0, 0], "not a number"),
        ([0, 1, 2], [0, 1], "one length"),
    ],
)
def test_points_that_fix_no_circle_are_refused(name: str, x: list[float], y: list[float], reason: str) -> None:
    with pytest.raises(PointsError, match=reason) as caught:
        FITS[name](np.array(x, float), np.array(y, float))
    assert issubclass(PointsError, EstimatorError) and issubclass(PointsError, ValueError)
    assert caught.value.shape in str(caught.value) and caught.value.cure in str(caught.value)


def test_one_stray_point_breaks_nothing() -> None:
    """Readings in one spot and one a million sizes away: no circle is good, each is still found and holds its law."""
    for seed in range(deep(40)):
        x, y = np.exp(3 * np.random.default_rng(seed).normal(0, 1, (2, 3 + seed)))
        found = reference_circles(x, y)
        outer = np.hypot(x - found.circumscribed.x, y - found.circumscribed.y)
        assert outer.max() <= found.circumscribed.radius * (1 + 1e-12)
        assert found.zone.width <= np.ptp(outer) * (1 + 1e-12) + 1e-9


def test_points_all_over_are_no_bore() -> None:
    """A raster of points has so many equal holes that the search for the largest is given up, and says so."""
    x, y = (axis.ravel() for axis in np.meshgrid(np.arange(30.0), np.arange(30.0)))
    with pytest.raises(PointsError, match="all over the section"):
        maximum_inscribed_circle(x, y)


def test_a_strip_is_no_ring() -> None:
    x = np.array([0.0, 1, 2, 3, 4, 0, 1, 2, 3, 4])
    y = np.array([0.0, 0, 0, 0, 0, 1, 1, 1, 1, 1])
    with pytest.raises(PointsError, match="straight strip"):
        minimum_zone_circles(x, y)


def test_points_given_twice_change_nothing() -> None:
    rng = np.random.default_rng(11)
    x, y = rng.normal(0, 1, (2, 12))
    once, twice = reference_circles(x, y), reference_circles(np.tile(x, 2), np.tile(y, 2))
    assert twice.zone.width == pytest.approx(once.zone.width, abs=1e-14)
    assert twice.inscribed.radius == pytest.approx(once.inscribed.radius, abs=1e-14)
    assert twice.circumscribed.radius == pytest.approx(once.circumscribed.radius, abs=1e-14)
    assert twice.least_squares.radius == pytest.approx(once.least_squares.radius, abs=1e-14)
