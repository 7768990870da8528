"""Jobs: kept, changed over a known revision, searched, removed."""

import hashlib
import json
import unicodedata
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, col, select

from api.store.audit import Who, note
from api.store.clock import now
from api.store.errors import MissingError, StateError
from api.store.inserts import insert_new
from api.store.models import Actual, Customer, Equipment, Job, JobRevision, Paper, Photo, Quote
from api.store.sound import JOB_STATES
from estimator.strict import sha256

__all__ = [
    "JOB_STATES",
    "Wanted",
    "add_job",
    "change_job",
    "delete_job",
    "find_job",
    "list_jobs",
    "lock_job",
    "refresh",
]

NEW = "new"


@dataclass(frozen=True)
class Wanted:
    """What a list is narrowed to: words, a state, times of making (from one, up to and without the other)."""

    words: str = ""
    state: str | None = None
    since: str | None = None
    until: str | None = None


def folded(text: str) -> str:
    """Return a text as it is searched."""
    return unicodedata.normalize("NFC", text).casefold()


def text_of(document: object) -> str:
    """Return a document as the JSON text it is kept as, its keys in the order they came."""
    return json.dumps(document, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def add_job(session: Session, who: Who, document: dict[str, Any], pricebook: str | None) -> Job:
    """Keep a job document that was read before; return the job."""
    moment = now()
    job = Job(revision=0, reference="", state=NEW, search="", created_at=moment, changed_at=moment)
    _revise(session, who, job, document, pricebook)
    note(session, who, "job stored", f"job {job.id}", revision=1, reference=job.reference)
    return job


def _revise(session: Session, who: Who, job: Job, document: dict[str, Any], pricebook: str | None) -> None:
    customer = (document.get("customer") or {}).get("name")
    machine = (document.get("equipment") or document.get("machine") or {}).get("description")
    moment = now()
    job.customer_id = None if customer is None else _customer(session, customer, moment)
    job.equipment_id = None if machine is None else _equipment(session, job.customer_id, machine, moment)
    job.reference, job.title = document["reference"], document.get("title")
    job.revision, job.pricebook, job.changed_at = job.revision + 1, pricebook, moment
    job.search = folded("\n".join(text for text in (job.reference, job.title, customer, machine) if text))
    session.add(job)
    session.flush()
    assert job.id is not None  # the database has counted it
    session.add(
        JobRevision(
            job_id=job.id, revision=job.revision, document=text_of(document), sha256=sha256(document),
            created_at=moment, created_by=who.name,
        )
    )  # fmt: skip
    session.flush()


def _digest(*parts: object) -> str:
    return hashlib.sha256("\n".join(map(str, parts)).encode()).hexdigest()


def _customer(session: Session, name: str, moment: str) -> int | None:
    key = _digest(name)
    insert_new(session, Customer, key=key, name=name, created_at=moment)
    return session.exec(select(Customer.id).where(Customer.key == key)).one()


def _equipment(session: Session, customer: int | None, description: str, moment: str) -> int | None:
    key = _digest(customer, description)
    insert_new(session, Equipment, key=key, customer_id=customer, description=description, created_at=moment)
    return session.exec(select(Equipment.id).where(Equipment.key == key)).one()


def find_job(session: Session, number: int, revision: int | None = None) -> tuple[Job, JobRevision]:
    """Return a job and its document, the newest or that of a revision; raise `MissingError` where there is none."""
    wanted = col(JobRevision.revision) == (col(Job.revision) if revision is None else revision)
    found = session.exec(
        select(Job, JobRevision).where(Job.id == number, col(JobRevision.job_id) == col(Job.id), wanted)
    ).one_or_none()
    if found is None:
        raise MissingError(f"there is no job {number}" + ("" if revision is None else f" of revision {revision}"))
    return found


def lock_job(session: Session, number: int) -> Job:
    """Return a job that no other transaction changes before this one ends; raise `MissingError` as `find_job` does."""
    job = session.exec(select(Job).where(Job.id == number).with_for_update()).one_or_none()
    if job is None:
        raise MissingError(f"there is no job {number}")
    return job


def change_job(session: Session, who: Who, job: Job, document: dict[str, Any], pricebook: str | None) -> None:
    """Keep the next revision of a job that is locked."""
    _revise(session, who, job, document, pricebook)
    note(session, who, "job changed", f"job {job.id}", revision=job.revision, reference=job.reference)


def delete_job(session: Session, who: Who, job: Job) -> None:
    """Remove a job that is locked, and its drafts; raise `StateError` where a quote was issued or work recorded."""
    numbers = session.exec(select(Quote.number, Quote.state).where(Quote.job_id == job.id)).all()
    issued = [number for number, state in numbers if state != "draft"]
    if issued:
        raise StateError(f"job {job.id} has the issued quote {issued[0]}; what was issued is kept")
    if session.exec(select(Actual.id).where(Actual.job_id == job.id).limit(1)).first() is not None:
        raise StateError(f"job {job.id} has work recorded; what happened is kept")
    drafts = [number for number, _ in numbers]
    session.execute(sa.delete(Paper).where(col(Paper.number).in_(drafts)))
    session.execute(sa.delete(Quote).where(col(Quote.number).in_(drafts)))
    session.execute(sa.delete(Photo).where(col(Photo.job_id) == job.id))
    session.execute(sa.delete(JobRevision).where(col(JobRevision.job_id) == job.id))
    note(session, who, "job removed", f"job {job.id}", revision=job.revision, reference=job.reference, drafts=drafts)
    session.delete(job)


def refresh(session: Session, number: int) -> None:
    """Set a job's state to that of its newest quote."""
    session.flush()
    newest = select(Quote.state).where(Quote.job_id == number).order_by(col(Quote.number).desc()).limit(1)
    state = session.exec(newest).first() or NEW
    session.execute(sa.update(Job).where(col(Job.id) == number).values(state=state))


def narrowed(query: Any, wanted: Wanted, kind: type[Job] | type[Quote]) -> Any:  # noqa: ANN401  # a statement
    """Return a query over jobs, or quotes joined with their jobs, narrowed to what is wanted."""
    for word in folded(wanted.words).split():
        query = query.where(col(Job.search).contains(word, autoescape=True))
    if wanted.state is not None:
        query = query.where(col(kind.state) == wanted.state)
    if wanted.since is not None:
        query = query.where(col(kind.created_at) >= wanted.since)
    if wanted.until is not None:
        query = query.where(col(kind.created_at) < wanted.until)
    return query


def list_jobs(
    session: Session, wanted: Wanted, after: int | None, limit: int
) -> list[tuple[Job, str | None, str | None]]:
    """Return jobs, newest first, each with the names of customer and equipment; `after` is the last one seen."""
    query = (
        select(Job, Customer.name, Equipment.description)
        .join(Customer, col(Customer.id) == col(Job.customer_id), isouter=True)
        .join(Equipment, col(Equipment.id) == col(Job.equipment_id), isouter=True)
        .order_by(col(Job.id).desc())
        .limit(limit)
    )
    query = narrowed(query, wanted, Job)
    return list(session.exec(query if after is None else query.where(col(Job.id) < after)))
