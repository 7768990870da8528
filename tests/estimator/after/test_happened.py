"""What happened beside what was estimated: verdicts of sizes, remarks, invoice lines."""

import math
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from estimator.after.happened import judged, read_happened, verdict
from estimator.after.invoice import hour_charged, invoice
from estimator.book.pricebook import read_pricebook
from estimator.errors import DocumentError
from estimator.tables import Tables
from tests.jobs import job
from tests.raw import estimate

ESTIMATE = estimate(job(), read_pricebook())
LOW, HIGH, DOUBT = 0.090000, 0.090054, 0.000005


def record(**changes: Any) -> Any:
    """Return a small record with some keys changed."""
    return {"quote": "100001", "bores": [{"name": "A", "arc_time": "30 min"}], **changes}


def faults(document: Any) -> list[str]:
    """Return the paths of what is wrong with a record."""
    with pytest.raises(DocumentError) as caught:
        read_happened(document, ESTIMATE)
    return [fault.path for fault in caught.value.faults]


# ---------------------------------------------------------------- sizes


@pytest.mark.parametrize(
    ("diameter", "said"),
    [
        (0.090010, "conforms"),  # low + U, the guard band's end
        (0.090044, "conforms"),
        (0.090009, "not proven"),
        (0.090045, "not proven"),
        (0.089990, "not proven"),
        (0.0899899, "does not conform"),
        (0.0900641, "does not conform"),
    ],
)
def test_a_size_is_judged_with_a_guard_band(diameter: float, said: str) -> None:
    assert verdict(diameter, LOW, HIGH, DOUBT) == said


@given(st.floats(0.0895, 0.0906), st.floats(1e-7, 2e-5))
def test_what_is_accepted_lies_inside_with_the_probability_the_rule_promises(diameter: float, doubt: float) -> None:
    # JCGM 106:2012, 8.3.2.2: with U = 2 u the risk of accepting what lies outside one limit is at most 2.3 %
    said = verdict(diameter, LOW, HIGH, doubt)
    outside = stats.norm.cdf(LOW, diameter, doubt) + stats.norm.sf(HIGH, diameter, doubt)
    if said == "conforms":
        assert outside <= 2 * stats.norm.sf(2.0)
    if said == "does not conform":
        assert outside >= 1 - stats.norm.sf(2.0)


def test_a_record_is_set_beside_its_estimate() -> None:
    bore, planned = {"name": "A", "arc_time": "0.5 h", "machining": "95 min", "wire": "1200 g"}, ESTIMATE["bores"][0]
    found = judged(read_happened(record(bores=[bore]), ESTIMATE), ESTIMATE, Tables())
    taken = found["bores"][0]["taken"]
    assert taken["arc_time_min"] == {"recorded": 30.0, "estimated": planned["buildup"]["arc_time_min"]}
    assert taken["wire_kg"] == {"recorded": 1.2, "estimated": planned["consumption"]["wire_kg"]}
    cut = planned["time"]["precut_min"] + planned["time"]["finish_min"]
    assert math.isclose(taken["machining_min"]["estimated"], cut, rel_tol=1e-8)  # ten digits are written
    assert set(taken) == {"arc_time_min", "wire_kg", "machining_min"}


def test_what_was_other_than_asked_is_remarked() -> None:
    heat = ESTIMATE["bores"][0]["heat"]
    hot = f"{heat['interpass_max_C'] + 30} degC"
    stations = [{"depth": "10 mm", "diameter": size} for size in ("90.02 mm", "90.2 mm")]
    bore = {"name": "A", "preheat_read": "-5 degC", "interpass_read": hot, "finished": {"stations": stations}}
    remarks = judged(read_happened(record(bores=[bore]), ESTIMATE), ESTIMATE, Tables())["remarks"]
    assert [remark.partition(" degC")[0] for remark in remarks[:2]] == [
        "bore A: -5",
        f"bore A: {hot.split('.', maxsplit=1)[0]}",
    ]
    assert remarks[2:] == ["bore A: 90.2 mm does not conform"]


@pytest.mark.parametrize(
    ("changes", "paths"),
    [
        ({"bores": [{"name": "B"}]}, ["bores.0.name"]),
        ({"bores": [{"name": "A"}, {"name": "A"}]}, ["bores.1.name"]),
        ({"bores": [{"name": "A", "arc_time": 30}]}, ["bores.0.arc_time"]),
        ({"bores": [{"name": "A", "arctime": "3 min"}]}, ["bores.0.arctime"]),
        ({"bores": []}, ["bores"]),
        ({"variations": [{"description": "x", "price": "5 USD"}]}, ["variations.0.price"]),
        ({"standing": [{"reason": "x", "time": "1 h", "rate": "5 USD/h"}]}, ["standing.0.rate"]),
        ({"standing": [{"reason": "x", "time": "1 h", "people": True}]}, ["standing.0.people"]),
        ({"replaces": 0}, ["replaces"]),
        ({"quote": None}, ["quote"]),
    ],
)
def test_a_wrong_record_is_refused_at_its_path(changes: Any, paths: list[str]) -> None:
    assert faults(record(**changes)) == paths


def test_gas_tips_and_more_wear_than_was_quoted_are_set_beside_the_estimate() -> None:
    found = record(bores=[{"name": "A", "gas": "310 L", "tips": 2, "wear": "4.2 mm"}])
    said = judged(read_happened(found, ESTIMATE), ESTIMATE, Tables())
    taken, used = said["bores"][0]["taken"], ESTIMATE["bores"][0]["consumption"]
    assert taken["gas_L"] == {"recorded": 310.0, "estimated": used["gas_L"]}
    assert taken["tips"] == {"recorded": 2.0, "estimated": used["tips"]}
    assert said["remarks"] == ["bore A: 4.20 mm worn a side, 3.00 were quoted: offer a variation"]


# ---------------------------------------------------------------- invoice


def invoiced(estimate_of: Any, **changes: Any) -> Any:
    """Return the invoice of one record."""
    return invoice("100001", estimate_of, [(1, read_happened(record(**changes), estimate_of))])


def test_an_invoice_without_records_is_the_quote() -> None:
    found, price = invoice("100001", ESTIMATE, []), ESTIMATE["price"]
    assert [found[key] for key in ("before_tax", "tax", "total")] == [
        price[key] for key in ("before_tax", "tax", "total")
    ]
    assert found["open"] == ["no purchase order is recorded", "nobody's signature is recorded"]


def test_only_what_was_approved_is_invoiced() -> None:
    found = invoiced(
        ESTIMATE,
        variations=[
            {"description": "grease line", "price": "85.50 EUR", "approved_by": "foreman"},
            {"description": "paint", "price": "20 EUR"},
        ],
        standing=[
            {"reason": "no crane", "time": "50 min", "people": 2, "rate": "60.00 EUR/h", "approved_by": "foreman"}
        ],
        signature="foreman",
        purchase_order="PO 1",
    )
    assert [(line["code"], line["quantity"], line["price"]) for line in found["lines"][1:]] == [
        ("variation", 1.0, "85.50"),
        ("standing", 1.67, "100.20"),  # 100 person-minutes, in hundredths of an hour as printed
    ]
    assert [line["description"] for line in found["left_out"]] == ["paint"]
    assert found["open"] == ["variation without approval: paint"]
    before = Decimal(ESTIMATE["price"]["before_tax"]) + Decimal("185.70")
    assert Decimal(found["before_tax"]) == before
    assert Decimal(found["tax"]) == (before * Decimal(str(ESTIMATE["price"]["rule"]["tax"]))).quantize(Decimal("0.01"))
    assert Decimal(found["total"]) == Decimal(found["before_tax"]) + Decimal(found["tax"])


@pytest.mark.parametrize(
    ("book", "hour"),
    [
        ({"margin": 0.2, "overhead": 0.1}, "93.50"),  # 68 x 1.1 / 0.8
        ({"margin": None, "markup": 0.25, "overhead": 0.0}, "85.00"),  # 68 x 1.25
        ({"rates": {"basis": "charge-out"}}, "68.00"),
    ],
)
def test_standing_time_is_charged_as_the_quote_charges_labour(book: Any, hour: str) -> None:
    rates = {"labour_on_site": "68.00 EUR/h", **book.pop("rates", {})}
    found = estimate(job(), read_pricebook({**book, "rates": rates, "terms": {"standing_time": None}}))
    line = invoiced(found, standing=[{"reason": "rain", "time": "1 h", "approved_by": "foreman"}])["lines"][1]
    assert (line["unit_price"], line["price"]) == (hour, hour)


def test_standing_time_is_charged_as_the_letter_says_where_it_does() -> None:
    line = invoiced(ESTIMATE, standing=[{"reason": "rain", "time": "1 h", "approved_by": "foreman"}])["lines"][1]
    assert line["unit_price"] == ESTIMATE["letter"]["terms"]["standing_time"]["price"] == "96.00"


def test_an_hour_by_hand() -> None:
    assert hour_charged(Decimal(60), Decimal("0.12"), Decimal("0.25"), "margin") == Decimal("89.6")
    assert hour_charged(Decimal(60), Decimal("0.12"), Decimal("0.25"), "markup") == Decimal("84")
