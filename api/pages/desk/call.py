"""The call: from who is calling to a price on one page; a job is opened again on the same page."""

import json
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool

from api.caller import current
from api.pages.desk import asking, priced
from api.pages.desk.customers import customers_like, filled_in, machines_of
from api.pages.desk.forms import csrf_word, go_to, known_number, new_key, once_of_form, sent_form, units_asked
from api.pages.desk.life import drafted
from api.pages.desk.shown import fields_of_document, form_view
from api.pages.desk.typed import Typed, rows_of
from api.render import page
from api.routes.requests import computed
from api.routes.stored import in_thread, store_of, who_asks
from api.store.books import book_named, list_books
from api.store.clock import now
from api.store.engine import Store
from api.store.errors import StaleError
from api.store.jobs import add_job, change_job, find_job, lock_job
from api.store.replays import Answer, Once, done_once
from api.work.tasks import book_of, checked_job
from estimator.errors import DocumentError, Fault
from exports.format import Units

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
MOST_BOOKS = 100
PIECES = {"price": priced.live_price, "range": priced.live_range, "ask": asking.ask_next}
Opened = tuple[str | None, str | None, dict[str, str]]  # the document opened, the book's text, which job and which book
BUILT_IN = "-"  # in the list of price books


@router.get("/call")
async def call(request: Request) -> Response:
    """Return the form of a new job, or of one that is opened again."""
    asked = request.query_params
    units = units_asked(asked.get("units"))
    if "job" not in asked:
        opened = await run_in_threadpool(_opened, store_of(request), None, None, None)
        fields = {
            "reference": "C-"
            + "".join(sign for sign in now()[2:16].replace("T", "-") if sign.isdigit() or sign == "-").replace(
                "-", "", 2
            )
        }
        return await _shown(request, fields, {}, units, opened)
    opened = await run_in_threadpool(_opened, store_of(request), known_number(asked["job"]), None, None)
    return await _shown(request, fields_of_document(json.loads(opened[0] or "{}"), units), {}, units, opened)


@router.post("/call/{piece}")
async def piece(request: Request, piece: str) -> Response:
    """Return a piece of the page for what is typed so far: its price, its range, what to ask next; nothing is kept."""
    if piece not in PIECES:
        return HTMLResponse("", 404)
    fields = await sent_form(request)
    base, book, _ = await _base(request, fields)
    form = priced.form_text(fields, base, fields.get("units", ""))
    return HTMLResponse(await computed(request, PIECES[piece], form, book))


@router.get("/call/customers")
async def customers(request: Request) -> Response:
    """Return the customers whose names hold what is typed, as options of a list."""
    names = await run_in_threadpool(customers_like, store_of(request), request.query_params.get("q", ""))
    return page("options.html", options=names)


@router.get("/call/machines")
async def machines(request: Request) -> Response:
    """Return the machines of a customer, as options of a list."""
    names = await run_in_threadpool(machines_of, store_of(request), request.query_params.get("customer", ""))
    return page("options.html", options=names)


@router.post("/call")
async def send(request: Request) -> Response:
    """Keep what was typed as a job, drafting its quote where that is asked for; or show the form again."""
    fields = await sent_form(request)
    opened = await _base(request, fields)
    units = units_asked(fields.get("units"))
    intent = fields.pop("intent", "save")
    if intent == "add":
        return await _shown(request, fields, {}, units, opened, more=1)
    found = priced.read_form(priced.form_text(fields, opened[0], units))
    faults = _faults(found)
    if intent == "price":
        return await _shown(request, fields, faults, units, opened)
    if not faults:
        faults = await _unread(request, found, opened[1])
    if faults:
        return await _shown(request, fields, faults, units, opened, status=422)
    kept = await in_thread(_kept, store_of(request), once_of_form(request, fields), found, opened)
    number = int(kept.document["id"])
    if intent == "quote":
        return await drafted(request, number, fields)
    return go_to(f"/jobs/{number}")


def _faults(found: Typed) -> dict[str, str]:
    """Return what keeps a form from being a job, by field."""
    faults = dict.fromkeys(found.missing, "is missing") | {one.path: one.message for one in found.faults}
    if not found.rows and not faults:
        faults["bores.0.nominal_diameter"] = "type at least one bore"
    return faults


async def _unread(request: Request, found: Typed, book: str | None) -> dict[str, str]:
    """Return what is wrong with a document as a job, by field of the form."""
    try:
        await computed(request, checked_job, json.dumps(found.document), book)
    except DocumentError as error:
        return {found.in_form(one.path): one.message for one in error.faults}
    return {}


async def _base(request: Request, fields: dict[str, str]) -> Opened:
    """Return the document that a form was opened from, none for a new job; and the price book that it names."""
    job, book = fields.get("job"), fields.get("pricebook")
    revision = known_number(fields.get("revision", "")) if job else None
    return await run_in_threadpool(_opened, store_of(request), known_number(job) if job else None, revision, book)


def _opened(store: Store, number: int | None, revision: int | None, book: str | None) -> Opened:
    """Return a job as it is kept, with the book that was asked for, else its own; of a new job the one changed last."""
    with store.reading() as db:
        names = sorted(list_books(db, None, MOST_BOOKS), key=lambda row: row.changed_at, reverse=True)
        said, document, own = {"books": "\n".join(row.name for row in names)}, None, names[0].name if names else None
        if number is not None:
            job, text = find_job(db, number, revision)
            said |= {"job": str(job.id), "revision": str(text.revision), "name": job.reference}
            document, own = text.document, job.pricebook
        chosen = own if book is None else (book if book != BUILT_IN else None)
        try:
            return document, book_named(db, chosen), said | ({} if chosen is None else {"book": chosen})
        except DocumentError:  # the book was removed since
            return document, None, said


def _kept(store: Store, once: Once, found: Typed, opened: Opened) -> Answer:
    """Keep a job, or its next revision if it is still the one that was opened."""
    number = opened[2].get("job")

    def write(session: Any) -> Answer:  # noqa: ANN401  # a session of the store
        if number is None:
            job = add_job(session, who_asks(), filled_in(session, found.document), opened[2].get("book"))
            return Answer(201, {"id": job.id})
        job = lock_job(session, int(number))
        if str(job.revision) != opened[2]["revision"]:
            raise StaleError(f"job {number} was changed by someone else meanwhile; open it again and type it anew")
        change_job(session, who_asks(), job, found.document, opened[2].get("book"))
        return Answer(200, {"id": job.id})

    return done_once(store, once, write)


async def _shown(
    request: Request, fields: dict[str, str], faults: dict[str, str], units: Units, opened: Opened, *,
    more: int = 0, status: int = 200,
) -> Response:  # fmt: skip
    """Return the page of the form, with the price of what stands in it."""
    base, book, said = opened
    steels = sorted(await run_in_threadpool(lambda: list(book_of(book).facts.rows("steels"))))
    view = form_view(fields, faults, units, steels, rows=max(1, len(rows_of(fields)) + more))
    form = priced.form_text(fields, base, units)
    live = (
        await computed(request, priced.live_price, form, book)
        if any(rows_of(fields)) or base or fields.keys() > {"reference"}
        else ""
    )
    own = {name for name in faults if name not in _names(view)}
    content = {
        "said": said,
        "live": Markup(live),  # a piece that our own template made
        "others": [Fault(name, faults[name]) for name in sorted(own)],
        "key": new_key(),
        **view,
    }
    return page("call.html", status, csrf=csrf_word(request), quotes=current().sees_cost, **content)


def _names(view: dict[str, Any]) -> set[str]:
    """Return the names of all fields that the page shows."""
    rows = [
        one
        for row in view["rows"]
        for one in (*row["first"], *(field for _, fields in row["more"] for field in fields))
    ]
    return {one.name for one in (*view["first"], *(field for _, fields in view["more"] for field in fields), *rows)}
