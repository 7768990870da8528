"""The axis of least deposit against closed forms, smallest circles, and solvers that share nothing with ours."""

import math

import numpy as np
import numpy.typing as npt
import pytest

from estimator.bore.axis import (
    AxisChoice,
    CentreDistance,
    Datum,
    axis_at,
    least_deposit_axis,
    plain_axes,
)
from estimator.bore.axis_line import axis_shift, cleanup_radius, farthest_point, ring_volume
from tests.estimator.bore.lines import MM, between_bound_and_found, hole, proven, ring

Array = npt.NDArray[np.float64]

SPACE = 2e-7  # [mm] ours stops 1e-8 of the volume above the least: some 1e-8 mm in radius where wear is 1 mm deep
FLAT = 2e-3  # [mm] where the volume is flat about the best axis, the axis itself is known to the root of that


def _mm(choice: AxisChoice, z: float) -> tuple[float, float]:
    """Return the axis at z [mm in, mm out]."""
    return (choice.x0 + choice.sx * z * MM) / MM, (choice.y0 + choice.sy * z * MM) / MM


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
    assert between_bound_and_found(found, 2 * math.pi * (41.5**2 - 38.5**2) * 60)


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
    assert proven(found) <= math.pi * (42.3**2 - 38.5**2) * 60
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
