"""The unrounded twin of a bill: the same lines as the printed one, each within what its rounding can do."""

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.money.bill import bill_of, lines_of_bores
from estimator.money.exact import ExactLine, exact_of
from estimator.money.lines import PLACES, Line, minor_of
from estimator.road import run
from tests.estimator.roads import SAMPLES, Arranged, arranged, golden_arranged, sampled
from tests.jobs import job

GOLDEN = range(5, 300, 7)
SHARE, ODD = 0.5e-6, 0.5e-4  # half of the last place that a share and the odds are printed to
NOISE = 1e-9  # sums of floats [the currency]
PARTS, DEAREST = 5, 500.0  # lines behind the odds; no unit price of the books here is above that


def _slack(line: Line, base_slack: float, book: PriceBook) -> float:
    """Return by how much a printed amount may lie off: half a place of the quantity, of the base, of the amount."""
    half, cost, count = float(minor_of(book)) / 2, float(line.unit_cost), float(line.quantity)
    if line.kind == "share":
        return half + SHARE * cost + count * base_slack
    if line.kind == "odds":
        return half + ODD * cost + count * PARTS * (half + float(PLACES["h"]) / 2 * DEAREST)
    return half + float(Decimal(PLACES[line.unit])) / 2 * cost


def _numbered(lines: Sequence[Line] | Sequence[ExactLine]) -> dict[tuple[str, str | None, int], Any]:
    """Return lines by code, bore and the how-manieth of these each is."""
    seen: Counter[tuple[str, str | None]] = Counter()
    found = {}
    for one in lines:
        seen[one.code, one.bore] += 1
        found[one.code, one.bore, seen[one.code, one.bore]] = one
    return found


def _held(found: Arranged) -> None:
    """Hold each line and the price against the twin's."""
    plan, bores, arrangement = found
    figures, book = run(plan, bores, arrangement, plan.day), plan.book
    bill, exact = bill_of(figures), exact_of(figures)
    twins, slack = _numbered(exact.lines), {True: 0.0, False: 0.0}
    for key, line in _numbered(bill.lines).items():
        twin, own = twins.pop(key), _slack(line, slack[True], book)
        assert float(line.amount) == pytest.approx(twin.amount, abs=own + NOISE), key
        assert twin.bears is line.bears
        slack[line.bears] += own
    for key, twin in twins.items():  # what is spare and prints as nothing has no line
        assert twin.amount <= float(PLACES["each"]) / 2 * DEAREST, key
        slack[twin.bears] += twin.amount
    dearer = 1 / (1 - float(book.margin)) if book.margin is not None else 1 + book.number("markup")
    last = float(max(book.price("rounding"), Decimal(minor_of(book)))) / 2
    cost, before = float(bill.price.cost), float(bill.price.before_tax)
    assert cost == pytest.approx(exact.cost, abs=slack[True] + slack[False] + NOISE)
    allowed = (slack[True] + SHARE * dearer * cost) * dearer + slack[False] + last
    assert before == pytest.approx(exact.before_tax, abs=allowed + NOISE)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_twin_of_a_sample_agrees_within_rounding(path: Path) -> None:
    _held(sampled(path))


@pytest.mark.parametrize("number", GOLDEN)
def test_the_twin_of_a_random_job_agrees_within_rounding(number: int) -> None:
    rates: dict[str, Any] = {"basis": "charge-out", "labour_on_site": "68 EUR/h"} if number % 2 else {}
    found = golden_arranged(number, **rates)
    if found is not None:
        _held(found)


def test_the_twin_keeps_the_minimum_charge_and_leaves_the_rounding_out() -> None:
    least = arranged(job(), read_pricebook({"minimum_charge": "123456.78 EUR"}))
    assert exact_of(run(*least, least[0].day)).before_tax == 123456.78
    plain, coarse = (arranged(job(), read_pricebook({"rounding": f"{step} EUR"})) for step in ("0", "50"))
    assert exact_of(run(*plain, plain[0].day)).before_tax == exact_of(run(*coarse, coarse[0].day)).before_tax


def test_lines_that_are_known_already_give_the_same_bill() -> None:
    """What days and nights cannot change is priced once, while the ways to spend them are weighed."""
    plan, bores, order = sampled(SAMPLES[0])
    figures = run(plan, bores, order, plan.day)
    assert bill_of(figures, lines_of_bores(plan, bores)) == bill_of(figures)
