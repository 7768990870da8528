"""Laws of the reference circles: they go with the points, hold them, and no other does better."""

import math
from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.errors import EstimatorError, PointsError
from estimator.geometry.circles import Circle, least_squares_circle, minimum_circumscribed_circle
from tests.depth import deep

Array = npt.NDArray[np.float64]

FITS: dict[str, Callable[[Array, Array], Circle]] = {
    "least squares": least_squares_circle,
    "circumscribed": minimum_circumscribed_circle,
}


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
    assert after.radius == pytest.approx(scale * before.radius, abs=exact)
    # Where points nearly face each other a circle may slide between them by the root of what they are rounded by.
    free = exact if name == "least squares" else 50 * scale * math.sqrt(exact / (50 * scale))
    place = (scale * (before.x * cos - before.y * sin) + right, scale * (before.x * sin + before.y * cos) + up)
    assert (after.x, after.y) == pytest.approx(place, abs=free)


@settings(max_examples=deep(150), deadline=None)
@given(bores(), st.lists(st.tuples(st.floats(-3, 3), st.floats(-3, 3)), min_size=8, max_size=8))
def test_each_circle_is_the_best_of_its_kind(section: tuple[Array, Array], others: list[tuple[float, float]]) -> None:
    x, y = section
    outer, mean = minimum_circumscribed_circle(x, y), least_squares_circle(x, y)

    def away(centre: tuple[float, float]) -> Array:
        return np.hypot(x - centre[0], y - centre[1])

    slack = 1e-11  # of 50: rounding of a distance and of scaling back
    assert away((outer.x, outer.y)).max() <= outer.radius + slack
    assert mean.radius <= outer.radius + slack
    own = away((mean.x, mean.y)) - mean.radius
    assert own.sum() == pytest.approx(0, abs=1e-9)
    centres = [(c.x, c.y) for c in (outer, mean)]
    for centre in [*others, *centres, *((px + dx / 100, py + dy / 100) for px, py in centres for dx, dy in others)]:
        distances = away(centre)
        assert distances.max() >= outer.radius - slack
        assert distances.var() * len(x) >= own @ own - slack


@settings(max_examples=deep(100), deadline=None)
@given(bores())
def test_the_deciding_points_alone_give_the_same(section: tuple[Array, Array]) -> None:
    x, y = section
    outer, mean = minimum_circumscribed_circle(x, y), least_squares_circle(x, y)
    some = list(outer.deciding)
    assert len(some) in (2, 3)
    # What lies within 1e-9 of the size touches; points carry that error to their circle tenfold or so.
    alone = float(np.hypot(np.ptp(x[some]), np.ptp(y[some]))) / 2
    if len(some) == 3:
        alone = minimum_circumscribed_circle(x[some], y[some]).radius
    assert alone == pytest.approx(outer.radius, abs=1e-6)
    error = np.hypot(x - mean.x, y - mean.y) - mean.radius
    assert abs(error[mean.deciding[0]]) == pytest.approx(np.abs(error).max(), abs=1e-7)


def test_of_readings_as_far_the_first_decides() -> None:
    """Each of four equal lobes could fix the circles: the first on the clock does, whatever the last bits."""
    clock = np.radians(np.arange(0, 360, 45))
    radius = np.where(np.arange(8) % 2, 50.0, 50.5)
    for seed in range(50):
        noise = 1 + np.random.default_rng(seed).uniform(-4e-16, 4e-16, 8)
        x, y = radius * noise * np.sin(clock), radius * noise * np.cos(clock)
        assert minimum_circumscribed_circle(x, y).deciding == (0, 4)
        assert least_squares_circle(x, y).deciding == (0,)


@pytest.mark.parametrize("noise", [0.0, 1e-4, 0.05, 1.0])
def test_a_hundred_thousand_points_are_as_those_that_decide(noise: float) -> None:
    rng = np.random.default_rng(7)
    t = rng.random(100_000) * 2 * math.pi
    radius = 50 + rng.normal(0, noise, len(t)) + 0.3 * np.cos(2 * t)
    x, y = radius * np.sin(t), radius * np.cos(t)
    whole = minimum_circumscribed_circle(x, y)
    outer = np.argsort(np.hypot(x - whole.x, y - whole.y))[-500:]
    part = minimum_circumscribed_circle(x[outer], y[outer])
    assert part.radius == pytest.approx(whole.radius, abs=1e-11)
    assert set(outer[list(part.deciding)].tolist()) == set(whole.deciding)


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
        found = minimum_circumscribed_circle(x, y)
        assert np.hypot(x - found.x, y - found.y).max() <= found.radius * (1 + 1e-12)


def test_points_given_twice_change_nothing() -> None:
    rng = np.random.default_rng(11)
    x, y = rng.normal(0, 1, (2, 12))
    for fit in FITS.values():
        assert fit(np.tile(x, 2), np.tile(y, 2)).radius == pytest.approx(fit(x, y).radius, abs=1e-14)
