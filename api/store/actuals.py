"""What happened, recorded beside the quotes it belongs to."""

import contextlib
import json
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session, col, func, select

from api.store.audit import Who, note
from api.store.clock import now
from api.store.errors import StateError
from api.store.jobs import find_job, lock_job
from api.store.models import Actual, Quote
from estimator.errors import DocumentError, Fault

__all__ = ["MOST_RECORDS", "Record", "add_actual", "calibration", "list_actuals", "quote_named", "records_of"]

MOST_RECORDS = 200  # of a quote, replaced ones too
MOST_TOGETHER = 8_000_000  # characters of a quote's records
LARGEST_PAGE = 2_000_000  # characters of the records in one answer; more has a next page


@dataclass(frozen=True)
class Record:
    """What happened, as it was sent and as it was set beside the estimate of its quote, which was held to be sound."""

    quote: int
    text: str
    replaces: int | None
    judged: str


def add_actual(session: Session, who: Who, job_id: int, made: Record) -> Actual:
    """Keep a record of what happened; raise `DocumentError` for one that does not fit the job's quote."""
    lock_job(session, job_id)
    quote_named(session, job_id, made.quote)
    if made.replaces is not None and made.replaces not in {row.id for row in _rows(session, made.quote)}:
        raise DocumentError([Fault("replaces", f"quote {made.quote} has no record {made.replaces} that still counts")])
    _must_have_room(session, made)
    row = Actual(
        job_id=job_id, number=made.quote, replaces=made.replaces, document=made.text, judged=made.judged,
        created_at=now(), created_by=who.name,
    )  # fmt: skip
    session.add(row)
    session.flush()
    note(session, who, "work recorded", f"job {job_id}", quote=made.quote, record=row.id, replaces=made.replaces)
    return row


def quote_named(session: Session, job_id: int, said: object) -> int:
    """Return the number of the job's quote that a record names; raise as `find_job` does, or `DocumentError`."""
    find_job(session, job_id)
    numbers = session.exec(select(Quote.number).where(Quote.job_id == job_id).order_by(col(Quote.number))).all()
    for number in numbers:
        if str(said) == str(number) and not isinstance(said, bool):
            return number
    known = f"it has {', '.join(map(str, numbers))}" if numbers else "it has none yet"
    raise DocumentError([Fault("quote", f"must be the number of a quote of job {job_id}; {known}")])


def _must_have_room(session: Session, made: Record) -> None:
    """Raise `StateError` where a quote has as many or as large records as its invoice is made of in one go."""
    sizes = func.coalesce(func.sum(func.length(Actual.document)), 0)
    count, together = session.exec(select(func.count(), sizes).where(Actual.number == made.quote)).one()
    if count >= MOST_RECORDS:
        raise StateError(
            f"quote {made.quote} has {count} records, and {MOST_RECORDS} are the most; draft another quote"
        )
    if together + len(made.text) > MOST_TOGETHER:
        raise StateError(f"the records of quote {made.quote} would be too large together; draft another quote")


def list_actuals(session: Session, job_id: int, after: int | None, limit: int) -> tuple[list[Actual], bool]:
    """Return a page of a job's records, newest first, and whether there are more; `after` is the last one seen.

    A page ends before what would make it too large, but has one record at least.
    """
    query = select(Actual).where(Actual.job_id == job_id).order_by(col(Actual.id).desc()).limit(limit + 1)
    query = query if after is None else query.where(col(Actual.id) < after)
    found: list[Actual] = []
    room = LARGEST_PAGE
    with contextlib.closing(session.exec(query.execution_options(yield_per=1))) as rows:
        for row in rows:
            room -= len(row.document) + len(row.judged)
            if found and (room < 0 or len(found) == limit):
                return found, True
            found.append(row)
    return found, False


def _rows(session: Session, number: int) -> list[Actual]:
    """Return the records of a quote that count, oldest first."""
    rows = session.exec(select(Actual).where(Actual.number == number).order_by(col(Actual.id))).all()
    gone = {row.replaces for row in rows}
    return [row for row in rows if row.id not in gone]


def records_of(session: Session, number: int) -> list[tuple[int, Actual]]:
    """Return the records of a quote that count, oldest first, each with the number of the first that it corrects."""
    rows = session.exec(select(Actual).where(Actual.number == number).order_by(col(Actual.id))).all()
    first: dict[int | None, int] = {}
    for row in rows:
        assert row.id is not None  # it is kept
        first[row.id] = row.id if row.replaces is None else first.get(row.replaces, row.replaces)
    gone = {row.replaces for row in rows}
    return [(first[row.id], row) for row in rows if row.id not in gone]


def calibration(session: Session) -> dict[str, Any]:
    """Return how much was recorded against how much was estimated, by kind, over every bore with a record.

    The ratio is that of the sums; it is plain, not shrunk towards one, so that few bores tell little.
    """
    replaced = select(Actual.replaces).where(col(Actual.replaces).is_not(None))
    rows = session.exec(select(Actual.judged).where(col(Actual.id).not_in(replaced)).order_by(col(Actual.id)))
    sums: dict[str, list[float]] = {}
    for text in rows:
        for bore in json.loads(text)["bores"]:
            for kind, pair in bore["taken"].items():
                sum_of = sums.setdefault(kind, [0, 0.0, 0.0])
                sum_of[0], sum_of[1], sum_of[2] = (
                    sum_of[0] + 1, sum_of[1] + pair["recorded"], sum_of[2] + pair["estimated"],
                )  # fmt: skip
    return {
        "method": "ratio of sums, not shrunk",
        "ratios": [
            {
                "kind": kind,
                "count": int(count),
                "recorded": float(f"{recorded:.12g}"),
                "estimated": float(f"{estimated:.12g}"),
                "ratio": float(f"{recorded / estimated:.12g}") if estimated else None,
            }
            for kind, (count, recorded, estimated) in sorted(sums.items())
        ],
    }
