"""Whatever a caution, a card or a message asks of the crew stands in time standards, or it is said why in none."""

from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.estimate import read_job
from estimator.road import decide
from estimator.tables import builtin, raw
from estimator.tables.rows import Demanded
from tests.jobs import SOUND, bore, job, quick
from tests.raw import estimate

BOOK = read_pricebook()
UNGRADED = (  # messages without a grade that tell the crew to do something
    *("burners", "burners_many", "cool_slowly", "preheat_to", "preheat_brackets", "hard_remedy", "cut_out"),
    *("finish_cut", "finish_off", "temper", "ends_past", "ends_rings", "ends_dwell", "order_long", "order_watch"),
)


def _asking() -> set[str]:
    """Return every row that may ask for work: all cautions, all of the bore's card, every graded message."""
    graded = {row["code"] for row in raw("messages") if row["grade"]}
    asked = {"caution": builtin("cautions"), "card": builtin("card"), "message": graded | set(UNGRADED)}
    return {f"{table} {code}" for table, codes in asked.items() for code in codes}


def test_all_that_asks_for_work_says_where_its_time_stands() -> None:
    assert set(builtin("demanded")) == _asking()


def test_the_time_standards_named_exist_and_no_row_is_empty() -> None:
    for row in builtin("demanded").values():
        assert isinstance(row, Demanded)
        assert bool(row.times) is not bool(row.why)
        assert set(row.times.split()) <= set(builtin("times"))


def _codes(found: Any) -> set[str]:
    return {row["code"] for row in found["times"]}


UNSAID = {**SOUND, "cracks": "unknown"}
STEEL = bore(material="4140", certificate=None)
CASES: list[tuple[dict[str, Any], set[str]]] = [
    (job(bore(condition=UNSAID)), {"crack_test"}),
    (job(site={"distance": "85 km", "wind": "4 m/s"}), {"shelter", "shelter_off"}),
    (job(bore(material="S355J2", outside_diameter="250 mm")), {"bracket_heat", "check_heat", "bracket_dye"}),
    (job(STEEL), {"blanket_on", "blanket_off", "bracket_heat"}),
    (job(bore(tolerance="H6"), site={"distance": "85 km", "ambient": "45 degC"}), {"gauge_cold"}),
    (job(), {"agree", "bracket_dye"}),
]


@pytest.mark.parametrize(("document", "work"), CASES, ids=[" ".join(sorted(work)) for _, work in CASES])
def test_what_is_asked_for_is_in_the_hours(document: dict[str, Any], work: set[str]) -> None:
    assert work <= _codes(estimate(document, BOOK))


def test_a_sound_bore_in_calm_air_is_asked_for_none_of_it() -> None:
    calm = job(bore(mounts="clamped", outside_diameter="130 mm"), site={"distance": "85 km", "wind": "1 m/s"})
    assert not _codes(estimate(calm, BOOK)) & {*CASES[0][1], *CASES[1][1], *CASES[3][1], "hone", "bracket_dye"}


def test_a_bore_that_the_rig_leaves_too_rough_is_honed() -> None:
    coarse = read_pricebook({"equipment": {"slowest_feed": "0.1 mm"}})
    assert "hone" in _codes(estimate(job(bore(roughness="0.4 um")), coarse))
    assert "hone" not in _codes(estimate(job(bore(roughness="6.3 um")), coarse))


def test_cracks_are_looked_for_before_the_first_tack() -> None:
    tasks = estimate(job(bore(condition=UNSAID)), BOOK)["schedule"]["tasks"]
    ends = {task["code"]: task["end_min"] for task in tasks}
    starts = {task["code"]: task["start_min"] for task in tasks}
    assert ends["prepare"] <= starts["rig"]


def test_burners_between_layers_and_at_brackets_are_in_the_gas() -> None:
    deep = quick(90, 97, wear="one-sided", outside_diameter="250 mm")
    plan = decide(read_job(job(deep), BOOK), BOOK)
    assert plan.bores[0].counts.preheated
    one = estimate(job(deep), BOOK)["bores"][0]
    assert len(one["buildup"]["layers"]) > 1
    kept = [3600 * layer["between_kWh"] for layer in one["heat"]["course"]]
    assert kept[0] == 0
    heat = one["heat"]["burners"] * 4.0 * one["heat"]["burner_min"] * 60 + sum(kept)
    course, layers = one["heat"]["course"], one["buildup"]["layers"]
    heat += sum(60 * each["keep_kW"] * layer["arc_time_min"] for each, layer in zip(course, layers, strict=True))
    times = estimate(job(deep), BOOK)["times"]
    heat += 60 * 4.0 * next(row["total_min"] for row in times if row["code"] == "bracket_heat")
    waits = {wait["layer"]: wait["wait_min"] for wait in one["heat"]["waits"]}
    heat += sum(60 * waits.get(n, 0.0) * each["keep_kW"] for n, each in enumerate(one["heat"]["course"], 1))
    assert one["consumption"]["burner_gas_kg"] == pytest.approx(heat / (46350 * 0.3), rel=1e-6)


def test_steel_that_hardens_cools_under_a_blanket_and_slowly() -> None:
    hard, mild = (estimate(job(bore(material=steel)), BOOK)["bores"][0]["heat"] for steel in ("4140", "S355J2"))
    assert any("blanket" in one for one in hard["advice"])
    assert not any("blanket" in one for one in mild["advice"])
    assert hard["cooldown_min"] > 2 * mild["cooldown_min"]
