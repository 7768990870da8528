"""The axis of least deposit against closed forms, smallest circles, and solvers that share nothing with ours."""

import itertools
import math

import numpy as np
import numpy.typing as npt
import pytest
from scipy.optimize import minimize
from scipy.spatial import ConvexHull

from estimator.bore.axis import (
    AxisChoice,
    CentreDistance,
    Datum,
    axis_at,
    axis_shift,
    cleanup_radius,
    farthest_point,
    least_deposit_axis,
    plain_axes,
    ring_volume,
)
from estimator.bore.hull import outermost
from tests.lines import MM, WornLine, breach, hole, radii, ring, volumes, worn_line

Array = npt.NDArray[np.float64]

SPACE = 2e-7  # [mm] ours stops 1e-8 of the volume above the least: some 1e-8 mm in radius where wear is 1 mm deep
FLAT = 2e-3  # [mm] where the volume is flat about the best axis, the axis itself is known to the root of that


def _mm(choice: AxisChoice, z: float) -> tuple[float, float]:
    """Return the axis at z [mm in, mm out]."""
    return (choice.x0 + choice.sx * z * MM) / MM, (choice.y0 + choice.sy * z * MM) / MM


def _bound(choice: AxisChoice) -> float:
    """Return the volume that no axis goes below, as proven. [mm3]"""
    return choice.required_volume * (1 - choice.gap) / MM**3


def _between_bound_and_found(choice: AxisChoice, exact: float) -> bool:
    """Say whether the exact volume [mm3] lies between proof and answer, to rounding: a billionth of the proof's gap."""
    return _bound(choice) <= exact * (1 + 1e-15) and exact <= choice.required_volume / MM**3 * (1 + 1e-12)


# ---------------------------------------------------------------- closed forms


def test_a_ring_about_an_axis() -> None:
    """By hand, 2026-11: pi (41^2 - 38.5^2) 70 = 17 483.0 mm3."""
    assert cleanup_radius(40.0, 40.6, 0.4) == pytest.approx(41.0, rel=1e-15)
    assert cleanup_radius(40.0, 39.2, 0.4) == 40.0
    assert ring_volume(41 * MM, 38.5 * MM, 70 * MM) / MM**3 == pytest.approx(43_707.0, abs=0.5)
    # at 100 mm (1 - 0.7 + 0, 0.6 - 1.0) = (0.3, -0.4), at 170 mm (0.3, 0.3), by hand
    assert axis_shift(1.0, -0.4, 0.0, 0.01, 0.7, 1.0, 100.0, 70.0) == pytest.approx(0.5, rel=1e-14)
    square = ring("A", 100, 70, (np.array([0.04, 0.0]), np.array([0.0, -0.04]), np.array([0.11, 0.11])))
    assert farthest_point(square, 0.002, 0.0, 0.0, -0.1) == pytest.approx(math.hypot(0.038, 0.011), rel=1e-12)


def test_two_bores_worn_opposite_ways_tilt_the_axis_through_both_holes() -> None:
    """Round holes of 41 mm at +1.2 and -1.2 mm: the axis runs through both centres, each bore cleans at 41.5 mm."""
    rings = [
        ring("A", 0, 60, hole(41, 1.2, 0.3, 30, 24)),
        ring("B", 240, 60, hole(41, -1.2, -0.3, 270, 24)),
    ]
    found = least_deposit_axis(rings)
    assert found.feasible
    assert found.gap < 1e-7
    assert np.array(found.radii) / MM == pytest.approx([41.5, 41.5], abs=SPACE)
    assert _mm(found, 30) == pytest.approx((1.2, 0.3), abs=1e-4)
    assert (found.sx, found.sy) == pytest.approx((-2.4 / 240, -0.6 / 240), abs=1e-6)
    assert _between_bound_and_found(found, 2 * math.pi * (41.5**2 - 38.5**2) * 60)


def test_the_same_bores_in_narrow_zones_keep_the_axis_back() -> None:
    """The zones of 0.5 mm stop the axis 0.25 mm from the wire at the bores' outer ends, where the tilt is most.

    At the middle of a bore it is 0.25 * 120 / 150 = 0.2 mm off, so the far side of the hole is 1.2 - 0.2 mm too far.
    """
    rings = [
        ring("A", 0, 60, hole(41, 1.2, 0, 30, 24, math.pi / 2), position=0.5),
        ring("B", 240, 60, hole(41, -1.2, 0, 270, 24, math.pi / 2), position=0.5),
    ]
    found = least_deposit_axis(rings)
    assert np.array(found.radii) / MM == pytest.approx([42.5, 42.5], abs=SPACE)
    assert found.binding == ("position of bore A", "position of bore B")
    assert np.array(found.shifts) / MM == pytest.approx([0.25, 0.25], abs=1e-6)


def test_a_tapered_pair_along_a_tilted_hole_is_cleaned_along_the_hole() -> None:
    """Sections of a tilted cone: the axis is its axis, each bore cleans at its wider end."""
    tilt = 0.004
    rings = [
        ring("A", 0, 80, hole(40.6, 0, 0, 0, 16), hole(41.0, 80 * tilt, 0, 80, 16)),
        ring("B", 300, 80, hole(41.4, 300 * tilt, 0, 300, 16), hole(40.9, 380 * tilt, 0, 380, 16)),
    ]
    found = least_deposit_axis(rings)
    assert np.array(found.radii) / MM == pytest.approx([41.5, 41.9], abs=SPACE)
    assert _mm(found, 80) == pytest.approx((80 * tilt, 0), abs=1e-4)
    assert found.sx == pytest.approx(tilt, abs=1e-6)


def test_datums_without_play_force_the_wire() -> None:
    rings = [ring("A", 100, 60, hole(41, 1.2, 0.3, 130)), ring("B", 340, 60, hole(41, -1.2, 0.8, 370))]
    datums = [Datum("left", 0, 20 * MM, 0, 0, 0), Datum("right", 500 * MM, 20 * MM, 0, 0, 0)]
    found, wire = least_deposit_axis(rings, datums), axis_at(rings, datums, None, 0, 0, 0, 0)
    assert wire.feasible
    assert found.feasible
    # a rule without play gives 4e-11 m, a billionth of the bore: 6e-9 of this volume a bore, and some rounding
    assert found.required_volume == pytest.approx(wire.required_volume, rel=3e-8)
    assert max(*map(abs, _mm(found, 0)), *map(abs, _mm(found, 520))) < 1e-7
    assert found.binding == ("datum left", "datum right")


def test_a_zone_stops_a_single_bore_on_the_way_to_its_hole() -> None:
    """Hole 1 mm off, zone 0.6 mm: the axis goes 0.3 mm towards it, the far side of the hole is 0.7 mm too far."""
    found = least_deposit_axis([ring("A", 0, 60, hole(41, 0.6, 0.8, 30, 100, math.atan2(0.6, 0.8)), position=0.6)])
    assert found.radii[0] / MM == pytest.approx(42.2, abs=SPACE)
    assert _mm(found, 30) == pytest.approx((0.18, 0.24), abs=1e-6)
    assert found.shifts[0] / MM == pytest.approx(0.3, abs=1e-6)


def test_a_wall_too_thin_on_the_worn_side_forbids_every_axis() -> None:
    """Towards the hole the clean-up bore shrinks as fast as it shifts: it always reaches 41 + 1.2 + 0.5 mm out."""
    rings = [ring("A", 0, 60, hole(41, 1.2, 0, 30, 12, math.pi / 2), most=42.4)]
    found = least_deposit_axis(rings)
    assert not found.feasible
    assert found.binding == ("wall of bore A",)
    assert found.loosening / MM == pytest.approx(0.3, abs=1e-5)
    assert found.breaches[0][0] == "wall of bore A"
    assert found.breaches[0][1] / MM == pytest.approx(0.3, abs=1e-4)
    assert least_deposit_axis([ring("A", 0, 60, hole(41, 1.2, 0, 30), most=42.7001)]).feasible


def test_three_datums_out_of_line_forbid_every_axis() -> None:
    """Centres 0, 0.4, 0 mm at 0, 1, 2 m: a straight line misses one by 0.2 mm at least; 0.05 mm is allowed."""
    datums = [Datum(name, z, 0.0, x * MM, 0.0, 0.1 * MM) for name, z, x in (("P", 0, 0), ("Q", 1, 0.4), ("R", 2, 0))]
    found = least_deposit_axis([ring("A", 200, 60, hole(41, 0, 0, 230))], datums)
    assert not found.feasible
    assert found.loosening / MM == pytest.approx(0.15, abs=1e-5)
    assert found.binding == ("datum P", "datum Q", "datum R")
    assert [by / MM for _, by in found.breaches] == pytest.approx([0.15] * 3, abs=1e-4)
    assert _mm(found, 500) == pytest.approx((0.2, 0), abs=1e-4)


@pytest.mark.parametrize(("off", "side"), [(1.2, "least"), (-1.2, "greatest")])
def test_a_centre_distance_stops_the_axis_at_its_limit(off: float, side: str) -> None:
    """Hole 1.2 mm nearer to, or further from, a centre 600 mm off; 0.4 mm is allowed: 0.8 mm of the hole stays off."""
    rings = [ring("A", 0, 60, *(hole(41, off, 0, z, 12, math.pi / 2) for z in (0, 60)))]
    found = least_deposit_axis(rings, (), CentreDistance(600 * MM, 0, 600 * MM, 0.4 * MM))
    assert found.feasible
    assert found.binding == (f"{side} centre distance",)
    assert found.radii[0] / MM == pytest.approx(42.3, abs=1e-6)
    assert _mm(found, 30) == pytest.approx((math.copysign(0.4, off), 0), abs=FLAT)
    assert found.gap < 1e-7
    # the rules give 4e-11 m, so the proof may lie 4e-8 mm of radius lower and the answer too
    assert _bound(found) <= math.pi * (42.3**2 - 38.5**2) * 60
    assert found.required_volume / MM**3 == pytest.approx(math.pi * (42.3**2 - 38.5**2) * 60, rel=1e-7)


def test_plain_axes_are_the_lines_of_least_squares() -> None:
    """Two bores: the line through both centres. Three: scipy's polynomial fit, each bore as many points along it."""
    pair = [
        ring("A", 0, 60, hole(41, 1.2, 0.3, 30), original=(0.1, 0.0)),
        ring("B", 240, 60, hole(41, -1.2, 0.3, 270), original=(-0.1, 0.0)),
    ]
    # the length of each bore holds the line a little to the wire: 2 * 120^2 / (2 * 120^2 + 2 * 60^2 / 12) of the tilt
    hold = 120**2 / (120**2 + 60**2 / 12)
    axes = plain_axes(pair)
    assert axes["original centres"].sx == pytest.approx(-0.2 / 240 * hold, rel=1e-9)
    assert axes["worn holes"].sx == pytest.approx(-2.4 / 240 * hold, rel=1e-9)
    assert _mm(axes["worn holes"], 150) == pytest.approx((0, 0.3), abs=1e-9)


def test_plain_axes_of_three_bores_are_a_fit_of_many_points() -> None:
    spots = [(0.0, 60.0, 0.3), (200.0, 90.0, -0.2), (500.0, 40.0, 0.5)]
    rings = [ring(str(z), z, length, hole(41, x, 0, z + 20)) for z, length, x in spots]
    z = np.concatenate([np.linspace(start, start + length, int(length * 100) + 1) for start, length, _ in spots])
    x = np.concatenate([np.full(int(length * 100) + 1, off) for _, length, off in spots])
    slope, start = np.polyfit(z, x, 1)
    found = plain_axes(rings)["worn holes"]
    assert found.sx == pytest.approx(slope, rel=1e-3)  # points 0.01 mm apart for a whole bore
    assert found.x0 / MM == pytest.approx(start, rel=1e-3)


def test_an_axis_says_which_rules_it_breaks_and_by_how_much() -> None:
    """At 0.9 mm to the side, by hand: zone 0.6, wall 41 + 0.9 + 0.5 + 0.9 - 42.5, datum 0.85, distance 0.9 - 0.4 mm."""
    rings = [ring("A", 100, 60, hole(41, 0, 0, 130, 12, math.pi / 2), position=0.6, most=42.5)]
    datums = [Datum("D", 0, 20 * MM, 0, 0, 0.1 * MM)]
    found = axis_at(rings, datums, CentreDistance(600 * MM, 0, 600 * MM, 0.4 * MM), 0.9 * MM, 0, 0, 0)
    assert not found.feasible
    names = ["datum D", "wall of bore A", "position of bore A", "least centre distance"]
    assert [name for name, _ in found.breaches] == names
    assert [by / MM for _, by in found.breaches] == pytest.approx([0.85, 0.8, 0.6, 0.5], abs=1e-9)


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
    assert _between_bound_and_found(found, math.pi * (smallest**2 - 38.5**2) * 60)


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
    for seed in range(50):
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
    assert agreed >= 45  # from now and then a start SLSQP stops early
