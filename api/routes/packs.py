"""The field lead's work pack of a quote as PDF, from the estimate that it was drawn up with; no money is in it."""

from fastapi import APIRouter, Request, Response

from api.describe.routes import kept
from api.routes.requests import computed, parameters
from api.routes.stored import in_thread, number_of, store_of
from api.store.engine import Store
from api.store.quotes import find_paper, find_quote
from api.work import tasks

__all__ = ["router"]

router = APIRouter()
PDF = "application/pdf"
DATE = len("2026-11-25")  # of a moment as it is kept


@router.get(
    "/api/quotes/{number}/pack.pdf", operation_id="read_pack", response_class=Response,
    responses=kept("", "The quote's work pack; of an issued quote the same bytes every time.", 200, 404, other=PDF),
)  # fmt: skip
async def pack(request: Request, number: str) -> Response:
    """Return the work pack of a quote: what to take, day pages, readings, weld and cutting cards, sign-off."""
    parameters(request)
    kept_as, text, day, quote = await in_thread(_kept, store_of(request), number_of(number, "quote"))
    data = kept_as or await computed(request, tasks.pack, text, day, quote)
    name = f'attachment; filename="pack-{number}.pdf"'
    return Response(data, media_type=PDF, headers={"Content-Disposition": name})


def _kept(store: Store, number: int) -> tuple[bytes | None, str, str, str]:
    """Return the pack of a quote that was issued with one; its estimate, the day it was issued or drafted, which."""
    with store.reading() as session:
        quote, paper = find_quote(session, number), find_paper(session, number)
        said = f"{number}, revision {quote.revision}"
        if quote.issued_at is None:
            return None, paper.estimate, quote.created_at[:DATE], f"{said}, a draft"
        return paper.pack, paper.estimate, quote.issued_at[:DATE], said
