"""What a role may not see cannot be worked out from what it is given."""

import copy
import functools
import io
import json
import re
import typing
import zipfile
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.book.pricebook import PriceBook, builtin_document, read_pricebook
from estimator.buying.make import Order
from estimator.compare import Comparison
from estimator.document.redact import ROLES, redact, sees_cost, sees_money
from estimator.estimate import Estimate
from estimator.estimate import estimate as estimate_drawn
from estimator.strict import canonical, merge, sha256
from exports.page.choice import order_page
from exports.page.estimate import page
from exports.sheets import QUOTE, quote_sheets
from exports.sheets.order import sheet
from exports.workbook import quote_workbook, sheets_of, workbook
from tests.depth import deep
from tests.jobs import any_job, bore, job, quick
from tests.raw import compare, estimate, order

HIDING = [role for role in ROLES if not sees_cost(role)]
FLOOR = {"minimum_charge": "1000000.00 EUR"}  # the price is this, whatever it costs
PRICE = re.compile(r"([\d.]+)( [A-Z]{3}(?:/\w+)?)")


def dearer(found: Any, factor: Decimal) -> Any:
    """Return a part of a price book with every price in it times a factor.

    The plan that costs least is then the same: what is chosen by cost tells which of two costs less, never how much.
    """
    if isinstance(found, dict):
        return {key: dearer(value, factor) for key, value in found.items()}
    price = PRICE.fullmatch(found) if isinstance(found, str) else None
    return f"{(Decimal(price[1]) * factor).quantize(Decimal('0.000001'))}{price[2]}" if price else found


RATES = {key: builtin_document()[key] for key in ("rates", "travel", "consumables")}
DEAR = {
    **dearer(RATES, Decimal("1.5719")),
    "overhead": 0.31,
    "contingency": 0.09,
    "margin": 0.41,
    "rounding": "0.05 EUR",
}
ECONOMICS = {
    "discount_rate": 0.08,
    "hours_per_year": 1800,
    "downtime_cost": "140 EUR/h",
    "repair": {"life": "6000 h"},
    "replace": {"price": "7800 EUR", "life": "10000 h"},
}


def books(*patches: Any) -> list[PriceBook]:
    """Return price books under which every job has the same price, and another cost."""
    return [read_pricebook(json.dumps(merge(copy.deepcopy(patch), FLOOR))) for patch in patches]


CHEAP_BOOK, DEAR_BOOK = books({}, DEAR)
JOBS: list[Any] = [
    job(),
    job(quick(90, 93)),
    job(bore(cleanup_diameter="97.4 mm")),
    job(economics=ECONOMICS),
]
JOBS += [json.loads(path.read_bytes()) for path in sorted(Path("sample_jobs").glob("*.json"))]


@pytest.mark.parametrize("role", ["owner", "estimator"])
def test_the_office_sees_the_document_itself(role: Any) -> None:
    found = estimate(job(), read_pricebook())
    assert redact(found, role) is found


@functools.cache
def by_both(number: int) -> list[Any]:
    """Return the estimates of a job under either book."""
    return [estimate(JOBS[number], book) for book in (CHEAP_BOOK, DEAR_BOOK)]


@pytest.mark.parametrize("role", HIDING)
@pytest.mark.parametrize("number", range(len(JOBS)))
def test_two_books_of_one_price_cannot_be_told_apart(number: int, role: Any) -> None:
    whole = by_both(number)
    assert whole[0]["cost"]["total"] != whole[1]["cost"]["total"]
    one, two = (redact(found, role) for found in whole)
    assert canonical(one) == canonical(two)
    if sees_money(role):  # the page of a terminal begins with the price
        assert page(one) == page(two)
    if number < deep(len(JOBS), 6):  # a workbook is written from what was compared above
        assert quote_workbook(one, quote_sheets(one)) == quote_workbook(two, quote_sheets(two))


@pytest.mark.parametrize("role", HIDING)
def test_orders_and_comparisons_cannot_be_told_apart_either(role: Any) -> None:
    orders = [order([job()], book, None, 0.95) for book in (CHEAP_BOOK, DEAR_BOOK)]
    assert orders[0]["total"] != orders[1]["total"]
    one, two = (redact(found, role) for found in orders)
    assert canonical(one) == canonical(two)
    assert order_page(one) == order_page(two)
    assert workbook([sheet(one)], "order") == workbook([sheet(two)], "order")
    assert not re.search("cost", "".join(texts(workbook([sheet(one)], "order"))), re.IGNORECASE)
    pair = [compare(job(economics=ECONOMICS), book) for book in (CHEAP_BOOK, DEAR_BOOK)]
    assert canonical(redact(pair[0], role)) == canonical(redact(pair[1], role))


@settings(max_examples=deep(15), deadline=None)
@given(document=any_job(most=2), margin=st.floats(0.01, 0.9), overhead=st.floats(0, 1))
def test_nothing_of_any_job_leads_back_to_margin_or_overhead(document: Any, margin: float, overhead: float) -> None:
    (other,) = books({"margin": round(margin, 4), "overhead": round(overhead, 4)})
    one, two = (redact(estimate(document, book), "field") for book in (CHEAP_BOOK, other))
    assert canonical(one) == canonical(two)


def test_what_remains_is_what_was_there() -> None:
    found = estimate(job(), read_pricebook())
    kept = redact(found, "fleet")
    assert "cost" in found  # the document itself is left as it is
    assert set(found) - set(kept) == {"cost"}
    parts = [{key: value for key, value in one.items() if key != "amount"} for one in found["price"]["bores"]]
    shown = {key: found["price"][key] for key in ("currency", "before_tax", "tax", "total")}
    assert kept["price"] == shown | {"bores": parts}
    assert {key for key in found if kept.get(key) != found[key]} == {"cost", "price", "pricebook", "bores"}
    built, left = found["bores"][0]["buildup"], kept["bores"][0]["buildup"]
    assert set(built) - set(left) == {"frontier", "neighbours", "shadow_prices"}


ECONOMICS = {"discount_rate": 0.08, "hours_per_year": 1800, "downtime_cost": "140 EUR/h"}
SAMPLES = sorted((Path(__file__).parents[3] / "sample_jobs").glob("*.json"))
MONEY = re.compile(r"-?[0-9]+[.][0-9]{2}")  # as every amount of money is written


def amounts_in(found: Any, path: str = "") -> Iterator[str]:
    if isinstance(found, dict):
        for key, value in found.items():
            yield from amounts_in(value, f"{path}.{key}")
    elif isinstance(found, list):
        for one in found:
            yield from amounts_in(one, path)
    elif isinstance(found, str) and (MONEY.fullmatch(found) or "EUR" in found):
        yield path


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_field_is_told_of_no_money(path: Path) -> None:
    document = json.loads(path.read_text("utf-8"))
    document |= {"economics": ECONOMICS, "discount": 0.05}
    document["extras"] = [{"text": "pin", "quantity": 1, "unit": "each", "price": "120.00 EUR"}]
    found: Any = estimate_drawn(document, read_pricebook(), "full", 16)
    assert {*amounts_in(found)} >= {".price.total", ".cost.total", ".spread.price.p50"}
    kept = redact({"job": document, "estimate": found, "total": "12.00"}, "field")
    assert set(amounts_in(kept)) <= {".estimate.job.currency"}
    assert {"price", "letter", "cost"}.isdisjoint(kept["estimate"])
    assert {"economics", "extras", "discount"}.isdisjoint(kept["job"])
    assert kept["estimate"]["bores"][0]["buildup"]["deposit_mass_kg"] > 0
    assert kept["estimate"].get("budget", {"measure": []})["measure"] == found.get("budget", {"measure": []})["measure"]


def test_a_price_below_cost_is_not_said() -> None:
    cost = estimate(job(), read_pricebook())["cost"]["total"]
    step = f"{Decimal(cost) - 1} EUR"  # the price rounds to one such step, just below the cost
    found = estimate(job(), read_pricebook(json.dumps({"rounding": step, "minimum_charge": "0.00 EUR"})))
    (told,) = (one for one in found["warnings"] if one["code"] == "below_cost")
    assert redact(found, "fleet")["warnings"] == [one for one in found["warnings"] if one != told]
    assert told["text"] not in json.dumps(redact(found, "fleet"))


def test_a_quotes_hash_is_of_the_estimate_as_it_is_given() -> None:
    found = estimate(job(), read_pricebook())
    quote = {"number": "7", "state": "issued", "sha256": sha256(found), "estimate": found}
    kept = redact({"items": [quote], "next": None}, "field")["items"][0]
    assert kept["sha256"] == sha256(kept["estimate"]) != quote["sha256"]
    assert redact({**quote, "sha256": None}, "field")["sha256"] is None
    row = {key: value for key, value in quote.items() if key != "estimate"}
    assert redact({"items": [row]}, "fleet")["items"][0]["sha256"] is None  # it could be tried out


# ---------------------------------------------------------------- every key that could be money is decided upon

SEEN = {
    "price", "other_price", "price_more", "total", "labour_h", "invented",
    "price_less_by_overtime", "overtime_hour_price",
    "pricebook", "totals", "reasons", "clock_map", "discount_rate", "first_cost", "annual_cost", "downtime_cost",
    "downtime_cost_per_h", "replacement_price", "deposition_rate_kg_h", "tax", "tax_fraction", "before_tax",
    "tax_name", "taxes", "diameter_uncertainty_mm",
}  # fmt: skip
LOST = {
    "shadow_prices",
    "cost",
    "unit_cost",
    "amount",
    "margin",
    "rule",
    "price_key",
    "bears_margin",
    "basis",
    "price_for",
}
OF_MONEY = re.compile(r"cost|price|margin|markup|amount|rule|rate(?!d)|total$|tax|basis|overhead|charge|profit|spend")


def keys_of(document: Any) -> Iterator[str]:
    """Yield every key of a typed document and of its parts."""
    for key, kind in typing.get_type_hints(document).items():
        yield key
        for part in (kind, *inside(kind)):
            if typing.is_typeddict(part) or hasattr(part, "__required_keys__"):
                yield from keys_of(part)


def inside(kind: Any) -> Iterator[Any]:
    for part in typing.get_args(kind):
        yield part
        yield from inside(part)


def test_each_key_that_could_be_money_is_shown_or_hidden_on_purpose() -> None:
    named = {key for document in (Estimate, Comparison, Order) for key in keys_of(document)}
    assert named >= LOST | {"total", "before_tax"}
    assert {key for key in named if OF_MONEY.search(key)} - SEEN - LOST - {"minimum_charge"} == set()


# ---------------------------------------------------------------- workbooks


LEADS = (
    r"""unit_cost|cost_|(?<!page)margin|markup|overhead|rate_|share_|(?:state|hidden)="(?:hidden|veryHidden|1|true)"""
)


def texts(data: bytes) -> Iterator[str]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        for name in archive.namelist():
            yield archive.read(name).decode("utf-8", "replace")


def test_the_workbook_for_the_fleet_holds_no_cost_sheet_not_even_hidden() -> None:
    kept = redact(estimate(job(), read_pricebook()), "fleet")
    builders = quote_sheets(kept)
    names = [sheet.name for sheet in sheets_of(kept, builders)]
    assert [build for build in QUOTE if build not in builders] != []
    assert not {"Price", "Inputs"} & set(names)
    whole = "".join(texts(quote_workbook(kept, builders)))
    assert not re.search(LEADS, whole, re.IGNORECASE)
    assert repr(float(kept["price"]["total"])) in whole
