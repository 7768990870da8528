"""The whole road in one screen: job and price book in, four steps, the bill, the document out.

Choices and figures never mix: `decide` and `arrange` choose, in scalars, with their reasons; `compute` and `run` choose
nothing: they take what was chosen and what happens on the day, one number each or arrays of them.
"""

import math
from functools import partial
from typing import Any, Literal, NotRequired, cast, get_args, overload

from estimator.beside.crews import crews_of
from estimator.beside.twin import Twin, told_in, twin_of
from estimator.beside.variants import Budget, Variation, budget_of, measures_of, variation_of
from estimator.beside.ways import Ways, ways_of
from estimator.book.pricebook import PriceBook
from estimator.bore.limits import check_hole_class
from estimator.bore.point_check import check_points
from estimator.days.timetable import crew_of
from estimator.document.letter import Letter, letter_of
from estimator.document.whole import Priced, Whole, beside_plan, priced, written
from estimator.errors import JobRefusedError, PlanMismatchError
from estimator.job.job import Job
from estimator.job.job import read_job as _read_job
from estimator.job.said import in_words
from estimator.money.bill import Bill, bill_of
from estimator.plans import Figures
from estimator.road import arrange, compute, decide, run
from estimator.spread.branches import Planned
from estimator.spread.make import Progress, Spread, band_of, silent, spread_of
from estimator.strict import parse
from estimator.van.take import Taken, take_of

__all__ = ["DETAILS", "Detail", "Estimate", "Priced", "estimate", "estimate_job", "read_job"]

Detail = Literal["price", "plan", "full"]
DETAILS: tuple[Detail, ...] = get_args(Detail)
AGREE = 1e-9  # relative: the search and the formulas compute the same arc time


class Estimate(Whole):
    """The estimate of a job."""

    budget: NotRequired[Budget]
    variation: NotRequired[Variation]
    ways: NotRequired[list[Ways]]
    take: NotRequired[list[Taken]]
    letter: NotRequired[Letter]
    spread: NotRequired[Spread]


def read_job(document: bytes | str | dict[str, Any], book: PriceBook) -> Job:
    """Return the job in a document, names checked against the price book; raise `DocumentError` with every fault."""
    checks = {"hole class": check_hole_class, "points": check_points}
    return _read_job(document, {**book.context(), **checks}).whole()


@overload
def estimate(
    document: bytes | str | dict[str, Any],
    book: PriceBook,
    detail: Literal["plan", "full"] = "plan",
    spread: int = 0,
    progress: Progress = silent,
) -> Estimate: ...
@overload
def estimate(document: bytes | str | dict[str, Any], book: PriceBook, detail: Literal["price"]) -> Priced: ...
@overload
def estimate(
    document: bytes | str | dict[str, Any],
    book: PriceBook,
    detail: Detail,
    spread: int = 0,
    progress: Progress = silent,
) -> Estimate | Priced: ...
def estimate(
    document: bytes | str | dict[str, Any],
    book: PriceBook,
    detail: Detail = "plan",
    spread: int = 0,
    progress: Progress = silent,
) -> Estimate | Priced:
    """Return the estimate document of a job document.

    Parameters
    ----------
    document
        The job document.
    book
        The price book.
    detail
        "plan": all that is planned; "price": only what it comes to; "full": what was weighed beside the plan as well.
    spread
        Days to draw for how far the job may come out otherwise, up to a million; none unless asked. [-]
    progress
        Is told how many days are drawn, and of how many.

    Raises
    ------
    DocumentError
        If the document is wrong; it holds every fault.
    JobRefusedError
        If the job must not be welded as described, or no plan is possible; it holds every reason.
    """
    data = document if isinstance(document, dict) else parse(document)
    job = read_job(data, book)
    if detail == "price":
        return estimate_price(job, book, data)
    return estimate_job(job, book, data, detail, spread, progress)


def estimate_price(job: Job, book: PriceBook, data: dict[str, Any]) -> Priced:
    """Return what a job comes to, without its plan; `data` is the document it was read from."""
    return priced(*_first(job, book, beside=False), data)


def estimate_job(
    job: Job,
    book: PriceBook,
    data: dict[str, Any],
    detail: Literal["plan", "full"] = "plan",
    spread: int = 0,
    progress: Progress = silent,
) -> Estimate:
    """Return the estimate document of a job; `data` is the document it was read from, the rest as `estimate` has it."""
    full = detail == "full"
    figures, bill = _first(job, book, beside=full)
    crews = crews_of(figures, bill) if full else None
    found = cast(Estimate, written(figures, bill, crews, data))  # nothing stands beside it yet
    found["take"] = take_of(found, book)

    def run(other: Job) -> Twin:
        return twin_of(*_once(other, book, beside=False))

    again = partial(_planned, book=book)
    if spread:
        found["spread"] = spread_of(figures, bill.price.before_tax, again, spread, progress)
    if any(one.plan.survey.budget for one in figures.bores):
        band = found["spread"]["price"] if spread else band_of(figures, again)
        found["budget"] = budget_of(job, book, (band["p10"], band["p50"], band["p90"]), run if full else None)
    if any(bore.cleanup_diameter is not None for bore in job.bores):
        found["variation"] = variation_of(job, book, told_in(found), run)
    if full and (ways := ways_of(job, book, told_in(found), run)):
        found["ways"] = ways
    if full:
        found["letter"] = letter_of(
            figures, beside_plan(figures.plan, bill), measures_of(job, book) if "budget" in found else []
        )
    return found


def _first(job: Job, book: PriceBook, *, beside: bool) -> tuple[Figures, Bill]:
    """Return the figures and the bill of the job that was asked for; raise what refuses it at the job's own paths."""
    try:
        return _once(job, book, beside=beside)
    except JobRefusedError as error:
        faults = [job.said_at(fault) for fault in error.faults]
        raise JobRefusedError(in_words(faults, [bore.name for bore in job.bores])) from None


def _once(job: Job, book: PriceBook, *, beside: bool) -> tuple[Figures, Bill]:
    """Return the figures and the bill of a job; `beside`: with what was weighed beside each weld."""
    plan = decide(job, book, beside=beside)
    bores = compute(plan, plan.day)
    figures = run(plan, bores, arrange(plan, bores, crew_of(plan)), plan.day)
    _agree(figures)
    return figures, bill_of(figures)


def _planned(job: Job, book: PriceBook) -> Planned:
    """Return the plan of a job and its arrangement."""
    plan = decide(job, book)
    return plan, arrange(plan, compute(plan, plan.day), crew_of(plan))


def _agree(figures: Figures) -> None:
    """Raise `PlanMismatchError` unless search and formulas agree on every bore's arc time."""
    for bore, one in zip(figures.plan.bores, figures.bores, strict=True):
        if not math.isclose(bore.weld.arc_time, one.build.arc_time, rel_tol=AGREE):
            raise PlanMismatchError(
                f"{bore.survey.bore.name}: {bore.weld.arc_time} s searched, {one.build.arc_time} s computed"
            )
