"""Quotes: drafted from a job, issued, accepted or declined, revised; read as document or workbook."""

from collections.abc import Callable
from functools import partial
from typing import Any

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from api.caller import current
from api.describe.routes import DONE, KEY, MADE, kept, parameter, said_of_list
from api.routes.estimates import WORKBOOK
from api.routes.requests import answer, parameters
from api.routes.stored import (
    in_thread,
    no_document,
    number_of,
    once_of,
    page_of,
    paged,
    store_of,
    told,
)  # fmt: skip
from api.store.books import book_named
from api.store.engine import Store
from api.store.errors import StateError
from api.store.jobs import Wanted, find_job
from api.store.models import Job, Paper, Quote
from api.store.papers import Drawn, draw, workbooks_of
from api.store.quotes import (
    QUOTE_STATES,
    add_draft,
    find_paper,
    find_quote,
    hashes_of,
    issue,
    list_quotes,
    next_draft,
    settle,
    settle_due,
    state_of,
    to_revise,
)  # fmt: skip
from api.store.replays import Answer, Once, done_once

__all__ = ["router"]

router = APIRouter()
BOOK = parameter("pricebook", "Name of a stored price book; else that of the job or of the quote revised.")
EMPTY: dict[str, Any] = {
    "requestBody": {
        "required": False,
        "content": {
            "application/json": {
                "schema": {"$ref": "#/components/schemas/Nothing"},
                "examples": {"nothing": {"summary": "Nothing more is to be said", "value": {}}},
            }
        },
    }
}
CHANGES = (403, 404, 409, 415)


def _said(quote: Quote, sha256: str | None) -> dict[str, Any]:
    """Return what is said of a quote beside its estimate."""
    names = ("revision", "job_id", "job_revision", "pricebook", "currency", "total", "created_at", "issued_at",
             "valid_until", "settled_at")  # fmt: skip
    return {
        "number": str(quote.number),
        "state": state_of(quote),
        **{name: getattr(quote, name) for name in names},
        "revises": None if quote.revises is None else str(quote.revises),
        "sha256": sha256,
    }


def _answer(session: Session, quote: Quote, status: int) -> Answer:
    paper = find_paper(session, quote.number)
    headers = {"Location": f"/api/quotes/{quote.number}"} if status == MADE else {}
    return Answer(status, _said(quote, paper.sha256), headers, {"estimate": paper.estimate})


# ---------------------------------------------------------------- drafts


@router.post(
    "/api/jobs/{id}/quotes", operation_id="draft_quote", status_code=201, response_class=Response,
    openapi_extra=EMPTY | {"parameters": [KEY, BOOK]},
    responses=kept("KeptQuote", "The draft.", 201, *CHANGES),
)  # fmt: skip
async def draft(request: Request, id: str) -> Response:
    """Draft a quote of a job as it stands; 409 where it must not be welded."""
    name, once = await _asked(request)
    return told(await in_thread(_draft, store_of(request), once, number_of(id, "job"), name))


async def _asked(request: Request) -> tuple[str | None, Once]:
    """Return the name of the price book asked for, and what makes the request one with another."""
    name = parameters(request, ("pricebook",)).get("pricebook")
    return name, once_of(request, await no_document(request))


def _draft(store: Store, once: Once, job_id: int, name: str | None) -> Answer:
    def write(session: Session, made: tuple[int, str | None, Drawn]) -> Answer:
        return _answer(session, add_draft(session, once.who, job_id, *made), MADE)

    return done_once(store, once, partial(_drawn, store, job_id, name), write)


def _drawn(store: Store, job_id: int, name: str | None) -> tuple[int, str | None, Drawn]:
    """Return a job's revision, the name of the price book, and the paper made of both."""
    with store.reading() as session:
        job, text = find_job(session, job_id)
        name = name or job.pricebook
        revision, document, book = text.revision, text.document, book_named(session, name)
    return revision, name, draw(document, book)


@router.post(
    "/api/quotes/{number}/revise", operation_id="revise_quote", status_code=201, response_class=Response,
    openapi_extra=EMPTY | {"parameters": [KEY, BOOK]},
    responses=kept("KeptQuote", "The next draft, with a number of its own.", 201, *CHANGES),
)  # fmt: skip
async def revise(request: Request, number: str) -> Response:
    """Draft the next revision of an issued quote, of its job as it stands now."""
    name, once = await _asked(request)
    return told(await in_thread(_revise, store_of(request), once, number_of(number, "quote"), name))


def _revise(store: Store, once: Once, base: int, name: str | None) -> Answer:
    settle_due(store)

    def ready() -> tuple[int, str | None, Drawn]:
        with store.reading() as session:
            quote = find_quote(session, base)
            to_revise(quote)
            job_id, before = quote.job_id, quote.pricebook
        return _drawn(store, job_id, name or before)

    def write(session: Session, made: tuple[int, str | None, Drawn]) -> Answer:
        return _answer(session, next_draft(session, once.who, base, *made), MADE)

    return done_once(store, once, ready, write)


# ---------------------------------------------------------------- states


@router.post(
    "/api/quotes/{number}/issue", operation_id="issue_quote", response_class=Response,
    openapi_extra=EMPTY | {"parameters": [KEY]},
    responses=kept("KeptQuote", "Issued: from now on it never changes.", 200, *CHANGES),
)  # fmt: skip
async def issue_one(request: Request, number: str) -> Response:
    """Issue a draft; the quote it revises is superseded."""
    parameters(request)
    once = once_of(request, await no_document(request))
    return told(await in_thread(_issue, store_of(request), once, number_of(number, "quote")))


def _issue(store: Store, once: Once, number: int) -> Answer:
    settle_due(store)

    def ready() -> tuple[bytes, bytes]:
        with store.reading() as session:
            quote, text = find_quote(session, number), find_paper(session, number).estimate
            if quote.state != "draft":
                raise StateError(f"quote {number} is {quote.state} already; what was issued never changes")
        return workbooks_of(text)

    def write(session: Session, made: tuple[bytes, bytes]) -> Answer:
        return _answer(session, issue(session, once.who, number, made), DONE)

    return done_once(store, once, ready, write)


def _settler(state: str, said: str) -> Callable[[Request, str], Any]:
    """Return the route that brings an issued quote into a state."""

    async def route(request: Request, number: str) -> Response:
        parameters(request)
        once = once_of(request, await no_document(request))
        return told(await in_thread(_settle, store_of(request), once, number_of(number, "quote"), state))

    route.__doc__ = said
    return route


def _settle(store: Store, once: Once, number: int, state: str) -> Answer:
    settle_due(store)

    def write(session: Session, _: None) -> Answer:
        return _answer(session, settle(session, once.who, number, state), DONE)

    return done_once(store, once, lambda: None, write)


for _verb, _state, _text in (
    ("accept", "accepted", "Accept an issued quote; of accept and decline the first wins."),
    ("decline", "declined", "Decline an issued quote; of accept and decline the first wins."),
):
    router.post(
        f"/api/quotes/{{number}}/{_verb}", summary=f"{_verb.capitalize()} a quote", operation_id=f"{_verb}_quote",
        response_class=Response, openapi_extra=EMPTY | {"parameters": [KEY]},
        responses=kept("KeptQuote", f"The quote is {_state}.", 200, *CHANGES),
    )(_settler(_state, _text))  # fmt: skip


# ---------------------------------------------------------------- read


@router.get(
    "/api/quotes", operation_id="list_quotes", response_class=Response,
    openapi_extra={"parameters": said_of_list(QUOTE_STATES)},
    responses=kept("QuoteList", "Quotes, newest first."),
)  # fmt: skip
async def list_all(request: Request) -> Response:
    """Return quotes, newest first, as narrowed."""
    return answer(await in_thread(_list, store_of(request), *page_of(request, QUOTE_STATES)))


@router.get(
    "/api/jobs/{id}/quotes", operation_id="list_quotes_of_job", response_class=Response,
    openapi_extra={"parameters": said_of_list(QUOTE_STATES)},
    responses=kept("QuoteList", "The job's quotes, newest first.", 200, 404),
)  # fmt: skip
async def list_of_job(request: Request, id: str) -> Response:
    """Return the quotes of one job, newest first, as narrowed."""
    page = page_of(request, QUOTE_STATES)
    return answer(await in_thread(_list, store_of(request), *page, number_of(id, "job")))


def _list(store: Store, wanted: Wanted, after: int | None, limit: int, job_id: int | None = None) -> dict[str, Any]:
    settle_due(store)
    with store.reading() as session:
        if job_id is not None:
            find_job(session, job_id)
        rows = list_quotes(session, wanted, after, limit + 1, job_id)
        hashes = hashes_of(session, [row[0] for row in rows])
        return paged([_row(hashes, *row) for row in rows], limit, "number")


def _row(
    hashes: dict[int, str | None], quote: Quote, job: Job, customer: str | None, machine: str | None
) -> dict[str, Any]:
    said = _said(quote, hashes[quote.number])
    return said | {"reference": job.reference, "customer": customer, "equipment": machine}


@router.get(
    "/api/quotes/{number}.xlsx", operation_id="read_workbook", response_class=Response,
    responses=kept("", "The quote's workbook; of an issued quote the same bytes every time.", 200, 404, other=WORKBOOK),
)  # fmt: skip
async def workbook(request: Request, number: str) -> Response:
    """Return a quote as a workbook."""
    parameters(request)
    data = await in_thread(_workbook, store_of(request), number_of(number, "quote"), sees_cost=current().sees_cost)
    name = f'attachment; filename="quote-{number}.xlsx"'
    return Response(data, media_type=WORKBOOK, headers={"Content-Disposition": name})


def _workbook(store: Store, number: int, *, sees_cost: bool) -> bytes:
    with store.reading() as session:
        find_quote(session, number)
        paper: Paper = find_paper(session, number)
        stored = paper.workbook if sees_cost else paper.workbook_without_cost
        text = paper.estimate
    return stored if stored is not None else workbooks_of(text)[0 if sees_cost else 1]


@router.get(
    "/api/quotes/{number}", operation_id="read_quote", response_class=Response,
    responses=kept("KeptQuote", "The quote.", 200, 404),
)  # fmt: skip
async def read_one(request: Request, number: str) -> Response:
    """Return a quote; the estimate of an issued one is the same bytes every time."""
    parameters(request)
    return told(await in_thread(_find, store_of(request), number_of(number, "quote")))


def _find(store: Store, number: int) -> Answer:
    settle_due(store)
    with store.reading() as session:
        return _answer(session, find_quote(session, number), DONE)
