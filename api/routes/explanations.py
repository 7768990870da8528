"""POST /api/explanations: how one figure of a job's estimate came about; nothing is kept."""

from fastapi import APIRouter, Request, Response

from api.caller import current
from api.describe.answers import body_of, reply
from api.describe.examples import QUESTIONS
from api.problems import declared
from api.routes.requests import computed, json_body, parameters, sent
from api.work import tasks

__all__ = ["router"]

router = APIRouter()


@router.post(
    "/api/explanations",
    summary="Explain one figure",
    operation_id="explain",
    response_class=Response,
    openapi_extra=body_of("Question", QUESTIONS),
    responses=reply("Explanation", "How the figure came about.")
    | declared(400, 401, 403, 409, 413, 415, 421, 422, 429, 500, 503),
)
async def explain_figure(request: Request) -> Response:
    """Return every step behind one figure, back to what was typed."""
    parameters(request)
    return sent(await computed(request, tasks.explained_figure, await json_body(request), current().role))
