"""What happened on site: recorded against a quote, set beside its estimate."""

import json
from typing import Any

from fastapi import APIRouter, Request, Response
from pydantic_core import to_json
from sqlmodel import Session

from api.caller import current
from api.describe.answers import body_of
from api.describe.examples import RECORDS
from api.describe.routes import KEY, LIMIT_AND_AFTER, MADE, kept
from api.routes.requests import computed, json_body, parameters, sent
from api.routes.stored import in_thread, made_once, number_of, once_of, page_of, store_of
from api.store.actuals import Record, add_actual, list_actuals, quote_named
from api.store.bills import ground_of
from api.store.engine import Store
from api.store.jobs import find_job
from api.store.models import Actual
from api.store.quotes import find_paper, settle_due
from api.store.replays import Answer
from api.work import learning, tasks
from estimator.document.redact import Role, redact

__all__ = ["router"]

router = APIRouter()


def _said(row: Actual) -> dict[str, Any]:
    return {
        "id": row.id,
        "job_id": row.job_id,
        "quote": str(row.number),
        "replaces": row.replaces,
        "created_at": row.created_at,
        "created_by": row.created_by,
        **json.loads(row.judged),
    }


@router.post(
    "/api/jobs/{id}/actuals", operation_id="record_work", status_code=201, response_class=Response,
    openapi_extra=body_of("Happened", RECORDS) | {"parameters": [KEY]},
    responses=kept("KeptRecord", "Recorded, and set beside the estimate.", 201, 403, 404, 409, 415),
)  # fmt: skip
async def record(request: Request, id: str) -> Response:
    """Record what happened: times, wire, sizes, heat read, batches, signature, variations, standing time."""
    parameters(request)
    job_id = number_of(id, "job")
    digest, text = await computed(request, tasks.parsed, await json_body(request))
    once = once_of(request, digest)

    async def ready() -> Record:
        quote, estimate = await in_thread(_estimated, store_of(request), job_id, text)
        return Record(quote, text, *await computed(request, tasks.happened, text, estimate))

    def write(session: Session, made: Record) -> Answer:
        row = add_actual(session, once.who, job_id, made)
        return Answer(MADE, _said(row), {"Location": f"/api/jobs/{job_id}/actuals"}, {"record": row.document})

    return await made_once(request, once, ready, write)


def _estimated(store: Store, job_id: int, text: str) -> tuple[int, str]:
    """Return the number of the quote that a record names, and its estimate."""
    settle_due(store)
    with store.reading() as session:
        quote = quote_named(session, job_id, json.loads(text).get("quote"))
        return quote, find_paper(session, quote).estimate


@router.get(
    "/api/jobs/{id}/actuals", operation_id="list_work", response_class=Response,
    openapi_extra={"parameters": LIMIT_AND_AFTER},
    responses=kept("RecordList", "The job's records, newest first.", 200, 404),
)  # fmt: skip
async def list_of_job(request: Request, id: str) -> Response:
    """Return what was recorded for a job, newest first."""
    _, after, limit = page_of(request)
    return sent(await in_thread(_list, store_of(request), number_of(id, "job"), after, limit, current().role))


def _list(store: Store, job_id: int, after: int | None, limit: int, role: Role) -> bytes:
    """Return a page of records as the answer; they may be large, so all of it is made in the thread."""
    with store.reading() as session:
        find_job(session, job_id)
        rows, more = list_actuals(session, job_id, after, limit)
        items = [_said(row) | {"record": json.loads(row.document)} for row in rows]
        return to_json(redact({"items": items, "next": str(items[-1]["id"]) if more else None}, role))


@router.get(
    "/api/quotes/{number}/variance", operation_id="vary_quote", response_class=Response,
    responses=kept("Variance", "What came out otherwise, in money.", 200, 403, 404, 409),
)  # fmt: skip
async def varied(request: Request, number: str) -> Response:
    """Return what an accepted quote's work cost more or less than planned: hours, rate, use, and scope beside it."""
    parameters(request)
    quote = number_of(number, "quote")
    found = await in_thread(_with_records, store_of(request), quote)
    return sent(await computed(request, learning.varied, quote, *found, current().role))


def _with_records(store: Store, number: int) -> tuple[str, str, str]:
    """Return a quote's estimate, its records and its variation orders."""
    settle_due(store)
    with store.reading() as session:
        found = ground_of(session, number, "variation")
        return found.estimate, found.records, found.variations
