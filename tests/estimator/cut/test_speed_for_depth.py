"""Speed is traded for depth where power holds it back; a limber bar finishes slower; an oval is no full cut."""

from typing import Any

import pytest

from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.cut.beam import as_overhung, overhung, solid_moment
from estimator.cut.passes import paced, slender_share
from tests.jobs import job, quick
from tests.raw import estimate

BOOK = read_pricebook()
WIDE: dict[str, Any] = {"length": "150 mm", "outside_diameter": "420 mm"}
SLOWED = ("quiet_overhang", "slender_fall", "slender_least")
SLOW = [BOOK.facts.plain_constant(name) for name in SLOWED]


def _passes(nominal: float, worn: float, book: PriceBook = BOOK, **changes: Any) -> list[Any]:
    found: list[Any] = estimate(job(quick(nominal, worn, **changes)), book)["bores"][0]["machining"]["passes"]
    return found


def test_a_wide_bore_is_cleaned_in_few_deep_passes_at_40_to_60_m_a_minute() -> None:
    """Common practice: two or three passes of 1.5 to 2 mm at 40 to 60 m/min, not five of 0.7 mm at 102."""
    cuts = [one for one in _passes(300, 303, **WIDE) if one["purpose"] == "clean-up"]
    assert 2 <= len(cuts) <= 3
    assert all(1.2 <= one["depth_mm"] <= 2.0 + 1e-9 for one in cuts)
    assert all(40 <= one["speed_m_min"] <= 75 for one in cuts)
    assert {one["speed_limit"] for one in cuts} == {"drive power at this depth"}
    assert all(one["power_kW"] == pytest.approx(1.1, rel=1e-6) for one in cuts)


def test_a_stronger_drive_is_never_slower_and_a_weaker_one_never_quicker() -> None:
    took = []
    for drive in ("0.5 kW", "0.8 kW", "1.1 kW", "2.2 kW", "4 kW"):
        book = read_pricebook({"equipment": {"drive_power": drive}})
        cuts = _passes(300, 305, book, **WIDE)
        took.append(sum(one["time_min"] + 3 for one in cuts))  # 3 min to set each pass, table of times
        assert all(one["power_kW"] <= float(drive.split()[0]) * (1 + 1e-9) for one in cuts)
    assert took == sorted(took, reverse=True)


def test_power_falls_with_the_speed() -> None:
    """By hand: 0.75 kW, efficiency 0.75, 0.25 mm a turn, kc 2854, 3.16 mm deep: half the 30 m/min of 1.58 mm."""
    assert 60 * paced(1.0, 750.0, 2854e6, 3.16e-3, 0.25e-3, 0.75) == pytest.approx(15.0, rel=0.005)
    assert paced(0.1, 750.0, 2854e6, 3.16e-3, 0.25e-3, 0.75) == 0.1


@pytest.mark.parametrize(("overhang", "low", "high"), [(2.0, 1.0, 1.0), (3.0, 1.0, 1.0), (4.0, 0.8, 0.9)])
def test_speed_by_overhang_as_published(overhang: float, low: float, high: float) -> None:
    """cncoptimization.com: a steel bar up to 3 diameters runs at 100 % of the speed, at 4 at 80 to 90 %."""
    assert low <= slender_share(overhang, *SLOW) <= high
    assert slender_share(50.0, *SLOW) == SLOW[2]


def test_a_bar_is_as_limber_as_itself() -> None:
    reach, diameter, modulus = 0.2, 0.04, 206e9
    limber = overhung(reach, modulus, solid_moment(diameter))
    assert as_overhung(limber, modulus, diameter) == pytest.approx(reach / diameter, rel=1e-12)


def test_a_limber_bar_finishes_slower_than_a_short_one() -> None:
    """A long line bends its bar more: the same bore is finished slower there, by the published derating and no jump."""
    speeds = []
    for free in (300, 400, 600, 900):
        room = {"machine": f"{free} mm", "far": f"{free} mm"}
        (one,) = [one for one in _passes(300, 303, clear_room=room, **WIDE) if one["purpose"] == "finishing"]
        speeds.append((one["speed_m_min"], one["speed_limit"]))
    assert [speed for speed, _ in speeds] == sorted((speed for speed, _ in speeds), reverse=True)


def test_an_oval_is_an_interrupted_cut_and_a_round_bore_is_not() -> None:
    oval, even = _passes(150, 155, wear="one-sided"), _passes(150, 155, wear="even")
    assert all(one["interrupted"] for one in oval if one["purpose"] == "clean-up")
    assert not any(one["interrupted"] for one in even if one["purpose"] == "clean-up")
    feeds = [{one["feed_mm_rev"] for one in cuts if one["purpose"] == "clean-up"} for cuts in (oval, even)]
    assert feeds == [{0.14}, {0.2}]


def test_boring_a_usual_bore_takes_what_practice_books() -> None:
    """Common practice, no source: 30 to 45 min for a bore of 90 x 70 mm, set and gauged, as a rule: likely times."""
    found = estimate(job(quick(90, 93)), BOOK)
    cutting = sum(one["time_min"] for one in found["bores"][0]["machining"]["passes"] if one["purpose"] != "clean-up")
    set_and_gauged = ("re_indicate", "set_finish", "inspect")
    held = sum(row["count"] * row["likely_min"] for row in found["times"] if row["code"] in set_and_gauged)
    assert 30 <= cutting + held <= 45
