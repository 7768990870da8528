"""Who did what, noted in the transaction that did it."""

import json
from dataclasses import dataclass

from sqlmodel import Session, col, select

from api.store.clock import now
from api.store.models import AuditEntry

__all__ = ["CLOCK", "Who", "entries", "note"]


@dataclass(frozen=True)
class Who:
    """Who acts, as which role, in which request; `key` tells two apart whose names are the same."""

    name: str
    role: str
    request: str = ""
    key: str = ""


CLOCK = Who("clock", "none")  # what time alone brings about


def note(session: Session, who: Who, action: str, subject: str, **detail: object) -> None:
    """Note what was done to which thing ("job 7", "quote 100001"), with what is worth knowing of it."""
    said = json.dumps(detail, ensure_ascii=False, sort_keys=True)
    session.add(
        AuditEntry(
            at=now(), actor=who.name, role=who.role, action=action, subject=subject, detail=said, request=who.request
        )
    )


def entries(session: Session, subject: str | None, after: int | None, limit: int) -> list[AuditEntry]:
    """Return what was noted, newest first, of one thing or of all; `after` is the last one seen."""
    query = select(AuditEntry).order_by(col(AuditEntry.id).desc()).limit(limit)
    if subject is not None:
        query = query.where(AuditEntry.subject == subject)
    return list(session.exec(query if after is None else query.where(col(AuditEntry.id) < after)))
