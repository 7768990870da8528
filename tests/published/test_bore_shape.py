"""Wear volumes and sizes against shapely polygons, scipy integrals and closed forms."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from shapely.geometry import Polygon

from estimator.bore import profile, survey, walls
from estimator.job.job import Bore
from tests.jobs import bore

ALPHA, REFERENCE = 1.17e-5, 293.15


def _bore(kind: str, clock: list[float], depth: list[float], values: Any, length: float = 70.0, **more: Any) -> Bore:
    readings = {"kind": kind, "unit": "mm", "clock": clock, "depth": depth, "values": values, **more}
    return Bore.model_validate(bore(length=f"{length} mm", readings=readings))


def _profile(one: Bore) -> profile.Profile:
    return profile.profile_of(one, ALPHA, REFERENCE)


def test_a_round_bore_is_a_cylinder() -> None:
    one = _profile(_bore("diameter", [0, 45, 90, 135], [10, 60], [[92.0] * 4] * 2))
    assert profile.void_volume(one) == pytest.approx(math.pi / 4 * 0.092**2 * 0.07, rel=1e-12)
    assert profile.mean_diameter(profile.void_volume(one), 0.07) == pytest.approx(0.092, rel=1e-12)


def test_many_radii_of_an_ellipse_give_its_area() -> None:
    """Closed form pi a b, and the polygon that shapely draws through the same points."""
    a, b, count = 46.5, 45.0, 720
    angles = [360 * n / count for n in range(count)]
    radii = [a * b / math.hypot(b * math.cos(math.radians(t)), a * math.sin(math.radians(t))) for t in angles]
    volume = profile.void_volume(_profile(_bore("radius", angles, [35], [radii])))
    assert volume / 0.07 == pytest.approx(
        math.pi * a * b * 1e-6, rel=1e-6
    )  # mean square radius: exact for a smooth shape
    points = [
        (r * math.cos(math.radians(t)), r * math.sin(math.radians(t))) for r, t in zip(radii, angles, strict=True)
    ]
    assert volume / 0.07 == pytest.approx(Polygon(points).area * 1e-6, rel=2e-5)  # chords cut 1 - (pi/720)^2 * 2/3


def test_a_circle_off_the_axis_keeps_its_area() -> None:
    """Closed form: r = e cos t + sqrt(R^2 - e^2 sin^2 t) encloses pi R^2; shapely draws the same from its points."""
    off, radius, count = 1.5, 46.0, 360
    angles = [360 * n / count for n in range(count)]
    radii = [
        off * math.cos(math.radians(t)) + math.sqrt(radius**2 - (off * math.sin(math.radians(t))) ** 2) for t in angles
    ]
    section = profile.void_volume(_profile(_bore("radius", angles, [35], [radii]))) / 0.07 * 1e6
    assert section == pytest.approx(
        math.pi * radius**2, rel=1e-9
    )  # smooth and periodic: exact to the readings' 1e-10 m
    points = [
        (r * math.cos(math.radians(t)), r * math.sin(math.radians(t))) for r, t in zip(radii, angles, strict=True)
    ]
    assert section == pytest.approx(Polygon(points).area, rel=2 * (2 * math.pi / count) ** 2 / 6)  # chords


@pytest.mark.parametrize(("stations", "close"), [(2, 2e-4), (71, 1e-7)])
def test_a_tapered_bore_is_a_frustum(stations: int, close: float) -> None:
    """Closed form pi L (D1^2 + D1 D2 + D2^2) / 12; trapezoids of the area are over by (D2 - D1)^2 / 6 n^2 of D^2."""
    depth = [70 * n / (stations - 1) for n in range(stations)]
    values = [[92.0 + 3.0 * at / 70] * 4 for at in depth]
    one = _profile(_bore("diameter", [0, 45, 90, 135], depth, values))
    exact = math.pi * 70 * (92.0**2 + 92.0 * 95.0 + 95.0**2) / 12
    assert profile.void_volume(one) * 1e9 == pytest.approx(exact, rel=close)
    assert profile.void_volume(one) * 1e9 > exact
    assert profile.taper(one) == pytest.approx(3e-3)
    assert profile.out_of_round(one) == pytest.approx(0.0, abs=1e-12)


@given(st.lists(st.floats(45.0, 49.0), min_size=48, max_size=48))
def test_radii_between_two_polygons(radii: list[float]) -> None:
    """The sectors' area lies between the polygon through the points and the circles round them (shapely)."""
    count = len(radii)
    angles = [360 * n / count for n in range(count)]
    volume = profile.void_volume(_profile(_bore("radius", angles, [35], [radii]))) / 0.07 * 1e6
    points = [
        (r * math.cos(math.radians(t)), r * math.sin(math.radians(t))) for r, t in zip(radii, angles, strict=True)
    ]
    sectors = math.pi * sum(r * r for r in radii) / count
    assert volume == pytest.approx(sectors, rel=1e-9)
    assert volume >= Polygon(points).area * (1 - 1e-9)


@given(st.lists(st.floats(90.0, 96.0), min_size=4, max_size=4), st.lists(st.floats(0.5, 69.5), min_size=2, max_size=5))
def test_volume_along_the_depth_is_the_trapezoid(diameters: list[float], depths: list[float]) -> None:
    """scipy.integrate of the section area, linear between stations and square to the faces beyond the last ones."""
    depth = sorted({round(d, 2) for d in depths})
    values = [[d + 0.01 * at for d in diameters] for at in depth]
    volume = profile.void_volume(_profile(_bore("diameter", [0, 45, 90, 135], depth, values)))
    areas = [math.pi / 4 * float(np.mean(np.square(row))) for row in values]
    exact, _ = quad(lambda x: float(np.interp(x, depth, areas)), 0, 70, points=depth, limit=200)
    assert volume * 1e9 == pytest.approx(exact, rel=1e-6)


def test_uneven_clock_weighs_half_the_gaps() -> None:
    """0, 30, 90: the gaps are 30, 60, 90 of 180, so the shares are 1/3, 1/4, 5/12 (by hand)."""
    one = _profile(_bore("diameter", [0, 30, 90], [35], [[90.0, 91.0, 92.0]]))
    expected = math.pi / 4 * (90**2 / 3 + 91**2 / 4 + 92**2 * 5 / 12)
    assert profile.void_volume(one) / 0.07 * 1e6 == pytest.approx(expected, rel=1e-12)


def test_a_radius_adds_the_one_opposite() -> None:
    """An offset circle: every diameter through the axis is a chord of known length (closed form)."""
    offset, radius = 1.0, 46.0
    angles = [30.0 * n for n in range(12)]
    radii = [
        offset * math.cos(math.radians(t)) + math.sqrt(radius**2 - (offset * math.sin(math.radians(t))) ** 2)
        for t in angles
    ]
    one = _profile(_bore("radius", angles, [35], [radii]))
    assert profile.largest_diameter(one) == pytest.approx(0.092, abs=4e-10)
    chord = 2 * math.sqrt(radius**2 - offset**2) * 1e-3
    assert profile.smallest_diameter(one) == pytest.approx(chord, abs=4e-10)  # readings are rounded to 1e-10 m


def test_odd_radii_interpolate_the_opposite() -> None:
    one = _profile(_bore("radius", [0, 120, 240], [35], [[45.0, 46.0, 47.0]]))
    assert profile.largest_diameter(one) == pytest.approx(
        (47.0 + 45.5) * 1e-3
    )  # opposite 240 lies 60, halfway 0 to 120


def test_wear_sizes_by_hand() -> None:
    """Worst station 93.0 to 90.2: out of round 2.8; means 91.575, 91.65, 91.475: taper 0.175 (by hand)."""
    one = Bore.model_validate(bore())
    shape = _profile(one)
    assert profile.out_of_round(shape) == pytest.approx(2.8e-3)
    assert profile.taper(shape) == pytest.approx(0.175e-3)
    assert survey.radial_wear(0.093, 0.090, 1.0) == pytest.approx(3e-3)
    assert survey.radial_wear(0.093, 0.090, 0.5) == pytest.approx(1.5e-3)
    assert survey.cleanup_for(0.090, 3e-3, 0.5e-3) == pytest.approx(0.097)
    assert survey.enlarged(0.0871, 0.087, 1.5e-3, 0.0890, 0.3e-3) == pytest.approx(0.090)
    assert survey.enlarged(0.0871, 0.087, 0.5e-3, 0.0890, 0.3e-3) == pytest.approx(0.0896)
    assert survey.weld_size(0.090027, 1.5e-3) == pytest.approx(0.087027)
    assert walls.wall_left(0.170, 0.097) == pytest.approx(36.5e-3)
    assert walls.wall_at(0.040, 0.097, 0.090) == pytest.approx(36.5e-3)


def test_worn_volume_is_never_below_zero() -> None:
    assert profile.worn_volume(1e-4, 0.090, 0.070) == 0.0
    assert profile.worn_volume(5e-4, 0.090, 0.070) == pytest.approx(5e-4 - math.pi / 4 * 0.09**2 * 0.07)


def test_a_warm_part_is_brought_to_20_degrees() -> None:
    """ISO 1; 100.000 mm at 20 degC reads 46.8 um more at 60 degC with 11.7e-6 (ASME II-D TE-1 data, computed)."""
    warm = _bore("diameter", [0, 90], [35], [[100.0468, 100.0468]], temperature="60 degC")
    assert profile.largest_diameter(_profile(warm)) == pytest.approx(0.100, abs=1e-8)
