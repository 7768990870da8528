"""Variation orders of an accepted quote: more wear found, priced, printed to be signed, accepted or declined."""

import json
from collections.abc import Callable
from typing import Any

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from api.describe.answers import body_of
from api.describe.examples import SETTLINGS, VARIATIONS
from api.describe.routes import DONE, KEY, MADE, kept
from api.routes.bills import asked_text, billed, grounded, numbered
from api.routes.letters import LANGUAGE, PDF, language_of, pdf
from api.routes.requests import answer, computed, json_body, parameters
from api.routes.stored import answered_once, in_thread, number_of, once_of, store_of, told
from api.store.bills import Bill, add_variation, find_variation, settle_variation, variations_of
from api.store.engine import Store
from api.store.models import Variation
from api.store.papers import letters_in
from api.store.quotes import find_quote
from api.store.replays import Answer, Once
from api.work import billing, tasks

__all__ = ["do_offer", "do_settle_variation", "router"]

router = APIRouter()
CHANGES = (403, 404, 409, 415)


def _head(row: Variation) -> dict[str, Any]:
    return {
        "quote": str(row.quote),
        "number": str(row.number),
        "state": row.state,
        "currency": row.currency,
        "total": row.total,
        "created_at": row.created_at,
        "settled_at": row.settled_at,
        "settled": None if row.settled is None else json.loads(row.settled),
        "sha256": row.sha256,
    }


def _said(row: Variation, status: int) -> Answer:
    headers = {"Location": f"/api/quotes/{row.quote}/variations/{row.number}"} if status == MADE else {}
    return Answer(status, _head(row), headers, {"variation": row.document})


@router.post(
    "/api/quotes/{number}/variations", operation_id="offer_variation", status_code=201, response_class=Response,
    openapi_extra=body_of("AskedVariation", VARIATIONS) | {"parameters": [KEY]},
    responses=kept("KeptVariation", "The variation order; what it says never changes.", 201, *CHANGES),
)  # fmt: skip
async def offer(request: Request, number: str) -> Response:
    """Offer a variation of an accepted quote: more wear by the rate that its letter states, other work at a price."""
    parameters(request)
    quote, (digest, text) = number_of(number, "quote"), await _sent(request)
    return await told(await do_offer(request, once_of(request, digest), quote, text))


async def do_offer(request: Request, once: Once, quote: int, text: str) -> Answer:
    """Offer a variation of an accepted quote; `text`: what was asked for."""

    async def ready() -> Bill:
        ground = await in_thread(grounded, store_of(request), quote, "variation")
        return billed(ground, await computed(request, billing.variation_drawn, ground, text))

    def write(session: Session, made: Bill) -> Answer:
        return _said(add_variation(session, once.who, quote, made), MADE)

    return await numbered(lambda: answered_once(request, once, ready, write))


async def _sent(request: Request) -> tuple[str, str]:
    return await computed(request, tasks.parsed, await json_body(request))


@router.get(
    "/api/quotes/{number}/variations", operation_id="list_variations", response_class=Response,
    responses=kept("VariationList", "The quote's variation orders, oldest first.", 200, 404),
)  # fmt: skip
async def list_of_quote(request: Request, number: str) -> Response:
    """Return the variation orders of a quote, oldest first."""
    parameters(request)
    return answer(await in_thread(_of_quote, store_of(request), number_of(number, "quote")))


def _of_quote(store: Store, quote: int) -> dict[str, Any]:
    with store.reading() as session:
        find_quote(session, quote)
        rows = variations_of(session, quote)
        return {"items": [_head(row) | {"cause": json.loads(row.document)["cause"]} for row in rows], "next": None}


@router.get(
    "/api/quotes/{number}/variations/{variation}.pdf", operation_id="print_variation", response_class=Response,
    openapi_extra={"parameters": [LANGUAGE]},
    responses=kept("", "The variation order to be signed, the same bytes every time.", 200, 403, 404, other=PDF),
)  # fmt: skip
async def variation_pdf(request: Request, number: str, variation: str) -> Response:
    """Return a variation order as PDF, to be signed."""
    language, which = language_of(request), (number_of(number, "quote"), number_of(variation, "variation"))
    return pdf(await in_thread(_paper, store_of(request), *which, language), f"variation-{number}-{variation}")


def _paper(store: Store, quote: int, number: int, language: str) -> bytes:
    with store.reading() as session:
        return letters_in(find_variation(session, quote, number).papers)[language]


@router.get(
    "/api/quotes/{number}/variations/{variation}", operation_id="read_variation", response_class=Response,
    responses=kept("KeptVariation", "The variation order.", 200, 404),
)  # fmt: skip
async def read_variation(request: Request, number: str, variation: str) -> Response:
    """Return a variation order."""
    parameters(request)
    which = number_of(number, "quote"), number_of(variation, "variation")
    return await told(await in_thread(_find, store_of(request), *which))


def _find(store: Store, quote: int, number: int) -> Answer:
    with store.reading() as session:
        return _said(find_variation(session, quote, number), DONE)


def _settler(state: str, said: str) -> Callable[[Request, str, str], Any]:
    """Return the route that notes what became of a variation order."""

    async def route(request: Request, number: str, variation: str) -> Response:
        parameters(request)
        which = number_of(number, "quote"), number_of(variation, "variation")
        digest, text = await asked_text(request)
        return await told(await do_settle_variation(request, once_of(request, digest), which, (state, text)))

    route.__doc__ = said
    return route


async def do_settle_variation(request: Request, once: Once, which: tuple[int, int], settled: tuple[str, str]) -> Answer:
    """Note what became of a variation of a quote; `settled`: its state, and who said so and how."""
    state, text = settled

    async def ready() -> str:
        return await computed(request, billing.settled, text)

    def write(session: Session, by: str) -> Answer:
        return _said(settle_variation(session, once.who, which, state, by), DONE)

    return await answered_once(request, once, ready, write)


for _verb, _state, _text in (
    ("accept", "accepted", "Note that the customer ordered a variation, who said so and how; it then is invoiced."),
    ("decline", "declined", "Note that the customer declined a variation, who said so and how."),
):
    router.post(
        f"/api/quotes/{{number}}/variations/{{variation}}/{_verb}", summary=f"{_verb.capitalize()} a variation order",
        operation_id=f"{_verb}_variation", response_class=Response,
        openapi_extra=body_of("Settled", SETTLINGS) | {"parameters": [KEY]},
        responses=kept("KeptVariation", f"The variation is {_state}.", 200, *CHANGES),
    )(_settler(_state, _text))  # fmt: skip
