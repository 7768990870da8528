"""Variance in money: by hand from the quote's own rates, adding up, and nothing of what is asked about."""

from decimal import Decimal
from typing import Any

from estimator.after.record import read_happened
from estimator.after.variance import variance
from estimator.book.pricebook import read_pricebook
from tests.jobs import bore, job
from tests.raw import estimate

BOOK = read_pricebook()
PLAIN: Any = estimate(job(bore(), bore(name="B")), BOOK)
TIME, USED = PLAIN["bores"][0]["time"], PLAIN["bores"][0]["consumption"]
RATES = {line["code"]: Decimal(line["unit_cost"]) for line in PLAIN["cost"]["lines"]}


def told(*bores: Any, **more: Any) -> Any:
    record = read_happened({"quote": "7", "bores": list(bores), **more}, PLAIN)
    return variance("7", PLAIN, [(1, record)], BOOK.facts)


def amounts(found: Any) -> dict[str, Decimal]:
    return {line["code"]: Decimal(line["amount"]) for line in found["lines"]}


def test_hours_stand_at_the_planned_rate_and_the_dearer_hour_at_the_hours_worked() -> None:
    found = told({"name": "A", "on_site": f"{TIME['total_min'] + 90} min"}, labour="80 EUR/h")
    worked = (Decimal(repr(TIME["total_min"])) + 90) / 60
    by_hand = {
        "hours": Decimal("1.5") * RATES["labour-job"],
        "rig": Decimal("1.5") * RATES["equipment"],
        "rate": worked * (80 - RATES["labour-job"]),
    }
    for code, amount in by_hand.items():
        assert abs(amounts(found)[code] - amount) <= Decimal("0.01")
    assert Decimal(found["cost_more"]) == sum(amounts(found).values())


def test_what_was_used_stands_at_its_planned_price() -> None:
    found = told({"name": "A", "wire": f"{USED['wire_kg'] + 0.5} kg", "gas": f"{USED['gas_L'] - 100} L"})
    lines = {line["code"]: Decimal(line["unit_cost"]) for line in PLAIN["cost"]["lines"] if line["bore"] == "A"}
    assert abs(amounts(found)["wire"] - lines["wire"] / 2) <= Decimal("0.01")
    assert abs(amounts(found)["gas"] + 100 * lines["gas"]) <= Decimal("0.01")


def test_scope_is_what_somebody_approved() -> None:
    more = [
        {"description": "grease line moved", "price": "85.00 EUR", "approved_by": "foreman"},
        {"description": "painted", "price": "40.00 EUR"},
    ]
    found = told({"name": "A", "on_site": f"{TIME['total_min'] + 30} min"}, variations=more)
    assert found["scope"] == "85.00"
    assert [line["description"] for line in found["left_out"]] == ["painted"]
    assert Decimal(found["result"]) == 85 - Decimal(found["cost_more"])


def test_parts_count_where_nobody_wrote_down_the_whole_and_none_twice() -> None:
    parts = {name: f"{TIME[f'{name}_min'] + 12} min" for name in ("setup", "precut", "finish")}
    (hours, rig) = told({"name": "A", **parts})["lines"]
    assert (hours["code"], rig["code"], round(hours["quantity"], 6)) == ("hours", "rig", 0.6)
    whole = f"{TIME['precut_min'] + TIME['finish_min'] + 12} min"
    assert round(told({"name": "A", **parts, "machining": whole})["lines"][0]["quantity"], 6) == 0.4


def test_what_is_asked_about_costs_nothing_until_it_is_answered() -> None:
    found = told({"name": "A", "wire": "900 kg"})
    assert (found["lines"], found["cost_more"]) == ([], "0.00")
    assert found["asked_about"][0]["key"] == "wire"
    sure = told({"name": "A", "wire": "900 kg", "sure": ["wire"]})
    assert Decimal(sure["cost_more"]) > 1000


def test_work_as_planned_is_no_variance() -> None:
    found = told({"name": "A", "on_site": f"{TIME['total_min']} min"}, {"name": "B", "wire": f"{USED['wire_kg']} kg"})
    assert (found["cost_more"], found["scope"], found["result"]) == ("0.00", "0.00", "0.00")
