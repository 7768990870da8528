"""Every pass of a document worked again from what it prints and the tables, by formulas written anew here."""

import math
from typing import Any

import pytest

from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.tables.rows import Cutting
from tests.jobs import SOUND, job, quick
from tests.raw import estimate

BOOK = read_pricebook()
FACTS = BOOK.facts
FINE = ("finishing", "spring")
SHARE = {"skin": "skin_speed_share", "finishing": "finishing_speed_share", "spring": "finishing_speed_share"}
DRIVE, EFFICIENCY = 1100.0, 0.75  # W, the built-in book's; the table's


def _of(name: str) -> float:
    return FACTS.plain_constant(name)


def _machining(book: PriceBook = BOOK, **changes: Any) -> Any:
    document = estimate(job(quick(110, 113, **changes)), book)
    found: Any = document["bores"][0]["machining"]
    return found


CASES = [
    ({}, "structural", False, None),
    ({"splits": [{"width": "5 mm", "clock": 0}]}, "structural", True, None),
    ({"roughness": "0.8 um"}, "structural", False, None),
    ({"condition": {**SOUND, "hardened": "yes"}}, "structural", False, 400.0),
    (
        {"nominal_diameter": "200 mm", "worn_diameter": "203 mm", "outside_diameter": "300 mm"},
        "structural",
        False,
        None,
    ),
]


@pytest.mark.parametrize(("changes", "family", "broken", "hard"), CASES, ids=["plain", "split", "fine", "hard", "wide"])
def test_every_pass_by_hand(changes: Any, family: str, broken: bool, hard: float | None) -> None:
    """Turns, feed, force, power, torque, bending and life; 1e-6: the document prints ten digits at the most.

    The share 0.514 at 400 HB over 1.0 at 150 HB is the data book's (Ferrous Metals Data Book Table 9-3).
    """
    cut = _machining(**changes)
    before, after, wide = cut["bearing_before_mm"], cut["bearing_after_mm"], "nominal_diameter" in changes
    limber = ((before * after) ** 2 / (before + after)) ** (1 / 3) / cut["bar_diameter_mm"]
    stiff = 3 * 206000 * math.pi / 64 * cut["bar_diameter_mm"] ** 4
    for one in cut["passes"]:
        clean = one["purpose"] == "clean-up"
        row = FACTS.row("cutting", family if clean else "weld metal", Cutting)
        kc, usual = row.kc / 1e6, row.speed * 60 * _of("portable_speed_share")
        if clean and hard:
            kc, usual = kc * (hard / 150) ** 0.75, usual * 0.514
        share = _of(SHARE[one["purpose"]]) if one["purpose"] in SHARE else 1.0
        share *= min(1.0, max(0.4, 1 - 0.15 * (limber - 3))) if one["purpose"] in FINE else 1.0
        swings = clean and (116 + (90 if wide else 0) - one["from_mm"]) / 2 > 0.5 * one["depth_mm"]
        assert one["interrupted"] is (broken or swings or one["purpose"] == "skin")
        feed = (0.1 if one["purpose"] in FINE else 0.2) * (0.7 if broken or swings else 1.0)
        if one["purpose"] in FINE:
            feed = min(feed, math.sqrt(18 * math.sqrt(3) * cut["roughness_um"] / 1000 * 0.4 / 2))
        strength = kc * feed**-row.rise
        pace = min(usual * share, 60 * DRIVE * EFFICIENCY / (strength * one["depth_mm"] * feed))
        turns = min(180.0, max(20.0, 1000 * pace / math.pi / one["to_mm"]))
        speed = math.pi * one["to_mm"] * turns / 1000
        force = kc * feed**-row.rise * one["depth_mm"] * feed
        ratio = ((usual / speed) * (0.2 / feed) ** 0.2 * (1 / one["depth_mm"]) ** 0.15) ** 5
        life = 25 * min(1.5, ratio) * (0.5 if one["interrupted"] else 1.0)
        worked = {
            "rpm": turns,
            "feed_mm_rev": feed,
            "speed_m_min": speed,
            "force_N": force,
            "torque_Nm": force * one["to_mm"] / 2000,
            "power_kW": force * speed / 60 / 0.75 / 1000,
            "deflection_mm": 0.3 * force * (before * after) ** 2 / (stiff * (before + after)),
            "edge_life_min": life,
        }
        assert {key: one[key] for key in worked} == pytest.approx(worked, rel=1e-6), one["purpose"]


def test_a_hollow_bar_bends_as_a_tube() -> None:
    """Any table of beams: a tube is as stiff as its bar less its hollow; the force of the same cut is the same."""
    bars = {"solid": {"diameter": "60 mm"}, **dict.fromkeys(("20 mm bar", "25 mm bar", "32 mm bar"))}
    bars |= dict.fromkeys(("40 mm bar", "50 mm bar"))
    bent = []
    for hollow in ({}, {"bore": "45 mm"}):
        book = read_pricebook({"equipment": {"bars": {**bars, "solid": {"diameter": "60 mm", **hollow}}}})
        one = next(one for one in _machining(book)["passes"] if one["purpose"] == "finishing")
        bent.append(one["deflection_mm"] / one["force_N"])
    assert bent[0] / bent[1] == pytest.approx(1 - 0.75**4, rel=1e-6)


def test_the_second_identical_bore_learns_once() -> None:
    """Wright: the second takes the rate's share of the first; the bores' own times agree with the standards' total."""
    one = quick(90, 93)
    document = estimate(job(*({**one, "name": name, "line": name} for name in ("A", "B"))), BOOK)
    for phase in ("setup", "inspection", "teardown"):
        counted = [row for row in document["times"] if row["phase"] == phase]
        taken = [bore["time"][f"{phase}_min"] for bore in document["bores"]]
        assert sum(taken) == pytest.approx(sum(row["total_min"] for row in counted), rel=1e-7)
        by_hand = [row for row in counted if row["code"] != "inspect"]
        first = sum(row["expected_min"] * row["count"] / 2 for row in by_hand)
        still = sum(row["expected_min"] for row in counted if row["code"] == "inspect")
        assert taken == pytest.approx([first + still, 0.9 * first + still], rel=1e-7)


def test_a_narrow_place_slows_hands_and_no_machine() -> None:
    """By hand: the table of access has 1.25 for restricted; measuring is no such hand work."""
    free, narrow = (
        estimate(job(quick(90, 93), site={"distance": "85 km", "access": access}), BOOK)
        for access in ("open", "restricted")
    )
    one, other = free["bores"][0]["time"], narrow["bores"][0]["time"]
    assert other["inspection_min"] == one["inspection_min"]
    assert other["setup_min"] == pytest.approx(1.25 * one["setup_min"], rel=1e-7)
    assert other["precut_min"] == pytest.approx(one["precut_min"], rel=1e-7)
    machine = (
        "inspect",
        "agree",
        "check_heat",
        "set_pass",
        "set_finish",
        "between_layers",
        "papers",
        "change_wire",
        "change_gas",
        "test_bead",
    )
    for row in narrow["times"]:
        assert row["factor"] == (1.25 if row["code"] not in (*machine, "dress_starts") else 1.0), row["code"]


def test_edges_inserts_and_chips_by_hand() -> None:
    """Edges add up, two to an insert; chips lie six times as loose as the steel that was cut (table of constants)."""
    one = estimate(job(quick(90, 93)), BOOK)["bores"][0]
    cut = one["machining"]
    assert cut["edges"] == pytest.approx(sum(each["time_min"] / each["edge_life_min"] for each in cut["passes"]))
    worn = one["consumption"]["inserts"] - one["consumption"]["planned_inserts"]
    assert worn == pytest.approx(cut["edges"] / 2, rel=1e-7)
    assert cut["chips_L"] == pytest.approx(6 * (cut["precut_volume_mm3"] + cut["finish_volume_mm3"]) / 1e6, rel=1e-7)


def test_what_is_done_every_day_counts_every_day() -> None:
    """Permits are opened and closed on each day of the schedule, which has more than one here."""
    document = estimate(job(quick(150, 155, length="200 mm"), quick(150, 155, length="200 mm", name="B")), BOOK)
    daily = [row["count"] for row in document["times"] if row["per"] == "day"]
    assert len(daily) == 2 and set(daily) == {len(document["schedule"]["days"])} and daily[0] > 1
