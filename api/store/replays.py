"""A request that is sent twice under one idempotency key is done once, and answered twice."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

import sqlalchemy as sa
from sqlmodel import Session, col, select

from api.store.audit import Who
from api.store.clock import later, now
from api.store.engine import Store
from api.store.errors import ReusedKeyError
from api.store.inserts import insert_new
from api.store.models import Replay

__all__ = ["Answer", "Once", "done_once"]

KEPT = 24 * 3600.0  # [s]
T = TypeVar("T")


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


def done_once(store: Store, once: Once, ready: Callable[[], T], write: Callable[[Session, T], Answer]) -> Answer:
    """Return the answer to a request, or that to an earlier one under the same key.

    Parameters
    ----------
    store
        The database.
    once
        What makes two requests one.
    ready
        What takes long and writes nothing; done before anything is locked.
    write
        What writes, within one transaction, from what `ready` returned.

    Raises
    ------
    ReusedKeyError
        If the key stood for another route or body.
    """
    if once.key is not None:
        with store.reading() as session:
            if (found := _earlier(session, once)) is not None:
                return found
    made = ready()
    with store.writing() as session:
        if once.key is None:
            return write(session, made)
        session.execute(sa.delete(Replay).where(col(Replay.created_at) <= later(now(), -KEPT)))
        if not insert_new(session, Replay, **_blank(once)):
            found = _earlier(session, once)
            assert found is not None  # it was in the way just now
            return found
        answer = write(session, made)
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
