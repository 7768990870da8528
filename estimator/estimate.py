"""The whole road in one screen: job and price book in, four steps, the bill, the document out.

Choices and figures never mix: `decide` and `arrange` choose, in scalars, with their reasons; `compute` and `run` choose
nothing: they take what was chosen and what happens on the day, one number each or arrays of them.
"""

import math
from typing import Any, NotRequired, cast

from estimator.beside.crews import crews_of
from estimator.beside.variants import Budget, Variation, budget_of, variation_of
from estimator.beside.ways import Ways, ways_of
from estimator.book.pricebook import PriceBook
from estimator.bore.limits import check_hole_class
from estimator.bore.point_check import check_points
from estimator.days.timetable import crew_of
from estimator.document.whole import Whole, written
from estimator.errors import JobRefusedError, PlanMismatchError
from estimator.job.job import Job
from estimator.job.job import read_job as _read_job
from estimator.job.said import in_words
from estimator.money.bill import bill_of
from estimator.plans import Figures
from estimator.road import arrange, compute, decide, run
from estimator.strict import parse
from estimator.van.take import Taken, take_of

__all__ = ["Estimate", "estimate", "estimate_job", "read_job"]

AGREE = 1e-9  # relative: the search and the formulas compute the same arc time


class Estimate(Whole):
    """The estimate of a job."""

    budget: NotRequired[Budget]
    variation: NotRequired[Variation]
    ways: NotRequired[list[Ways]]
    take: NotRequired[list[Taken]]


def read_job(document: bytes | str | dict[str, Any], book: PriceBook) -> Job:
    """Return the job in a document, names checked against the price book; raise `DocumentError` with every fault."""
    checks = {"hole class": check_hole_class, "points": check_points}
    return _read_job(document, {**book.context(), **checks}).whole()


def estimate(document: bytes | str | dict[str, Any], book: PriceBook) -> Estimate:
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


def estimate_job(job: Job, book: PriceBook, data: dict[str, Any]) -> Estimate:
    """Return the estimate document of a job; `data` is the document it was read from."""
    try:
        found = cast(Estimate, _once(job, book, data))  # nothing stands beside it yet
    except JobRefusedError as error:
        raise JobRefusedError(in_words([job.said_at(fault) for fault in error.faults], data)) from None

    found["take"] = take_of(found, book)

    def run(other: Job) -> Whole:
        return _once(other, book, None)

    if any(bore.readings is None for bore in job.bores):
        found["budget"] = budget_of(job, book, found, run)
    if any(bore.cleanup_diameter is not None for bore in job.bores):
        found["variation"] = variation_of(job, book, found, run)
    if ways := ways_of(job, book, found, run):
        found["ways"] = ways
    return found


def _once(job: Job, book: PriceBook, data: dict[str, Any] | None) -> Whole:
    """Return the estimate of a job; without its document it stands beside another, and no other crew is asked for."""
    plan = decide(job, book)
    bores = compute(plan, plan.day)
    arrangement = arrange(plan, bores, crew_of(plan))
    figures = run(plan, bores, arrangement, plan.day)
    _agree(figures)
    bill = bill_of(figures)
    crews = [] if data is None else crews_of(figures, bill)
    return written(figures, bill, crews, data or {})


def _agree(figures: Figures) -> None:
    """Raise `PlanMismatchError` unless search and formulas agree on every bore's arc time."""
    for bore, one in zip(figures.plan.bores, figures.bores, strict=True):
        if not math.isclose(bore.weld.arc_time, one.build.arc_time, rel_tol=AGREE):
            raise PlanMismatchError(
                f"{bore.survey.bore.name}: {bore.weld.arc_time} s searched, {one.build.arc_time} s computed"
            )
