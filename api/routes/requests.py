"""What the routes share: a body read strictly, work done without holding others up, an answer in bytes."""

import re
from collections.abc import Callable, Sequence
from typing import ParamSpec, TypeVar

from fastapi import Request, Response
from pydantic_core import to_json
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect

from api.access.caller import current
from estimator.errors import DocumentError, Fault, nearest
from estimator.redact import redact

__all__ = ["answer", "computed", "json_body", "refuse_parameters"]

SMALL = 64 * 1024  # [bytes]; a handful of bores is computed sooner than a thread is woken
JSON = re.compile(r"application/(?:[\w.+-]+\+)?json(?:\s*;\s*charset=\"?utf-8\"?)?", re.IGNORECASE)
P = ParamSpec("P")
R = TypeVar("R")


def refuse_parameters(request: Request, later: Sequence[str] = ()) -> None:
    """Raise `DocumentError` for every query parameter; those in `later` are promised and not built yet."""
    faults = [Fault(name, _said(name, later)) for name in dict.fromkeys(request.query_params)]
    if faults:
        raise DocumentError(faults)


def _said(name: str, later: Sequence[str]) -> str:
    if name in later:
        return "not built yet; leave it out"
    near = nearest(name, later, 1)
    known = f"known here: {', '.join(later)}" if later else "none is known here"
    return "unknown parameter; " + (f'did you mean "{near[0]}"?' if near else known)


async def json_body(request: Request) -> bytes:
    """Return the body of a request that is said to be JSON; raise 415, or `DocumentError` for an empty one."""
    coding = request.headers.get("content-encoding", "identity").strip().lower()
    if not JSON.fullmatch(request.headers.get("content-type", "").strip()) or coding != "identity":
        raise HTTPException(415)
    try:
        body = await request.body()
    except ClientDisconnect:
        raise HTTPException(400) from None
    if not body.strip():
        raise DocumentError([Fault("", "the body is empty; send a JSON document")])
    return body


async def computed(size: int, function: Callable[P, R], *args: P.args, **kwargs: P.kwargs) -> R:
    """Return what a function answers: at once where the document is small, else in a thread of its own."""
    if size < SMALL:
        return function(*args, **kwargs)
    return await run_in_threadpool(function, *args, **kwargs)


def answer(document: object) -> Response:
    """Return a document as the JSON answer, without what whoever asks may not see; every JSON answer is made here."""
    return Response(to_json(redact(document, current().role)), media_type="application/json")
