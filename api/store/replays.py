"""A request that is sent twice under one idempotency key is done once, and answered twice."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, col, select

from api.store.audit import Who
from api.store.clock import later, now
from api.store.engine import Store
from api.store.errors import ReusedKeyError
from api.store.inserts import insert_new
from api.store.models import Replay

__all__ = ["Answer", "Once", "done_once", "replayed"]

KEPT = 24 * 3600.0  # [s]


@dataclass(frozen=True)
class Answer:
    """What a route answers: status, document and headers; `kept` are keys of it as the JSON texts they are kept as."""

    status: int
    document: Mapping[str, Any]
    headers: Mapping[str, str] = field(default_factory=dict)
    kept: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Once:
    """What makes two requests one: who asks, under which key, for what; without a key each is one of its own."""

    who: Who
    key: str | None
    route: str
    body_sha256: str


def replayed(store: Store, once: Once) -> Answer | None:
    """Return the answer to an earlier request under the same key, before anything is made for this one.

    Raises
    ------
    ReusedKeyError
        If the key stood for another route or body.
    """
    if once.key is None:
        return None
    with store.reading() as session:
        return _earlier(session, once)


def done_once(store: Store, once: Once, write: Callable[[Session], Answer]) -> Answer:
    """Return the answer to a request, or that to an earlier one under the same key.

    Parameters
    ----------
    store
        The database.
    once
        What makes two requests one.
    write
        What writes, within one transaction; whatever takes long was done before.

    Raises
    ------
    ReusedKeyError
        If the key stood for another route or body.
    """
    with store.writing() as session:
        if once.key is None:
            return write(session)
        session.execute(sa.delete(Replay).where(col(Replay.created_at) <= later(now(), -KEPT)))
        if not insert_new(session, Replay, **_blank(once)):
            found = _earlier(session, once)
            assert found is not None  # it was in the way just now
            return found
        answer = write(session)
        session.execute(
            sa.update(Replay)
            .where(col(Replay.actor) == once.who.key, col(Replay.key) == once.key)
            .values(status=answer.status, headers=json.dumps(dict(answer.headers)), body=_body(answer))
        )
        return answer


def _body(answer: Answer) -> str:
    return json.dumps([dict(answer.document), dict(answer.kept)], ensure_ascii=False)


def _blank(once: Once) -> dict[str, object]:
    return {
        "actor": once.who.key,
        "key": once.key,
        "route": once.route,
        "body_sha256": once.body_sha256,
        "status": 0,
        "headers": "{}",
        "body": "",
        "created_at": now(),
    }


def _earlier(session: Session, once: Once) -> Answer | None:
    """Return the answer that is kept under a key, if it is kept still."""
    row = session.exec(
        select(Replay).where(
            Replay.actor == once.who.key, Replay.key == once.key, Replay.created_at > later(now(), -KEPT)
        )
    ).one_or_none()
    if row is None:
        return None
    if (row.route, row.body_sha256) != (once.route, once.body_sha256):
        raise ReusedKeyError("this Idempotency-Key stood for another request within 24 hours; take a new one")
    document, kept = json.loads(row.body)
    return Answer(row.status, document, {**json.loads(row.headers), "Idempotent-Replayed": "true"}, kept)
