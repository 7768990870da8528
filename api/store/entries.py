"""Records that a device made without network: kept once however late they come, and never over what others recorded."""

import json
from collections.abc import Iterable, Sequence
from typing import Any

from sqlmodel import Session, col, select

from api.store.errors import ClashError
from api.store.models import Actual
from estimator.errors import Fault

__all__ = ["last_record", "must_not_clash", "same_entry", "told_of"]

TOLD = 10
MINUTES = len("2026-11-25T17:50")
BESIDE = {"name", "sure"}  # of a bore, what is nothing read or measured


def last_record(session: Session, number: int) -> int:
    """Return the number of a quote's newest record, 0 where there is none: what a device has seen."""
    return session.exec(select(Actual.id).where(Actual.number == number).order_by(col(Actual.id).desc())).first() or 0


def same_entry(session: Session, number: int, text: str) -> Actual | None:
    """Return the record that a device sent before under the same name, None where it did not.

    Raises `ClashError` where that one says something else.
    """
    document = json.loads(text)
    entry = document.get("entry")
    if entry is None:
        return None
    named = col(Actual.document).contains(entry, autoescape=True)
    for row in session.exec(select(Actual).where(Actual.number == number, named).order_by(col(Actual.id))):
        kept = json.loads(row.document)
        if kept.get("entry") == entry:
            if _told(kept) != _told(document):
                said = f"record {row.id} was sent as this entry, and says otherwise"
                raise ClashError([Fault(f"records.{row.id}", said)])
            return row
    return None


def _told(document: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in document.items() if key != "seen"}


def told_of(session: Session, number: int) -> list[dict[str, str]]:
    """Return the newest records of a quote as a field page tells them: who, when, and what of which bore."""
    rows = session.exec(select(Actual).where(Actual.number == number).order_by(col(Actual.id).desc()).limit(TOLD))
    return [_line(row, json.loads(row.document)) for row in rows]


def _line(row: Actual, document: dict[str, Any]) -> dict[str, str]:
    return {
        "by": row.created_by,
        "at": row.created_at[:MINUTES].replace("T", " "),
        "what": ", ".join(sorted(_kinds(document))) or "a note",
        "signer": document.get("signature") or "",
        "path": document.get("signature_path") or "",
    }


def must_not_clash(rows: Sequence[Actual], text: str) -> None:
    """Raise `ClashError` where others recorded the same of a bore since the last record that was seen.

    A record that says nothing of what was seen clashes with none; nor does one with what its own device sent, whose
    name begins an entry, nor with the record that it replaces.
    """
    document = json.loads(text)
    seen = document.get("seen")
    if seen is None:
        return
    own, gone, device = _kinds(document), document.get("replaces"), _device(document)
    faults: list[Fault] = []
    for row in rows:
        theirs = json.loads(row.document)
        new = (row.id or 0) > seen and row.id != gone and not (device and _device(theirs) == device)
        if new and (same := sorted(own & _kinds(theirs))):
            said = f"record {row.id} of {row.created_by} says already: {', '.join(same)}"
            faults.append(Fault(f"records.{row.id}", said))
    if faults:
        raise ClashError(faults)


def _device(document: dict[str, Any]) -> str:
    """Return the device that a record was made on, the first word of its entry; empty where it says none."""
    return str(document.get("entry") or "").partition("-")[0]


def _kinds(document: dict[str, Any]) -> set[str]:
    """Return what a record says, as people read it: bore A arc time; signature."""
    bores: Iterable[dict[str, Any]] = document.get("bores", ())
    found = {f"bore {bore['name']} {key.replace('_', ' ')}" for bore in bores for key in bore if key not in BESIDE}
    return found | ({"signature"} if document.get("signature") else set())
