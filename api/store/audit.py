"""Who did what, noted in the transaction that did it."""

import json
from dataclasses import dataclass

from sqlmodel import Session

from api.store.clock import now
from api.store.models import AuditEntry

__all__ = ["CLOCK", "Who", "note"]


@dataclass(frozen=True)
class Who:
    """Who acts, as which role, in which request."""

    name: str
    role: str
    request: str = ""


CLOCK = Who("clock", "none")  # what time alone brings about


def note(session: Session, who: Who, action: str, subject: str, **detail: object) -> None:
    """Note what was done to which thing ("job 7", "quote 100001"), with what is worth knowing of it."""
    said = json.dumps(detail, ensure_ascii=False, sort_keys=True)
    session.add(
        AuditEntry(
            at=now(), actor=who.name, role=who.role, action=action, subject=subject, detail=said, request=who.request
        )
    )
