"""Stock on hand: taken off before packs are counted, read from CSV, named as people name it; faults where they are."""

import math
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.book.pricebook import read_pricebook
from estimator.buying import order, read_stock
from estimator.errors import DocumentError
from tests.estimator.buying.test_order import BOOK, CORED, FOUND, ONE, faults, lines

HEADER = "item,on_hand,pack_size\n"


def stock_faults(text: str) -> dict[str, str]:
    """Return the faults of a stock file by path."""
    with pytest.raises(DocumentError) as caught:
        read_stock(text)
    return {fault.path: fault.message for fault in caught.value.faults}


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
    assert any("CO2 is in stock and not used" in one["text"] for one in found["warnings"])


ROWS = [
    # one row of stock, path of its fault, what it says
    (7, "stock.0", "must be an object"),
    ({"item": "tipp", "on_hand": 1}, "stock.0.item", "near: tip"),
    ({"item": "W-9", "on_hand": 1}, "stock.0.item", "no item named 'W-9'"),
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


# ---------------------------------------------------------------- names

CODED = read_pricebook(
    {
        "articles": {"4711": "G3Si1 1.0 mm", "Düse M8": "tip"},
        "consumables": {"nozzle": {"article": "N-20"}},
    }
)
NAMES = [
    ("tips", "tip"),
    ("Tips", "tip"),
    ("NOZZLES", "nozzle"),
    ("grinding disc", None),
    ("discs", "disc"),
    ("anti spatter", "anti-spatter"),
    ("anti_spatter", None),
    ("burner_gas", "burner gas"),
    ("g3si1 1.0 mm", "G3Si1 1.0 mm"),
    ("4711", "G3Si1 1.0 mm"),
    ("Düse M8", "tip"),
    ("N-20", "nozzle"),
    ("N-2", None),
]


@pytest.mark.parametrize(("said", "item"), NAMES)
def test_an_item_may_be_named_as_people_name_it(said: str, item: str | None) -> None:
    stock = [{"item": said, "on_hand": 1}]
    if item is None:
        assert "no item named" in faults([ONE], CODED, stock)["stock.0.item"]
        return
    assert lines(order([ONE], CODED, stock))[item]["on_hand"] == 1.0


def test_one_item_under_two_names_is_a_fault() -> None:
    stock = [{"item": "tip", "on_hand": 1}, {"item": "Düse M8", "on_hand": 2}]
    assert "'tip' stands twice" in faults([ONE], CODED, stock)["stock.1.item"]


def test_an_article_of_no_item_is_a_fault_of_the_book() -> None:
    with pytest.raises(DocumentError, match=r"articles\.4711: no item named 'tipp'; near: tip"):
        read_pricebook({"articles": {"4711": "tipp"}})
