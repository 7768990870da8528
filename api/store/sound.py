"""Whether what a quote says is still what was issued."""

import json

import sqlalchemy as sa
from sqlmodel import col

from api.store.models import AuditEntry, Paper, Quote
from estimator.strict import sha256

__all__ = ["fault_of", "faults_in"]

DRAFT, ISSUING = "draft", "quote issued"
AT_ONCE = 200  # rows


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
    """Return a line for each quote of a database that is not sound; its hash is held against the audit too."""
    noted = _noted(connection)
    query = sa.select(
        col(Quote.number), col(Quote.state), col(Quote.total), col(Quote.currency), col(Paper.sha256), col(Paper.estimate)
    ).join_from(Quote, Paper, col(Paper.number) == col(Quote.number), isouter=True)  # fmt: skip
    rows = connection.execution_options(yield_per=AT_ONCE).execute(query.order_by(col(Quote.number)))
    lines = []
    for number, state, total, currency, stored, estimate in rows:
        said = "has no paper" if estimate is None else fault_of(state, total, currency, stored, estimate)
        if not said and stored is not None and noted.get(number, stored) != stored:
            said = "has another hash than the audit noted when it was issued"
        if said:
            lines.append(f"quote {number} {said}")
    return lines


def _noted(connection: sa.Connection) -> dict[int, str]:
    """Return the hash that the audit noted of each quote when it was issued."""
    query = sa.select(col(AuditEntry.subject), col(AuditEntry.detail)).where(col(AuditEntry.action) == ISSUING)
    found: dict[int, str] = {}
    for subject, detail in connection.execution_options(yield_per=AT_ONCE).execute(query):
        try:
            found.setdefault(int(subject.removeprefix("quote ")), str(json.loads(detail)["sha256"]))
        except (ValueError, TypeError, KeyError):
            continue  # what is no note of ours proves nothing
    return found
