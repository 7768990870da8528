"""One cost: what the search weighs by is what the bill says. Plans that are pinned come in the same order by both."""

import itertools
from typing import Any

import pytest

from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.book.scale import Scale
from estimator.errors import JobRefusedError
from estimator.money.exact import exact_of
from estimator.plans import Figures
from estimator.road import run
from estimator.steps.wires import change_time
from tests.depth import seeds
from tests.estimator.roads import arranged
from tests.golden.jobs import golden_case
from tests.jobs import bore, job, quick

BOOK = read_pricebook()
WELDING = {"labour-welding", "wire", "gas", "tips", "nozzles", "liners", "discs", "anti-spatter", "fuel"}
CURRENTS, LAYERS, TURNS = (126, 132, 138), (0, 1), (-1, 1)
SAME = 0.005  # of the price: plans that near may come in either order, by waits, cooling and the hours of a day
BEATEN = 0.001  # of the price: what waits, cooling and days may take off a neighbour of the plan that is chosen


def _figures(document: dict[str, Any], book: PriceBook) -> Figures:
    plan, bores, arrangement = arranged(document, book)
    return run(plan, bores, arrangement, plan.day)


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


def test_the_scale_is_the_bills_own() -> None:
    """What the bill says of a longer arc, more starts and more metal is what the search weighs of them."""
    two = [
        {**bore(plate_thickness="40 mm"), "options": {"current": f"{amps} A", "step": "3.5 mm"}} for amps in (126, 138)
    ]
    found = [_figures(job(one), BOOK) for one in two]
    moved = [each.bores[0].plan.weld.weighed for each in found]
    slow, quick_ = (
        sum(line.amount for line in exact_of(each).lines if line.code in WELDING)
        + each.bores[0].time.weld * Scale(BOOK, 1).of("rates", "equipment", unit="h")
        for each in found
    )
    assert moved[0] is not None and moved[1] is not None
    assert slow - quick_ == pytest.approx(moved[0].cost - moved[1].cost, rel=0.01)


def test_what_is_charged_out_weighs_less_by_what_is_not_laid_on_it() -> None:
    charged = read_pricebook({"rates": {"basis": "charge-out"}})
    labour, metal = ("rates", "labour_on_site"), ("consumables", "wires", "G3Si1 1.0 mm", "price")
    assert Scale(charged, 1).of(*metal, unit="kg") == Scale(BOOK, 1).of(*metal, unit="kg")
    one, other = (Scale(book, 1) for book in (BOOK, charged))
    assert other.of(*labour, unit="h") == pytest.approx(one.of(*labour, unit="h") / one.laid)
    assert Scale(BOOK, 2).time > Scale(BOOK, 1).time > 0


@pytest.mark.parametrize(("worn", "cored"), [(306, True), (301, False)])
def test_a_wire_is_changed_where_it_pays_more_than_the_change(worn: int, cored: bool) -> None:
    """Two bores of 300 x 150: much metal pays for the cored wire, by hours too; little does not."""
    for aim in ("cost", "hours") if cored else ("cost",):
        bores = [_wide(name, worn, {"aim": aim}) for name in "AB"]
        wires, prices = {}, {}
        for options in ({}, {"wire": "G3Si1 1.0 mm"}, {"wire": "E71T-1 0.045 in"}):
            found = _figures(job(*({**one, "options": {"aim": aim, **options}} for one in bores)), BOOK)
            name = options.get("wire", "")
            wires[name] = {one.plan.weld.wire.name for one in found.bores}
            prices[name] = exact_of(found).before_tax
        assert wires[""] == wires["E71T-1 0.045 in" if cored else "G3Si1 1.0 mm"]
        saves = prices["G3Si1 1.0 mm"] - prices["E71T-1 0.045 in"]
        change = change_time(found.plan.day) * Scale(BOOK, BOOK.crew).time * Scale(BOOK, BOOK.crew).laid
        assert (saves > change + 0.01 * prices["G3Si1 1.0 mm"]) is cored


def _wide(name: str, worn: int, options: dict[str, Any]) -> dict[str, Any]:
    return quick(300, worn, length="150 mm", outside_diameter="420 mm", name=name, line="x", options=options)


@pytest.mark.parametrize("block", seeds(12, 1))
def test_plans_come_in_the_same_order_by_the_search_and_by_the_bill(block: int) -> None:
    """Cost and price of the best plans of 120 random bores: what the search finds dearer is never billed much less."""
    for number in range(10 * block, 10 * block + (10 if block else 3)):
        chosen, others = _beside(number)
        assert all(price >= chosen[1] * (1 - BEATEN) for _, price in others), number
        for one, other in itertools.combinations((chosen, *others), 2):
            (_, price), (_, billed) = sorted((one, other))
            assert billed >= price * (1 - SAME), (number, one, other)
