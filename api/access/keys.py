"""From a token or a session to its holder, by the store; nothing is kept in this process."""

from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock
from time import monotonic
from typing import Literal, cast

from api.access.secrets import digest, new_session, shaped
from api.caller import Caller, request_id
from api.store import keys
from api.store.audit import Who, note
from api.store.engine import Store
from api.store.errors import StoreError
from api.store.models import Session, Token
from estimator.document.redact import Role

__all__ = ["Keys", "NoKeys", "Notes"]

REST = 60.0  # [s]


class Notes:
    """One note at a time, and none for a while after the database did not take one: nobody waits for a note in vain."""

    def __init__(self) -> None:
        """Begin at once."""
        self._one, self._after = Lock(), 0.0

    def take(self, note: Callable[[], None]) -> None:
        """Take a note now, or leave it to a later request."""
        if monotonic() < self._after or not self._one.acquire(blocking=False):
            return
        try:
            note()
        except StoreError:
            self._after = monotonic() + REST
        finally:
            self._one.release()


NOTES = Notes()


class NoKeys:
    """A service without a store: nobody from elsewhere is known."""

    def token(self, _: str) -> Caller | None:
        """Return nobody."""
        return None

    session = token

    def sign_in(self, _: str, __: float) -> str | None:
        """Return no session."""
        return None

    def sign_out(self, _: str, __: Caller) -> None:
        """Do nothing."""


@dataclass(frozen=True)
class Keys:
    """Who holds which token or session, as the store has it now."""

    store: Store

    def token(self, secret: str) -> Caller | None:
        """Return who holds a token; None where it is not in force."""
        if not shaped(secret):
            return None
        with self.store.reading() as db:
            found = keys.holder(db, digest(secret))
        return None if found is None else self._known(found, found, "token")

    def session(self, secret: str) -> Caller | None:
        """Return who is signed in with a session; None where it or its token is not in force."""
        with self.store.reading() as db:
            found = keys.session_holder(db, digest(secret))
        return None if found is None else self._known(found[1], found[0], "session")

    def sign_in(self, secret: str, hours: float) -> str | None:
        """Open a session for a token and return its number; None where the token is not in force."""
        holder, session = self.token(secret), new_session()
        if holder is None:
            return None
        with self.store.writing() as db:
            keys.sign_in(db, digest(secret), digest(session), hours)
            note(db, _who(holder), "signed in", f"token {holder.name}")
        return session

    def sign_out(self, secret: str, caller: Caller) -> None:
        """Close a session."""
        with self.store.writing() as db:
            keys.sign_out(db, digest(secret))
            note(db, _who(caller), "signed out", f"token {caller.name}")

    def _known(self, token: Token, used: Token | Session, way: Literal["token", "session"]) -> Caller:
        """Return the caller behind a token, its use noted where that was not done lately."""
        if not keys.is_noted(used):
            NOTES.take(lambda: self._note(type(used), used.id))
        return Caller(token.name, cast(Role, token.role), way, f"token {token.id}")

    def _note(self, kind: type[Token] | type[Session], number: int | None) -> None:
        with self.store.writing() as db:
            keys.note_use(db, kind, number)


def _who(caller: Caller) -> Who:
    return Who(caller.name, caller.role, request_id())
