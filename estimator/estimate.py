"""The whole road in one screen: job and price book in, a plan decided, its consequences computed, the document out.

Two steps never mix. `decide` makes every choice, in scalars, with its reasons. `consequences` makes none: it takes the
plan and what happens on the day, one number each or arrays of them, and answers what it takes.
"""

import math
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from estimator.bore.limits import check_hole_class
from estimator.errors import PlanMismatchError
from estimator.express import money
from estimator.formula import formula, leaf
from estimator.inputs import inputs_of
from estimator.job import Job
from estimator.job import read_job as _read_job
from estimator.money.bill import bill_of
from estimator.money.lines import minor_of
from estimator.pricebook import PriceBook
from estimator.road import Figures, Plan, consequences, decide
from estimator.strict import parse
from estimator.write import written

__all__ = ["estimate", "estimate_job", "read_job"]

AGREE = 1e-9  # relative: the search and the formulas compute the same arc time


def read_job(document: bytes | str | dict[str, Any], book: PriceBook) -> Job:
    """Return the job in a document, names checked against the price book; raise `DocumentError` with every fault."""
    return _read_job(document, {**book.context(), "hole class": check_hole_class})


def estimate(document: bytes | str | dict[str, Any], book: PriceBook) -> dict[str, Any]:
    """Return the estimate document of a job document.

    Raises
    ------
    DocumentError
        If the document is wrong; it holds every fault.
    JobRefusedError
        If the job must not be welded as described, or no plan is possible; it holds every reason.
    """
    data = document if isinstance(document, dict) else parse(document)
    return estimate_job(read_job(data, book), book, data)


def estimate_job(job: Job, book: PriceBook, data: dict[str, Any]) -> dict[str, Any]:
    """Return the estimate document of a job; `data` is the document it was read from."""
    found = _once(job, book, data)
    if any(bore.readings is None for bore in job.bores):
        found["budget"] = _budget(job, book, found)
    return found


def _once(job: Job, book: PriceBook, data: dict[str, Any]) -> dict[str, Any]:
    inputs = inputs_of(job, book)
    plan = decide(job, book, inputs)
    figures = consequences(plan, inputs)
    _agree(plan, figures)
    distance = leaf(float(job.site.distance), "given", "site.distance", "distance to the site, one way", unit="m")
    return written(figures, bill_of(figures, distance), data)


def _agree(plan: Plan, figures: Figures) -> None:
    """Raise `PlanMismatchError` unless search and formulas agree on every bore's arc time."""
    for bore, one in zip(plan.bores, figures.bores, strict=True):
        if not math.isclose(bore.weld.arc_time, one.build.arc_time, rel_tol=AGREE):
            raise PlanMismatchError(
                f"{bore.survey.bore.name}: {bore.weld.arc_time} s searched, {one.build.arc_time} s computed"
            )


def _budget(job: Job, book: PriceBook, found: dict[str, Any]) -> dict[str, Any]:
    """Return the band of a budget price, the price with the other kind of wear, and what to measure."""
    other = {"one-sided": "even", "even": "one-sided"}
    bores = tuple(
        bore if bore.readings is not None else bore.model_copy(update={"wear": other[bore.wear]}) for bore in job.bores
    )
    names = [bore.name for bore in job.bores if bore.readings is None]
    facts, minor = book.facts, minor_of(book)
    low, high, total = facts.constant("budget_low"), facts.constant("budget_high"), found["price"]["total"]
    priced = total if isinstance(total, Decimal) else Decimal(total)
    ends = [band_end(priced, end, minor) for end in (low, high)]
    swapped = _once(job.model_copy(update={"bores": bores}), book, {})
    return {
        "title": "budget price",
        "bores": names,
        "band_low": low,
        "band_high": high,
        "price_low": money(ends[0], minor),
        "price_high": money(ends[1], minor),
        "other_wear": [
            {
                "name": bore["name"],
                "wear": bore["given"]["wear"],
                "cleanup_mm": bore["sizes"]["cleanup_mm"],
                "deposit_mass_kg": bore["buildup"]["deposit_mass_kg"],
            }
            for bore in swapped["bores"]
            if bore["name"] in names
        ],
        "other_price": swapped["price"]["total"],
        "measure": MEASURE,
    }


@formula("price", "AACE 18R-97 class of estimate: the price times one and the end of its band", "published")
def band_end(price: Decimal, end: float, minor: str) -> Decimal:
    """End of the band of a budget price. [the currency]"""
    return (price * (1 + Decimal(repr(float(end))))).quantize(Decimal(minor), ROUND_HALF_UP)


MEASURE = [
    "diameters with a two-point gauge at three depths and four clock positions (0, 45, 90, 135 degrees) of each bore",
    "where the deepest wear lies on the clock, against an unworn edge or the opposite bore",
    "outside diameter of the boss and thickness of its plate",
    "cracks, old weld, hard skin and coatings, on the cleaned bore",
]
