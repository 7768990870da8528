"""The price by bore, extras and discounts: they add up to the price, and tell nothing of the cost."""

import itertools
import json
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.book.pricebook import read_pricebook
from estimator.errors import DocumentError
from estimator.estimate import estimate
from estimator.money.price import part_of
from tests.depth import deep
from tests.estimator.document.test_redact import CHEAP_BOOK, DEAR_BOOK
from tests.jobs import any_job, bore, changed, codes, job

EXTRAS = st.lists(
    st.fixed_dictionaries({"text": st.just("bush"), "price": st.decimals(0, 999, places=2).map("{} EUR".format)}),
    max_size=3,
)


def parts_of(found: Any) -> list[Decimal]:
    return [Decimal(one["amount"]) for one in found["price"]["bores"]]


@settings(max_examples=deep(20), deadline=None)
@given(document=any_job(most=3), extras=EXTRAS, discount=st.floats(0, 0.99))
def test_the_parts_add_up_to_the_price_before_tax(document: Any, extras: Any, discount: float) -> None:
    found: Any = estimate({**document, "extras": extras, "discount": round(discount, 4)}, read_pricebook(), "price")
    assert sum(parts_of(found)) == Decimal(found["price"]["before_tax"])
    named = [one["bore"] for one in found["price"]["bores"] if one["part"] == "bore"]
    assert named == [one["name"] for one in document["bores"]]
    assert [one["part"] for one in found["price"]["bores"]].count("extra") == len(extras)


@given(
    times=st.lists(st.floats(0.1, 1e6), min_size=1, max_size=20),
    price=st.decimals(0, 10**7, places=2),
    minor=st.sampled_from(["1", "0.01", "0.001"]),
)
def test_parts_by_time_add_up_and_none_is_off_by_more_than_a_coin(
    times: list[float], price: Decimal, minor: str
) -> None:
    price, whole = price.quantize(Decimal(minor)), sum(times)
    before = [0.0, *itertools.accumulate(times)]
    parts = [part_of(price, start, time, before[-1], minor) for start, time in zip(before, times, strict=False)]
    assert sum(parts) == price
    for part, time in zip(parts, times, strict=True):
        assert abs(part - price * Decimal(time / whole)) <= Decimal(minor) + price * Decimal("1e-11")


def test_the_price_by_bore_tells_nothing_of_the_cost() -> None:
    document = job(bore(), bore(name="B", length="120 mm"), extras=[{"text": "pin", "price": "40.00 EUR"}])
    one, two = (estimate(document, book, "price") for book in (CHEAP_BOOK, DEAR_BOOK))
    assert one["cost"]["total"] != two["cost"]["total"]
    assert one["price"]["bores"] == two["price"]["bores"]


def test_an_extra_costs_what_it_is_sold_for() -> None:
    book = read_pricebook()
    plain = estimate(job(), book, "price")
    sold = estimate(job(extras=[{"text": "bush", "quantity": 2.5, "unit": "m", "price": "85.10 EUR"}]), book, "price")
    line = sold["cost"]["lines"][-1]
    assert (line["code"], line["quantity"], line["unit"], line["amount"]) == ("extra", 2.5, "m", "212.75")
    assert line["bears_margin"] is False and line["price_key"] is None
    assert Decimal(sold["price"]["before_tax"]) - Decimal(plain["price"]["before_tax"]) == Decimal("212.75")
    assert Decimal(sold["cost"]["total"]) - Decimal(plain["cost"]["total"]) == Decimal("212.75")


def test_a_discount_is_taken_off_once_on_the_whole_and_lowers_the_margin() -> None:
    book = read_pricebook()
    plain, less = (estimate(job(**said), book, "price")["price"] for said in ({}, {"discount": "5 %"}))
    off = (Decimal(plain["before_tax"]) * Decimal("0.05")).quantize(Decimal("0.01"))
    assert Decimal(less["before_tax"]) == Decimal(plain["before_tax"]) - off
    assert less["bores"][-1] == {"bore": None, "part": "discount", "amount": f"{-off}", "fraction": 0.05}
    assert less["margin"] < plain["margin"]


@pytest.mark.parametrize(
    ("said", "fraction", "warned"),
    [
        ({"customer": {"name": "N", "class": "fleet"}}, 0.1, False),
        ({"customer": {"name": "N", "class": "fleet"}, "discount": 0.02}, 0.02, False),
        ({"customer": {"name": "N", "class": "fleet"}, "discount": 0}, 0.0, False),
        ({"customer": {"name": "N", "class": "fleets"}}, 0.0, True),
        ({"customer": {"name": "N"}}, 0.0, False),
    ],
)
def test_a_class_of_customers_has_its_discount(said: Any, fraction: float, warned: bool) -> None:
    book = read_pricebook({"classes": {"fleet": {"discount": 0.1}}})
    found = estimate(job(**said), book, "price")
    assert found["price"]["rule"]["discount"] == fraction
    assert ("class_unknown" in codes(found)) is warned


FAULTS = [
    ({"extras": [{"text": "x", "price": "1.00 USD"}]}, "extras.0.price", "price book's currency"),
    ({"extras": [{"text": "x", "price": "1.00 EUR", "quantity": 0}]}, "extras.0.quantity", "greater than 0"),
    ({"extras": [{"text": "x"}]}, "extras.0.price", "missing"),
    ({"extras": [{"text": "x", "price": "1.00 EUR"}] * 51}, "extras", "at most 50"),
    ({"discount": 1}, "discount", "below 1"),
    ({"discount": "150 %"}, "discount", "0 to 1"),
    ({"customer": {"name": "N", "clas": "x"}}, "customer.clas", 'did you mean "class"'),
    ({"customer": {"name": "N", "customer_class": "x"}}, "customer.customer_class", "class"),
    ({"equipment": {"description": "a"}, "machine": {"description": "b"}}, "machine", "same as equipment"),
]


@pytest.mark.parametrize(("said", "path", "text"), FAULTS)
def test_what_is_said_wrongly_is_told_at_its_place(said: Any, path: str, text: str) -> None:
    with pytest.raises(DocumentError) as caught:
        estimate(job(**said), read_pricebook())
    assert [fault.path for fault in caught.value.faults] == [path]
    assert text in str(caught.value.faults[0])


def test_the_machine_is_taken_under_either_key() -> None:
    machine = {"description": "H-3", "hours": 9400}
    one, two = (estimate(job(**{key: machine}), read_pricebook()) for key in ("equipment", "machine"))
    assert one["job"]["equipment"] == two["job"]["equipment"] == {"description": "H-3", "machine_hours": 9400.0}


def test_a_currency_without_coins_is_shared_out_in_whole_units() -> None:
    book = read_pricebook()
    yen = json.loads(json.dumps(book.document).replace(" EUR", " JPY"))
    found = estimate(job(bore(), bore(name="B")), read_pricebook(changed(yen, "currency", "JPY")), "price")
    assert all(part == part.to_integral_value() for part in parts_of(found))
    assert sum(parts_of(found)) == Decimal(found["price"]["before_tax"])
