"""Whether invoices and variation orders are what was frozen: hashes, the audit's notes, numbers without gaps."""

import json
from collections.abc import Iterator
from typing import Any

import sqlalchemy as sa
from sqlmodel import col

from api.store.models import AuditEntry, Counter, Invoice, Variation
from api.store.whole import hash_of
from estimator.strict import sha256

__all__ = ["VARIATION_STATES", "bill_fault", "bill_faults"]

VARIATION_STATES = ("offered", "accepted", "declined")
AT_ONCE = 200  # rows
BEFORE_THE_FIRST = 200_000  # the number before the first invoice's
HIGHEST = 10**17  # a number that was counted never gets there
Noted = dict[tuple[str, Any], dict[str, Any]]


def bill_fault(row: Invoice | Variation | sa.Row[Any]) -> str:
    """Return what is wrong with a bill, empty where it is what was frozen."""
    try:
        found = json.loads(row.document)
        if sha256(found) != row.sha256:
            return "says something else than was frozen: the hash that was stored is not that of its document"
        said = f"{found['total']} {found['currency']}"
    except (ValueError, TypeError, KeyError, RecursionError):
        return "has a document that cannot be read"
    listed = f"{row.total} {row.currency}"
    return "" if said == listed else f"stands at {listed} in the list and at {said} in its document"


def bill_faults(connection: sa.Connection) -> list[str]:
    """Return a line for each invoice and variation order that is not sound, and for numbers that are missing."""
    noted = _noted(connection)
    found = [*_invoices(connection, noted), *_variations(connection, noted)]
    return [*found, *_gaps(connection)]


def _rows(connection: sa.Connection, model: type[Invoice] | type[Variation]) -> Iterator[sa.Row[Any]]:
    table = model.metadata.tables[str(model.__tablename__)]
    query = sa.select(table).order_by(*table.primary_key.columns)
    yield from connection.execution_options(yield_per=AT_ONCE).execute(query)


def _invoices(connection: sa.Connection, noted: Noted) -> Iterator[str]:
    for row in _rows(connection, Invoice):
        if said := bill_fault(row) or _listed(row) or _against(row, noted.get((f"invoice {row.number}", None))):
            yield f"invoice {row.number} {said}"


def _listed(row: sa.Row[Any]) -> str:
    """Return where an invoice's row says otherwise than its document which quote it is of and what it cancels."""
    found = json.loads(row.document)
    same = (found.get("quote"), found.get("cancels")) == (str(row.quote), row.cancels and str(row.cancels))
    return "" if same and row.issued_at.startswith(str(found.get("issued_on"))) else "is listed otherwise than it says"


def _settled(connection: sa.Connection) -> set[tuple[str, Any, str]]:
    """Return which variations the audit says were accepted or declined: the quote, their number, and which."""
    words = {f"variation {state}": state for state in VARIATION_STATES[1:]}
    query = sa.select(col(AuditEntry.action), col(AuditEntry.subject), col(AuditEntry.detail))
    found = set[tuple[str, Any, str]]()
    for action, subject, detail in connection.execute(query.where(col(AuditEntry.action).in_(words))):
        try:
            found.add((subject, json.loads(detail).get("variation"), words[action]))
        except (ValueError, AttributeError, RecursionError):
            continue
    return found


def _is_settled(row: sa.Row[Any]) -> bool:
    """Return whether what is kept of how a variation was settled can be read."""
    try:
        return row.settled is None or isinstance(json.loads(row.settled), dict)
    except (ValueError, RecursionError):
        return False


def _variations(connection: sa.Connection, noted: Noted) -> Iterator[str]:
    settled = _settled(connection)
    for row in _rows(connection, Variation):
        said = bill_fault(row) or _against(row, noted.get((f"quote {row.quote}", row.number)))
        if row.state not in VARIATION_STATES:
            said = said or f"is {str(row.state)[:40]!r}, which there is not"
        elif row.state != VARIATION_STATES[0] and (f"quote {row.quote}", row.number, row.state) not in settled:
            said = said or f"is {row.state}, and the audit has no note of it"
        if not _is_settled(row):
            said = said or "was settled in a way that cannot be read"
        if said:
            yield f"variation {row.number} of quote {row.quote} {said}"


def _against(row: sa.Row[Any], noted: dict[str, Any] | None) -> str:
    """Return what a bill holds that the audit noted otherwise when it was made."""
    if noted is None:
        return "was made, and the audit has no note of it"
    if noted.get("sha256") != row.sha256:
        return "has another hash than the audit noted when it was made"
    return "" if noted.get("papers") == hash_of(row.papers) else "has other papers than were frozen"


def _noted(connection: sa.Connection) -> Noted:
    """Return what the audit noted of each bill when it was made, by its subject and the number of a variation."""
    actions = ("invoice issued", "variation offered")
    query = sa.select(col(AuditEntry.subject), col(AuditEntry.detail)).where(col(AuditEntry.action).in_(actions))
    found: Noted = {}
    for subject, detail in connection.execution_options(yield_per=AT_ONCE).execute(query.order_by(col(AuditEntry.id))):
        try:
            said = json.loads(detail)
            found.setdefault((subject, said.get("variation")), said)
        except (ValueError, AttributeError, TypeError, RecursionError):
            continue  # what is no note of ours proves nothing
    return found


def _gaps(connection: sa.Connection) -> Iterator[str]:
    """Yield a line where invoices are not counted on above the last one, or where one of them is not there.

    A restored backup leaves numbers out which were given since; the audit says so.
    """
    last = connection.scalar(sa.select(col(Counter.last)).where(col(Counter.name) == "invoice"))
    number = col(Invoice.number)
    count, highest = connection.execute(sa.select(sa.func.count(), sa.func.max(number)).select_from(Invoice)).one()
    if last is None or not (highest or 0) <= last < HIGHEST:
        yield f"invoices are counted up to {last} only"
        return
    restored = sa.select(sa.func.count()).select_from(AuditEntry).where(col(AuditEntry.action) == "backup restored")
    if count != last - BEFORE_THE_FIRST and not connection.scalar(restored):
        yield f"{count} invoices are there, and {last - BEFORE_THE_FIRST} numbers were given"
