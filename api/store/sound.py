"""Whether what is kept is still what was once kept: the hashes of quotes and jobs, states, roles, the counter."""

import json
from collections.abc import Mapping
from typing import Any

import sqlalchemy as sa
from sqlmodel import col

from api.store.diary_models import Placement, Resource
from api.store.models import (
    Actual,
    AuditEntry,
    Calibration,
    Counter,
    Job,
    JobRevision,
    Paper,
    PriceBook,
    Quote,
    Replay,
    Token,
)
from api.store.sound_bills import bill_faults
from api.store.whole import HELD, paper_fault
from estimator.document.redact import ROLES
from estimator.strict import sha256

__all__ = ["JOB_STATES", "QUOTE_STATES", "RESOURCE_KINDS", "fault_of", "faults_in"]

DRAFT, ISSUING = "draft", "quote issued"
AT_ONCE = 200  # rows
LATEST = "9999"  # later than any time; a quote may have been issued before there was an audit
HIGHEST = 10**17  # a number that was counted never gets there
QUOTE_STATES = (DRAFT, "issued", "accepted", "declined", "superseded", "expired")
JOB_STATES = ("new", *QUOTE_STATES)
RESOURCE_KINDS = ("technician", "rig")


def fault_of(state: str, total: str, currency: str, stored: str | None, estimate: str) -> str:
    """Return what is wrong with a quote, empty where it is sound.

    Parameters
    ----------
    state, total, currency
        Of the quote's row.
    stored, estimate
        Of its paper: the hash that was stored when it was issued, and the text of the estimate.
    """
    if state == DRAFT:
        return "" if stored is None else "is a draft with the hash of an issued quote"
    if stored is None:
        return f"is {state} without the hash of an issued quote"
    try:
        found = json.loads(estimate)
        if sha256(found) != stored:
            return "says something else than was issued: the hash that was stored is not that of its estimate"
        said = f"{found['price']['total']} {found['price']['currency']}"
    except (ValueError, TypeError, KeyError, RecursionError):
        return "has an estimate that cannot be read"
    listed = f"{total} {currency}"
    return "" if said == listed else f"stands at {listed} in the list and at {said} in its estimate"


def faults_in(connection: sa.Connection) -> list[str]:
    """Return a line for whatever a database holds that is not sound, without changing it."""
    checks = (_quotes, _jobs, bill_faults, _texts, _calibrations, _words, _counter)
    return [line for check in checks for line in check(connection)]


def _quotes(connection: sa.Connection) -> list[str]:
    """Return a line for each quote that is not sound; what it holds is held against the audit too."""
    noted = _noted(connection)
    begun = connection.scalar(sa.select(sa.func.min(col(AuditEntry.at)))) or LATEST
    columns = (
        col(Quote.number).label("quote"), col(Quote.state), col(Quote.total), col(Quote.currency), col(Paper.sha256),
        col(Paper.estimate), col(Quote.issued_at), *(getattr(Paper, name) for name in HELD),
    )  # fmt: skip
    query = sa.select(*columns).join_from(Quote, Paper, col(Paper.number) == col(Quote.number), isouter=True)
    rows: Any = connection.execution_options(yield_per=AT_ONCE).execute(query.order_by(col(Quote.number)))
    found = ((row["quote"], _quote(row, noted.get(row["quote"]), begun)) for row in rows.mappings())
    return [f"quote {number} {said}" for number, said in found if said]


def _quote(row: Mapping[str, Any], noted: dict[str, Any] | None, begun: str) -> str:
    """Return what is wrong with a quote and its paper, beside what the audit noted when it was issued."""
    stored = row["sha256"]
    if row["estimate"] is None:
        return "has no paper"
    if said := fault_of(row["state"], row["total"], row["currency"], stored, row["estimate"]):
        return said
    if stored is not None and noted is None and (row["issued_at"] or LATEST) >= begun:
        return "was issued, and the audit has no note of it"
    if stored is not None and noted is not None and noted["sha256"] != stored:
        return "has another hash than the audit noted when it was issued"
    return paper_fault(row, issued=stored is not None, noted=(noted or {}).get("paper"))


def _noted(connection: sa.Connection) -> dict[int, dict[str, Any]]:
    """Return what the audit noted of each quote when it was issued."""
    query = sa.select(col(AuditEntry.subject), col(AuditEntry.detail)).where(col(AuditEntry.action) == ISSUING)
    found: dict[int, dict[str, Any]] = {}
    for subject, detail in connection.execution_options(yield_per=AT_ONCE).execute(query.order_by(col(AuditEntry.id))):
        try:
            said = json.loads(detail)
            found.setdefault(int(subject.removeprefix("quote ")), said | {"sha256": str(said["sha256"])})
        except (ValueError, TypeError, KeyError, RecursionError):
            continue  # what is no note of ours proves nothing
    return found


def _jobs(connection: sa.Connection) -> list[str]:
    """Return a line for each job document that has not the hash it was stored with."""
    names = ("job_id", "revision", "document", "sha256")
    query = sa.select(*(getattr(JobRevision, name) for name in names)).order_by(col(JobRevision.job_id))
    lines = []
    for row in connection.execution_options(yield_per=AT_ONCE).execute(query):
        number, revision, document, stored = (getattr(row, name) for name in names)
        try:
            same = sha256(json.loads(document)) == stored
        except (ValueError, RecursionError):
            same = False
        if not same:
            lines.append(f"job {number} of revision {revision} has not the hash it was stored with")
    return lines


def _texts(connection: sa.Connection) -> list[str]:
    """Return a line for each column of JSON texts that holds what is none."""
    lines = []
    for name, column in (
        ("actuals.document", col(Actual.document)),
        ("actuals.judged", col(Actual.judged)),
        ("audit.detail", col(AuditEntry.detail)),
        ("calibrations.document", col(Calibration.document)),
        ("pricebooks.document", col(PriceBook.document)),
        ("papers.job", col(Paper.job)),
        ("papers.pricebook", col(Paper.pricebook)),
        ("papers.estimate", col(Paper.estimate)),
        ("replays.headers", col(Replay.headers)),
        ("placements.plan", col(Placement.plan)),
    ):
        rows = connection.execution_options(yield_per=AT_ONCE).execute(sa.select(column))
        if not all(_is_object(text) for (text,) in rows):
            lines.append(f"{name} holds what is no JSON object")
    return lines


def _calibrations(connection: sa.Connection) -> list[str]:
    """Return a line for each calibration that says something else than was accepted."""
    rows = connection.execute(sa.select(col(Calibration.id), col(Calibration.document), col(Calibration.sha256)))
    return [
        f"calibration {number} says something else than was accepted: its hash is another"
        for number, text, stored in rows
        if not _is_object(text) or sha256(json.loads(text)) != stored
    ]


def _is_object(text: str) -> bool:
    try:
        return isinstance(json.loads(text), dict)
    except (ValueError, RecursionError):
        return False


def _words(connection: sa.Connection) -> list[str]:
    """Return a line for each table with a state or role that there is not."""
    lines = []
    for name, column, allowed in (
        ("quotes.state", col(Quote.state), QUOTE_STATES),
        ("jobs.state", col(Job.state), JOB_STATES),
        ("tokens.role", col(Token.role), ROLES),
        ("resources.kind", col(Resource.kind), RESOURCE_KINDS),
    ):
        odd = connection.scalar(sa.select(column).where(column.not_in(allowed)).limit(1))
        if odd is not None:
            lines.append(f"{name} holds {str(odd)[:40]!r}, which there is not")
    return lines


def _counter(connection: sa.Connection) -> list[str]:
    """Return a line where quotes are not counted on above the last one."""
    last = connection.scalar(sa.select(col(Counter.last)).where(col(Counter.name) == "quote"))
    highest = connection.scalar(sa.select(sa.func.coalesce(sa.func.max(col(Quote.number)), 0))) or 0
    return [] if last is not None and highest <= last < HIGHEST else [f"quotes are counted up to {last} only"]
