"""A sector that is built up: what the bar does not cut, what it cuts away, how it feeds, what its beads cost in time.

Constants: an interrupted cut is fed at 0.7 of the usual 0.2 and 0.1 mm a turn; run-outs of 8 mm; 0.05 min to start and
stop a bead, 0.15 min for the torch to travel back where all are laid one way; 9 min expected between two layers.
"""

import math
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from tests.jobs import bore, job, quick
from tests.raw import estimate

BOOK = read_pricebook()
CALM, STEEP = {"from": 120, "to": 240}, {"from": 60, "to": 130}  # clear of 3 o'clock, and across it
LOST = (0.33 / 6, (0.33 + 0.95) / 6)  # min a bead as expected: start and stop, and the way back
SECTORS = pytest.mark.parametrize(("sector", "worn"), [(CALM, 92), (CALM, 96), (STEEP, 92), (STEEP, 96)])


def pair(sector: dict[str, int], worn: float) -> tuple[Any, Any]:
    """Return a bore with a sector, and the same bore built up all round."""
    jobs = (job(quick(90, worn, sector=sector)), job(quick(90, worn)))
    part, full = (estimate(one, BOOK)["bores"][0] for one in jobs)
    return part, full


@SECTORS
def test_the_bar_cuts_nothing_before_a_sector_is_welded(sector: dict[str, int], worn: float) -> None:
    """The bar would cut all round: a sector is ground by hand."""
    part, full = pair(sector, worn)
    assert part["machining"]["precut_volume_mm3"] == 0.0 < full["machining"]["precut_volume_mm3"]
    assert all(each["purpose"] in ("skin", "roughing", "finishing") for each in part["machining"]["passes"])
    assert part["features"][0]["ground_volume_mm3"] > 0


def test_a_sector_of_readings_is_not_cut_before_either() -> None:
    found = estimate(job(bore(sector=CALM)), BOOK)["bores"][0]
    assert found["machining"]["precut_volume_mm3"] == 0.0


@SECTORS
def test_what_is_bored_off_a_sector_is_what_was_laid_beyond_its_share(sector: dict[str, int], worn: float) -> None:
    """Conservation of metal: the sector's share, run-outs added, of the ring from clean-up to finish stays."""
    part, _ = pair(sector, worn)
    sizes, built = part["sizes"], part["buildup"]
    share = (sector["to"] - sector["from"]) / 360 + 2 * 8 / (math.pi * sizes["cleanup_mm"])
    finish = (sizes["finish_min_mm"] + sizes["finish_max_mm"]) / 2
    stays = share * math.pi / 4 * (sizes["cleanup_mm"] ** 2 - finish**2) * 70.0
    gone = part["machining"]["finish_volume_mm3"]
    assert gone == pytest.approx(built["deposit_volume_mm3"] - stays, rel=1e-7)
    assert gone > 0


@SECTORS
def test_the_bar_feeds_slower_over_a_sector(sector: dict[str, int], worn: float) -> None:
    part, full = pair(sector, worn)
    oval = 0.7  # worn on one side: the whole bore's clean-up is an interrupted cut as well
    usual = {"clean-up": 0.2 * oval, "skin": 0.2, "roughing": 0.2, "finishing": 0.1}
    for one, share in ((part, 0.7), (full, 1.0)):
        for each in one["machining"]["passes"]:
            assert each["feed_mm_rev"] == pytest.approx(share * usual[each["purpose"]], rel=1e-12)
            path = (70.0 + 8.0) / (each["feed_mm_rev"] * each["rpm"])
            assert each["time_min"] == pytest.approx(path, rel=1e-7)  # told to 1e-7 min


@SECTORS
def test_beads_of_a_sector_cost_their_starts_when_plans_are_weighed(sector: dict[str, int], worn: float) -> None:
    """Time weighed: arc, 8 min a gap, and each bead's start; the way back too, where all are laid one way."""
    part, full = pair(sector, worn)
    for one, loss in ((part, LOST[sector is STEEP]), (full, 0.0)):
        built = one["buildup"]
        layers = built["layers"]
        weighed = [each for each in built["frontier"] if _is(each, layers[-1], len(layers))]
        beads = sum(layer["beads"] for layer in layers)
        assert len(weighed) == 1
        due = built["arc_time_min"] + 9 * (len(layers) - 1) + loss * beads
        assert weighed[0]["time_min"] == pytest.approx(due, abs=1e-6)
    (sector_work,) = part["features"]
    beads = sum(layer["beads"] for layer in part["buildup"]["layers"])
    ground = sector_work["grinding_min"] + (8 + 4 * 15 + 30) / 6
    assert sector_work["time_min"] - ground == pytest.approx(LOST[sector is STEEP] * beads, abs=1e-6)


def _is(weighed: Any, layer: Any, layers: int) -> bool:
    """Return whether a plan that was weighed is the one laid; the last layer has no cooler bead in it."""
    same = [
        weighed[a] == pytest.approx(layer[b], rel=1e-9)
        for a, b in (("step_mm", "step_mm"), ("thickness_mm", "laid_thickness_mm"))
    ]
    current = layer["current_A"] if layers > 1 else layer["after_first"]["current_A"]
    return all(same) and weighed["layers"] == layers and weighed["current_A"] == pytest.approx(current, rel=1e-9)
