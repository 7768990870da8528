"""The pages: jobs and quotes with search, a job with its estimate, a quote as it was issued."""

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter, Request, Response
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.exceptions import HTTPException

from api.access.gate import session_in
from api.access.secrets import csrf_of
from api.caller import current
from api.pages.desk.bills import bills_of
from api.pages.desk.forms import new_key
from api.pages.desk.past import past_of
from api.pages.diary_view import free_said
from api.pages.whole import given_of, job_page, quote_page, refused
from api.render import page, sent_page
from api.routes.requests import computed
from api.store.calibrations import book_in_force
from api.store.engine import Store
from api.store.jobs import Wanted, find_job, list_jobs
from api.store.photos import list_photos
from api.store.quotes import QUOTE_STATES, find_paper, find_quote, list_quotes, state_of
from estimator.errors import DocumentError
from exports.format import Units, amount

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
ROWS = 25
LONGEST_SEARCH = 200
LARGEST_NUMBER = 2**63 - 1


@dataclass(frozen=True)
class Search:
    """What the list of jobs and quotes is narrowed to, and after which ones it goes on."""

    words: str
    state: str
    after_job: int | None
    after_quote: int | None

    def further(self, **after: object) -> str:
        """Return the way to what follows."""
        return "/?" + urlencode(
            {key: value for key, value in {"q": self.words, "state": self.state, **after}.items() if value}
        )


@router.get("/")
async def home(request: Request) -> Response:
    """Return the list of jobs and quotes."""
    asked = request.query_params
    state = asked.get("state", "")
    search = Search(
        "".join(sign for sign in asked.get("q", "")[:LONGEST_SEARCH] if sign.isprintable()).strip(),
        state if state in QUOTE_STATES else "",
        _number(asked.get("jobs", "")),
        _number(asked.get("quotes", "")),
    )
    found = await run_in_threadpool(_listed, _store(request), search)
    found["free"] = await run_in_threadpool(free_said, _store(request)) if current().sees_cost else ""
    return page("home.html", csrf=_csrf(request), q=search.words, chosen=search.state, states=QUOTE_STATES, **found)


@router.get("/jobs/{number}")
async def job(request: Request, number: str) -> Response:
    """Return a job, its quotes and its estimate as it would be now."""
    units = _units(request)
    document, book, content = await run_in_threadpool(_job, _store(request), _known(number))
    if document is None:
        return page("job.html", csrf=_csrf(request), units=units, **content)
    given = given_of(current(), units, _csrf(request), **content)
    return sent_page(await computed(request, job_page, document, book, given))


@router.get("/quotes/{number}")
async def quote(request: Request, number: str) -> Response:
    """Return a quote with the estimate that it was drawn up with."""
    document, content = await run_in_threadpool(_quote, _store(request), _known(number))
    given = given_of(current(), _units(request), _csrf(request), **content)
    return sent_page(await computed(request, quote_page, document, given))


def _store(request: Request) -> Store:
    store: Store | None = request.app.state.store
    if store is None:
        raise HTTPException(404)
    return store


def _csrf(request: Request) -> str:
    session = session_in(Headers(scope=request.scope))
    return csrf_of(session) if session else ""


def _units(request: Request) -> Units:
    return "us" if request.query_params.get("units") == "us" else "metric"


def _number(text: str) -> int | None:
    short = text.isascii() and text.isdigit() and len(text) <= len(str(LARGEST_NUMBER))
    return int(text) if short and int(text) <= LARGEST_NUMBER else None


def _known(text: str) -> int:
    number = _number(text)
    if number is None:
        raise HTTPException(404)
    return number


def _listed(store: Store, search: Search) -> dict[str, Any]:
    """Return one screen of jobs and one of quotes, newest first."""
    with store.reading() as db:
        jobs = list_jobs(db, Wanted(search.words), search.after_job, ROWS + 1)
        quotes = list_quotes(db, Wanted(search.words, search.state or None), search.after_quote, ROWS + 1)
    more = {"jobs": jobs[ROWS - 1][0].id if len(jobs) > ROWS else None}
    further = {"quotes": quotes[ROWS - 1][0].number if len(quotes) > ROWS else None}
    return {
        "jobs": [
            {
                "id": one.id,
                "reference": one.reference,
                "title": one.title or "",
                "customer": customer or "",
                "equipment": machine or "",
                "changed": one.changed_at[:10],
            }
            for one, customer, machine in jobs[:ROWS]
        ],
        "quotes": [_row(one, of.reference, customer) for one, of, customer, _ in quotes[:ROWS]],
        "more_jobs": search.further(**more) + "#jobs" if more["jobs"] else "",
        "more_quotes": search.further(**further) + "#quotes" if further["quotes"] else "",
    }


def _row(quote: Any, reference: str = "", customer: str | None = None) -> dict[str, Any]:  # noqa: ANN401  # a row
    """Return a quote as a list shows it: its price, never its cost."""
    return {
        "number": quote.number,
        "state": state_of(quote),
        "reference": reference,
        "customer": customer or "",
        "valid_until": (quote.valid_until or "")[:10],
        "total": amount(quote.total, quote.currency),
        "job_id": quote.job_id,
    }


def _job(store: Store, number: int) -> tuple[str | None, str | None, dict[str, Any]]:
    """Return the texts of a job and its price book, and what else its page shows; no text where its book is gone."""
    with store.reading() as db:
        kept, revision = find_job(db, number)
        quotes = [_row(one) for one, *_ in list_quotes(db, Wanted(), None, ROWS, number)]
        content = {
            "quotes": quotes,
            "job": {"id": kept.id, "revision": kept.revision},
            "name": kept.reference + (f", {kept.title}" if kept.title else ""),
            "past": _past(db, [f"job {kept.id}", *(f"quote {one['number']}" for one in quotes)]),
            "key": new_key(),
            "photos": [one._asdict() for one in list_photos(db, number)],
        }
        try:
            return revision.document, book_in_force(db, kept.pricebook), content
        except DocumentError as error:  # the book was removed since
            return None, None, refused(error) | content


def _quote(store: Store, number: int) -> tuple[str, dict[str, Any]]:
    """Return the estimate that a quote was drawn up with, and what else its page shows."""
    with store.reading() as db:
        kept, paper = find_quote(db, number), find_paper(db, number)
        row = _row(kept)
        dates = [("Issued", (kept.issued_at or "")[:10]), ("Valid until", row["valid_until"])]
        dates.append(("Revision", str(kept.revision)))
        content = {"quote": row | {"stored_state": kept.state}, "sha256": paper.sha256, "dates": dates}
        bills = bills_of(db, kept) if current().sees_cost else None
        return paper.estimate, content | {"past": _past(db, [f"quote {number}"]), "key": new_key(), "bills": bills}


def _past(db: Session, subjects: list[str]) -> list[dict[str, str]]:
    """Return the history of some things, for the office alone."""
    return past_of(db, subjects) if current().sees_cost else []
