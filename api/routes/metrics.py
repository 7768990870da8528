"""GET /metrics: what this process counted, for a monitoring system."""

from typing import Any

from fastapi import APIRouter, Request, Response

from api.access.metrics import CONTENT_TYPE_LATEST
from api.problems import declared

__all__ = ["router"]

router = APIRouter()
TEXT: dict[int | str, dict[str, Any]] = {
    200: {"description": "The counters of this process.", "content": {"text/plain": {"schema": {"type": "string"}}}}
}


@router.get(
    "/metrics",
    summary="Counters",
    operation_id="metrics",
    response_class=Response,
    responses=TEXT | declared(400, 401, 403, 413, 421, 429, 500),
)
async def metrics(request: Request) -> Response:
    """Return requests, times and refusals of this process, as a monitoring system reads them."""
    return Response(request.app.state.metrics.text(), media_type=CONTENT_TYPE_LATEST)
