"""Price books by name: kept whole or in part, read, listed, removed; `?pricebook=` names one."""

from typing import Any

from fastapi import APIRouter, Request, Response
from starlette.exceptions import HTTPException

from api.describe.answers import body_of
from api.describe.examples import BOOKS
from api.describe.routes import DONE, IF_MATCH, MADE, NO_CONTENT, kept, parameter
from api.routes.requests import answer, computed, json_body, parameters
from api.routes.stored import etag, expected, in_thread, store_of, told, who_asks
from api.store.books import delete_book, find_book, list_books, put_book
from api.store.engine import Store
from api.store.errors import MissingError
from api.store.models import PriceBook
from api.store.replays import Answer
from api.work import tasks
from estimator.errors import DocumentError, Fault

__all__ = ["router"]

router = APIRouter()
LONGEST = 120
MOST = 500
OVER = parameter("If-Match", "The ETag of the book that is stored over; not for a new one.", "header")


def _said(row: PriceBook) -> dict[str, Any]:
    return {"name": row.name, "revision": row.revision, "changed_at": row.changed_at}


def _answer(row: PriceBook, status: int) -> Answer:
    return Answer(status, _said(row), {"ETag": etag(row.revision)}, {"pricebook": row.document})


def _name(text: str) -> str:
    if len(text) > LONGEST or not text.isprintable() or not text.strip():
        raise DocumentError([Fault("name", f"1 to {LONGEST} printable characters are due")])
    return text


@router.get(
    "/api/pricebooks", operation_id="list_pricebooks", response_class=Response,
    openapi_extra={
        "parameters": [
            parameter("limit", "How many; 50 if not said.", type="integer", minimum=1, maximum=MOST),
            parameter("after", "The cursor that stood under `next`."),
        ]
    },
    responses=kept("BookList", "Stored price books by name.", 200, 403),
)  # fmt: skip
async def list_all(request: Request) -> Response:
    """Return the stored price books in the order of their names."""
    given = parameters(request, ("limit", "after"))
    limit = given.get("limit", "50")
    if not (limit.isascii() and limit.isdigit() and len(limit) < LONGEST and 1 <= int(limit) <= MOST):
        raise DocumentError([Fault("limit", f"a whole number from 1 to {MOST} is due")])
    return answer(await in_thread(_list, store_of(request), given.get("after"), int(limit)))


def _list(store: Store, after: str | None, limit: int) -> dict[str, Any]:
    with store.reading() as session:
        items = [_said(row) for row in list_books(session, after, limit + 1)]
    return {"items": items[:limit], "next": items[limit - 1]["name"] if len(items) > limit else None}


@router.get(
    "/api/pricebooks/{name}", operation_id="read_pricebook", response_class=Response,
    responses=kept("KeptBook", "The price book, as it was sent.", 200, 403, 404),
)  # fmt: skip
async def read_one(request: Request, name: str) -> Response:
    """Return a stored price book."""
    parameters(request)
    return await told(await in_thread(_find, store_of(request), name))


def _find(store: Store, name: str) -> Answer:
    with store.reading() as session:
        return _answer(find_book(session, name), DONE)


@router.put(
    "/api/pricebooks/{name}", operation_id="store_pricebook", response_class=Response,
    openapi_extra=body_of("PriceBook", BOOKS) | {"parameters": [OVER]},
    responses=kept("KeptBook", "Stored over the former one.", 200, 403, 412, 415, 428)
    | kept("KeptBook", "Stored as a new one.", 201),
)  # fmt: skip
async def store_one(request: Request, name: str) -> Response:
    """Keep a price book, whole or in part, under a name; over one that is there with If-Match only."""
    parameters(request)
    text = await computed(request, tasks.checked_book, await json_body(request))
    return await told(await in_thread(_store, store_of(request), request, _name(name), text))


def _store(store: Store, request: Request, name: str, text: str) -> Answer:
    with store.writing() as session:
        try:
            revision: int | None = find_book(session, name).revision
        except MissingError:
            revision = None
            if "if-match" in request.headers:
                raise HTTPException(412) from None
        if revision is not None:
            expected(request, revision)
        row = put_book(session, who_asks(), name, text, revision)
        return _answer(row, MADE if revision is None else DONE)


@router.delete(
    "/api/pricebooks/{name}", operation_id="remove_pricebook", status_code=204, response_class=Response,
    openapi_extra={"parameters": [IF_MATCH]}, responses=NO_CONTENT | kept("", "", 0, 403, 404, 412, 428),
)  # fmt: skip
async def remove_one(request: Request, name: str) -> Response:
    """Remove a price book; quotes made with it keep their own copy of it."""
    parameters(request)
    await in_thread(_remove, store_of(request), request, name)
    return Response(status_code=204)


def _remove(store: Store, request: Request, name: str) -> None:
    with store.writing() as session:
        revision = find_book(session, name).revision
        expected(request, revision)
        delete_book(session, who_asks(), name, revision)
