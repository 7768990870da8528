"""More wear found on site: what the quote's plan becomes; nothing is kept."""

from fastapi import APIRouter, Request, Response

from api.caller import current
from api.describe.answers import body_of
from api.describe.found import FOUND
from api.describe.routes import kept
from api.routes.requests import computed, json_body, parameters, sent
from api.routes.stored import in_thread, number_of, store_of
from api.store.engine import Store
from api.store.quotes import find_paper, find_quote
from api.work.found import planned_anew

__all__ = ["router"]

router = APIRouter()


@router.post(
    "/api/quotes/{number}/found", operation_id="plan_anew", response_class=Response,
    openapi_extra=body_of("FoundOnSite", FOUND),
    responses=kept("PlannedAnew", "The plan from the diameters that were found.", 200, 403, 404, 409, 415),
)  # fmt: skip
async def found(request: Request, number: str) -> Response:
    """Return what a quote becomes with more wear: layers, wire and hours, and the price to whom money is shown."""
    parameters(request)
    body = await json_body(request)
    papers = await in_thread(_papers, store_of(request), number_of(number, "quote"))
    return sent(await computed(request, planned_anew, body, *papers, current().role, times=2))


def _papers(store: Store, number: int) -> tuple[str, str, str]:
    """Return the texts of a quote's job, price book and estimate, as they were frozen."""
    with store.reading() as session:
        find_quote(session, number)
        paper = find_paper(session, number)
        return paper.job, paper.pricebook, paper.estimate
