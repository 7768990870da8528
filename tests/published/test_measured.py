"""What was measured, against definitions written out a second time: points, repeats, walls, the wear map.

Sizes hold at 20 degC (ISO 1); a mean of n readings has an n-th of their variance (JCGM 100:2008, 4.2.3).
"""

import math
from typing import Any

import numpy as np
import pytest

from estimator.book.pricebook import read_pricebook
from estimator.bore import walls
from estimator.errors import DocumentError
from estimator.estimate import estimate
from estimator.geometry.points import gridded
from tests.estimator.geometry.points import LENGTH, NOMINAL
from tests.jobs import bore, job

CLOCK = np.arange(0, 360, 5.0)
DEPTHS = (5.0, 35.0, 65.0)
Places = list[list[float]]


def one(**changes: Any) -> dict[str, Any]:
    return dict(estimate(job(bore(**changes)), read_pricebook())["bores"][0])


def of_points(values: Places, **more: Any) -> dict[str, Any]:
    return one(readings={"kind": "points", "unit": "mm", "values": values, **more})


def round_hole(radius: float, scale: float = 1.0) -> Places:
    """Return points of a round hole in the bore's own axes, all its sizes times a scale. [mm]"""
    angles = [math.radians(at) for at in CLOCK]
    return [
        [scale * radius * math.sin(a), scale * radius * math.cos(a), scale * depth] for depth in DEPTHS for a in angles
    ]


# ---------------------------------------------------------------- points


@pytest.mark.parametrize(("temperature", "kelvin"), [("60 degC", 40.0), ("-10 degC", -30.0)])
def test_points_of_a_warm_part_are_brought_to_20_degrees(temperature: str, kelvin: float) -> None:
    """ISO 1: steel grows by 11.7e-6 a kelvin in all directions, so a hole of 92 mm read at 60 degC reads 92.043 mm."""
    found = of_points(round_hole(46.0, 1 + 11.7e-6 * kelvin), temperature=temperature)
    assert found["wear"]["largest_diameter_mm"] == pytest.approx(92.0, abs=1e-6)  # typed in doubles
    assert found["wear"]["max_radial_wear_mm"] == pytest.approx(1.0, abs=1e-6)
    assert found["given"]["readings"]["depths_mm"] == pytest.approx(DEPTHS, abs=1e-6)  # measured from its zero too


def test_the_deepest_single_point_of_a_cell_is_the_wear() -> None:
    """Contract: max r - nominal / 2, of what was read; one point is deeper than all in its cell of the grid."""
    a = math.radians(181.0)  # within the cell of 180 degrees
    stray = [46.8 * math.sin(a), 46.8 * math.cos(a), 35.0]
    calm, struck = of_points(round_hole(45.5)), of_points([*round_hole(45.5), stray])
    assert calm["wear"]["max_radial_wear_mm"] == pytest.approx(0.5, abs=1e-6)
    assert struck["wear"]["max_radial_wear_mm"] == pytest.approx(46.8 - 45.0, abs=1e-6)
    assert struck["sizes"]["cleanup_mm"] == pytest.approx(90 + 2 * (1.8 + 0.5), abs=1e-5)


@pytest.mark.parametrize(("share", "side"), [(1.04, None), (1.06, "beyond the other face"), (-0.04, None)])
def test_points_may_lie_a_twentieth_of_the_length_outside_the_faces(share: float, side: str | None) -> None:
    values = [*round_hole(45.5), [0.0, 45.5, share * 70.0]]
    if side is None:
        assert of_points(values)["wear"]["max_radial_wear_mm"] == pytest.approx(0.5, abs=1e-6)
        return
    with pytest.raises(DocumentError, match=side) as wrong:
        of_points(values)
    assert wrong.value.faults[0].path == f"bores.0.readings.values.{len(values) - 1}"


def test_a_tapered_bore_is_carried_on_beyond_its_last_points() -> None:
    """Sections swept askew: at 9 o'clock the last points lie 3 mm short of their station, and the cone goes on there.

    Along a cone r² is all but straight: over 20 mm its bow is (slope x 20)² / 4 of 2 r, 0.0005 mm at the most.
    """
    slope, angle = 1.5 / 70, np.radians(CLOCK)
    depth = np.concatenate([at + 3 * np.sin(angle) for at in (10.0, 30.0, 50.0)])
    radius = 45.2 + slope * depth
    a = np.tile(angle, 3)
    points = np.stack((radius * np.sin(a), radius * np.cos(a), depth), axis=1) * 1e-3
    grid = gridded(points, None, LENGTH, NOMINAL)
    assert grid.depth * 1e3 == pytest.approx([10.0, 30.0, 50.0], abs=1e-9)
    cone = np.repeat(45.2 + slope * grid.depth[:, None] * 1e3, len(CLOCK), axis=1)
    assert np.abs(grid.radius * 1e3 - cone).max() < 1e-3  # carried on level it would be slope x 3 mm off: 0.064


# ---------------------------------------------------------------- repeats


@pytest.mark.parametrize("repeats", [2, 4, 9])
def test_a_mean_of_several_readings_has_their_share_of_the_variance(repeats: int) -> None:
    """One place read n times, three read once: U = 2 sqrt((4 s u)² + (3 + 1/n) s² w²), s = dV/dd of one reading."""
    scatter = [0.03 * ((n % 2) - 0.5) for n in range(repeats)]
    cell = [92.0 + off - sum(scatter) / repeats for off in scatter]
    within = math.sqrt(sum((each - 92.0) ** 2 for each in cell) / (repeats - 1))
    readings = {"kind": "diameter", "unit": "mm", "clock": [0, 45, 90, 135], "depth": [35], "uncertainty": "0.004 mm"}
    found = one(readings={**readings, "values": [[cell, 92.0, 92.0, 92.0]]})["wear"]
    slope = math.pi / 4 * 2 * 92.0 * 70.0 / 4
    by_hand = 2 * math.sqrt((4 * slope * 0.004) ** 2 + (3 + 1 / repeats) * slope**2 * within**2)
    assert found["worn_volume_uncertainty_mm3"] == pytest.approx(by_hand, rel=1e-6)  # lengths are read to 1e-10 m


def test_four_readings_a_place_halve_what_repeats_cannot_tell() -> None:
    """All places read n times: without an error of the gauge, U = 2 s w sqrt(4 / n)."""
    readings = {"kind": "diameter", "unit": "mm", "clock": [0, 45, 90, 135], "depth": [35], "uncertainty": "0.0001 mm"}
    four = [91.99, 92.01, 91.99, 92.01]
    found = one(readings={**readings, "values": [[four] * 4]})["wear"]
    slope, within = math.pi / 2 * 92.0 * 70.0 / 4, 0.01 * math.sqrt(4 / 3)
    by_hand = 2 * slope * math.hypot(4 * 0.0001, within * math.sqrt(4 / 4))
    assert found["worn_volume_uncertainty_mm3"] == pytest.approx(by_hand, rel=1e-6)


# ---------------------------------------------------------------- walls and the wear map


def test_a_wall_loses_half_of_what_the_diameter_gains() -> None:
    """Geometry: a bore cut 4 mm larger in diameter takes 2 mm off each wall of 10 mm."""
    assert walls.wall_at(0.010, 0.094, 0.090) == pytest.approx(0.008, rel=1e-12)
    measured = {"clock": [0, 90, 180, 270], "thickness": ["30 mm", "24 mm", "40 mm", "30 mm"]}
    found = one(walls=measured)["sizes"]
    cut = (found["cleanup_mm"] - 90.0) / 2
    assert found["clock_walls"]["wall_left_mm"] == pytest.approx([30 - cut, 24 - cut, 40 - cut, 30 - cut], rel=1e-9)
    assert found["wall_left_mm"] == pytest.approx(24 - cut, rel=1e-9)


@pytest.mark.parametrize("wear", ["one-sided", "even"])
def test_the_wear_map_of_diameters_is_half_of_what_is_beyond_nominal(wear: str) -> None:
    """A diameter does not say on which side it is worn: the map shows (d - nominal) / 2, whatever the kind of wear."""
    readings = bore()["readings"]
    shown = one(wear=wear)["wear"]["clock_map"]
    assert shown["of"] == "diameter" and shown["depth_mm"] == [10, 35, 60]
    for row, read in zip(shown["wear_mm"], readings["values"], strict=True):
        assert row == pytest.approx([(each - 90.0) / 2 for each in read], abs=1e-9)
