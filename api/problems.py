"""Every fault of the service as one kind of answer: a problem document (RFC 9457)."""

from collections.abc import Mapping, Sequence
from http import HTTPStatus
from typing import Any

from fastapi import Request, Response
from pydantic_core import to_json
from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.types import Scope

from api.later import is_later
from api.logs import log
from api.render import page, wants_page
from api.store.errors import (
    AlteredError,
    ClashError,
    MissingError,
    OvertakenError,
    ReusedKeyError,
    StaleError,
    StateError,
    StoreError,
    UnavailableError,
)
from api.work.errors import DefectError, WorkError
from estimator.errors import DocumentError, Fault, JobRefusedError, LargeDocumentError, OutOfRangeError

__all__ = ["KINDS", "PROBLEM_JSON", "answer_problem", "declared", "problem", "refusal"]

PROBLEM_JSON = "application/problem+json"
CODES: list[tuple[type[Exception], int, str]] = [
    (LargeDocumentError, 413, "The file is larger than 10 MB, or unpacks to more than 50 MB."),
    (DocumentError, 422, "The document is wrong."),
    (JobRefusedError, 409, "The job must not be welded as described, or no plan is possible."),
    (OutOfRangeError, 409, "No plan lies within the range of the formulas."),
]
STORE_CODES: dict[type[StoreError], tuple[int, str]] = {  # each with the path of what is wrong
    MissingError: (404, ""),
    StateError: (409, ""),
    ClashError: (409, ""),
    StaleError: (412, "If-Match"),
    ReusedKeyError: (422, "Idempotency-Key"),
    UnavailableError: (503, ""),
    OvertakenError: (503, ""),
    AlteredError: (500, ""),
}
KINDS: tuple[type[Exception], ...] = (
    HTTPException, *(kind for kind, _, _ in CODES), *STORE_CODES, WorkError, DefectError, Exception,
)  # fmt: skip
UNAVAILABLE = 503
ALTERED = "urn:boreworth:problem:altered-quote"  # the type of the one problem that a program must not try again
AGAIN = {"Retry-After": "2"}
SAID = {
    400: "The request cannot be read.",
    401: "A token or a sign-in is needed.",
    403: "Not for this role, or the request changes something and comes from another origin.",
    404: "There is nothing at this path.",
    405: "This path does not take this method.",
    406: "Neither JSON nor a workbook is asked for.",
    409: "The job must not be welded as described, no plan is possible, or the state of the thing forbids it.",
    412: "It was changed since it was read; read it again.",
    413: "The body is larger than it may be: JSON 2 MB, a workbook 10 MB, or 50 MB unpacked.",
    415: "The body must be JSON, sent as application/json in UTF-8, not compressed; a filled sheet goes by its own "
    "media type.",
    421: "The name in Host is no name of this machine's own; use localhost or 127.0.0.1. Behind a reverse proxy set "
    "BOREWORTH_LOGIN=always.",
    422: "The document is wrong.",
    428: "Say with If-Match which revision is meant: the ETag that came with it.",
    429: "Too many requests; wait as long as Retry-After says.",
    500: "A defect of the program; the request may be right.",
    503: "The service cannot answer now.",
}


def problem(
    status: int,
    detail: str = "",
    faults: Sequence[Fault] = (),
    headers: Mapping[str, str] | None = None,
    kind: str = "about:blank",
) -> Response:
    """Return a problem document as a response.

    Parameters
    ----------
    status
        The status code.
    detail
        One sentence; else the usual one for the status.
    faults
        What is wrong, each with its path in the document.
    headers
        Headers of the answer.
    kind
        The type of the problem, a URI; the usual one says no more than the status does.
    """
    said = {
        "type": kind,
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail or SAID.get(status, HTTPStatus(status).description),
        "errors": [{"path": fault.path, "message": fault.message} for fault in faults],
    }
    return Response(to_json(said), status, headers, PROBLEM_JSON)


def refusal(
    scope: Scope,
    status: int,
    detail: str = "",
    faults: Sequence[Fault] = (),
    headers: Mapping[str, str] | None = None,
    kind: str = "about:blank",
) -> Response:
    """Return a problem as whoever asks reads it: a page for a person's browser, else a problem document."""
    if not wants_page(scope["path"], Headers(scope=scope)):
        return problem(status, detail, faults, headers, kind)
    said = detail or SAID.get(status, HTTPStatus(status).description)
    told = [str(fault) for fault in faults if fault.message.rstrip(".").casefold() != said.rstrip(".").casefold()]
    answer = page("fault.html", status, name=HTTPStatus(status).phrase, detail=said, told=told)
    answer.headers.update(headers or {})
    return answer


async def answer_problem(request: Request, error: Exception) -> Response:
    """Return the problem of anything that was raised while answering; the one handler of all faults."""
    scope = request.scope
    if isinstance(error, HTTPException):
        later = error.status_code == HTTPStatus.NOT_FOUND and is_later(request.url.path)
        own = error.detail if error.detail != HTTPStatus(error.status_code).phrase else ""
        return refusal(scope, error.status_code, "Not built yet." if later else own, headers=error.headers)
    if isinstance(error, StoreError) and type(error) in STORE_CODES:
        status, path = STORE_CODES[type(error)]
        again = AGAIN if status == UNAVAILABLE else None
        kind = _altered(error) if isinstance(error, AlteredError) else "about:blank"
        faults = getattr(error, "faults", None) or [Fault(path, str(error))]
        return refusal(scope, status, f"{_sentence(error)}.", faults, again, kind)
    if isinstance(error, WorkError):
        log().warning("work", said=str(error))
        again = {"Retry-After": str(error.again)}
        return refusal(scope, UNAVAILABLE, f"{_sentence(error)}.", [Fault("", str(error))], again)
    if isinstance(error, DefectError):
        log().error("defect", kind=error.kind, where=error.where)
    for one, status, detail in CODES:
        if isinstance(error, one):
            return refusal(scope, status, detail, getattr(error, "faults", None) or [Fault("", str(error))])
    return refusal(scope, 500)


def _altered(error: AlteredError) -> str:
    """Write down that a quote was altered, and return the type of the problem."""
    log().error("altered", said=str(error))
    return ALTERED


def _sentence(error: Exception) -> str:
    said = str(error)
    return said[:1].upper() + said[1:]


def declared(*statuses: int) -> dict[int | str, dict[str, Any]]:
    """Return what the service's description says of the problems a route may answer with."""
    content = {PROBLEM_JSON: {"schema": {"$ref": "#/components/schemas/Problem"}}}
    return {status: {"description": SAID[status], "content": content} for status in statuses}
