"""Who did what, in the store's audit: written in the transaction of the deed itself, so that one never stands alone."""

import json

from sqlmodel import Session as Database

from api.access.caller import Caller, request_id
from api.store.clock import now
from api.store.models import AuditEntry

__all__ = ["note"]


def note(db: Database, caller: Caller, action: str, subject: str, **detail: object) -> None:
    """Note that a caller did something; `detail` holds names and states, never a document, a secret or a cost."""
    said = json.dumps(detail, sort_keys=True, separators=(",", ":"))
    entry = AuditEntry(
        at=now(), actor=caller.name, role=caller.role, action=action, subject=subject, detail=said, request=request_id()
    )
    db.add(entry)
