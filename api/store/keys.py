"""Tokens and the sessions they open. Only hashes are kept; what is revoked or has expired is nobody's any more.

Nothing is remembered between two questions, so that a token revoked by one process is refused by every other at once.
"""

from collections.abc import Sequence
from typing import Any

from sqlmodel import Session as Database
from sqlmodel import col, or_, select

from api.store.clock import later, now
from api.store.models import Session, Token

__all__ = [
    "TakenNameError", "add", "every", "has_any", "holder", "is_noted", "note_use", "revoke", "session_holder",
    "sign_in", "sign_out",
]  # fmt: skip

SELDOM = 3600.0  # [s] a token's last use is noted no more often than this


class TakenNameError(ValueError):
    """A token of this name is in force already."""


def _in_force(moment: str) -> Sequence[Any]:
    return col(Token.revoked_at).is_(None), or_(col(Token.expires_at).is_(None), col(Token.expires_at) > moment)


def add(db: Database, name: str, role: str, sha256: str, expires_at: str | None) -> Token:
    """Keep a new token by its hash; raise `TakenNameError` while one of that name is in force."""
    moment = now()
    if db.exec(select(Token).where(Token.name == name, *_in_force(moment))).first() is not None:
        raise TakenNameError(name)
    token = Token(name=name, role=role, sha256=sha256, created_at=moment, expires_at=expires_at)
    db.add(token)
    db.flush()
    return token


def every(db: Database) -> Sequence[Token]:
    """Return all tokens that ever were, oldest first."""
    return db.exec(select(Token).order_by(col(Token.id))).all()


def has_any(db: Database) -> bool:
    """Return whether any token is in force."""
    return db.exec(select(Token).where(*_in_force(now())).limit(1)).first() is not None


def revoke(db: Database, name: str) -> Sequence[Token]:
    """Revoke what is in force under a name, and with it the sessions it opened; return those tokens."""
    moment = now()
    found = db.exec(select(Token).where(Token.name == name, *_in_force(moment))).all()
    for token in found:
        token.revoked_at = moment
        db.add(token)
    return found


def holder(db: Database, sha256: str) -> Token | None:
    """Return the token in force with that hash."""
    return db.exec(select(Token).where(Token.sha256 == sha256, *_in_force(now()))).first()


def session_holder(db: Database, sha256: str) -> tuple[Session, Token] | None:
    """Return the session with that hash and the token behind it, both in force."""
    moment = now()
    alive = (col(Session.revoked_at).is_(None), col(Session.expires_at) > moment)
    return db.exec(
        select(Session, Token).join(Token).where(Session.sha256 == sha256, *alive, *_in_force(moment))
    ).first()


def is_noted(row: Token | Session) -> bool:
    """Return whether a use was noted not long ago."""
    return row.last_used_at is not None and row.last_used_at > later(now(), -SELDOM)


def note_use(db: Database, kind: type[Token] | type[Session], number: int | None) -> None:
    """Note that a token or session was used now."""
    row = db.get(kind, number)
    if row is not None:
        row.last_used_at = now()
        db.add(row)


def sign_in(db: Database, token: str, session: str, hours: float) -> None:
    """Open a session by its hash for the token in force with that hash; what has expired long ago goes."""
    moment, found = now(), holder(db, token)
    for old in db.exec(select(Session).where(Session.expires_at < later(moment, -SELDOM)).limit(1000)):
        db.delete(old)
    if found is not None and found.id is not None:
        ends = later(moment, 3600 * hours)
        db.add(Session(token_id=found.id, sha256=session, created_at=moment, expires_at=ends))


def sign_out(db: Database, sha256: str) -> None:
    """Close the session with that hash."""
    found = db.exec(select(Session).where(Session.sha256 == sha256)).first()
    if found is not None:
        found.revoked_at = now()
        db.add(found)
