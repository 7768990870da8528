"""What the day sheet asks for in words: what is gauged, the size of a warm bore, what is used up and not counted."""

from collections.abc import Iterable

from estimator.book.pricebook import read_pricebook
from exports.cells import Sheet
from exports.page.estimate import page
from exports.sheets import day
from exports.used import uncounted
from tests.jobs import bore, job
from tests.raw import estimate

BOOK = read_pricebook()


def _said(sheets: Iterable[Sheet]) -> str:
    return "\n".join(f"{cell.value}" for sheet in sheets for row in sheet.rows for cell in row.cells)


def test_radii_are_gauged_as_radii_and_measured_as_diameters() -> None:
    clock = list(range(0, 360, 45))
    values = [[45.0, 45.1, 45, 46, 47, 46, 45, 45.1]] * 2
    radii = {"kind": "radius", "unit": "mm", "clock": clock, "depth": [10, 60], "values": values}
    said = _said(day.sheets(estimate(job(bore(readings=radii)), BOOK)))
    assert "worn radius at depths 10, 60 mm, at 0, 45, 90, 135, 180, 225, 270, 315 degrees" in said
    assert "mm at depths 10, 60 mm, at 0, 45, 90, 135 degrees, at 20 °C" in said
    assert "worn diameter" not in said


def test_a_warm_bore_is_gauged_by_the_size_it_has_there() -> None:
    found = estimate(job(), BOOK)
    said = _said(day.sheets(found))
    one = found["bores"][0]
    growth, warm = one["heat"]["finish_growth_mm"], one["heat"]["finish_cut_max_C"]
    low, high = (one["sizes"][f"finish_{end}_mm"] + growth for end in ("min", "max"))
    assert growth > 0.01
    assert f"reads {low:.3f} to {high:.3f} mm while the bore is at {warm:.0f} °C" in said
    assert f"the last reading at {warm:.0f} °C or less" in said


def test_what_is_used_up_and_not_counted_is_taken_along() -> None:
    found = estimate(job(), BOOK)
    said = _said(day.sheets(found)[:1])
    assert (
        "Besides, not counted: degreaser, crack dye, rags, marker, temperature crayons, paint for bare metal." in said
    )
    text = " ".join(page(found, "metric", ["plan"]).split())
    assert text.count("degreaser, crack dye, rags, marker, temperature crayons, paint for bare metal") == 2
    assert "paint for bare metal" not in uncounted(estimate(job(bore(mounts="clamped")), BOOK))
