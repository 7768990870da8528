"""GET /health and GET /ready: whether the process lives, and whether it can answer."""

from fastapi import APIRouter, Response

from api.describe import reply
from api.problems import declared, problem
from api.routes.requests import answer
from estimator.pricebook import read_pricebook
from estimator.tables import ROWS

__all__ = ["router"]

router = APIRouter()


@router.get(
    "/health",
    summary="Does the process live?",
    operation_id="health",
    response_class=Response,
    responses=reply("Health", "It lives.") | declared(400, 413, 421, 500),
)
async def health() -> Response:
    """Return at once."""
    return answer({"status": "ok"})


@router.get(
    "/ready",
    summary="Can it answer?",
    operation_id="ready",
    response_class=Response,
    responses=reply("Health", "It can answer.") | declared(400, 413, 421, 500, 503),
)
async def ready() -> Response:
    """Return whether the tables and the built-in price book load."""
    try:
        book = read_pricebook()
        for table in ROWS:
            book.facts.rows(table)
    except Exception as error:  # whatever it is, the answer is: not ready
        return problem(503, f"The built-in tables or price book do not load: {type(error).__name__}.")
    return answer({"status": "ready"})
