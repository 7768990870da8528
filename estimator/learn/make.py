"""A calibration: what recorded jobs teach, whether it would have helped, and what must be asked first."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise, starmap
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import Field
from typing_extensions import TypedDict

from estimator.after.happened import judged as set_beside
from estimator.after.record import read_happened
from estimator.book.pricebook import PriceBook
from estimator.errors import DocumentError, Fault, JobRefusedError
from estimator.estimate import estimate
from estimator.express import digits
from estimator.fields import Date, Document
from estimator.learn.back_test import Judged, Test, judged, scored
from estimator.learn.drift import Change, changes_of, since_of, whole_of
from estimator.learn.pooled import Effect, effects_of
from estimator.learn.records import Asked, Done, asked_in, cells_of, entries_of
from estimator.learn.series import HOURS, KINDS, Series, series_of
from estimator.strict import parse, sha256, validated
from estimator.tables.rows import Learning

__all__ = ["Calibrated", "calibrated", "learn", "learnt_of", "read_records"]

MOST = 2000  # jobs


class Factor(TypedDict):
    """How far a group of jobs lies from the book in one element: recorded over estimated, its 95 % band.

    `scatter` is the standard deviation of the logarithm of one job's ratio.
    """

    element: str
    group: str
    jobs: int
    ratio: float
    low: float
    high: float
    scatter: float


class Bias(TypedDict):
    """How far estimates of a group lay off on average, recorded over estimated, by the book and as learnt."""

    group: str
    jobs: int
    before: float
    after: float


class BackTest(TypedDict):
    """Each job estimated with what the jobs before it had taught; null where too few jobs are there to judge."""

    jobs: int
    error_before: float | None
    error_after: float | None
    coverage_80: float | None
    sharpness: float | None
    pinball_before: float | None
    pinball_after: float | None
    bias: list[Bias]
    course: list["Point"]
    claim: Literal["better", "no better"]


class Point(TypedDict):
    """One job of the back-test: hours recorded over estimated by the book and as learnt, and its 80 % band."""

    job: str
    before: float
    after: float
    low: float
    high: float


class Drift(TypedDict):
    """A change: in which element, with which job it was noticed, since which job it holds, ratios before and since."""

    element: str
    noticed: str
    since: str
    jobs: int
    ratio_before: float
    ratio_since: float


class Calibrated(TypedDict):
    """What recorded jobs teach."""

    jobs: int
    factors: list[Factor]
    drift: list[Drift]
    back_test: BackTest
    asked_about: list[Asked]


class Lesson(Document):
    """One job, when it was done, and what it took."""

    job: dict[str, Any]
    finished_at: Date | None = None
    actuals: dict[str, Any]


class Lessons(Document):
    """Jobs that were done."""

    jobs: Annotated[tuple[Lesson, ...], Field(max_length=MOST)]


def read_records(document: bytes | str | dict[str, Any], book: PriceBook) -> list[Done]:
    """Return recorded jobs, each estimated with the book as it stands; raise with the faults of all of them.

    Raises
    ------
    DocumentError
        If the document, a job or a record is wrong; it holds every fault.
    JobRefusedError
        If a job cannot be estimated.
    """
    told = validated(Lessons, document if isinstance(document, dict) else parse(document), {})
    wrong: list[Fault] = []
    refused: list[Fault] = []
    found: list[Done] = []
    known: dict[str, Any] = {}
    for number, lesson in enumerate(told.jobs):
        try:
            found.append(_done(number, lesson, book, known))
        except DocumentError as error:
            wrong += error.faults
        except JobRefusedError as error:
            refused += error.faults
    if wrong:
        raise DocumentError(wrong)
    if refused:
        raise JobRefusedError(refused)
    return found


def _done(number: int, lesson: Lesson, book: PriceBook, known: dict[str, Any]) -> Done:
    """Return one job as it was done; `known`: estimates by the hash of their job."""
    at = f"jobs.{number}"
    digest = sha256(lesson.job)
    try:
        if digest not in known:
            known[digest] = estimate(lesson.job, book)
    except (DocumentError, JobRefusedError) as error:
        raise type(error)([fault.within(f"{at}.job") for fault in error.faults]) from None
    try:
        happened = read_happened({"quote": "none", **lesson.actuals}, known[digest])
    except DocumentError as error:
        raise DocumentError([fault.within(f"{at}.actuals") for fault in error.faults]) from None
    told = set_beside(happened, known[digest], book.facts)
    name, day = str(lesson.job.get("reference", number)), lesson.finished_at or happened.finished_at or ""
    return Done(name, day, told["bores"], happened.crew or "", happened.rig or "")


def learn(document: bytes | str | dict[str, Any], book: PriceBook) -> Calibrated:
    """Return what recorded jobs teach; raise as `read_records` does."""
    return calibrated(read_records(document, book), book)


def learnt_of(book: PriceBook) -> dict[str, Learning]:
    """Return how far shops lie from the book and their jobs scatter, by element."""
    return {row.element: row for row in book.facts.every("learning", Learning)}


def calibrated(jobs: Iterable[Done], book: PriceBook) -> Calibrated:
    """Return what jobs teach that were set beside their estimates; of the same jobs always the same."""
    done = sorted(jobs, key=lambda one: one.finished_at)
    priors = learnt_of(book)
    entries = list(entries_of(done))
    counted, asked = asked_in(done, entries, {name: row.scatter for name, row in priors.items()})
    series = series_of(cells_of(done, counted))
    changes = changes_of(series)
    effects = effects_of(series, priors, since_of(changes, len(done)), len(done))
    course = judged(series, priors, changes)
    return {
        "jobs": len(done),
        "factors": [_factor(one) for one in effects],
        "drift": [one for name, each in changes.items() for one in _drifts(name, each, series, done)],
        "back_test": _back_test(scored(course), course, series, done),
        "asked_about": asked,
    }


def _factor(one: Effect) -> Factor:
    return {
        "element": one.element,
        "group": one.group,
        "jobs": one.jobs,
        "ratio": digits("ratio", one.ratio),
        "low": digits("ratio", one.low),
        "high": digits("ratio", one.high),
        "scatter": digits("ratio", one.scatter),
    }


def _drifts(name: str, changes: Sequence[Change], series: Mapping[str, Series], done: Sequence[Done]) -> list[Drift]:
    """Return the changes of one element in words and figures."""
    one = series.get(name) or whole_of(series)
    if one is None:
        return []
    starts = [0, *(change.since for change in changes), len(done)]
    means = [_mean(one, first, last) for first, last in pairwise(starts)]
    return [
        {
            "element": name,
            "noticed": done[change.noticed].name,
            "since": done[change.since].name,
            "jobs": change.noticed - change.since + 1,
            "ratio_before": means[place],
            "ratio_since": means[place + 1],
        }
        for place, change in enumerate(changes)
    ]


def _mean(one: Series, first: int, last: int) -> float:
    recorded, estimated = one.by_job
    span = (one.jobs >= first) & (one.jobs < last)
    return digits("ratio", float(np.sum(recorded[span]) / max(np.sum(estimated[span]), 1e-9)))


def _back_test(test: Test, course: Sequence[Judged], series: Mapping[str, Series], done: Sequence[Done]) -> BackTest:
    def said(value: float | None) -> float | None:
        return None if value is None else digits("ratio", value)

    return {
        "jobs": test.jobs,
        "error_before": said(test.error_before),
        "error_after": said(test.error_after),
        "coverage_80": said(test.coverage_80),
        "sharpness": said(test.sharpness),
        "pinball_before": said(test.pinball_before),
        "pinball_after": said(test.pinball_after),
        "bias": list(starmap(_bias, _grouped(course, series).items())),
        "course": [_point(one, done) for one in course],
        "claim": "better" if test.better else "no better",
    }


def _point(one: Judged, done: Sequence[Done]) -> Point:
    figures = {name: digits("ratio", getattr(one, name)) for name in ("before", "after", "low", "high")}
    return Point(job=done[one.job].name, **figures)


def _grouped(course: Sequence[Judged], series: Mapping[str, Series]) -> dict[str, list[Judged]]:
    """Return the judged jobs in all and by each group that they belong to."""
    found: dict[str, list[Judged]] = {"all": list(course)} if course else {}
    hours = [one for name, one in series.items() if name in HOURS]
    for one in course:
        groups = set[str]()
        for each in hours:
            for kind in KINDS:
                names, codes = each.labels.get(kind, ((), each.job))
                groups |= {f"{kind}: {names[code - 1]}" for code in codes[each.job == one.job] if names and code}
        for group in sorted(groups):
            found.setdefault(group, []).append(one)
    return found


def _bias(group: str, found: Sequence[Judged]) -> Bias:
    before, after = (
        digits("ratio", float(np.mean([getattr(one, name) for one in found]))) for name in ("before", "after")
    )
    return {"group": group, "jobs": len(found), "before": before, "after": after}
