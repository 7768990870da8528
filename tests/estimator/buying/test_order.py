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

from estimator.book.pricebook import read_pricebook
from estimator.buying import use as room
from estimator.buying.make import Order
from estimator.errors import DocumentError, JobRefusedError, OutOfRangeError
from tests.depth import deep
from tests.jobs import SOUND, any_job, bore, changed, codes, job
from tests.raw import estimate, order

BOOK = read_pricebook()
ONE = job(bore(), reference="T-1")
CORED = job(bore(options={"wire": "E71T-1 0.045 in"}), bore(name="B", axis="vertical"), reference="T-2")
FOUND = order([ONE, CORED], BOOK)
LEVELS = st.floats(0.01, 0.999)


def lines(found: Any) -> Any:
    """Return the lines of an order by item."""
    return {line["item"]: line for line in found["lines"]}


def faults(*arguments: Any) -> dict[str, str]:
    """Return the faults of an order by path."""
    with pytest.raises(DocumentError) as caught:
        order(*arguments)
    return {fault.path: fault.message for fault in caught.value.faults}


def use_of(documents: list[Any]) -> dict[str, float]:
    """Return what the estimates of some jobs say is used, by item."""
    used: dict[str, float] = {}
    for found in (estimate(document, BOOK) for document in documents):
        for one in found["bores"]:
            amounts = one["consumption"]
            entries = [(one["buildup"]["wire"], "wire_kg"), (one["buildup"]["gas"], "gas_L")]
            entries += [("tip", "tips"), ("nozzle", "nozzles"), ("insert", "inserts"), ("liner", "liners")]
            entries += [("disc", "discs"), ("bracket", "brackets"), ("anti-spatter", "anti_spatter_L")]
            entries += [("burner gas", "burner_gas_kg"), ("fuel", "fuel_L")]
            for item, key in entries:
                used[item] = used.get(item, 0.0) + amounts[key]
    return {item: amount for item, amount in used.items() if amount or item != "burner gas"}


# ---------------------------------------------------------------- lines


def test_it_is_the_typed_document() -> None:
    assert TypeAdapter(Order).validate_python(FOUND, strict=True) == FOUND
    assert set(FOUND) == set(Order.__annotations__)


def test_wires_come_first_then_gases_then_parts() -> None:
    assert list(lines(FOUND)) == [
        "E71T-1 0.045 in", "G3Si1 1.0 mm", "Ar + 25 % CO2", "Ar + 8 % CO2",
        "bracket", "disc", "insert", "liner", "nozzle", "tip", "anti-spatter", "burner gas", "fuel",
    ]  # fmt: skip
    units = ["kg", "kg", "L", "L", *["each"] * 6, "L", "kg", "L"]
    assert [line["unit"] for line in FOUND["lines"]] == units


@given(st.lists(any_job(most=2), min_size=1, max_size=3), LEVELS)
@settings(max_examples=deep(40), suppress_health_check=[HealthCheck.too_slow])
def test_each_line_follows_from_the_estimates(documents: list[Any], level: float) -> None:
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
        assert line["quantity"] == pytest.approx(line["packs"] * line["pack_size"], rel=1e-11)
        assert line["mix"] == (
            [{"pack_size": line["pack_size"], "packs": line["packs"], "article": None}] if line["packs"] else []
        )
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
    found = {item: (line["pack_size"], line["cost"]) for item, line in lines(order([ONE], BOOK)).items()}
    assert {item: found[item] for item in expected} == expected


def test_the_article_is_the_books() -> None:
    book = read_pricebook({"consumables": {"tip": {"article": "T-10"}, "wires": {"G3Si1 1.0 mm": {"article": "W-7"}}}})
    found = lines(order([ONE], book))
    assert (found["tip"]["article"], found["G3Si1 1.0 mm"]["article"]) == ("T-10", "W-7")
    assert found["nozzle"]["article"] is None


@given(LEVELS, st.floats(0.0, 0.5))
@settings(max_examples=deep(50))
def test_a_higher_level_never_takes_less(level: float, more: float) -> None:
    low, high = (lines(order([ONE], BOOK, None, one)) for one in (level, min(0.999, level + more)))
    assert all(high[item]["to_cover"] >= low[item]["to_cover"] for item in low)


def test_the_same_jobs_in_another_order_need_the_same() -> None:
    assert order([CORED, ONE], BOOK)["lines"] == FOUND["lines"]


def test_texts_of_jobs_are_read_too() -> None:
    assert order([json.dumps(ONE).encode(), json.dumps(CORED)], BOOK) == FOUND


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
    assert "job_twice" in codes(twice)
    assert "job_twice" not in codes(FOUND)


def test_invented_prices_are_said() -> None:
    assert "prices_invented" in codes(FOUND)
    own = read_pricebook({"invented": False})
    assert "prices_invented" not in codes(order([ONE], own))
