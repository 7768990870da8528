"""POST /api/estimates: a job document in, its estimate out; nothing is kept."""

from fastapi import APIRouter, Request, Response
from starlette.exceptions import HTTPException

from api.describe import body_of, reply
from api.examples import JOBS
from api.problems import declared
from api.routes.requests import answer, computed, json_body, refuse_parameters
from estimator.estimate import estimate
from estimator.pricebook import read_pricebook

__all__ = ["router"]

router = APIRouter()
LATER = ("pricebook", "spread")  # query parameters
WORKBOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@router.post(
    "/api/estimates",
    summary="Estimate a job",
    operation_id="estimate",
    response_class=Response,
    openapi_extra=body_of("Job", JOBS),
    responses=reply("Estimate", "The estimate.") | declared(400, 403, 406, 409, 413, 415, 421, 422, 500),
)
async def estimate_job(request: Request) -> Response:
    """Return what the job in the body takes and costs."""
    _refuse_workbook(request.headers.get("accept", ""))
    refuse_parameters(request, LATER)
    body = await json_body(request)
    return answer(await computed(len(body), estimate, body, read_pricebook()))


def _refuse_workbook(accept: str) -> None:
    """Raise 406 where a workbook is asked for and JSON is not."""
    kinds = {part.partition(";")[0].strip().lower() for part in accept.split(",")}
    if WORKBOOK in kinds and "application/json" not in kinds:
        raise HTTPException(406)
