"""The axis of least deposit against smallest circles, Qhull and solvers that share nothing with ours."""

import itertools
import math

import numpy as np
import numpy.typing as npt
import pytest
from scipy.optimize import minimize
from scipy.spatial import ConvexHull

from estimator.bore.axis import least_deposit_axis, plain_axes
from estimator.geometry.hull import outermost
from tests.depth import deep
from tests.estimator.bore.lines import (
    MM,
    WornLine,
    between_bound_and_found,
    breach,
    hole,
    radii,
    ring,
    volumes,
    worn_line,
)

Array = npt.NDArray[np.float64]

SPACE = 2e-7  # [mm] ours stops 1e-8 of the volume above the least: some 1e-8 mm in radius where wear is 1 mm deep


# ---------------------------------------------------------------- the smallest circle round points


def _smallest_circle(points: Array) -> float:
    """Return the radius of the smallest circle round points: of all pairs and triples, the least that holds all."""
    best = math.inf
    for number in (2, 3):
        for chosen in itertools.combinations(points, number):
            centre = _between(chosen)
            if centre is not None:
                radius = float(np.hypot(*(points - centre).T).max())
                best = min(best, radius)
    return best


def _between(chosen: tuple[Array, ...]) -> Array | None:
    """Return the point as far from two or three others."""
    first = chosen[0]
    if len(chosen) == 2:
        middle: Array = (first + chosen[1]) / 2
        return middle
    legs = 2 * np.array([other - first for other in chosen[1:]])
    if abs(np.linalg.det(legs)) < 1e-9:
        return None
    away: Array = np.linalg.solve(legs, (legs**2).sum(axis=1) / 4) + first
    return away


@pytest.mark.parametrize("seed", range(10))
def test_a_single_bore_is_cleaned_at_the_smallest_circle_round_its_points(seed: int) -> None:
    """The centre of the smallest circle is that of a pair or a triple of points (Sylvester 1857)."""
    rng = np.random.default_rng(seed)
    clock, radius = rng.uniform(0, 2 * np.pi, 20), 40 + rng.uniform(0, 3, 20)
    points = np.stack((radius * np.sin(clock), radius * np.cos(clock)), axis=1)
    found = least_deposit_axis([ring("A", 0, 60, (points[:, 0] * MM, points[:, 1] * MM, np.full(20, 30 * MM)))])
    smallest = _smallest_circle(points) + 0.5
    assert found.radii[0] / MM == pytest.approx(smallest, abs=SPACE)
    assert between_bound_and_found(found, math.pi * (smallest**2 - 38.5**2) * 60)


def test_the_outermost_points_are_the_corners_of_qhull() -> None:
    """Qhull (Barber and others 1996) by scipy, section by section; some points twice, some in line."""
    rng = np.random.default_rng(5)
    x, y = np.round(rng.normal(size=(2, 600)), 1)
    z = np.repeat([0.1, 0.2, 0.4], 200)
    kept = outermost(x, y, z)
    for place in (0.1, 0.2, 0.4):
        here = np.flatnonzero(z == place)
        corners = here[ConvexHull(np.stack((x[here], y[here]), axis=1)).vertices]
        own = [number for number in kept if z[number] == place]
        assert {(x[n], y[n]) for n in own} == {(x[n], y[n]) for n in corners}
        assert len(own) == len(corners)
    assert list(outermost(x[:30], y[:30], z[:30])) == list(range(30))


def test_many_points_are_sorted_out_and_change_nothing() -> None:
    """A few hundred points within the hull of a hole, or the same again, leave the axis where it was."""
    rng = np.random.default_rng(3)
    few = ring("A", 0, 60, hole(41, 0.5, 0.2, 20), hole(41.3, 0.4, 0.1, 40))
    inner = [hole(float(r), 0.45, 0.15, z, 12, float(t)) for z in (20, 40) for r, t in rng.uniform(0, 39, (15, 2))]
    many = ring("A", 0, 60, hole(41, 0.5, 0.2, 20), *inner, hole(41.3, 0.4, 0.1, 40), hole(41.3, 0.4, 0.1, 40))
    assert len(many.z) > 300
    one, other = least_deposit_axis([few]), least_deposit_axis([many])
    assert other.required_volume == pytest.approx(one.required_volume, rel=1e-8)


# ---------------------------------------------------------------- a solver that shares nothing with ours


def _slsqp(line: WornLine, start: Array) -> Array:
    """Return the axis that scipy's SLSQP finds: ends of the line and radii in mm, every rule a smooth inequality."""
    first = line.rings[0].start
    last = line.rings[-1].start + line.rings[-1].length
    lengths = np.array([one.length for one in line.rings]) / MM

    def axis(u: Array) -> Array:
        tilt = (u[2:4] - u[:2]) * MM / (last - first)
        return np.concatenate((u[:2] * MM - tilt * first, tilt))

    def away(u: Array, z: float | Array, x: float | Array, y: float | Array) -> Array:
        x0, y0, sx, sy = axis(u)
        square: Array = ((x0 + sx * z - x) ** 2 + (y0 + sy * z - y) ** 2) / MM**2
        return np.atleast_1d(square)

    def rules(u: Array) -> Array:
        parts = [u[4:] - np.array([one.least_radius for one in line.rings]) / MM]
        for one, radius in zip(line.rings, u[4:], strict=True):
            parts.append((radius - one.allowance / MM) ** 2 - away(u, one.z, one.x, one.y))
            for z in (one.start, one.start + one.length):
                if one.position_tolerance is not None:
                    parts.append((one.position_tolerance / 2 / MM) ** 2 - away(u, z, *one.original))
                if one.most_radius is not None:
                    parts.append((one.most_radius / MM - radius) ** 2 - away(u, z, *one.original))
        for datum in line.datums:
            for z in (datum.start, datum.start + datum.length):
                parts.append((datum.tolerance / 2 / MM) ** 2 - away(u, z, datum.x, datum.y))
        if line.distance is not None:
            low = (line.distance.nominal - line.distance.tolerance) / MM
            high = (line.distance.nominal + line.distance.tolerance) / MM
            for z in (first, last):
                far = np.sqrt(away(u, z, line.distance.x, line.distance.y))
                parts += [far - low, high - far]
        return np.concatenate(parts)

    ends = np.concatenate((start[:2] + start[2:] * first, start[:2] + start[2:] * last)) / MM
    guess = np.concatenate((ends, radii(line, start[None])[0] / MM + 0.01))
    found = minimize(
        lambda u: lengths @ u[4:] ** 2 / lengths.sum(), guess, method="SLSQP",
        constraints={"type": "ineq", "fun": rules}, options={"maxiter": 500, "ftol": 1e-12},
    )  # fmt: skip
    return axis(found.x)


def test_scipy_finds_no_better_axis_and_the_same_volume() -> None:
    """SLSQP (Kraft 1988) on 50 random lines from two starts each; it holds its rules to 1e-6 mm or so."""
    agreed = 0
    for seed in range(deep(50)):
        line = worn_line(seed)
        found = least_deposit_axis(line.rings, line.datums, line.distance)
        assert found.feasible
        best = math.inf
        for name, plain in plain_axes(line.rings).items():
            other = _slsqp(line, np.array([plain.x0, plain.y0, plain.sx, plain.sy]))[None]
            if breach(line, other)[0] < 2e-6 * MM:
                best = min(best, float(volumes(line, other)[0]))
            assert name in ("original centres", "worn holes")
        # 2e-6 mm past a rule is worth some 2e-6 of a volume whose wear is a millimetre deep
        assert found.required_volume <= best * (1 + 5e-6), seed
        agreed += found.required_volume == pytest.approx(best, rel=5e-6)
    assert agreed >= 0.9 * deep(50)  # from now and then a start SLSQP stops early
