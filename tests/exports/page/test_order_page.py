"""The list a field lead packs and orders by: every item with its numbers, costs only for those who may see them."""

import copy
import re

from exports.page.choice import order_page
from exports.used import to_cover
from tests.estimator.buying.test_order import BOOK, CORED, FOUND, ONE
from tests.raw import order

PAGE = order_page(FOUND)


def row_of(page: str, item: str) -> str:
    """Return the row of an item without the marks of thousands."""
    row = next(line for line in page.splitlines() if line.startswith((f"  {item} ", f"  {item}, ")))
    return re.sub(r"(?<=\d),(?=\d{3})", "", row)


def test_every_item_stands_with_what_to_take_and_to_order() -> None:
    for line in FOUND["lines"]:
        row = row_of(PAGE, line["item"])
        take = to_cover(line["to_cover"], line["unit"])
        assert float(take.replace(",", "")) >= line["to_cover"]  # rounded up, so that it is enough
        assert take.replace(",", "") in row.split()
        assert str(line["packs"]) in row.split()
        assert f"{line['cost']} EUR" in row


def test_the_total_and_the_level_are_said() -> None:
    assert f"{FOUND['total']} EUR" in PAGE
    assert "95 % of cases" in PAGE
    assert "2 jobs" in PAGE


def test_invented_prices_are_said() -> None:
    assert "PRICES ARE INVENTED" in PAGE


def test_every_warning_is_printed() -> None:
    found = order([ONE, ONE, CORED], BOOK, [{"item": "CO2", "on_hand": 5000}])
    page = " ".join(order_page(found).split())
    assert len(found["warnings"]) == 3
    assert [one for one in found["warnings"] if " ".join(one["text"].split()) not in page] == []


def test_a_role_that_may_not_see_costs_gets_a_list_without() -> None:
    seen = copy.deepcopy(FOUND)
    del seen["total"]
    for line in seen["lines"]:
        del line["cost"]
    page = order_page(seen)
    assert "EUR" not in page
    assert all(row_of(page, line["item"]) for line in FOUND["lines"])
