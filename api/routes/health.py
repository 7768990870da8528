"""GET /health and GET /ready: whether the process lives, and whether it can answer."""

from fastapi import APIRouter, Request, Response
from starlette.concurrency import run_in_threadpool

from api.describe.answers import reply
from api.problems import declared, problem
from api.routes.requests import answer
from api.store.engine import Store
from api.store.errors import StoreError
from api.store.schema import version_of
from estimator.book.pricebook import read_pricebook
from estimator.tables import ROWS

__all__ = ["router"]

router = APIRouter()


@router.get(
    "/health",
    summary="Does the process live?",
    operation_id="health",
    response_class=Response,
    responses=reply("Health", "It lives.") | declared(400, 413, 421, 429, 500),
)
async def health() -> Response:
    """Return at once."""
    return answer({"status": "ok"})


@router.get(
    "/ready",
    summary="Can it answer?",
    operation_id="ready",
    response_class=Response,
    responses=reply("Health", "It can answer.") | declared(400, 413, 421, 429, 500, 503),
)
async def ready(request: Request) -> Response:
    """Return whether the tables and the built-in price book load, and the database answers."""
    try:
        book = read_pricebook()
        for table in ROWS:
            book.facts.rows(table)
    except Exception as error:  # whatever it is, the answer is: not ready
        return problem(503, f"The built-in tables or price book do not load: {type(error).__name__}.")
    store: Store | None = request.app.state.store
    try:
        if store is not None:
            await run_in_threadpool(_asked, store)
    except StoreError as error:
        return problem(503, f"The database: {error}.")
    return answer({"status": "ready"})


def _asked(store: Store) -> None:
    """Ask the database for its version; raise `StoreError` where it does not answer or is not ours any more."""
    with store.reading() as db:
        version_of(db.connection())
