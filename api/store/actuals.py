"""What happened, recorded beside the quotes it belongs to."""

import contextlib
import json
from dataclasses import dataclass

from sqlmodel import Session, col, func, select

from api.store.audit import Who, note
from api.store.billed import billed_keys
from api.store.clock import now
from api.store.entries import must_not_clash, same_entry
from api.store.errors import StateError
from api.store.jobs import find_job, lock_job
from api.store.models import Actual, Job, Quote
from api.store.quotes import find_quote, state_of
from estimator.errors import DocumentError, Fault

__all__ = [
    "MOST_RECORDS", "Record", "add_actual", "list_actuals", "must_be_accepted", "quote_named", "records_of", "to_learn",
]  # fmt: skip

MOST_RECORDS = 200  # of a quote, replaced ones too
MOST_TOGETHER = 8_000_000  # characters of a quote's records
MOST_LEARNT = 2000  # records that are learnt from, the newest
LARGEST_PAGE = 2_000_000  # characters of the records in one answer; more has a next page


@dataclass(frozen=True)
class Record:
    """What happened, as it was sent and as it was set beside the estimate of its quote, which was held to be sound."""

    quote: int
    text: str
    replaces: int | None
    judged: str


def add_actual(session: Session, who: Who, job_id: int, made: Record) -> Actual:
    """Keep a record of what happened; raise `DocumentError` for one that does not fit the job's quote.

    Raises `StateError` for a quote that was not accepted.
    """
    lock_job(session, job_id)
    quote_named(session, job_id, made.quote)
    if (same := same_entry(session, made.quote, made.text)) is not None:
        return same
    must_be_accepted(session, made.quote)
    if made.replaces is not None and made.replaces not in {row.id for row in _rows(session, made.quote)}:
        raise DocumentError([Fault("replaces", f"quote {made.quote} has no record {made.replaces} that still counts")])
    _must_not_be_billed(session, made)
    must_not_clash(_rows(session, made.quote), made.text)
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


def _must_not_be_billed(session: Session, made: Record) -> None:
    """Raise `StateError` where lines of the record that is corrected stand on an invoice."""
    root = next((root for root, row in records_of(session, made.quote) if row.id == made.replaces), None)
    if root is not None and any(key.startswith(f"record {root} ") for key in billed_keys(session, made.quote)):
        said = "cancel that invoice first, or record what was left out as a record of its own"
        raise StateError(f"record {made.replaces} stands on an invoice; {said}")


def must_be_accepted(session: Session, number: int) -> None:
    """Raise `StateError` where a quote was not accepted: nobody works on any other."""
    state = state_of(find_quote(session, number))
    if state != "accepted":
        raise StateError(f"quote {number} is {state}; work is recorded on an accepted quote only")


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


def to_learn(session: Session) -> str:
    """Return the records that count of the accepted quotes recorded last, as a JSON list, oldest first.

    Each is a list: the quote, its job's reference, when it was recorded, and the record set beside its estimate.
    """
    replaced = select(Actual.replaces).where(col(Actual.replaces).is_not(None))
    query = (
        select(Actual.number, Job.reference, Actual.created_at, Actual.judged)
        .join(Quote, col(Quote.number) == col(Actual.number))
        .join(Job, col(Job.id) == col(Actual.job_id))
        .where(Quote.state == "accepted", col(Actual.id).not_in(replaced))
        .order_by(col(Actual.id).desc())
        .limit(MOST_LEARNT)
    )
    found: list[str] = []
    room = MOST_TOGETHER
    with contextlib.closing(session.exec(query.execution_options(yield_per=50))) as rows:
        for number, reference, at, judged in rows:
            room -= len(judged)
            if room < 0:
                break
            found.append(f"[{number},{json.dumps(reference)},{json.dumps(at)},{judged}]")
    return f"[{','.join(reversed(found))}]"
