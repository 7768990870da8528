"""POST /api/estimates: a job document in, its estimate out; nothing is kept."""

from fastapi import APIRouter, Request, Response
from starlette.exceptions import HTTPException

from api.caller import current
from api.describe.answers import body_of, reply
from api.describe.examples import JOBS
from api.describe.routes import parameter
from api.problems import declared
from api.routes.requests import WORKBOOK, computed, json_body, parameters, sent
from api.routes.stored import BOOK, book_asked
from api.work import tasks
from estimator.errors import DocumentError, Fault
from estimator.estimate import DETAILS, Detail
from estimator.spread.make import FEWEST, MOST

__all__ = ["router"]

router = APIRouter()
DETAIL = parameter(
    "detail", "How much the JSON answer says: price alone, plan (unless asked), or full.", enum=list(DETAILS)
)
SPREAD = parameter("spread", "Days to draw for how far the job may come out otherwise, 2 to 1000000.")
DIGITS = 7  # of a million
AS_LONG = 400  # days are drawn about as fast as a job is planned
JSON_KINDS = {"application/json", "application/*"}


@router.post(
    "/api/estimates",
    summary="Estimate a job",
    operation_id="estimate",
    response_class=Response,
    openapi_extra=body_of("Job", JOBS) | {"parameters": [BOOK, DETAIL, SPREAD]},
    responses=reply("Estimated", "The estimate, or its quote workbook.", WORKBOOK)
    | declared(400, 401, 403, 406, 409, 413, 415, 421, 422, 429, 500, 503),
)
async def estimate_job(request: Request) -> Response:
    """Return what the job in the body takes and costs: JSON, or a workbook where `Accept` asks for one."""
    as_workbook = _wants_workbook(request.headers.get("accept", ""))
    asked = parameters(request, ("pricebook", "detail", "spread"))
    name, detail = asked.get("pricebook"), _detail(asked.get("detail", "plan"))
    days = _days(asked.get("spread"), detail)
    body, book = await json_body(request), await book_asked(request, name)
    role = current().role
    if as_workbook:
        return Response(await computed(request, tasks.workbook, body, book, role), media_type=WORKBOOK)
    if not days:
        return sent(await computed(request, tasks.estimated, body, book, detail, role))
    times = 1 + days // AS_LONG
    return sent(await computed(request, tasks.spread, body, book, (detail, days), role, times=times))


def _detail(asked: str) -> Detail:
    """Return how much the answer is to say."""
    for known in DETAILS:
        if asked == known:
            return known
    raise DocumentError([Fault("detail", f"must be one of {', '.join(DETAILS)}")])


def _days(asked: str | None, detail: Detail) -> int:
    """Return how many days are to be drawn for the spread; none where nobody asks."""
    if asked is None:
        return 0
    if not (asked.isascii() and asked.isdigit() and len(asked) <= DIGITS and FEWEST <= int(asked) <= MOST):
        raise DocumentError([Fault("spread", f"must be a whole number from {FEWEST} to {MOST}")])
    if detail == "price":
        raise DocumentError([Fault("spread", "goes with the detail plan or full")])
    return int(asked)


def _wants_workbook(accept: str) -> bool:
    """Return whether a workbook is asked for rather than JSON; raise 406 where neither will do."""
    kinds = {part.partition(";")[0].strip().lower() for part in accept.split(",") if part.strip()}
    if WORKBOOK in kinds and not kinds & JSON_KINDS:
        return True
    if kinds and not kinds & {*JSON_KINDS, WORKBOOK, "*/*"}:
        raise HTTPException(406)
    return False
