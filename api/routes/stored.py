"""What the routes of the store share: the database, who asks, which page of a list, which revision is meant."""

import re
from collections.abc import Awaitable, Callable, Sequence
from typing import Any, ParamSpec, TypeVar

from fastapi import Request, Response
from pydantic_core import to_json
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException

from api.caller import current, request_id
from api.describe.routes import parameter
from api.routes.requests import json_body, parameters, sent
from api.store.audit import Who
from api.store.books import book_named
from api.store.clock import day_of
from api.store.engine import Store
from api.store.errors import MissingError, StaleError, UnavailableError
from api.store.jobs import Wanted
from api.store.replays import Answer, Once, done_once, replayed
from api.work.tasks import shown
from estimator.document.redact import redact, sees_cost
from estimator.errors import DocumentError, Fault
from estimator.strict import parse, sha256

__all__ = [
    "BOOK", "LISTED", "answered_once", "book_asked", "etag", "expected", "in_thread", "made_once", "no_document",
    "number_of", "once_of", "page_of", "paged", "store_of", "told", "who_asks",
]  # fmt: skip

BOOK = parameter("pricebook", "Name of a stored price book; else the built-in one.")
PAGED = ("limit", "after")
LISTED = (*PAGED, "q", "state", "since", "until")
USUAL, MOST = 50, 500
LEAST = len(b"{}")
LARGEST_NOTHING = 4096  # [bytes]
NOTHING = "the body is empty, or {}"
LONGEST = 200  # characters of a search
WHOLE = re.compile(r"[1-9][0-9]{0,17}")
KEY = re.compile(r"[\x21-\x7e]([\x20-\x7e]{0,198}[\x21-\x7e])?")
TAG = re.compile(r'\s*(W/)?"([\x21\x23-\x7e\x80-\xff]*)"\s*')
P = ParamSpec("P")
R = TypeVar("R")
T = TypeVar("T")


async def in_thread(function: Callable[P, R], *args: P.args, **kwargs: P.kwargs) -> R:
    """Return what a function answers that waits for the database, in a thread of its own."""
    return await run_in_threadpool(function, *args, **kwargs)


def store_of(request: Request) -> Store:
    """Return the database of the service."""
    store = getattr(request.app.state, "store", None)
    if not isinstance(store, Store):
        raise UnavailableError("the service was started without a database")
    return store


def who_asks() -> Who:
    """Return who asks, for the audit."""
    caller = current()
    return Who(caller.name, caller.role, request_id(), caller.key)


def number_of(text: str, what: str) -> int:
    """Return the whole number in a path; raise `MissingError` where it is none."""
    if not WHOLE.fullmatch(text):
        raise MissingError(f"there is no {what} {text[:40]!r}")
    return int(text)


async def no_document(request: Request) -> str:
    """Take an empty body or `{}` and return its hash; raise `DocumentError` for anything else."""
    if await request.body():
        body = await json_body(request)
        if len(body) > LARGEST_NOTHING:
            raise DocumentError([Fault("", NOTHING)])
        if found := parse(body):
            raise DocumentError([Fault(key, f"unknown key; {NOTHING}") for key in found])
    return sha256({})


async def budget_asked(request: Request) -> tuple[bool, str]:
    """Take an empty body, `{}` or `{"budget": true}`; return whether a budget price is meant, and the body's hash."""
    if not await request.body():
        return False, sha256({})
    body = await json_body(request)
    found = parse(body) if len(body) <= LARGEST_NOTHING else {"": None}
    faults = [Fault(key, 'unknown key; the body is empty, {} or {"budget": true}') for key in found if key != "budget"]
    if not isinstance(found.get("budget", False), bool):
        faults.append(Fault("budget", "must be true or false"))
    if faults:
        raise DocumentError(faults)
    return found.get("budget", False), sha256(found)


def once_of(request: Request, digest: str) -> Once:
    """Return what makes this request one with another: who asks, its idempotency key, route, and its body's hash."""
    keys = request.headers.getlist("idempotency-key")
    if len(keys) > 1 or any(not KEY.fullmatch(key) for key in keys):
        raise DocumentError([Fault("Idempotency-Key", "one text of 1 to 200 plain characters is due")])
    route = f"{request.method} {request.url.path}?{request.url.query}"
    return Once(who_asks(), keys[0] if keys else None, route, digest)


async def told(found: Answer) -> Response:
    """Return what was made as the answer; texts that were kept go out byte for byte to whoever may see all of them."""
    role = current().role
    if not found.kept or sees_cost(role):
        return sent(_whole(found, to_json(redact(found.document, role))), found.status, found.headers)
    body = await in_thread(shown, _whole(found, to_json(found.document)), role)
    return sent(body, found.status, found.headers)


def _whole(found: Answer, body: bytes) -> bytes:
    """Return a JSON object with the texts that were kept as further keys."""
    for key, text in found.kept.items():
        body = body[:-1] + (b"," if len(body) > LEAST else b"") + to_json(key) + b":" + text.encode() + b"}"
    return body


async def made_once(
    request: Request, once: Once, ready: Callable[[], Awaitable[T]], write: Callable[[Session, T], Answer]
) -> Response:
    """Return the answer to a request that is done once.

    Parameters
    ----------
    request
        What is asked.
    once
        What makes two requests one.
    ready
        What takes long and writes nothing; done before anything is locked.
    write
        What writes, within one transaction, from what `ready` returned.
    """
    return await told(await answered_once(request, once, ready, write))


async def answered_once(
    request: Request, once: Once, ready: Callable[[], Awaitable[T]], write: Callable[[Session, T], Answer]
) -> Answer:
    """Return the answer to a request that is done once, before anybody is told; the rest as `made_once` has it."""
    store = store_of(request)
    if (found := await in_thread(replayed, store, once)) is not None:
        return found
    made = await ready()
    return await in_thread(done_once, store, once, lambda session: write(session, made))


async def book_asked(request: Request, name: str | None) -> str | None:
    """Return the text of the stored price book of a name, None for the built-in one."""
    return None if name is None else await in_thread(_book, store_of(request), name)


def _book(store: Store, name: str) -> str | None:
    with store.reading() as session:
        return book_named(session, name)


def etag(revision: int) -> str:
    """Return the ETag of a revision."""
    return f'"{revision}"'


def expected(request: Request, revision: int) -> None:
    """Raise 428 where no revision is named, `StaleError` where If-Match names others than this one."""
    given = request.headers.getlist("if-match")
    if not given:
        raise HTTPException(428)
    tags = [part for line in given for part in line.split(",")]
    if any(tag.strip() == "*" for tag in tags):
        return
    found = [match for tag in tags if (match := TAG.fullmatch(tag))]
    if not any(not match[1] and match[2] == str(revision) for match in found):
        raise StaleError(f"it is of revision {revision} by now; read it again")


def page_of(request: Request, states: Sequence[str] = (), more: Sequence[str] = ()) -> tuple[Wanted, int | None, int]:
    """Return what a list is narrowed to, the last one seen, and how many are asked for.

    A list of things without states is not narrowed.
    """
    given = parameters(request, (*(LISTED if states else PAGED), *more))
    faults: list[Fault] = []
    limit, after = given.get("limit", str(USUAL)), given.get("after")
    if not WHOLE.fullmatch(limit) or int(limit) > MOST:
        faults.append(Fault("limit", f"a whole number from 1 to {MOST} is due"))
    if after is not None and not WHOLE.fullmatch(after):
        faults.append(Fault("after", "is no cursor; give what stood under `next`"))
    if "state" in given and given["state"] not in states:
        faults.append(Fault("state", f"must be one of: {', '.join(states)}"))
    if len(given.get("q", "")) > LONGEST:
        faults.append(Fault("q", f"is longer than {LONGEST} characters"))
    times = {name: day_of(given[name], end=name == "until") for name in ("since", "until") if name in given}
    faults += [
        Fault(name, "a date is due, for instance 2026-11-25 or 2026-11-25T08:00:00Z")
        for name, moment in times.items()
        if moment is None
    ]
    if faults:
        raise DocumentError(faults)
    wanted = Wanted(given.get("q", ""), given.get("state"), times.get("since"), times.get("until"))
    return wanted, None if after is None else int(after), int(limit)


def paged(items: list[dict[str, Any]], limit: int, cursor: str) -> dict[str, Any]:
    """Return a page of a list whose rows were asked for with one more than `limit`, to know whether there are more."""
    more = len(items) > limit
    return {"items": items[:limit], "next": str(items[limit - 1][cursor]) if more else None}
