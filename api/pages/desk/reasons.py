"""Where a figure comes from: three lines with formula, inputs and source, then the steps below it."""

from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool

from api.explained import explained
from api.filled import filled
from api.pages.desk.forms import csrf_word, known_number
from api.render import page
from api.routes.requests import computed
from api.routes.stored import store_of
from api.store.books import book_named
from api.store.engine import Store
from api.store.jobs import find_job
from api.work.tasks import book_of
from estimator.errors import DocumentError, JobRefusedError, UnknownEntryError
from estimator.strict import parse
from exports.page.explained import page as told

__all__ = ["reason", "router"]

router = APIRouter(include_in_schema=False)
FIRST = 3  # lines that answer
LONGEST_KEY = 200
DIGITS = 6


def reason(document: str, book: str | None, key: str, step: int | None) -> str:
    """Return where a figure of a job's estimate comes from, as a piece of a page; `step`: one of the steps below it."""
    shown: dict[str, Any] = {"key": key, "first": [], "tree": "", "wrong": ""}
    try:
        text = told(explained(parse(document), book_of(book), key, at="key"), step=step)
    except (DocumentError, JobRefusedError) as error:
        shown["wrong"] = "; ".join(one.message for one in error.faults)
    except UnknownEntryError as error:
        shown["wrong"] = str(error)
    else:
        lines = [line for line in text.splitlines() if "--step N" not in line]
        shown |= {"first": [line.strip() for line in lines[:FIRST]], "tree": "\n".join(lines[FIRST:]).strip("\n")}
    return filled("reason.html", None, "", **shown)


@router.get("/jobs/{number}/explain")
async def explain_one(request: Request, number: str) -> Response:
    """Return where a figure of a job comes from, as a page or as a piece of one."""
    asked = request.query_params
    step = asked.get("step", "")
    at = int(step) if step.isascii() and step.isdigit() and len(step) <= DIGITS else None
    job, key = known_number(number), asked.get("key", "")[:LONGEST_KEY]
    name, document, book = await run_in_threadpool(_read, store_of(request), job)
    text = await computed(request, reason, document, book, key, at)
    if "piece" in asked:
        return HTMLResponse(text)
    return page("explain.html", csrf=csrf_word(request), job=job, name=name, told=Markup(text))  # from our own template


def _read(store: Store, number: int) -> tuple[str, str, str | None]:
    with store.reading() as db:
        job, text = find_job(db, number)
        return job.reference, text.document, book_named(db, job.pricebook)
