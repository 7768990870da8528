"""The price book: ten questions, what each figure does to a reference job, and what a version moved in money."""

import json
from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse
from markupsafe import Markup
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool

from api.caller import current
from api.describe.examples import JOBS
from api.pages.desk.book_form import Asked, answered, answered_new, asked_new, asked_of
from api.pages.desk.book_told import book_effects, book_moved
from api.pages.desk.forms import csrf_word, go_to, known_number, new_key, once_of_form, sent_form
from api.render import page
from api.routes.requests import computed
from api.routes.stored import in_thread, store_of, who_asks
from api.store.books import find_book, list_books, put_book, versions_of
from api.store.engine import Store
from api.store.jobs import Wanted, find_job, list_jobs
from api.store.replays import Answer, Once, done_once
from api.work.tasks import book_of, checked_book
from estimator.book.pricebook import read_pricebook
from estimator.errors import DocumentError, Fault

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
MOST = 100
LONGEST = 120
OURS = "Figures of our own."
EXAMPLE: dict[str, Any] = JOBS["measured"]["value"]
Opened = tuple[str, int, str]  # name, revision (0 of a new book), text


@router.get("/pricebook")
async def books(request: Request) -> Response:
    """Return the page of one stored price book, or of a new one that begins with the built-in figures."""
    name = request.query_params.get("name", "")
    opened = await run_in_threadpool(_open, store_of(request), name)
    return await _shown(request, opened, {}, [])


def _open(store: Store, name: str) -> Opened:
    """Return a book by name, else the one that was changed last, else a new one."""
    with store.reading() as db:
        rows = list_books(db, None, MOST)
        if name == "new" or not (rows or name):
            return "", 0, "{}"
        found = find_book(db, name) if name else max(rows, key=lambda row: row.changed_at)
        return found.name, found.revision, found.document


def _sides(store: Store, name: str) -> tuple[list[str], list[tuple[int, str, str, str]], str, str]:
    """Return the names of all books, the versions of one, and the reference job: the newest, else an example."""
    with store.reading() as db:
        names, versions = [row.name for row in list_books(db, None, MOST)], versions_of(db, name) if name else []
        newest = list_jobs(db, Wanted(), None, 1)
        if not newest or newest[0][0].id is None:
            return names, versions, f"the example {EXAMPLE['reference']}", json.dumps(EXAMPLE)
        job = newest[0][0]
        return names, versions, f"job {job.reference}", find_job(db, int(job.id or 0))[1].document


@router.post("/pricebook/effect")
async def effect(request: Request) -> Response:
    """Return what the figures typed so far do to the reference job; nothing is kept."""
    fields = await sent_form(request)
    base = await run_in_threadpool(_open, store_of(request), fields.get("was") or "new")
    _, _, _, reference = await run_in_threadpool(_sides, store_of(request), base[0])
    return HTMLResponse(await computed(request, book_effects, reference, base[2], json.dumps(fields)))


@router.post("/pricebook")
async def save(request: Request) -> Response:
    """Keep a price book as it was answered, over the version that was opened."""
    fields = await sent_form(request)
    opened = await run_in_threadpool(_open, store_of(request), fields.get("was") or "new")
    new = not opened[1]
    document, faults = answered_new(fields) if new else answered(json.loads(opened[2]), book_of(opened[2]), fields)
    name = fields.get("name", opened[0]).strip() or opened[0]
    if not name or len(name) > LONGEST or not name.isprintable() or name == "new":
        faults.append(Fault("name", f"name the book, in 1 to {LONGEST} signs"))
    document["name"] = name
    if not new:
        document["invented"] = "ours" not in fields
        document["note"] = OURS if "ours" in fields else read_pricebook().document["note"]
    if not faults:
        try:
            await computed(request, checked_book, json.dumps(document))
        except DocumentError as error:
            faults = [Fault(one.path.replace(".", "/"), one.message) for one in error.faults]
    if faults:
        return await _shown(request, opened, fields, faults)
    seen = known_number(fields.get("revision", "0"))
    made = (name, seen, json.dumps(document))
    await in_thread(_kept, store_of(request), once_of_form(request, fields), made, opened[0])
    return go_to(f"/pricebook?{urlencode({'name': name})}")


def _kept(store: Store, once: Once, made: Opened, was: str) -> None:
    name, seen, text = made

    def write(session: Session) -> Answer:
        known = seen if name == was and seen else None
        put_book(session, who_asks(), name, text, known)
        return Answer(200, {})

    done_once(store, once, write)


async def _shown(request: Request, opened: Opened, fields: dict[str, str], faults: list[Fault]) -> Response:
    """Return the page of a book, with what its figures do to the reference job."""
    name, revision, text = opened
    names, versions, job, reference = await run_in_threadpool(_sides, store_of(request), name)
    book = await run_in_threadpool(book_of, text)
    asked_for = "effects" in request.query_params  # it takes a run of the road for each figure
    effects = await computed(request, book_effects, reference, text, json.dumps(fields)) if asked_for else ""
    wrong = {one.path: one.message for one in faults}
    questions = asked_of(book) if revision else asked_new(fields.get("currency", ""))
    asked: list[Asked] = [one._replace(value=fields.get(one.name, one.value)) for one in questions]
    content: dict[str, Any] = {
        "name": fields.get("name", name), "was": name, "revision": revision, "names": names, "asked": asked,
        "job": job, "effects": Markup(effects), "faults": wrong, "key": new_key(), "invented": book.invented,
        "versions": versions,
        "moved": Markup(await _moved(request, versions, reference)),  # our own templates made it
        "may": current().role == "owner", "ours": "ours" in fields or (not fields and not book.invented),
    }  # fmt: skip
    return page("pricebook.html", 422 if faults else 200, csrf=csrf_word(request), **content)


async def _moved(request: Request, versions: list[tuple[int, str, str, str]], reference: str) -> str:
    """Return what moved the reference job's price between two versions, the last two unless others are asked for."""
    texts = {str(revision): text for revision, _, _, text in versions}
    asked = request.query_params
    first, second = asked.get("from", ""), asked.get("to", "")
    if first not in texts or second not in texts:
        if len(versions) < 2:  # noqa: PLR2004  # two versions
            return ""
        second, first = str(versions[0][0]), str(versions[1][0])
    return await computed(request, book_moved, reference, texts[first], texts[second])
