"""The letter of a quote as PDF: of an issued quote the same bytes every time, of a draft one that says so."""

from collections.abc import Sequence

from fastapi import APIRouter, Request, Response
from starlette.exceptions import HTTPException

from api.caller import current
from api.describe.routes import kept, parameter
from api.routes.requests import computed, parameters
from api.routes.stored import in_thread, number_of, store_of
from api.store.engine import Store
from api.store.models import Quote
from api.store.photos import in_letter
from api.store.quotes import stored_letter
from api.work import tasks
from estimator.errors import DocumentError, Fault
from exports.papers.languages import USUAL, languages

__all__ = ["DATE", "LANGUAGE", "PDF", "as_issued", "language_of", "pdf", "router"]

router = APIRouter()
PDF = "application/pdf"
DATE = len("2026-11-25")  # of a moment as it is kept
LANGUAGE = parameter("language", "Language of the letter; English unless asked.", enum=list(languages()))


@router.get(
    "/api/quotes/{number}.pdf", operation_id="read_letter", response_class=Response,
    openapi_extra={"parameters": [LANGUAGE]},
    responses=kept("", "The quote's letter; of an issued quote the same bytes every time.", 200, 403, 404, other=PDF),
)  # fmt: skip
async def letter(request: Request, number: str) -> Response:
    """Return the letter of a quote that the customer gets."""
    if current().role == "field":  # the gate has said so; a letter has no part that the field may see
        raise HTTPException(403)
    language = language_of(request)
    data, text, quote = await in_thread(stored_letter, store_of(request), number_of(number, "quote"), language)
    if data is None:
        dated, photos = (quote.created_at[:DATE], as_issued(quote)), await in_thread(_photos, store_of(request), quote)
        data = await computed(request, tasks.letter, text, dated, language, photos)
    return pdf(data, f"quote-{number}")


def language_of(request: Request, known: Sequence[str] = ()) -> str:
    """Return the language that a paper is asked for in; raise `DocumentError` for one that there is not.

    `known`: what else may be asked.
    """
    language = parameters(request, ("language", *known)).get("language", USUAL)
    if language not in languages():
        raise DocumentError([Fault("language", f"must be one of: {', '.join(languages())}")])
    return language


def pdf(data: bytes, name: str) -> Response:
    """Return a paper as an answer, under a file name without its ending."""
    return Response(data, media_type=PDF, headers={"Content-Disposition": f'attachment; filename="{name}.pdf"'})


def _photos(store: Store, quote: Quote) -> list[tuple[str, bytes]]:
    """Return the photos that the letter of a draft shows."""
    if quote.issued_at is not None:
        return []
    with store.reading() as session:
        return in_letter(session, quote.job_id)


def as_issued(quote: Quote) -> tuple[str, int, str, str] | None:
    """Return as what a quote was issued before letters were kept, None for a draft."""
    if quote.issued_at is None or quote.valid_until is None:
        return None
    return str(quote.number), quote.revision, quote.issued_at[:DATE], quote.valid_until[:DATE]
