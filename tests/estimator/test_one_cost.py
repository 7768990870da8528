"""One cost: what the search weighs by is what the bill says. Plans that are pinned come in the same order by both."""

import itertools
from typing import Any

import pytest

from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.days.timetable import crew_of
from estimator.errors import JobRefusedError
from estimator.estimate import read_job
from estimator.money.exact import exact_of
from estimator.plans import Figures
from estimator.road import arrange, compute, decide, run
from tests.depth import seeds
from tests.golden.jobs import golden_case

BOOK = read_pricebook()
CURRENTS, LAYERS, TURNS = (126, 132, 138), (0, 1), (-1, 1)
SAME = 0.003  # of the price: plans that near may come in either order, by waits, cooling and the hours of a day
BEATEN = 0.004  # of the price: what waits, cooling and days may take off a neighbour of the plan that is chosen


def _figures(document: dict[str, Any], book: PriceBook) -> Figures:
    asked = read_job(document, book)
    plan = decide(asked, book)
    bores = compute(plan, plan.day)
    return run(plan, bores, arrange(plan, bores, crew_of(plan)), plan.day)


def _weighed(figures: Figures) -> tuple[float, float]:
    """Return what the search says of the first bore, and the price before tax of its job, unrounded."""
    weighed = figures.bores[0].plan.weld.weighed
    assert weighed is not None
    return weighed.cost, exact_of(figures).before_tax


def _pinned(document: dict[str, Any], figures: Figures) -> list[dict[str, Any]]:
    """Return the job with its bore pinned to plans beside the one that was chosen."""
    weld, length = figures.bores[0].plan.weld, figures.bores[0].plan.survey.bore.length
    wire, layer, turns = weld.wire.name, weld.layers[0], round(length / weld.layers[0].step)
    pins: list[dict[str, Any]] = [{"current": f"{amps} A"} for amps in CURRENTS]
    pins += [{"layers": len(weld.layers) + more} for more in LAYERS]
    pins += [{"step": f"{length / (turns + more) * 1e3!r} mm"} for more in TURNS if turns + more > 0]
    pins.append({"current": f"{layer.current} A", "layers": len(weld.layers) + 1})
    (own,) = document["bores"]
    return [{**document, "bores": [{**own, "options": {"wire": wire, **pin}}]} for pin in pins]


def _beside(number: int) -> tuple[tuple[float, float], list[tuple[float, float]]]:
    """Return cost and price of the plan that is chosen for a random bore, and of plans pinned beside it."""
    document, patch = golden_case(number)
    own = {key: value for key, value in document["bores"][0].items() if key not in ("options", "line", "position")}
    document, book = {**document, "bores": [own]}, read_pricebook(patch)
    try:
        figures = _figures(document, book)
    except JobRefusedError:
        return (0.0, 0.0), []
    found = []
    for pinned in _pinned(document, figures):
        try:
            found.append(_weighed(_figures(pinned, book)))
        except JobRefusedError:
            continue
    return _weighed(figures), found


@pytest.mark.parametrize("block", seeds(12, 1))
def test_plans_come_in_the_same_order_by_the_search_and_by_the_bill(block: int) -> None:
    """Cost and price of the best plans of 120 random bores: what the search finds dearer is never billed much less."""
    for number in range(10 * block, 10 * block + 10):
        chosen, others = _beside(number)
        assert all(price >= chosen[1] * (1 - BEATEN) for _, price in others), number
        for one, other in itertools.combinations((chosen, *others), 2):
            (cost, price), (dearer, billed) = sorted((one, other))
            assert billed >= price - SAME * price or dearer - cost < SAME * price, (number, one, other)
