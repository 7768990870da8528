"""Calibrations by version: what recorded jobs had taught when an owner accepted it. The last one is in force."""

import json
from typing import Any

from sqlmodel import Session, col, select

from api.store.audit import Who, note
from api.store.books import book_named
from api.store.clock import now
from api.store.errors import MissingError
from api.store.models import Calibration

__all__ = ["accept", "book_in_force", "find_calibration", "in_force", "list_calibrations"]


def in_force(session: Session) -> Calibration | None:
    """Return the calibration that new quotes are drawn up with; None where an owner has accepted none."""
    return session.exec(select(Calibration).order_by(col(Calibration.id).desc()).limit(1)).first()


def accept(session: Session, who: Who, document: str, digest: str) -> Calibration:
    """Keep a calibration as the next version, from now on in force."""
    row = Calibration(document=document, sha256=digest, created_at=now(), created_by=who.name)
    session.add(row)
    session.flush()
    note(session, who, "calibration accepted", f"calibration {row.id}", sha256=digest)
    return row


def find_calibration(session: Session, version: int) -> Calibration:
    """Return a version; raise `MissingError` where there is none of that number."""
    row = session.get(Calibration, version)
    if row is None:
        raise MissingError(f"there is no calibration {version}")
    return row


def list_calibrations(session: Session, after: int | None, limit: int) -> list[Calibration]:
    """Return versions, newest first; `after` is the last one seen."""
    query = select(Calibration).order_by(col(Calibration.id).desc()).limit(limit)
    return list(session.exec(query if after is None else query.where(col(Calibration.id) < after)))


def book_in_force(session: Session, name: str | None) -> str | None:
    """Return the text of the stored price book of that name with the calibration in force laid into it.

    A book that has one of its own keeps it; None stands for the built-in book as it is. Raises as `book_named` does.
    """
    text = book_named(session, name)
    kept = in_force(session)
    if kept is None:
        return text
    book: dict[str, Any] = {} if text is None else json.loads(text)
    taught: dict[str, Any] = json.loads(kept.document)
    own = {key: taught[key] for key in ("jobs", "factors")}
    if "calibration" in book or not own["factors"]:
        return text
    return json.dumps({**book, "calibration": {"version": kept.id, **own}}, ensure_ascii=False, separators=(",", ":"))
