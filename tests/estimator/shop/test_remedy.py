"""A deposit that may be too hard: told beforehand, and priced as odds times the remedy."""

from decimal import Decimal
from typing import Any

import pytest

from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.estimate import estimate
from estimator.shop.remedy import expected, of_one_layer, where_not_saved
from tests.jobs import codes, job, quick

BOOK = read_pricebook()


def _found(book: PriceBook = BOOK, worn: float = 90.4, **changes: Any) -> Any:
    return estimate(job(quick(90.0, worn, **changes)), book)


def _lines(found: Any) -> list[Any]:
    return [line for line in found["cost"]["lines"] if line["code"] == "hardness-allowance"]


def _rows(**constants: Any) -> PriceBook:
    rows = {name: {"value": value} for name, value in constants.items()}
    return read_pricebook({"tables": {"constants": rows}})


def test_odds_above_the_threshold_are_priced_and_told_beforehand() -> None:
    found = _found(material="4340")
    heat, (line,) = found["bores"][0]["heat"], _lines(found)
    assert heat["too_hard_odds"] > 0.02
    assert line["quantity"] == pytest.approx(heat["too_hard_odds"], abs=0.00005)
    cost = (Decimal(str(line["quantity"])) * Decimal(line["unit_cost"])).quantize(Decimal("0.01"))
    assert abs(cost - Decimal(line["amount"])) <= Decimal("0.01")
    assert {"too_hard", "too_hard_sure"} & set(codes(found))
    assert any("one more layer tempers" in one for one in heat["advice"])


def test_small_odds_cost_nothing() -> None:
    found = _found(material="S355J2")
    assert _lines(found) == []
    assert found["bores"][0]["heat"]["remedy_min"] is None


def test_the_threshold_is_a_row_of_a_table() -> None:
    assert _lines(_found(_rows(hardness_odds_due=0.5), material="4340")) == []
    assert _lines(_found(_rows(hardness_odds_due=0.0), material="S355J2"))


def test_a_certain_remedy_costs_its_whole_price_and_the_deposit_is_not_machinable() -> None:
    found = _found(_rows(hardness_machinable=100), material="4140")
    (line,) = _lines(found)
    assert found["bores"][0]["heat"]["machinable"] is False
    assert line["quantity"] == pytest.approx(1.0, abs=0.001)
    dear = _found(_rows(hardness_machinable=100, temper_hold="180 min"), material="4140")
    assert Decimal(_lines(dear)[0]["unit_cost"]) > Decimal(line["unit_cost"])


def test_a_layer_saved_for_sure_asks_for_no_tempering() -> None:
    sure = _found(_rows(hardness_odds_due=0.0, layer_saves=1.0), material="S355J2")
    never = _found(_rows(hardness_odds_due=0.0, layer_saves=0.0), material="S355J2")
    assert sure["bores"][0]["heat"]["remedy_min"] < never["bores"][0]["heat"]["remedy_min"]


def test_the_layer_that_is_cut_counts_not_the_last_one_laid() -> None:
    """A deep bore is cut in its last layer, a shallow one in its first, which holds more of the base."""
    deep, shallow = (_found(material="4140", worn=worn)["bores"][0]["heat"] for worn in (97.0, 90.4))
    assert (shallow["hardness_layer"], deep["hardness_layer"]) == (1, 3)
    assert shallow["too_hard_odds"] > deep["too_hard_odds"]


@pytest.mark.parametrize(("saves", "in_all", "rest"), [(0.0, 110.0, 100.0), (0.75, 35.0, 25.0), (1.0, 10.0, 0.0)])
def test_a_layer_that_saves_more_leaves_less_to_do(saves: float, in_all: float, rest: float) -> None:
    assert expected(10.0, 100.0, saves) == pytest.approx(in_all)
    assert where_not_saved(100.0, saves) == pytest.approx(rest)


def test_one_layer_of_four_takes_a_quarter() -> None:
    assert of_one_layer(8.0, 4) == 2.0
