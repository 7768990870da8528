"""The sheet to fill in on site: GET a blank one, POST a filled one and get its job; nothing is kept."""

from fastapi import APIRouter, Request, Response

from api.caller import current
from api.describe.answers import reply, upload_of
from api.problems import declared
from api.routes.requests import WORKBOOK, computed, parameters, sent, sheet_body
from api.routes.stored import BOOK, book_asked
from api.work import tasks
from api.work.here import Work
from api.work.weigh import weight_of_sheet

__all__ = ["router"]

router = APIRouter()
BLANK = {200: {"description": "A workbook.", "content": {WORKBOOK: {"schema": {"type": "string", "format": "binary"}}}}}


@router.get(
    "/api/intake.xlsx",
    summary="Get a blank intake sheet",
    operation_id="blank_intake",
    response_class=Response,
    responses=BLANK | declared(400, 401, 403, 413, 421, 422, 429, 500, 503),
)
async def blank_intake(request: Request) -> Response:
    """Return the sheet to fill in on site: customer, machine, site, bores, readings."""
    parameters(request)
    held = {"Content-Disposition": 'attachment; filename="intake.xlsx"'}
    return Response(await computed(request, tasks.to_fill_in), headers=held, media_type=WORKBOOK)


@router.post(
    "/api/intake",
    summary="Read a filled intake sheet",
    operation_id="read_intake",
    response_class=Response,
    openapi_extra=upload_of(WORKBOOK) | {"parameters": [BOOK]},
    responses=reply("Intake", "The job that the sheet says.")
    | declared(400, 401, 403, 413, 415, 421, 422, 429, 500, 503),
)
async def read_intake(request: Request) -> Response:
    """Return the job of a filled sheet; what is wrong is told at its cell: `Readings!D7`."""
    name = parameters(request, ("pricebook",)).get("pricebook")
    body, book = await sheet_body(request), await book_asked(request, name)
    work: Work = request.app.state.work
    found = await work.done(current().key, weight_of_sheet(body), tasks.taken_in, body, book, current().role)
    return sent(found)
