"""Quotes: drafted from a job, issued, accepted or declined, revised; read as document or workbook."""

from collections.abc import Callable
from functools import partial
from typing import Any

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from api.describe.routes import DONE, EMPTY, ISSUING, KEY, MADE, kept, parameter, said_of_list
from api.routes.requests import answer, computed, parameters
from api.routes.stored import (
    answered_once,
    budget_asked,
    in_thread,
    no_document,
    number_of,
    once_of,
    page_of,
    paged,
    store_of,
    told,
)  # fmt: skip
from api.store.calibrations import book_in_force
from api.store.engine import Store
from api.store.jobs import Wanted, find_job
from api.store.models import Job, Quote
from api.store.papers import Drawn, Frozen, kept_letters
from api.store.photos import in_letter
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
    to_issue,
    to_revise,
)  # fmt: skip
from api.store.replays import Answer, Once, done_once
from api.work import tasks

__all__ = ["do_draft", "do_issue", "do_revise", "do_settle", "router"]

router = APIRouter()
Made = tuple[int, str | None, Drawn]  # a job's revision, the name of the price book, the paper made of both
BOOK = parameter("pricebook", "Name of a stored price book; else that of the job or of the quote revised.")
CHANGES = (403, 404, 409, 415)
DATE = len("2026-11-25")  # of a moment as it is kept


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
    return await told(await do_draft(request, once, number_of(id, "job"), name))


async def do_draft(request: Request, once: Once, job_id: int, name: str | None = None) -> Answer:
    """Draft a quote of a job with the price book of a name, else the job's own."""

    def write(session: Session, made: Made) -> Answer:
        return _answer(session, add_draft(session, once.who, job_id, *made), MADE)

    return await answered_once(request, once, partial(_drawn, request, job_id, name), write)


async def _asked(request: Request) -> tuple[str | None, Once]:
    """Return the name of the price book asked for, and what makes the request one with another."""
    name = parameters(request, ("pricebook",)).get("pricebook")
    return name, once_of(request, await no_document(request))


async def _drawn(request: Request, job_id: int, name: str | None) -> Made:
    """Return a job's revision, the name of the price book, and the paper made of both."""
    revision, name, document, book = await in_thread(_standing, store_of(request), job_id, name)
    return revision, name, Drawn(*await computed(request, tasks.drawn, document, book))


def _standing(store: Store, job_id: int, name: str | None) -> tuple[int, str | None, str, str | None]:
    """Return a job's revision, the name of the price book, and the texts of both."""
    with store.reading() as session:
        job, text = find_job(session, job_id)
        name = name or job.pricebook
        return text.revision, name, text.document, book_in_force(session, name)


@router.post(
    "/api/quotes/{number}/revise", operation_id="revise_quote", status_code=201, response_class=Response,
    openapi_extra=EMPTY | {"parameters": [KEY, BOOK]},
    responses=kept("KeptQuote", "The next draft, with a number of its own.", 201, *CHANGES),
)  # fmt: skip
async def revise(request: Request, number: str) -> Response:
    """Draft the next revision of an issued quote, of its job as it stands now."""
    name, once = await _asked(request)
    return await told(await do_revise(request, once, number_of(number, "quote"), name))


async def do_revise(request: Request, once: Once, base: int, name: str | None = None) -> Answer:
    """Draft the next revision of a quote with the price book of a name, else the quote's own."""

    async def ready() -> Made:
        job_id, before = await in_thread(_revised, store_of(request), base)
        return await _drawn(request, job_id, name or before)

    def write(session: Session, made: Made) -> Answer:
        return _answer(session, next_draft(session, once.who, base, *made), MADE)

    return await answered_once(request, once, ready, write)


def _revised(store: Store, base: int) -> tuple[int, str | None]:
    """Return the job of a quote that can be revised, and the name of its price book."""
    settle_due(store)
    with store.reading() as session:
        quote = find_quote(session, base)
        to_revise(quote)
        return quote.job_id, quote.pricebook


# ---------------------------------------------------------------- states


@router.post(
    "/api/quotes/{number}/issue", operation_id="issue_quote", response_class=Response,
    openapi_extra=ISSUING | {"parameters": [KEY]},
    responses=kept("KeptQuote", "Issued: from now on it never changes.", 200, *CHANGES),
)  # fmt: skip
async def issue_one(request: Request, number: str) -> Response:
    """Issue a draft; the quote it revises is superseded."""
    parameters(request)
    budget, digest = await budget_asked(request)
    return await told(await do_issue(request, once_of(request, digest), number_of(number, "quote"), budget))


async def do_issue(request: Request, once: Once, issued: int, budget: bool) -> Answer:
    """Issue a draft; one that holds a budget price only as such."""

    async def ready() -> Frozen:
        (text, revision, at, until), photos = await in_thread(_to_issue, store_of(request), issued)
        as_what = (str(issued), revision, at[:DATE], until[:DATE])
        whole, shown, letters, pack, others = await computed(request, tasks.papers, text, as_what, photos)
        papers = {"letters": kept_letters(letters), "pack": pack, "workbooks": kept_letters(others)}
        return Frozen(at, until, workbook=whole, workbook_without_cost=shown, **papers)

    def write(session: Session, made: Frozen) -> Answer:
        return _answer(session, issue(session, once.who, issued, made, budget=budget), DONE)

    return await answered_once(request, once, ready, write)


def _to_issue(store: Store, number: int) -> tuple[tuple[str, int, str, str], list[tuple[str, bytes]]]:
    """Return what `to_issue` answers for a draft, and the photos that its letter shows."""
    settle_due(store)
    with store.reading() as session:
        return to_issue(session, number), in_letter(session, find_quote(session, number).job_id)


def _settler(state: str, said: str) -> Callable[[Request, str], Any]:
    """Return the route that brings an issued quote into a state."""

    async def route(request: Request, number: str) -> Response:
        parameters(request)
        once = once_of(request, await no_document(request))
        return await told(await in_thread(do_settle, store_of(request), once, number_of(number, "quote"), state))

    route.__doc__ = said
    return route


def do_settle(store: Store, once: Once, number: int, state: str) -> Answer:
    """Bring an issued quote into a state."""
    settle_due(store)

    def write(session: Session) -> Answer:
        return _answer(session, settle(session, once.who, number, state), DONE)

    return done_once(store, once, write)


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
    "/api/quotes/{number}", operation_id="read_quote", response_class=Response,
    responses=kept("KeptQuote", "The quote.", 200, 404),
)  # fmt: skip
async def read_one(request: Request, number: str) -> Response:
    """Return a quote; the estimate of an issued one is the same bytes every time."""
    parameters(request)
    return await told(await in_thread(_find, store_of(request), number_of(number, "quote")))


def _find(store: Store, number: int) -> Answer:
    settle_due(store)
    with store.reading() as session:
        return _answer(session, find_quote(session, number), DONE)
