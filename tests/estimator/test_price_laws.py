"""Laws of the price over random jobs of every kind: more wear, way, bores, a tighter fit never cost less; no jumps.

A thousand jobs under --thorough, a few at a push. What is known to be left of each law stands beside its bound.
"""

import copy
import random
from collections.abc import Iterator
from typing import Any

import pytest

from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.errors import EstimatorError
from estimator.estimate import estimate
from estimator.money.bill import bill_of
from estimator.plans import Figures
from estimator.road import run
from tests.depth import seeds
from tests.estimator.roads import arranged
from tests.golden.jobs import golden_case
from tests.jobs import bore, job

TIGHTER = {"H11": "H10", "H10": "H8", "H8": "H7", "H7": "H6"}
LESS = 0.025  # of the price: hours of a day that fall better, a boring pass less (DEVELOPERS, where they are off)
ANOTHER_WIRE = 0.01  # besides, where it is welded with other wires: none is changed for less
JUMP, A_DAY = 0.10, 0.06  # of the price, for 0.1 mm or 5 km; besides, of one more day: its way or night, its opening
PER_BLOCK = 10
Variant = tuple[str, dict[str, Any]]


def _mm(text: str) -> float:
    return float(text.split(maxsplit=1)[0])


def _worn(document: dict[str, Any], by: float) -> dict[str, Any]:
    """Return a job of which every reading is so much larger. [mm]"""
    worse = copy.deepcopy(document)
    for one in worse["bores"]:
        if "worn_diameter" in one:
            one["worn_diameter"] = f"{round(_mm(one['worn_diameter']) + by, 4)} mm"
        else:
            one["readings"]["values"] = [[round(cell + by, 4) for cell in row] for row in one["readings"]["values"]]
    return worse


def _tighter(document: dict[str, Any]) -> dict[str, Any]:
    found = copy.deepcopy(document)
    for one in found["bores"]:
        fit = one.get("tolerance", "H8")
        one["tolerance"] = TIGHTER.get(fit, fit) if isinstance(fit, str) else fit
    return found


def _another(document: dict[str, Any]) -> dict[str, Any]:
    """Return a job with its last bore once more, on a line of its own unless the places of a line are not said."""
    more = copy.deepcopy(document)
    last = more["bores"][-1]
    shed = ("position",) if "position" not in last else ("position", "line")
    more["bores"].append({key: value for key, value in {**copy.deepcopy(last), "name": "Z"}.items() if key not in shed})
    return more


def _farther(document: dict[str, Any], by: float) -> dict[str, Any]:
    site = {**document["site"], "distance": f"{_mm(document['site']['distance']) + by} km"}
    return {**document, "site": site}


def _variants(document: dict[str, Any], number: int) -> Iterator[Variant]:
    """Yield what is more of a job, each with the law it stands for; the first two are so near that nothing may jump."""
    dice = random.Random(1000003 + number)
    yield "0.1 mm more wear", _worn(document, 0.1)
    yield "5 km farther", _farther(document, 5)
    yield "more wear", _worn(document, round(dice.uniform(0.2, 2), 3))
    yield "farther", _farther(document, round(dice.uniform(6, 150)))
    yield "tighter", _tighter(document)
    yield "one bore more", _another(document)


def _priced(document: dict[str, Any], book: PriceBook) -> Figures | None:
    """Return the figures of a job; None where it is refused."""
    try:
        plan, bores, arrangement = arranged(document, book)
    except EstimatorError:
        return None
    return run(plan, bores, arrangement, plan.day)


def _price(figures: Figures) -> float:
    return float(bill_of(figures).price.before_tax)


def _off(law: str, before: Figures, after: Figures) -> str | None:
    """Return what is wrong between a job and one that is more; None for nothing."""
    was, now = _price(before), _price(after)
    wires, others = ([one.plan.weld.wire.name for one in each.bores] for each in (before, after))
    if now < was * (1 - LESS - (ANOTHER_WIRE if others[: len(wires)] != wires else 0.0)):
        return f"{law}: {was} -> {now}"
    days = abs(int(after.schedule.calendar.days) - int(before.schedule.calendar.days))
    near = law in ("0.1 mm more wear", "5 km farther")
    if near and abs(now / was - 1) > JUMP + A_DAY * days:
        return f"{law} jumps: {was} -> {now}"
    return None


@pytest.mark.parametrize("block", seeds(1000 // PER_BLOCK, 1))
def test_more_never_costs_less_and_nothing_jumps(block: int) -> None:
    off, step = list[str](), PER_BLOCK
    for number in range(step * block, step * block + (step if block else 4)):
        document, patch = golden_case(number)
        book = read_pricebook(patch)
        before = _priced(document, book)
        for law, more in _variants(document, number) if before is not None else ():
            after = _priced(more, book)
            assert before is not None
            wrong = None if after is None else _off(law, before, after)
            off += [] if wrong is None else [f"{number}, {wrong}"]
    assert off == []


@pytest.mark.parametrize("block", seeds(20, 1))
def test_an_ordinary_job_of_any_size_has_no_stop_and_no_approve(block: int) -> None:
    """S355, H8, open, one pin line, measured over its depth, no cracks; anywhere within what is always plannable."""
    for number in range(50 * block, 50 * block + (50 if block else 10)):
        document = ordinary(random.Random(number))
        found = estimate(document, read_pricebook(), "plan" if number % 10 == 0 else "price")
        assert [one for one in found["warnings"] if one["grade"] in {"stop", "approve"}] == [], number


def ordinary(dice: random.Random) -> dict[str, Any]:
    """Return an ordinary sound job: one to four bores of a pin."""
    size, length = dice.randint(40, 300), dice.randint(20, 200)
    wear, bores = dice.uniform(0.2, 3.0 if size < 60 else 6.0), []
    clock, depth = [0, 45, 90, 135], [round(length * share, 1) for share in (0.1, 0.5, 0.9)]
    axis, at = dice.choice(["horizontal", "vertical"]), 0
    for number in range(dice.randint(1, 4)):
        values = [[round(size + wear * dice.uniform(0.1, 1), 2) for _ in clock] for _ in depth]
        readings = {"kind": "diameter", "unit": "mm", "clock": clock, "depth": depth, "values": values}
        sizes = {"nominal_diameter": f"{size} mm", "length": f"{length} mm", "readings": readings, "axis": axis}
        place = {"line": "pin", "position": f"{at} mm", "outside_diameter": f"{size + 70} mm"}
        bores.append(bore(name="ABCD"[number], tolerance="H8", **sizes, **place))
        at += length + dice.choice([60, 150, 280])
    return job(*bores)
