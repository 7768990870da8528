"""What was done to a job and its quotes, as a page tells it."""

import json
from collections.abc import Iterable

from sqlmodel import Session

from api.store.audit import entries

__all__ = ["past_of"]

MOST = 40
MINUTE = len("2026-11-25T17:50")


def past_of(session: Session, subjects: Iterable[str]) -> list[dict[str, str]]:
    """Return who did what to some things ("job 7", "quote 100001"), newest first; times are in UTC."""
    rows = [row for subject in subjects for row in entries(session, subject, None, MOST)]
    rows.sort(key=lambda row: row.id or 0, reverse=True)
    return [
        {
            "at": row.at[:MINUTE].replace("T", " "),
            "who": f"{row.actor}, {row.role}" if row.role != "none" else row.actor,
            "what": f"{row.action}: {row.subject}{_more(json.loads(row.detail))}",
        }
        for row in rows[:MOST]
    ]


def _more(detail: dict[str, object]) -> str:
    found = [f"{name} {detail[name]}" for name in ("revision", "revises", "by") if name in detail]
    return f", {', '.join(found)}" if found else ""
