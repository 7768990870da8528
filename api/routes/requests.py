"""What the routes share: a body read strictly, work done without holding others up, an answer in bytes."""

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeVar, TypeVarTuple, Unpack

from fastapi import Request, Response
from pydantic_core import to_json
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect

from api.caller import current
from api.work.here import Work
from api.work.weigh import MOST, weight
from estimator.document.redact import redact
from estimator.errors import LONGEST_NAME, MOST_TOLD, DocumentError, Fault, nearest, rest
from estimator.signs import unfit

__all__ = ["WORKBOOK", "answer", "computed", "json_body", "parameters", "sent", "sheet_body"]

WORKBOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
JSON = re.compile(r"application/(?:[\w.+-]+\+)?json(?:\s*;\s*charset=\"?utf-8\"?)?", re.IGNORECASE)
Args = TypeVarTuple("Args")
R = TypeVar("R")


def parameters(request: Request, known: Sequence[str] = (), later: Sequence[str] = ()) -> dict[str, str]:
    """Return the query parameters that were given, each once.

    Raises `DocumentError` for every other one, for one given twice, and for those in `later`, which are promised and
    not built yet.
    """
    given = request.query_params
    odd = [name for name in dict.fromkeys(given) if name not in known]
    faults: list[Fault] = [Fault(name[:LONGEST_NAME], _said(name, known, later)) for name in odd[:MOST_TOLD]]
    faults += [rest(more)] if (more := len(odd) - MOST_TOLD) > 0 else []
    faults += [Fault(name, "is given twice; give it once") for name in known if len(given.getlist(name)) > 1]
    faults += [Fault(name, said) for name in known if (said := _sign_in(given.get(name, "")))]
    if faults:
        raise DocumentError(faults)
    return dict(given)


def _sign_in(text: str) -> str:
    """Return what is wrong with the signs of a parameter; it has one line."""
    return unfit(text) or ("holds a line break; write it on one line" if "\n" in text else "")


def _said(name: str, known: Sequence[str], later: Sequence[str]) -> str:
    if name in later:
        return "not built yet; leave it out"
    every = sorted((*known, *later))
    near = nearest(name, every, 1)
    said = f"known here: {', '.join(every)}" if every else "none is known here"
    return "unknown parameter; " + (f'did you mean "{near[0]}"?' if near else said)


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


async def sheet_body(request: Request) -> bytes:
    """Return the body of a request that is said to be a workbook; raise 415 for any other."""
    coding = request.headers.get("content-encoding", "identity").strip().lower()
    if request.headers.get("content-type", "").strip().lower() != WORKBOOK or coding != "identity":
        raise HTTPException(415, f"The body must be a filled sheet: send it as {WORKBOOK}, not compressed.")
    try:
        return await request.body()
    except ClientDisconnect:
        raise HTTPException(400) from None


async def computed(request: Request, function: Callable[[Unpack[Args]], R], *args: *Args, times: int = 1) -> R:
    """Return what a function answers whose arguments and answers are plain values, done where work is done.

    `times`: how often it goes through the bores that the arguments hold.
    """
    work: Work = request.app.state.work
    return await work.done(current().key, min(MOST, times * weight(*args)), function, *args)


def answer(document: Mapping[str, Any], status: int = 200, headers: Mapping[str, str] | None = None) -> Response:
    """Return a document as the JSON answer, without what whoever asks may not see."""
    return sent(to_json(redact(document, current().role)), status, headers)


def sent(body: bytes, status: int = 200, headers: Mapping[str, str] | None = None) -> Response:
    """Return a JSON answer that was made for whoever asks; every JSON answer goes out here."""
    return Response(body, status, headers, "application/json")
