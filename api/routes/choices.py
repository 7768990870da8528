"""POST /api/comparisons and /api/orders: repair or replace, and what to take; nothing is kept."""

from typing import Any

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel, ConfigDict

from api.describe.answers import body_of, reply
from api.describe.examples import BASKETS, CHOICES
from api.problems import declared
from api.routes.requests import answer, computed, json_body, parameters
from api.routes.stored import BOOK, book_asked
from estimator.book.pricebook import PriceBook
from estimator.buying import order
from estimator.buying.make import Order
from estimator.compare import compare
from estimator.strict import parse, validated

__all__ = ["Basket", "router"]

router = APIRouter()
USUAL_LEVEL = 0.95


class Basket(BaseModel):
    """Several jobs, what is on hand, and how sure the cover shall be."""

    model_config = ConfigDict(extra="forbid", strict=True, hide_input_in_errors=True)

    jobs: list[Any]
    stock: list[Any] | None = None
    service_level: Any = USUAL_LEVEL


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
    return answer(await computed(len(body), compare, body, book))


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
    return answer(await computed(len(body), _ordered, body, book))


def _ordered(body: bytes, book: PriceBook) -> Order:
    basket = validated(Basket, parse(body), {})
    jobs = [job if isinstance(job, dict) else {} for job in basket.jobs]
    return order(jobs, book, basket.stock, basket.service_level)
