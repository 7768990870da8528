"""Planned changes, sizes of packs, what runs out first, and the van day by day."""

import itertools
import math
from typing import Any

import pytest

from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.buying import poisson_cover
from estimator.errors import DocumentError
from estimator.shop.gas_cylinder import contents_of
from tests.estimator.buying.test_order import BOOK, CORED, ONE, lines
from tests.jobs import bore, codes, job
from tests.raw import order

WIRE, GAS = "G3Si1 1.0 mm", "Ar + 25 % CO2"


def book_of(**consumables: Any) -> PriceBook:
    """Return the built-in book with some consumables changed."""
    return read_pricebook({"consumables": consumables})


# ---------------------------------------------------------------- planned changes


def test_planned_changes_are_added_to_what_covers_chance() -> None:
    """A fresh tip a bore is a rule: two of them, plus what Poisson asks for the rest, which the rule leaves alone."""
    ruled = read_pricebook({"tables": {"changes": {"tip_at_a_bore": {"count": 1.0}}}})
    pair = job(bore(), bore(name="B"))
    before, after = (lines(order([pair], book))["tip"] for book in (BOOK, ruled))
    assert (before["planned"], after["planned"]) == (0.0, 2.0)
    assert after["expected"] == pytest.approx(before["expected"], rel=1e-7)
    assert after["to_cover"] == poisson_cover(after["expected"], 0.95) + 2
    assert after["service"] == pytest.approx(before["service"])


# ---------------------------------------------------------------- sizes


def test_the_cheapest_mix_is_bought_and_the_usual_pack_stays_said() -> None:
    """About 30 kg: 2 x 15 kg is not enough with the heel; a spool of 5 kg is cheaper than a third of 15 kg."""
    book = book_of(wires={WIRE: {"packs": {"small": {"pack": "5 kg", "price": "4.10 EUR/kg", "article": "W-5"}}}})
    jobs = [job(bore(name=f"B{n}"), reference=f"T-{n}") for n in range(30)]
    line = lines(order(jobs, book))[WIRE]
    assert 30.0 < line["to_cover"] < 34.5
    assert (line["pack_size"], line["packs"], line["quantity"]) == (15.0, 3, 45.0)
    assert line["mix"] == [
        {"pack_size": 15.0, "packs": 2, "article": None},
        {"pack_size": 5.0, "packs": 1, "article": "W-5"},
    ]
    assert line["cost"] == "116.50"  # 2 x 48.00 + 20.50, by hand


def test_a_pack_of_the_stock_list_is_the_only_one() -> None:
    book = book_of(wires={WIRE: {"packs": {"small": {"pack": "5 kg", "price": "0.10 EUR/kg"}}}})
    line = lines(order([ONE], book, [{"item": WIRE, "on_hand": 0, "pack_size": 18}]))[WIRE]
    assert line["mix"] == [{"pack_size": 18.0, "packs": 1, "article": None}]


def test_a_heel_on_each_small_spool_counts() -> None:
    """5 kg spools with 0.16 kg left on each do not give 5 kg; what 15 kg spools leave is in the use already."""
    small = {"pack": "1 kg", "price": "0.10 EUR/kg"}
    line = lines(order([ONE] * 6, book_of(wires={WIRE: {"packs": {"small": small}}})))[WIRE]
    heel = 25 * math.pi / 4 * 1e-6 * 7850
    spools = math.ceil(line["to_cover"] * (1 - heel / 15) / (1 - heel))
    assert line["mix"] == [{"pack_size": 1.0, "packs": spools, "article": None}]
    assert spools > math.ceil(line["to_cover"])  # that many would do if each were emptied


def test_a_cylinder_says_how_much_it_holds() -> None:
    size = {"water_volume": "20 L", "fill_pressure": "150 bar"}
    book = book_of(gases={GAS: {"pack": None, "cylinder": size}})
    line = lines(order([ONE], book))[GAS]
    cylinder = book.consumables.gases[GAS].cylinder
    assert cylinder is not None
    assert line["pack_size"] == pytest.approx(1000 * contents_of(GAS, cylinder, book.facts), rel=1e-11)
    assert 3500 < line["pack_size"] < 3900
    assert "cylinder_differs" not in codes(order([ONE], book))


def test_a_pack_that_no_such_cylinder_holds_is_said() -> None:
    book = book_of(gases={GAS: {"cylinder": {"water_volume": "20 L", "fill_pressure": "150 bar"}}})
    (said,) = [one["text"] for one in order([ONE], book)["warnings"] if one["code"] == "cylinder_differs"]
    assert said.startswith("Ar + 25 % CO2: 9500 L a cylinder in the price book, and such a cylinder holds 3689 L")
    assert "cylinder_differs" not in codes(order([ONE, CORED], BOOK))


WRONG = [
    ({"pack": None, "cylinder": None}, "give pack, the litres in a cylinder, or cylinder"),
    ({"cylinder": {"water_volume": "20 L", "fill_pressure": None}}, "give fill_pressure, or fill_mass"),
    ({"cylinder": {"fill_mass": "10 kg"}}, "give fill_pressure, or fill_mass"),
    ({"packs": {str(n): {"pack": "1 m3", "price": "1 EUR/L"} for n in range(6)}}, "at most 5"),
]


@pytest.mark.parametrize(("change", "said"), WRONG)
def test_a_wrong_pack_is_a_fault_of_the_book(change: Any, said: str) -> None:
    with pytest.raises(DocumentError) as caught:
        book_of(gases={GAS: change})
    (fault,) = caught.value.faults
    assert fault.path.startswith(f"consumables.gases.{GAS}")
    assert said in fault.message


# ---------------------------------------------------------------- which level pays


def test_a_level_is_advised_where_the_book_says_what_short_and_carry_cost() -> None:
    """160 for a tip too few, 0.40 for one too many: 0.9975 (by hand)."""
    found = lines(order([ONE], BOOK))
    assert found["tip"]["advised_service_level"] == pytest.approx(160 / 160.4)
    assert found["tip"]["advised_cover"] == poisson_cover(found["tip"]["expected"], 160 / 160.4)
    assert found["liner"]["advised_service_level"] is None
    assert found["liner"]["advised_cover"] is None
    book = book_of(gases={GAS: {"short": "0.09 EUR/L", "carry": "0.01 EUR/L"}})
    gas = lines(order([ONE], book, None, 0.9))[GAS]
    assert gas["advised_service_level"] == pytest.approx(0.9)
    assert gas["advised_cover"] == pytest.approx(gas["to_cover"])
    free = book_of(tip={"short": "0 EUR"})
    assert lines(order([ONE], free))["tip"]["advised_service_level"] is None


def test_all_items_together_are_the_product() -> None:
    found = order([ONE, CORED], BOOK)
    assert found["together"] == pytest.approx(math.prod(line["service"] for line in found["lines"]))


def test_the_level_for_all_reaches_the_level_for_all() -> None:
    level = order([ONE, CORED], BOOK)["level_for_all"]
    assert order([ONE, CORED], BOOK, None, level)["together"] >= 0.95 - 1e-9


# ---------------------------------------------------------------- what runs out, and when

PAIR = job(bore(name="A"), bore(name="B"), reference="T-9")


def ends(found: Any) -> Any:
    """Return when each item runs out."""
    return {row["item"]: row for row in found["runs_out"]}


def test_stock_runs_out_where_the_use_passes_it() -> None:
    """Two equal bores: half of what the second uses more than the first lasts to the middle of the second."""
    need = lines(order([PAIR], BOOK))[WIRE]["expected"]
    arc = [one / 60 for one in arcs(PAIR)]
    row = ends(order([PAIR], BOOK, [{"item": WIRE, "on_hand": 0.75 * need}]))[WIRE]
    assert (row["job"], row["bore"], row["stock"]) == ("T-9", "B", "on hand")
    assert row["arc_h"] == pytest.approx(arc[0] + arc[1] / 2, rel=1e-7)


def arcs(document: Any) -> list[float]:
    """Return the arc time of each bore in minutes."""
    from estimator.estimate import estimate

    return [one["buildup"]["arc_time_min"] for one in estimate(document, BOOK)["bores"]]


def test_what_is_not_in_stock_runs_out_at_once_and_first() -> None:
    found = order([PAIR], BOOK, [{"item": WIRE, "on_hand": 1000}])
    first, last = found["runs_out"][0], found["runs_out"][-1]
    assert (first["arc_h"], first["job"], first["bore"]) == (0.0, "T-9", "A")
    assert (last["item"], last["job"], last["bore"]) == (WIRE, None, None)
    need = lines(found)[WIRE]["expected"]
    assert last["arc_h"] == pytest.approx(1000 / need * sum(arcs(PAIR)) / 60, rel=1e-7)
    hours = [row["arc_h"] for row in found["runs_out"]]
    assert hours == sorted(hours)


def test_without_a_stock_list_it_is_what_was_ordered() -> None:
    found = order([PAIR], BOOK)
    assert {row["stock"] for row in found["runs_out"]} == {"as ordered"}
    assert all(row["job"] is None for row in found["runs_out"])
    row, line = ends(found)["tip"], lines(found)["tip"]
    assert row["arc_h"] == pytest.approx((line["quantity"] + 1) / line["expected"] * sum(arcs(PAIR)) / 60, rel=1e-7)


# ---------------------------------------------------------------- the van


def test_the_van_is_loaded_job_by_job() -> None:
    """A job with a night away holds its days; the expected use of all trips is that of the order."""
    near = [job(bore(), reference=f"N-{n}", site={"distance": "5 km"}) for n in range(2)]
    found = order([*near, CORED], BOOK)
    trips = found["days"]
    assert [name for trip in trips for name in trip["jobs"]] == ["N-0", "N-1", "T-2"]
    assert trips[0]["day"] == 1
    for before, after in itertools.pairwise(trips):
        assert after["day"] == before["until"] + 1
    for line in found["lines"]:
        takes = [one for trip in trips for one in trip["take"] if one["item"] == line["item"]]
        assert math.fsum(one["expected"] for one in takes) == pytest.approx(
            line["expected"] + line["planned"], rel=1e-7
        )
        assert all(one["take"] >= one["expected"] or one["unit"] == "each" for one in takes)


def test_short_jobs_share_a_shift() -> None:
    book = read_pricebook({"shift_length": "24 h"})
    near = [job(bore(), reference=f"N-{n}", site={"distance": "5 km"}) for n in range(4)]
    trips = order(near, book)["days"]
    assert len(trips[0]["jobs"]) > 1
    assert all(trip["hours"] <= 24 for trip in trips)
    single = {one["item"]: one["take"] for one in trips[0]["take"]}
    assert single["tip"] == poisson_cover(
        sum(lines(order([one], book))["tip"]["expected"] for one in near[: len(trips[0]["jobs"])]), 0.95
    )
