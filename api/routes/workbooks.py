"""The workbooks of a quote: the shop's own with its cost, and the customer's, which stands alone."""

from fastapi import APIRouter, Request, Response
from starlette.exceptions import HTTPException

from api.caller import current
from api.describe.routes import kept, parameter
from api.routes.letters import DATE, LANGUAGE, as_issued, language_of
from api.routes.requests import WORKBOOK, computed
from api.routes.stored import in_thread, number_of, store_of
from api.store.quotes import stored_workbook
from api.work import tasks
from estimator.errors import DocumentError, Fault
from exports.papers.languages import USUAL

__all__ = ["router"]

router = APIRouter()
SHOP, CUSTOMER = WHOM = ("shop", "customer")
FOR = parameter("for", "For whom; the shop's own unless asked, for a fleet the customer's alone.", enum=list(WHOM))


@router.get(
    "/api/quotes/{number}.xlsx", operation_id="read_workbook", response_class=Response,
    openapi_extra={"parameters": [FOR, LANGUAGE]},
    responses=kept(
        "", "The quote's workbook; of an issued quote the same bytes every time.", 200, 403, 404, other=WORKBOOK
    ),
)  # fmt: skip
async def workbook(request: Request, number: str) -> Response:
    """Return a quote as a workbook, for the shop or for the customer."""
    caller = current()
    language = language_of(request, ("for",))
    whom = request.query_params.get("for", SHOP if caller.sees_cost else CUSTOMER)
    if whom not in WHOM:
        raise DocumentError([Fault("for", f"must be one of: {', '.join(WHOM)}")])
    if caller.role == "field" or (whom == SHOP and not caller.sees_cost):
        raise HTTPException(403, f"Not for the role {caller.role}.")
    shop = whom == SHOP
    if shop and language != USUAL:
        raise DocumentError([Fault("language", "the shop's own workbook is in English; ask with for=customer")])
    wanted = None if shop else language
    data, text, quote = await in_thread(stored_workbook, store_of(request), number_of(number, "quote"), wanted)
    if data is None and shop:
        data = await computed(request, tasks.shop_book, text)
    elif data is None:
        data = await computed(request, tasks.customer_book, text, quote.created_at[:DATE], as_issued(quote), language)
    name = f'attachment; filename="quote-{number}{"" if shop else "-customer"}.xlsx"'
    return Response(data, media_type=WORKBOOK, headers={"Content-Disposition": name})
