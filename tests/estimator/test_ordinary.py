"""An ordinary sound job of S355 is told nothing that stops it or that somebody must approve."""

import itertools
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from tests.jobs import bore, job

BOOK = read_pricebook()
GRAVE = {"stop", "approve"}
DIAMETERS, AXES, COUNTS, PLATES = (40, 90, 200), ("horizontal", "vertical"), (1, 2, 4), (None, "30 mm")


def _bore(number: int, size: int, wear: float, **changes: Any) -> dict[str, Any]:
    """Return a worn bore of a line of one pin, measured over its depth."""
    row = [size + wear, size + 0.6 * wear, size + 0.2 * wear, size + 0.5 * wear]
    readings = {"kind": "diameter", "unit": "mm", "clock": [0, 45, 90, 135], "depth": [10, 35, 60], "values": [row] * 3}
    sizes = {"nominal_diameter": f"{size} mm", "outside_diameter": f"{size + 80} mm", "readings": readings}
    place = {"line": "pin", "position": f"{300 * number} mm"}
    return bore(name="ABCD"[number], **sizes, **place, **changes)


@pytest.mark.parametrize(("size", "count", "plate"), [*itertools.product(DIAMETERS, COUNTS, PLATES)])
def test_an_ordinary_job_has_no_stop_and_no_approve(size: int, count: int, plate: str | None) -> None:
    for axis, wear in itertools.product(AXES, (0.6, 1.8)):
        bores = [_bore(number, size, wear, axis=axis, plate_thickness=plate) for number in range(count)]
        found = estimate(job(*bores), BOOK)
        assert [one for one in found["warnings"] if one["grade"] in GRAVE] == []
        assert not [said for one in found["bores"] for said in one["heat"]["advice"] if "approval" in said]


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"material": "C45"}, "steel_approval"),
        ({"material": "S460N"}, "method_below"),
        ({"outside_diameter": "110 mm"}, "wall_thin"),
        ({"condition": {"cracks": "unknown"}}, "cracks_unknown"),
    ],
)
def test_what_differs_from_it_is_told(changes: dict[str, Any], code: str) -> None:
    found = estimate(job(bore(**changes)), BOOK)
    assert code in [one["code"] for one in found["warnings"] if one["grade"] in GRAVE]
