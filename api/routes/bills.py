"""Invoices: made of an accepted quote, read as document or PDF, cancelled by a credit note."""

import dataclasses
from collections.abc import Awaitable, Callable
from typing import Any

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from api.caller import current
from api.describe.answers import body_of
from api.describe.examples import INVOICES
from api.describe.routes import DONE, KEY, LIMIT_AND_AFTER, MADE, kept
from api.routes.letters import LANGUAGE, PDF, language_of, pdf
from api.routes.requests import answer, computed, json_body, parameters, sent
from api.routes.stored import answered_once, in_thread, number_of, once_of, page_of, paged, store_of, told
from api.store.bills import (
    Bill,
    add_invoice,
    find_invoice,
    ground_of,
    invoices_of,
    list_invoices,
    next_invoice,
    to_cancel,
)
from api.store.clock import now
from api.store.engine import Store
from api.store.errors import OvertakenError, StateError
from api.store.models import Invoice
from api.store.papers import kept_letters, letters_in
from api.store.quotes import find_paper, find_quote, settle_due
from api.store.replays import Answer, Once
from api.work import billing, tasks
from estimator.errors import DocumentError, Fault

__all__ = ["asked_text", "billed", "do_cancel", "do_invoice", "grounded", "numbered", "router"]

router = APIRouter()
TRIES = 25  # of making a bill whose number others take meanwhile
NOTHING = {"nothing": {"summary": "Nothing more is to be said", "value": {}}}
CHANGES = (403, 404, 409, 415)


def grounded(store: Store, quote: int, kind: str) -> dict[str, Any]:
    """Return what the next bill of a quote is made of, as a plain object."""
    settle_due(store)
    with store.reading() as session:
        return dataclasses.asdict(ground_of(session, quote, kind))


def billed(ground: dict[str, Any], drawn: billing.Drawn) -> Bill:
    """Return a bill that was drawn up, as it is kept."""
    text, currency, total, papers = drawn
    return Bill(ground["number"], text, currency, total, kept_letters(papers), ground["at"])


async def numbered(make: Callable[[], Awaitable[Answer]]) -> Answer:
    """Return the answer of making a bill, made again where another took its number."""
    for _ in range(TRIES - 1):
        try:
            return await make()
        except OvertakenError:
            continue
    return await make()


async def asked_text(request: Request) -> tuple[str, str]:
    """Return hash and text of what was sent; nothing counts as an empty object."""
    body = await json_body(request) if await request.body() else b"{}"
    return await computed(request, tasks.parsed, body)


# ---------------------------------------------------------------- invoices


def _invoice(row: Invoice, status: int) -> Answer:
    headers = {"Location": f"/api/invoices/{row.number}"} if status == MADE else {}
    return Answer(status, _head(row), headers, {"invoice": row.document})


def _head(row: Invoice) -> dict[str, Any]:
    return {
        "number": str(row.number),
        "quote": str(row.quote),
        "cancels": None if row.cancels is None else str(row.cancels),
        "currency": row.currency,
        "total": row.total,
        "issued_at": row.issued_at,
        "sha256": row.sha256,
    }


@router.post(
    "/api/quotes/{number}/invoices", operation_id="invoice_quote", status_code=201, response_class=Response,
    openapi_extra=body_of("AskedInvoice", INVOICES, required=False) | {"parameters": [KEY]},
    responses=kept("KeptInvoice", "The invoice; it never changes.", 201, *CHANGES),
)  # fmt: skip
async def make_invoice(request: Request, number: str) -> Response:
    """Invoice an accepted quote: its price, accepted variations, approved work and standing time not yet invoiced."""
    parameters(request)
    quote, (digest, text) = number_of(number, "quote"), await asked_text(request)
    return await told(await do_invoice(request, once_of(request, digest), quote, text))


async def do_invoice(request: Request, once: Once, quote: int, text: str) -> Answer:
    """Invoice what is open of an accepted quote; `text`: what was asked for."""

    async def ready() -> Bill:
        ground = await in_thread(grounded, store_of(request), quote, "invoice")
        drawn = await computed(request, billing.invoice_drawn, ground, text)
        if drawn is None:
            raise StateError(f"all of quote {quote} was invoiced already; cancel an invoice to make another")
        return billed(ground, drawn)

    def write(session: Session, made: Bill) -> Answer:
        return _invoice(add_invoice(session, once.who, quote, made), MADE)

    return await numbered(lambda: answered_once(request, once, ready, write))


@router.post(
    "/api/invoices/{number}/cancel", operation_id="cancel_invoice", status_code=201, response_class=Response,
    openapi_extra=body_of("Nothing", NOTHING, required=False) | {"parameters": [KEY]},
    responses=kept("KeptInvoice", "The credit note that cancels it.", 201, *CHANGES),
)  # fmt: skip
async def cancel(request: Request, number: str) -> Response:
    """Cancel an invoice by a credit note; what stood on it can be invoiced again."""
    parameters(request)
    gone, (digest, text) = number_of(number, "invoice"), await asked_text(request)
    if text != "{}":
        raise DocumentError([Fault("", "the body is empty, or {}")])
    return await told(await do_cancel(request, once_of(request, digest), gone))


async def do_cancel(request: Request, once: Once, gone: int) -> Answer:
    """Cancel an invoice."""

    async def ready() -> tuple[int, Bill]:
        quote, ground = await in_thread(_to_cancel, store_of(request), gone)
        return quote, billed(ground, await computed(request, billing.cancelled, ground))

    def write(session: Session, made: tuple[int, Bill]) -> Answer:
        to_cancel(session, gone)
        return _invoice(add_invoice(session, once.who, *made, gone), MADE)

    return await numbered(lambda: answered_once(request, once, ready, write))


def _to_cancel(store: Store, number: int) -> tuple[int, dict[str, Any]]:
    """Return the quote of an invoice, and what its credit note is made of."""
    with store.reading() as session:
        row = to_cancel(session, number)
        said = {"document": row.document, "estimate": find_paper(session, row.quote).estimate, "at": now()}
        return row.quote, said | {"number": next_invoice(session)}


@router.get(
    "/api/invoices", operation_id="list_invoices", response_class=Response,
    openapi_extra={"parameters": LIMIT_AND_AFTER},
    responses=kept("InvoiceList", "Invoices and credit notes, newest first.", 200, 403),
)  # fmt: skip
async def list_all(request: Request) -> Response:
    """Return invoices and credit notes, newest first."""
    _, after, limit = page_of(request)
    return answer(await in_thread(_list, store_of(request), after, limit))


def _list(store: Store, after: int | None, limit: int) -> dict[str, Any]:
    with store.reading() as session:
        return paged([_head(row) for row in list_invoices(session, after, limit + 1)], limit, "number")


@router.get(
    "/api/quotes/{number}/invoices", operation_id="list_invoices_of_quote", response_class=Response,
    responses=kept("InvoiceList", "The quote's invoices and credit notes, oldest first.", 200, 403, 404),
)  # fmt: skip
async def list_of_quote(request: Request, number: str) -> Response:
    """Return the invoices and credit notes of a quote, oldest first."""
    parameters(request)
    return answer(await in_thread(_of_quote, store_of(request), number_of(number, "quote")))


def _of_quote(store: Store, quote: int) -> dict[str, Any]:
    with store.reading() as session:
        find_quote(session, quote)
        return {"items": [_head(row) for row in invoices_of(session, quote)], "next": None}


@router.get(
    "/api/quotes/{number}/invoice", operation_id="lines_to_invoice", response_class=Response,
    responses=kept("Invoice", "The lines of the next invoice.", 200, 403, 404, 409),
)  # fmt: skip
async def lines(request: Request, number: str) -> Response:
    """Return what an accepted quote is still to be invoiced with, and what nobody approved."""
    parameters(request)
    ground = await in_thread(grounded, store_of(request), number_of(number, "quote"), "invoice")
    return sent(await computed(request, billing.lines_open, ground, current().role))


@router.get(
    "/api/invoices/{number}.pdf", operation_id="print_invoice", response_class=Response,
    openapi_extra={"parameters": [LANGUAGE]},
    responses=kept("", "The invoice as PDF, the same bytes every time.", 200, 403, 404, other=PDF),
)  # fmt: skip
async def invoice_pdf(request: Request, number: str) -> Response:
    """Return an invoice or credit note as PDF."""
    language = language_of(request)
    data = await in_thread(_invoice_paper, store_of(request), number_of(number, "invoice"), language)
    return pdf(data, f"invoice-{number}")


def _invoice_paper(store: Store, number: int, language: str) -> bytes:
    with store.reading() as session:
        return letters_in(find_invoice(session, number).papers)[language]


@router.get(
    "/api/invoices/{number}", operation_id="read_invoice", response_class=Response,
    responses=kept("KeptInvoice", "The invoice, the same every time.", 200, 403, 404),
)  # fmt: skip
async def read_invoice(request: Request, number: str) -> Response:
    """Return an invoice or credit note."""
    parameters(request)
    return await told(await in_thread(_find_invoice, store_of(request), number_of(number, "invoice")))


def _find_invoice(store: Store, number: int) -> Answer:
    with store.reading() as session:
        return _invoice(find_invoice(session, number), DONE)
