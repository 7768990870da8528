"""Circles and cylinders of a bore in the estimate document, against the shape they were read from."""

import math
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.bore import form
from estimator.estimate import estimate
from tests.jobs import bore, job

CLOCK = list(range(0, 360, 15))


def wear(radius: Any, depths: tuple[int, ...] = (10, 60)) -> dict[str, Any]:
    """Return the wear of a bore of 70 mm whose radius [mm] is a function of clock [deg] and depth [mm]."""
    values = [[round(radius(angle, depth), 7) for angle in CLOCK] for depth in depths]
    readings = {"kind": "radius", "unit": "mm", "clock": CLOCK, "depth": list(depths), "values": values}
    return dict(estimate(job(bore(readings=readings)), read_pricebook())["bores"][0]["wear"])


def moved(by: float, at: float, size: float = 45.5) -> Any:
    def radius(angle: float, _: float) -> float:
        off = math.radians(angle - at)
        return by * math.cos(off) + math.sqrt(size**2 - (by * math.sin(off)) ** 2)

    return radius


def test_a_round_hole_beside_the_zero_is_found_where_it_lies() -> None:
    found = wear(moved(0.8, 120))
    for circle in found["clock_sections"][0]["circles"]:
        assert circle["diameter_mm"] == pytest.approx(91.0, abs=1e-5)
        assert circle["offset_mm"] == pytest.approx(0.8, abs=1e-5)
        assert circle["clock_offset"] == pytest.approx(120, abs=1e-3)
        assert circle["out_of_round_mm"] == pytest.approx(0, abs=1e-5)
    for cylinder in found["clock_cylinders"]:
        assert cylinder["diameter_mm"] == pytest.approx(91.0, abs=1e-4)
        assert cylinder["offset_mm"] == pytest.approx(0.8, abs=1e-4)


def test_an_ellipse_has_its_long_axis_as_the_circle_about_it() -> None:
    """Radius a b / sqrt((b cos t)² + (a sin t)²): the smallest circle round it has the diameter 2 a."""
    a, b = 46.0, 45.2
    found = wear(lambda t, _: a * b / math.hypot(b * math.cos(math.radians(t)), a * math.sin(math.radians(t))))
    circles = {one["name"]: one for one in found["clock_sections"][0]["circles"]}
    assert circles["minimum circumscribed"]["diameter_mm"] == pytest.approx(2 * a, abs=1e-5)
    assert circles["minimum circumscribed"]["clock_deciding"] == [0, 180]
    assert list(circles) == list(form.CIRCLES)


def test_a_tilted_hole_tilts_its_cylinder() -> None:
    """The centre runs 0.5 mm over 50 mm: 10 mm a metre; the cylinder leans, so its section is an ellipse of 1e-4."""
    found = wear(lambda angle, depth: moved(0.01 * (depth - 35), 0.0)(angle, depth), (10, 35, 60))
    for cylinder in found["clock_cylinders"]:
        assert cylinder["tilt_mm_m"] == pytest.approx(
            10.0, rel=2e-3
        )  # round square to the readings' axis, not to its own
        assert cylinder["offset_mm"] == pytest.approx(0.0, abs=1e-3)


def test_the_figures_of_a_fit_are_its_own() -> None:
    fit = form.Fit("least squares", "circle", 0.0455, 3e-4, 4e-4, -1e-5, 3e-5, ((0.0, 0.01),), 2e-3)
    assert form.size_of(fit) == pytest.approx(0.091)
    assert form.offset_of(fit) == pytest.approx(5e-4)
    assert form.out_of_form(fit) == pytest.approx(4e-5)
    assert form.tilt_of(fit) == 2e-3


def test_diameters_have_no_centre() -> None:
    found = estimate(job(bore()), read_pricebook())["bores"][0]["wear"]
    assert found["clock_sections"] == [] and found["clock_cylinders"] == []
