"""What to take and to order: expected use summed, covered, packed, priced; stock read; faults where they are."""

import json
import math
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter
from scipy import stats

from estimator import order as room
from estimator.document_choice import Order
from estimator.errors import DocumentError, JobRefusedError, OutOfRangeError
from estimator.estimate import estimate
from estimator.order import order, read_stock
from estimator.pricebook import read_pricebook
from tests.jobs import SOUND, any_job, bore, changed, job

BOOK = read_pricebook()
ONE = job(bore(), reference="T-1")
CORED = job(bore(options={"wire": "E71T-1 0.045 in"}), bore(name="B", axis="vertical"), reference="T-2")
FOUND = order([ONE, CORED], BOOK)
LEVELS = st.floats(0.01, 0.999)
HEADER = "item,on_hand,pack_size\n"


def lines(found: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Return the lines of an order by item."""
    return {line["item"]: line for line in found["lines"]}


def faults(*arguments: Any) -> dict[str, str]:
    """Return the faults of an order by path."""
    with pytest.raises(DocumentError) as caught:
        order(*arguments)
    return {fault.path: fault.message for fault in caught.value.faults}


def stock_faults(text: str) -> dict[str, str]:
    """Return the faults of a stock file by path."""
    with pytest.raises(DocumentError) as caught:
        read_stock(text)
    return {fault.path: fault.message for fault in caught.value.faults}


def use_of(documents: list[dict[str, Any]]) -> dict[str, float]:
    """Return what the estimates of some jobs say is used, by item."""
    used: dict[str, float] = {}
    for found in (estimate(document, BOOK) for document in documents):
        for one in found["bores"]:
            amounts = one["consumption"]
            entries = [(one["buildup"]["wire"], "wire_kg"), (one["buildup"]["gas"], "gas_L")]
            entries += [("tip", "tips"), ("nozzle", "nozzles"), ("insert", "inserts")]
            for item, key in entries:
                used[item] = used.get(item, 0.0) + amounts[key]
    return used


# ---------------------------------------------------------------- lines


def test_it_is_the_typed_document() -> None:
    assert TypeAdapter(Order).validate_python(FOUND, strict=True) == FOUND
    assert set(FOUND) == set(Order.__annotations__)


def test_wires_come_first_then_gases_then_parts() -> None:
    assert list(lines(FOUND)) == [
        "E71T-1 0.045 in", "G3Si1 1.0 mm", "Ar + 25 % CO2", "Ar + 8 % CO2", "insert", "nozzle", "tip",
    ]  # fmt: skip
    assert [line["unit"] for line in FOUND["lines"]] == ["kg", "kg", "L", "L", "each", "each", "each"]


@given(st.lists(any_job(most=2), min_size=1, max_size=3), LEVELS)
@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
def test_each_line_follows_from_the_estimates(documents: list[dict[str, Any]], level: float) -> None:
    found = order(documents, BOOK, None, level)
    used = use_of(documents)
    assert set(lines(found)) == set(used)
    for item, line in lines(found).items():
        assert line["expected"] == pytest.approx(used[item], rel=1e-11)  # twelve digits
        if line["unit"] == "each":
            cover = line["to_cover"]
            assert stats.poisson.cdf(cover, line["expected"]) >= level - 1e-12  # doubles of two libraries
            assert cover == 0 or stats.poisson.cdf(cover - 1, line["expected"]) < level + 1e-12
        else:
            assert line["to_cover"] >= line["expected"]
        assert line["packs"] == math.ceil(line["to_cover"] / line["pack_size"])
        assert line["quantity"] == line["packs"] * line["pack_size"]
    assert sum(Decimal(line["cost"]) for line in found["lines"]) == Decimal(found["total"])


def test_packs_and_prices_are_the_books() -> None:
    """By hand from the built-in book: 15 kg at 3.20, 9,500 L at 0.0120, ten tips at 2.40, two nozzles at 11.50."""
    expected = {
        "G3Si1 1.0 mm": (15.0, "48.00"),
        "Ar + 25 % CO2": (9500.0, "114.00"),
        "tip": (10.0, "24.00"),
        "nozzle": (2.0, "23.00"),
        "insert": (10.0, "88.00"),
    }
    assert {item: (line["pack_size"], line["cost"]) for item, line in lines(order([ONE], BOOK)).items()} == expected


def test_the_article_is_the_books() -> None:
    book = read_pricebook({"consumables": {"tip": {"article": "T-10"}, "wires": {"G3Si1 1.0 mm": {"article": "W-7"}}}})
    found = lines(order([ONE], book))
    assert (found["tip"]["article"], found["G3Si1 1.0 mm"]["article"]) == ("T-10", "W-7")
    assert found["nozzle"]["article"] is None


@given(LEVELS, st.floats(0.0, 0.5))
@settings(max_examples=50)
def test_a_higher_level_never_takes_less(level: float, more: float) -> None:
    low, high = (lines(order([ONE], BOOK, None, one)) for one in (level, min(0.999, level + more)))
    assert all(high[item]["to_cover"] >= low[item]["to_cover"] for item in low)


def test_the_same_jobs_in_another_order_need_the_same() -> None:
    assert order([CORED, ONE], BOOK)["lines"] == FOUND["lines"]


def test_texts_of_jobs_are_read_too() -> None:
    assert order([json.dumps(ONE).encode(), json.dumps(CORED)], BOOK) == FOUND


# ---------------------------------------------------------------- stock on hand


@given(st.floats(0, 60), st.integers(1, 40))
def test_stock_is_taken_off_before_packs_are_counted(on_hand: float, pack: int) -> None:
    stock = [{"item": "G3Si1 1.0 mm", "on_hand": on_hand, "pack_size": pack}]
    line = lines(order([ONE], BOOK, stock))["G3Si1 1.0 mm"]
    short = max(0.0, line["to_cover"] - on_hand)
    assert line["packs"] == math.ceil(short / pack * (1 - 1e-9))  # a whole number reached within 1e-9 is reached
    assert (line["on_hand"], line["pack_size"], line["quantity"]) == (on_hand, pack, line["packs"] * pack)
    assert line["cost"] == f"{Decimal('3.20') * line['packs'] * pack:.2f}"


def test_an_exact_multiple_of_the_pack_needs_no_pack_more() -> None:
    need = lines(order([ONE], BOOK))["G3Si1 1.0 mm"]["to_cover"]
    stock = [{"item": "G3Si1 1.0 mm", "on_hand": 0, "pack_size": need / 3}]
    assert lines(order([ONE], BOOK, stock))["G3Si1 1.0 mm"]["packs"] == 3


def test_enough_in_stock_orders_nothing() -> None:
    stock = [{"item": line["item"], "on_hand": 1e6} for line in FOUND["lines"]]
    found = order([ONE, CORED], BOOK, stock)
    assert {(line["packs"], line["quantity"], line["cost"]) for line in found["lines"]} == {(0, 0.0, "0.00")}
    assert found["total"] == "0.00"


def test_stock_that_no_job_uses_is_named() -> None:
    found = order([ONE], BOOK, [{"item": "CO2", "on_hand": 5000}])
    assert "CO2" not in lines(found)
    assert any("CO2 is in stock and not used" in text for text in found["warnings"])


ROWS = [
    # one row of stock, path of its fault, what it says
    (7, "stock.0", "must be an object"),
    ({"item": "tipp", "on_hand": 1}, "stock.0.item", "near: tip"),
    ({"item": None, "on_hand": 1}, "stock.0.item", "no item named"),
    ({"item": ["tip"], "on_hand": 1}, "stock.0.item", "no item named"),
    ({"item": "tip"}, "stock.0.on_hand", "plain number from 0"),
    ({"item": "tip", "on_hand": -1}, "stock.0.on_hand", "plain number from 0"),
    ({"item": "tip", "on_hand": True}, "stock.0.on_hand", "plain number"),
    ({"item": "tip", "on_hand": "3"}, "stock.0.on_hand", "plain number"),
    ({"item": "tip", "on_hand": math.nan}, "stock.0.on_hand", "plain number"),
    ({"item": "tip", "on_hand": 2.5}, "stock.0.on_hand", "whole number"),
    ({"item": "tip", "on_hand": 1, "pack_size": 0}, "stock.0.pack_size", "from 0.001"),
    ({"item": "tip", "on_hand": 1, "pack_size": 1e-320}, "stock.0.pack_size", "from 0.001"),
    ({"item": "tip", "on_hand": 1, "pack_size": 1.5}, "stock.0.pack_size", "whole number"),
    ({"item": "tip", "on_hand": 1, "pack": 5}, "stock.0.pack", "unknown key"),
]


@pytest.mark.parametrize(("row", "path", "said"), ROWS)
def test_a_wrong_row_of_stock_is_a_fault_at_its_path(row: Any, path: str, said: str) -> None:
    found = faults([ONE], BOOK, [row])
    assert list(found) == [path]
    assert said in found[path]


def test_a_part_without_a_pack_size_has_the_books() -> None:
    assert lines(order([ONE], BOOK, [{"item": "tip", "on_hand": 0, "pack_size": None}]))["tip"]["pack_size"] == 10.0


# ---------------------------------------------------------------- stock as CSV


def test_stock_is_read_with_mark_and_blank_lines() -> None:
    text = "\ufeff" + HEADER.replace("\n", "\r\n") + '\r\ntip, 3 ,10\r\n,,\r\n"Ar + 25 % CO2",1200.5,\r\n'
    assert read_stock(text) == [
        {"item": "tip", "on_hand": 3.0, "pack_size": 10.0},
        {"item": "Ar + 25 % CO2", "on_hand": 1200.5, "pack_size": None},
    ]
    order([ONE], BOOK, read_stock(text))


def test_only_a_header_is_an_empty_stock() -> None:
    assert read_stock(HEADER) == []


@pytest.mark.parametrize("text", ["", "\n\n", "tip,3,10\n", "item;on_hand;pack_size\ntip;3;10\n", "item,on_hand\n"])
def test_the_header_is_due(text: str) -> None:
    assert "first line must be item,on_hand,pack_size, separated by commas" in stock_faults(text)["stock"]


CELLS = [
    ("tip,3\n", "stock.0", "line 2: has 2 cells"),
    ("tip,3,10,\n", "stock.0", "line 2: has 4 cells"),
    ("tip,,10\n", "stock.0.on_hand", "line 2: is empty"),
    ("tip,three,10\n", "stock.0.on_hand", "'three' is no plain number"),
    ('"Ar + 25 % CO2","1,5",\n', "stock.0.on_hand", "a decimal point, not a comma"),
    ("G3Si1 1.0 mm,12 kg,\n", "stock.0.on_hand", "in the item's own unit"),
    ("tip,nan,10\n", "stock.0.on_hand", "no plain number"),
    ("tip,1_0,10\n", "stock.0.on_hand", "no plain number"),
    ("tip,٣,10\n", "stock.0.on_hand", "no plain number"),
    ("tip,1,10\n\n\nnozzle,2,x\n", "stock.1.pack_size", "line 5: 'x'"),
    ('tip,1,"10\n', "stock", "is no CSV at line 2"),
    ("tip,1,10\rnozzle,1,2\r", "", ""),
]


@pytest.mark.parametrize(("text", "path", "said"), CELLS)
def test_a_wrong_cell_is_a_fault_that_names_its_line(text: str, path: str, said: str) -> None:
    if not path:  # line ends of old spreadsheets
        assert [row["item"] for row in read_stock(HEADER + text)] == ["tip", "nozzle"]
        return
    found = stock_faults(HEADER + text)
    assert list(found) == [path]
    assert said in found[path]


def test_every_fault_of_a_file_is_said_at_once() -> None:
    assert list(stock_faults(HEADER + "tip,x,y\nnozzle,z,1\n")) == [
        "stock.0.on_hand", "stock.0.pack_size", "stock.1.on_hand",
    ]  # fmt: skip


def test_an_item_given_twice_is_a_fault() -> None:
    assert "stands twice" in faults([ONE], BOOK, read_stock(HEADER + "tip,1,\ntip,2,\n"))["stock.1.item"]


# ---------------------------------------------------------------- jobs and service level


@pytest.mark.parametrize("level", [0, 1, -0.5, 1.5, math.nan, math.inf, True, "0.95", None])
def test_a_service_level_outside_is_a_fault(level: Any) -> None:
    assert "between 0 and 1" in faults([ONE], BOOK, None, level)["service_level"]


def test_no_jobs_is_a_fault() -> None:
    assert list(faults([], BOOK)) == ["jobs"]


def test_every_wrong_job_is_named() -> None:
    wrong = [changed(ONE, "bores.0.length", "70 kg"), ONE, {}]
    assert list(faults(wrong, BOOK)) == ["jobs.0.bores.0.length", "jobs.2.reference", "jobs.2.bores"]
    assert list(faults([b"{"], BOOK)) == ["jobs.0"]


def test_a_refused_job_is_named() -> None:
    cracked = changed(ONE, "bores.0.condition", {**SOUND, "cracks": "yes"})
    with pytest.raises(JobRefusedError) as caught:
        order([ONE, cracked], BOOK)
    assert all(fault.path.startswith("jobs.1.bores.0") for fault in caught.value.faults)


def test_a_job_outside_the_formulas_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    def outside(*_: object) -> None:
        raise OutOfRangeError("heat_input", 9.0, 0.0, 5.0)

    monkeypatch.setattr(room, "estimate", outside)
    with pytest.raises(JobRefusedError, match=r"jobs\.0: no plan .* heat_input"):
        order([ONE], BOOK)


def test_two_jobs_of_one_reference_are_counted_and_said() -> None:
    twice = order([ONE, ONE], BOOK)
    single = lines(order([ONE], BOOK))
    assert lines(twice)["tip"]["expected"] == pytest.approx(2 * single["tip"]["expected"], rel=1e-11)
    assert any("reference 'T-1'" in text for text in twice["warnings"])
    assert not any("reference" in text for text in FOUND["warnings"])


def test_invented_prices_are_said() -> None:
    assert any("PRICES ARE INVENTED" in text for text in FOUND["warnings"])
    own = read_pricebook({"invented": False})
    assert not any("INVENTED" in text for text in order([ONE], own)["warnings"])
