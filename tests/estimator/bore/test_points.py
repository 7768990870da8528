"""Readings of points down the whole road: the same bore as radii, as points, as points in an arm's own axes."""

import math
from typing import Any

import numpy as np
import pytest

from estimator.book.pricebook import read_pricebook
from estimator.errors import DocumentError
from estimator.estimate import estimate
from tests.jobs import bore, changed, job

CLOCK = np.arange(0, 360, 5.0)
DEPTHS = (5.0, 35.0, 65.0)
ALONG, UP = np.array([0.6, 0.8, 0.0]), np.array([0.0, 0.0, 1.0])
ORIGIN = np.array([250.0, -40.0, 900.0])


def radius(clock: float) -> float:
    off = abs((clock - 180 + 180) % 360 - 180)
    return 45.01 + (1.5 * math.cos(math.pi / 2 * off / 70) if off < 70 else 0.0)


def placed() -> list[list[float]]:
    """Return points in the bore's own axes: x to 3 o'clock, y to 12, z the depth. [mm]"""
    angles = [(math.radians(clock), radius(clock)) for clock in CLOCK]
    return [[r * math.sin(a), r * math.cos(a), z] for z in DEPTHS for a, r in angles]


def asked(values: Any, **more: Any) -> dict[str, Any]:
    rows = [[round(float(cell), 6) for cell in row] for row in values]
    return job(bore(readings={"kind": "points", "unit": "mm", "values": rows, **more}))


def one(document: dict[str, Any]) -> dict[str, Any]:
    return dict(estimate(document, read_pricebook())["bores"][0])


def test_points_and_radii_of_one_bore_give_one_answer() -> None:
    row = [round(radius(clock), 6) for clock in CLOCK]
    radii = {"kind": "radius", "unit": "mm", "clock": CLOCK.tolist(), "depth": list(DEPTHS), "values": [row] * 3}
    by_radii, by_points = one(job(bore(readings=radii))), one(asked(placed()))
    for key in ("worn_volume_mm3", "max_radial_wear_mm", "mean_diameter_mm", "largest_diameter_mm"):
        assert by_points["wear"][key] == pytest.approx(by_radii["wear"][key], rel=1e-5)  # coordinates to 1e-6 mm
    assert by_points["sizes"]["cleanup_mm"] == pytest.approx(by_radii["sizes"]["cleanup_mm"], abs=1e-4)
    assert by_points["given"]["readings"]["points"] == len(CLOCK) * 3
    assert by_points["wear"]["clock_map"]["of"] == "points"


def test_an_arms_own_axes_change_nothing() -> None:
    right = np.cross(ALONG, UP)
    world = [ORIGIN + x * right + y * UP + z * ALONG for x, y, z in placed()]
    frame = {"origin": ORIGIN.tolist(), "along": ALONG.tolist(), "up": UP.tolist()}
    here, there = one(asked(placed())), one(asked(world, frame=frame))
    for key in ("worn_volume_mm3", "max_radial_wear_mm", "out_of_round_mm"):
        assert there["wear"][key] == pytest.approx(here["wear"][key], rel=1e-5, abs=1e-5)


def test_inches_and_millimetres_give_the_same() -> None:
    inches = asked([[cell / 25.4 for cell in row] for row in placed()])
    inches = changed(inches, "bores.0.readings.unit", "in")
    for key in ("worn_volume_mm3", "max_radial_wear_mm"):
        assert one(inches)["wear"][key] == pytest.approx(one(asked(placed()))["wear"][key], rel=1e-4)  # six digits


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ([[25.4 * c for c in row] for row in placed()], "inch"),
        ([[z, x, y] for x, y, z in placed()], "column"),
        ([ORIGIN + x * ALONG + y * UP + z * np.cross(ALONG, UP) for x, y, z in placed()], "frame"),
        ([[x + 300, y, z] for x, y, z in placed()], "another axis"),
        ([*placed()[:100], [90.0, 90.0, 35.0], *placed()[100:]], "off"),
        ([row for row in placed() if row[1] > 10], "of the clock"),
        (placed()[:8], "12 to 20000"),
        ([*placed(), [1.0, 2.0]], "three coordinates"),
    ],
)
def test_points_that_cannot_be_are_refused_with_row_and_hint(values: Any, said: str) -> None:
    with pytest.raises(DocumentError) as wrong:
        estimate(asked(values), read_pricebook())
    fault = wrong.value.faults[0]
    assert fault.path.startswith("bores.0.readings") and said in fault.message


def test_one_stray_point_is_named_by_its_row() -> None:
    values = [*placed()[:100], [90.0, 90.0, 35.0], *placed()[100:]]
    with pytest.raises(DocumentError) as wrong:
        estimate(asked(values), read_pricebook())
    assert wrong.value.faults[0].path == "bores.0.readings.values.100"


def test_what_only_a_clock_has_is_refused_for_points() -> None:
    with pytest.raises(DocumentError, match="leave it out"):
        estimate(asked(placed(), clock=[0, 90]), read_pricebook())
