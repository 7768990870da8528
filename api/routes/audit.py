"""The audit: who did what, newest first. It is only ever added to, by whoever does something."""

import json
from typing import Any

from fastapi import APIRouter, Request, Response

from api.describe.routes import LIMIT_AND_AFTER, kept, parameter
from api.routes.requests import answer
from api.routes.stored import in_thread, page_of, paged, store_of
from api.store.audit import entries
from api.store.engine import Store

__all__ = ["router"]

router = APIRouter()
SUBJECT = parameter("subject", 'Only what was done to this, for instance "quote 100001" or "job 7".')


@router.get(
    "/api/audit",
    operation_id="list_audit",
    response_class=Response,
    openapi_extra={"parameters": [*LIMIT_AND_AFTER, SUBJECT]},
    responses=kept("AuditList", "What was done, newest first.", 200, 403),
)
async def list_all(request: Request) -> Response:
    """Return who did what, newest first."""
    _, after, limit = page_of(request, more=("subject",))
    return answer(await in_thread(_list, store_of(request), request.query_params.get("subject"), after, limit))


def _list(store: Store, subject: str | None, after: int | None, limit: int) -> dict[str, Any]:
    names = ("id", "at", "actor", "role", "action", "subject", "request")
    with store.reading() as session:
        rows = [
            {name: getattr(row, name) for name in names} | {"detail": json.loads(row.detail)}
            for row in entries(session, subject, after, limit + 1)
        ]
    return paged(rows, limit, "id")
