"""Several rates of tax, classes of customers with a margin, extras at cost, the call-out: sums hold to the coin."""

from decimal import ROUND_HALF_UP, Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.book.pricebook import read_pricebook
from estimator.errors import DocumentError
from estimator.estimate import estimate
from estimator.money.bill import bill_of
from estimator.money.exact import exact_of
from estimator.money.parts import shared_off
from estimator.road import run
from tests.estimator.roads import arranged
from tests.jobs import bore, codes, job

CENT = Decimal("0.01")
BUSH = {"text": "bush", "quantity": 3, "cost": "61.37 EUR"}


def priced(document: Any, **book: Any) -> Any:
    return estimate(document, read_pricebook(book), "price")


def test_one_rate_has_no_table_of_rates() -> None:
    found = priced(job(extras=[{"text": "x", "price": "9.00 EUR", "tax": 0.2}]))["price"]
    assert (
        "taxes" not in found
        and found["tax"] == priced(job(extras=[{"text": "x", "price": "9.00 EUR"}]))["price"]["tax"]
    )


def test_tax_by_rate_is_rounded_once_a_rate_on_its_own_base() -> None:
    """Regulation: tax is shown by rate, each on its own taxable amount (EN 16931, BG-23; BT-116, BT-117)."""
    extras = [{"text": "bush", "price": "100.05 EUR", "tax": 0.07}, {"text": "pin", "price": "33.33 EUR"}]
    document = job(bore(), bore(name="B"), extras=extras, discount=0.03, site={"distance": "85 km"})
    found = priced(document, tax=0.19, taxes={"travel": 0.0})["price"]
    rates = [one["tax_fraction"] for one in found["taxes"]]
    assert rates == [0.19, 0.07, 0.0]
    for one in found["taxes"]:
        due = Decimal(one["before_tax"]) * Decimal(str(one["tax_fraction"]))
        assert Decimal(one["tax"]) == due.quantize(CENT, ROUND_HALF_UP)
    assert sum(Decimal(one["before_tax"]) for one in found["taxes"]) == Decimal(found["before_tax"])
    assert sum(Decimal(one["tax"]) for one in found["taxes"]) == Decimal(found["tax"])
    assert Decimal(found["before_tax"]) + Decimal(found["tax"]) == Decimal(found["total"])
    low = sum(Decimal(one["amount"]) for one in found["bores"] if one.get("tax_fraction") == 0.07)
    base = Decimal(found["taxes"][1]["before_tax"])
    assert low == Decimal("100.05") and abs(base - low * Decimal("0.97")) <= CENT  # less its share of the discount


def test_one_other_rate_for_all_is_one_row() -> None:
    found = priced(job(), taxes={"bore": 0.07, "once": 0.07, "travel": 0.07})["price"]
    assert [one["tax_fraction"] for one in found["taxes"]] == [0.07]
    assert found["taxes"][0]["before_tax"] == found["before_tax"]


@given(st.lists(st.decimals(0, 10**6, places=2), min_size=1, max_size=6), st.decimals(0, 10**4, places=2))
def test_a_discount_is_shared_out_whole(bases: list[Decimal], off: Decimal) -> None:
    found = shared_off(off, bases, "0.01")
    assert sum(found) == off
    whole = sum(bases)
    for base, less in zip(bases, found, strict=True):
        assert not whole or abs(less - off * base / whole) <= CENT


# ---------------------------------------------------------------- classes of customers


def test_a_class_of_customers_has_its_margin() -> None:
    document = job(customer={"name": "N", "class": "fleet 1.5"})
    found = priced(document, classes={"fleet 1.5": {"margin": 0.1}})["price"]
    assert found["rule"]["fraction"] == 0.1 and found["margin"] == pytest.approx(0.1, abs=1e-4)
    marked = priced(document, margin=None, markup=0.4, classes={"fleet 1.5": {"markup": 0.2}})["price"]
    assert (marked["rule"]["method"], marked["rule"]["fraction"]) == ("markup", 0.2)


@pytest.mark.parametrize(("way", "other"), [("margin", "markup"), ("markup", "margin")])
def test_a_class_prices_the_way_the_book_does(way: str, other: str) -> None:
    book = {"margin": None, "markup": None, way: 0.2, "classes": {"fleet": {other: 0.2}}}
    with pytest.raises(DocumentError) as caught:
        read_pricebook(book)
    assert [fault.path for fault in caught.value.faults] == [f"classes.fleet.{other}"]


@pytest.mark.parametrize(("least", "discount", "told"), [(0.22, 0, False), (0.22, 0.03, True), (0.0, 0.03, False)])
def test_a_margin_below_the_floor_is_told_to_the_office(least: float, discount: float, *, told: bool) -> None:
    found = estimate(job(discount=discount), read_pricebook({"least_margin": least, "minimum_charge": "0 EUR"}), "full")
    assert ("margin_low" in codes(found)) is told


# ---------------------------------------------------------------- at cost, call-out


@pytest.mark.parametrize("way", [{"margin": 0.25}, {"margin": None, "markup": 1 / 3}])
def test_an_extra_at_cost_is_charged_with_the_margin(way: Any) -> None:
    """81.83 = 61.37 / 0.75, rounded half up; three of them 245.49 (by hand, 2026-11)."""
    plain, found = priced(job(), **way), priced(job(extras=[BUSH]), **way)
    (part,) = (one for one in found["price"]["bores"] if one["part"] == "extra")
    assert (part["price"], part["amount"]) == ("81.83", "245.49")
    assert Decimal(found["cost"]["total"]) - Decimal(plain["cost"]["total"]) == Decimal("184.11")
    more = Decimal(found["price"]["before_tax"]) - Decimal(plain["price"]["before_tax"])
    assert abs(more - Decimal("245.48")) <= CENT  # the whole is rounded once
    assert sum(Decimal(one["amount"]) for one in found["price"]["bores"]) == Decimal(found["price"]["before_tax"])


@pytest.mark.parametrize(
    ("extra", "path"),
    [({"text": "x", "price": "1 EUR", "cost": "1 EUR"}, "cost"), ({"text": "x", "cost": "1 USD"}, "cost")],
)
def test_an_extra_has_a_price_or_a_cost(extra: Any, path: str) -> None:
    with pytest.raises(DocumentError) as caught:
        priced(job(extras=[extra]))
    assert [fault.path for fault in caught.value.faults] == [f"extras.0.{path}"]


def test_a_call_out_is_charged_once_as_it_stands() -> None:
    plain, found = priced(job()), priced(job(), travel={"call_out": "120.00 EUR"})
    assert Decimal(found["price"]["before_tax"]) - Decimal(plain["price"]["before_tax"]) == 120
    assert [one["amount"] for one in found["price"]["bores"] if one["part"] == "call_out"] == ["120.00"]


# ---------------------------------------------------------------- hours and years


@pytest.mark.parametrize("worked", ["night", "weekend"])
def test_hours_at_night_and_weekends_cost_their_surcharge(worked: str) -> None:
    book: Any = {"rates": {f"labour_{worked}": "20.00 EUR/h"}}
    document = job(worked=worked, start="2027-03-06")  # a Saturday
    found = estimate(document, read_pricebook(book), "full")
    (line,) = (line for line in found["cost"]["lines"] if line["code"] == f"labour-{worked}")
    assert (line["unit"], line["amount"]) == (f"{worked} h", f"{Decimal(str(line['quantity'])) * 20:.2f}")
    assert line["quantity"] == pytest.approx(found["totals"]["labour_h"], abs=0.01)
    days = found["schedule"]["days"]
    assert days[0]["begins"].startswith("19:" if worked == "night" else "07:")
    assert ("start_day_off" in codes(found)) is (worked == "night")  # a Saturday is worked by who works at weekends
    with pytest.raises(DocumentError) as caught:
        estimate(document, read_pricebook())
    assert [fault.path for fault in caught.value.faults] == ["worked"]


def test_costs_rise_until_the_start_of_the_job() -> None:
    """3 % a year over two years is 6.09 % (1.03 squared), the textbook's compound interest."""
    book: Any = {"escalation": {"fraction": 0.03, "since": "2025-03-08"}}
    found, plain = (priced(job(start="2027-03-08"), **patch) for patch in (book, {}))
    (line,) = (line for line in found["cost"]["lines"] if line["code"] == "escalation")
    assert line["quantity"] == pytest.approx(0.0609, abs=5e-5)  # two years of 365.25 days
    before = sum(Decimal(one["amount"]) for one in plain["cost"]["lines"] if one["kind"] == "priced")
    assert Decimal(line["unit_cost"]) == before
    assert [priced(job(), **book)["cost"]["total"]] == [priced(job())["cost"]["total"]]  # no start, no rise


# ---------------------------------------------------------------- agreed for a bore


def test_a_price_agreed_for_a_bore_stands_in_the_place_of_its_share() -> None:
    plain = priced(job(bore(), bore(name="B"), discount=0.03, extras=[BUSH]))["price"]
    found = priced(job(bore(price="950.00 EUR"), bore(name="B"), discount=0.03, extras=[BUSH]))["price"]
    amounts = [[Decimal(one["amount"]) for one in each["bores"]] for each in (plain, found)]
    assert amounts[1][0] == 950 and amounts[1][1:-1] == amounts[0][1:-1]
    assert sum(amounts[1]) == Decimal(found["before_tax"])
    assert Decimal(found["rule"]["agreed"]) == 950 - amounts[0][0]
    assert found["margin"] != plain["margin"]  # as reached, so that a floor tells
    whole = arranged(job(bore(price="950.00 EUR"), bore(name="B")), read_pricebook())
    figures = run(*whole, whole[0].day)
    assert exact_of(figures).before_tax == pytest.approx(float(bill_of(figures).price.before_tax), abs=1.0)
    with pytest.raises(DocumentError) as caught:
        priced(job(bore(price="950.00 USD")))
    assert [fault.path for fault in caught.value.faults] == ["bores.0.price"]
