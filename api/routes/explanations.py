"""POST /api/explanations: how one figure of a job's estimate came about; nothing is kept."""

from typing import Any, NoReturn

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel, ConfigDict

from api.describe.answers import body_of, reply
from api.describe.examples import QUESTIONS
from api.explained import explained
from api.problems import declared
from api.routes.requests import answer, computed, json_body, parameters
from estimator.book.pricebook import read_pricebook
from estimator.errors import DocumentError, Fault, JobRefusedError
from estimator.strict import parse, validated

__all__ = ["Question", "router"]

router = APIRouter()


class Question(BaseModel):
    """A job, and the key of the figure to explain."""

    model_config = ConfigDict(extra="forbid", strict=True, hide_input_in_errors=True)

    job: dict[str, Any]
    key: str


@router.post(
    "/api/explanations",
    summary="Explain one figure",
    operation_id="explain",
    response_class=Response,
    openapi_extra=body_of("Question", QUESTIONS),
    responses=reply("Explanation", "How the figure came about.")
    | declared(400, 401, 403, 409, 413, 415, 421, 422, 429, 500),
)
async def explain_figure(request: Request) -> Response:
    """Return every step behind one figure, back to what was typed."""
    parameters(request)
    body = await json_body(request)
    return answer(await computed(len(body), _explained, body))


def _explained(body: bytes) -> dict[str, Any]:
    question = validated(Question, parse(body), {})
    try:
        return explained(question.job, read_pricebook(), question.key, at="/key")
    except (DocumentError, JobRefusedError) as error:
        _raise_below(error)


def _raise_below(error: DocumentError | JobRefusedError) -> NoReturn:
    """Raise the error again with paths as they stand in the body: those of the job lie below `job`."""
    faults = [
        Fault("key", fault.message) if fault.path == "/key" else Fault(f"job.{fault.path}".rstrip("."), fault.message)
        for fault in error.faults
    ]
    raise type(error)(faults) from None
