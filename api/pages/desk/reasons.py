"""Where a figure comes from: three lines with formula, inputs and source, then the steps below it."""

import json
import zlib
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
from api.store.quotes import find_paper, find_quote
from api.work.tasks import book_of
from estimator.errors import DocumentError, JobRefusedError, UnknownEntryError
from estimator.nomenclature import quantities
from estimator.strict import parse
from exports.page.explained import page as told

__all__ = ["kept_reason", "reason", "router"]

router = APIRouter(include_in_schema=False)
FIRST = 3  # lines that answer
LONGEST_KEY = 200
DIGITS = 6


def reason(document: str, book: str | None, key: str, step: int | None) -> str:
    """Return where a figure of a job's estimate comes from, as a piece of a page; `step`: one of the steps below it."""
    try:
        return _told(told(explained(parse(document), book_of(book), key, at="key"), step=step), key)
    except (DocumentError, JobRefusedError) as error:
        wrong = "; ".join(one.message for one in error.faults)
    except UnknownEntryError as error:
        wrong = str(error)
    return filled("reason.html", None, "", key=key, first=[], tree="", wrong=wrong)


def kept_reason(explanations: str, document: str, key: str, step: int | None) -> str:
    """Return where a figure of a quote comes from, out of what was kept with it."""
    found, estimate = json.loads(explanations), json.loads(document)
    top = found["figures"].get(key)
    if top is None:
        return filled("reason.html", None, "", key=key, first=[], tree="", wrong="a text of the document, not a figure")
    steps = {one["step"]: one for one in found["steps"]}
    below, open_ones = set[int](), [top]
    while open_ones:
        below.add(number := open_ones.pop())
        open_ones += [one["step"] for one in steps[number]["inputs"] if "step" in one and one["step"] not in below]
    value: Any = estimate
    for part in key.split("."):
        value = value[int(part)] if isinstance(value, list) else value[part]
    row = quantities().get(key.rpartition(".")[2])
    unit, meaning = (row.unit, row.meaning) if row else (steps[top]["unit"], "")
    whole = {
        "key": key,
        "value": value,
        "unit": unit,
        "meaning": meaning,
        "steps": [steps[one] for one in sorted(below)],
    }
    return _told(told(whole, step=step if step in below else None), key)


def _told(text: str, key: str) -> str:
    lines = [line for line in text.splitlines() if "--step N" not in line]
    tree = "\n".join(lines[FIRST:]).strip("\n")
    return filled("reason.html", None, "", key=key, first=[line.strip() for line in lines[:FIRST]], tree=tree, wrong="")


@router.get("/jobs/{number}/explain")
async def explain_one(request: Request, number: str) -> Response:
    """Return where a figure of a job comes from, as a page or as a piece of one."""
    job, (key, step) = known_number(number), _asked(request)
    name, document, book = await run_in_threadpool(_read, store_of(request), job)
    text = await computed(request, reason, document, book, key, step)
    return _answer(request, text, f"/jobs/{job}", f"Job {name}")


@router.get("/quotes/{number}/explain")
async def explain_kept(request: Request, number: str) -> Response:
    """Return where a figure of a quote comes from, as it was kept with it."""
    quote, (key, step) = known_number(number), _asked(request)
    explanations, document = await run_in_threadpool(_read_kept, store_of(request), quote)
    text = await computed(request, kept_reason, explanations, document, key, step)
    return _answer(request, text, f"/quotes/{quote}", f"Quote {quote}")


def _asked(request: Request) -> tuple[str, int | None]:
    """Return the key of the figure that is asked about, and the step to begin at."""
    key, step = (request.query_params.get(name, "") for name in ("key", "step"))
    short = step.isascii() and step.isdigit() and len(step) <= DIGITS
    return key[:LONGEST_KEY], int(step) if short else None


def _answer(request: Request, text: str, back: str, name: str) -> Response:
    if "piece" in request.query_params:
        return HTMLResponse(text)
    return page("explain.html", csrf=csrf_word(request), back=back, name=name, told=Markup(text))  # our own template


def _read(store: Store, number: int) -> tuple[str, str, str | None]:
    with store.reading() as db:
        job, text = find_job(db, number)
        return job.reference, text.document, book_named(db, job.pricebook)


def _read_kept(store: Store, number: int) -> tuple[str, str]:
    with store.reading() as db:
        find_quote(db, number)
        paper = find_paper(db, number)
        return zlib.decompress(paper.explanations).decode(), paper.estimate
