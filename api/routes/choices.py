"""POST /api/comparisons, /api/fleets and /api/orders: repair or replace, and what to take; nothing is kept."""

from fastapi import APIRouter, Request, Response

from api.caller import current
from api.describe.answers import body_of, reply
from api.describe.examples import BASKETS, CHOICES, FLEETS
from api.problems import declared
from api.routes.requests import computed, json_body, parameters, sent
from api.routes.stored import BOOK, book_asked
from api.work import tasks

__all__ = ["router"]

router = APIRouter()


@router.post(
    "/api/comparisons",
    summary="Compare repair, sleeve and replacement",
    operation_id="compare",
    response_class=Response,
    openapi_extra=body_of("Job", CHOICES) | {"parameters": [BOOK]},
    responses=reply("Comparison", "The comparison.") | declared(400, 401, 403, 413, 415, 421, 422, 429, 500, 503),
)
async def compare_job(request: Request) -> Response:
    """Return which way is cheapest a year; a refused repair is a way that cannot be costed."""
    name = parameters(request, ("pricebook",)).get("pricebook")
    body, book = await json_body(request), await book_asked(request, name)
    return sent(await computed(request, tasks.compared, body, book, current().role))


@router.post(
    "/api/fleets",
    summary="What is to be done with each bore of a fleet",
    operation_id="fleet",
    response_class=Response,
    openapi_extra=body_of("Listed", FLEETS) | {"parameters": [BOOK]},
    responses=reply("Fleet", "The fleet, row by row.") | declared(400, 401, 403, 413, 415, 421, 422, 429, 500, 503),
)
async def answer_fleet(request: Request) -> Response:
    """Return each row's way, date and price; rows that are wrong are set aside, each with its reasons."""
    name = parameters(request, ("pricebook",)).get("pricebook")
    body, book = await json_body(request), await book_asked(request, name)
    return sent(await computed(request, tasks.fleets, body, book, current().role))


@router.post(
    "/api/orders",
    summary="What to take and to order for several jobs",
    operation_id="order",
    response_class=Response,
    openapi_extra=body_of("Basket", BASKETS) | {"parameters": [BOOK]},
    responses=reply("Order", "The order.") | declared(400, 401, 403, 409, 413, 415, 421, 422, 429, 500, 503),
)
async def order_jobs(request: Request) -> Response:
    """Return what covers the jobs' expected use at a service level, less what is on hand."""
    name = parameters(request, ("pricebook",)).get("pricebook")
    body, book = await json_body(request), await book_asked(request, name)
    return sent(await computed(request, tasks.ordered, body, book, current().role))
