"""A tighter tolerance never costs less, is gauged more often, and says so where the gauge cannot prove it."""

import itertools
from decimal import Decimal
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.bore.limits import grade_of
from tests.depth import some
from tests.jobs import codes, job, quick
from tests.raw import estimate

BOOK = read_pricebook()
CLASSES = ("H11", "H10", "H9", "H8", "H7", "H6", "H5")
PRINTED = Decimal("1.50")  # each of seven lines is printed to 0.01 h or kg: half of that, with overhead and margin
SIZES = [(40, 60, 42), (63, 45, 66), (90, 70, 93), (130, 200, 133.5), (180, 90, 186), (250, 120, 254), (300, 150, 304)]


def _quoted(nominal: float, length: float, worn: float, tolerance: Any, **changes: Any) -> Any:
    room = {"outside_diameter": f"{nominal + 90} mm", "length": f"{length} mm"}
    return estimate(job(quick(nominal, worn, tolerance=tolerance, **room, **changes)), BOOK)


@pytest.mark.parametrize(("nominal", "length", "worn"), some(SIZES, 4))
@pytest.mark.parametrize("letter", ["H", "F"])
def test_a_tighter_tolerance_never_costs_less(nominal: float, length: float, worn: float, letter: str) -> None:
    found = [_quoted(nominal, length, worn, name.replace("H", letter)) for name in CLASSES]
    prices = [Decimal(one["price"]["before_tax"]) for one in found]
    for loose, tight in itertools.pairwise(prices):
        assert tight >= loose - PRINTED
    assert prices[5] > prices[1]  # an H6 costs more than an H10
    passes = [len(one["bores"][0]["machining"]["passes"]) for one in found]
    assert passes == sorted(passes)


def test_limits_of_one_s_own_cost_as_the_class_that_they_are() -> None:
    by_class, by_limits = (
        _quoted(90, 70, 93, tolerance) for tolerance in ("H7", {"lower": "0 mm", "upper": "0.035 mm"})
    )
    assert by_class["price"] == by_limits["price"]
    assert grade_of(35e-6, 0.090) == 7
    assert grade_of(34.9e-6, 0.090) == 7
    assert grade_of(35.1e-6, 0.090) == 8
    assert grade_of(5.0, 0.090) == 12


def test_prices_climb_in_small_steps_as_limits_close() -> None:
    widths = [0.14, 0.12, 0.1, 0.087, 0.07, 0.054, 0.05, 0.04, 0.035, 0.03, 0.025, 0.022, 0.018, 0.015]
    limits = [{"lower": f"{0.07 - width / 2:.4f} mm", "upper": f"{0.07 + width / 2:.4f} mm"} for width in widths]
    prices = [Decimal(_quoted(90, 70, 93, each)["price"]["before_tax"]) for each in limits]
    for loose, tight in itertools.pairwise(prices):
        assert loose - PRINTED <= tight <= loose * Decimal("1.10")


@pytest.mark.parametrize("nominal", some([40, 90, 200, 300], 2))
def test_a_gauge_that_cannot_prove_a_size_says_so(nominal: float) -> None:
    for name in CLASSES:
        found = _quoted(nominal, 70, nominal + 3, name)
        said = [one for one in found["warnings"] if one["code"] == "gauge_short"]
        assert bool(said) is (name in ("H5", "H6"))
        assert all(one["grade"] == "approve" for one in said)
        cut, sizes = found["bores"][0]["machining"], found["bores"][0]["sizes"]
        assert cut["accept_min_mm"] == pytest.approx(sizes["finish_min_mm"] + cut["gauge_uncertainty_mm"], abs=2e-6)
        assert cut["accept_max_mm"] == pytest.approx(sizes["finish_max_mm"] - cut["gauge_uncertainty_mm"], abs=2e-6)


def test_a_finer_gauge_proves_more() -> None:
    fine = {
        "gauge_scatter": {"value": "0.5 um"},
        "ring_uncertainty": {"value": "0.5 um"},
        "gauge_warmth": {"value": "0.5 K"},
    }
    book = read_pricebook({"tables": {"constants": fine}})
    assert "gauge_short" not in codes(estimate(job(quick(90, 93, tolerance="H6")), book))


def test_a_tight_bore_is_semi_finished_and_gauged_by_its_grade() -> None:
    for name, semi, stops in (("H8", 0, 0), ("H7", 1, 1), ("H6", 1, 2), ("H5", 1, 3)):
        found = _quoted(90, 70, 93, name)
        cut = found["bores"][0]["machining"]
        assert [one["purpose"] for one in cut["passes"]].count("semi-finishing") == semi
        assert sum(row["count"] for row in found["times"] if row["code"] == "gauge_stop") == stops
        finishing = [one["purpose"] for one in cut["passes"]].count("finishing")
        assert cut["measuring_stops"] == 1 + semi + finishing + stops
        assert cut["grade"] == f"IT{name[1:]}"
