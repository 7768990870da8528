"""Tokens and sessions on both databases: in force, revoked, expired; and what of their use is noted."""

import time
from collections.abc import Iterator
from contextlib import closing

import pytest
from sqlmodel import select

from api.access.keys import Keys, Notes
from api.access.secrets import digest, new_token
from api.store import keys
from api.store.address import read_address
from api.store.clock import later, now
from api.store.engine import Store
from api.store.errors import UnavailableError
from api.store.models import Session, Token
from api.store.schema import prepare


@pytest.fixture
def store(database: str) -> Iterator[Store]:
    with closing(Store(read_address(database))) as found:
        prepare(found)
        yield found


def given(store: Store, name: str, role: str = "owner", seconds: float | None = None) -> str:
    """Return a new token, which ends after some seconds."""
    secret = new_token()
    with store.writing() as db:
        keys.add(db, name, role, digest(secret), None if seconds is None else later(now(), seconds))
    return secret


def test_a_token_leads_to_its_holder_until_it_is_revoked(store: Store) -> None:
    secret, known = given(store, "Anna", "fleet"), Keys(store)
    caller = known.token(secret)
    assert caller is not None
    assert (caller.name, caller.role, caller.way, caller.sees_cost) == ("Anna", "fleet", "token", False)
    assert known.token(new_token()) is None
    assert known.token(secret[:-1]) is None
    assert known.token("' OR 1=1 --") is None
    with store.writing() as db:
        assert [token.name for token in keys.revoke(db, "Anna")] == ["Anna"]
        assert keys.revoke(db, "Anna") == []
    assert known.token(secret) is None


def test_what_has_expired_is_nobodys(store: Store) -> None:
    known, gone, kept = Keys(store), given(store, "past", seconds=-1), given(store, "future", seconds=3600)
    assert known.token(gone) is None
    assert known.token(kept) is not None
    with store.reading() as db:
        assert keys.has_any(db)
        assert [token.name for token in keys.every(db)] == ["past", "future"]


def test_a_session_ends_with_its_token_its_time_or_its_holder(store: Store) -> None:
    known, secret = Keys(store), given(store, "Anna", "estimator")
    sessions = [known.sign_in(secret, 1.0) for _ in range(2)]
    brief = known.sign_in(secret, 0.0001)
    assert known.sign_in(new_token(), 1.0) is None
    one, two = (session or "" for session in sessions)
    caller = known.session(one)
    assert caller is not None
    assert (caller.name, caller.role, caller.way) == ("Anna", "estimator", "session")
    time.sleep(0.4)
    assert known.session(brief or "") is None
    known.sign_out(one, caller)
    assert known.session(one) is None
    assert known.session(two) is not None
    with store.writing() as db:
        keys.revoke(db, "Anna")
    assert known.session(two) is None


def test_sessions_long_gone_are_cleared_away(store: Store) -> None:
    known, secret = Keys(store), given(store, "Anna")
    assert known.sign_in(secret, -2.0) is not None
    assert known.sign_in(secret, 1.0) is not None
    with store.reading() as db:
        assert len(db.exec(select(Session)).all()) == 1


def test_the_last_use_is_noted_now_and_then(store: Store) -> None:
    known, secret = Keys(store), given(store, "Anna")
    for _ in range(3):
        assert known.token(secret) is not None
        time.sleep(0.002)
    with store.reading() as db:
        token = db.exec(select(Token)).one()
        assert token.last_used_at is not None
        assert later(token.created_at, 0) <= token.last_used_at < now()
        assert keys.is_noted(token)


def test_nobody_waits_twice_for_a_note_that_cannot_be_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    notes, tried = Notes(), list[float]()

    def locked() -> None:
        tried.append(1)
        raise UnavailableError("the database is locked by another program; ask again")

    for _ in range(3):
        notes.take(locked)
    assert len(tried) == 1
    monkeypatch.setattr("api.access.keys.monotonic", lambda: time.monotonic() + 61)
    notes.take(locked)
    assert len(tried) == 2


def test_a_name_is_free_again_once_its_token_is_gone(store: Store) -> None:
    given(store, "van 2", "field", seconds=-1)
    given(store, "van 2", "fleet")
    with store.writing() as db, pytest.raises(keys.TakenNameError):
        keys.add(db, "van 2", "owner", digest(new_token()), None)
