"""The page of one bore: its readings in a grid, its choices with what each costs, two variants side by side."""

import json
from collections.abc import Mapping
from typing import Any, NamedTuple

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse
from markupsafe import Markup
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException

from api.pages.desk.beside import live_bore
from api.pages.desk.forms import csrf_word, go_to, known_number, new_key, once_of_form, sent_form, units_asked
from api.pages.desk.grid import GRID_KINDS, Grid, at_field, grid_of, read_grid, sized
from api.pages.desk.typed import Document, at_path
from api.pages.desk.weighed import choices, pinned, weighed
from api.render import page
from api.routes.requests import computed
from api.routes.stored import in_thread, store_of, who_asks
from api.store.books import book_named
from api.store.engine import Store
from api.store.errors import StaleError
from api.store.jobs import change_job, find_job, lock_job
from api.store.replays import Answer, Once, done_once
from api.work.tasks import checked_job
from estimator.errors import DocumentError, Fault
from estimator.units import UnitError, deci, read
from exports.format import Units

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
Pieces = tuple[str, str]  # the two variants, and the pictures
WHOLE = {"options.layers"}  # a count, no text


class Opened(NamedTuple):
    """A job that is open at one of its bores."""

    number: int
    revision: int
    document: str
    book: str | None
    bore: int
    name: str


class Changed(NamedTuple):
    """What the form makes of a job: the document, and what is wrong by field."""

    document: Document
    faults: list[Fault]


def _open(store: Store, number: int, bore: int, revision: int | None = None) -> Opened:
    with store.reading() as db:
        job, text = find_job(db, number, revision)
        document = json.loads(text.document)
        if bore >= len(document["bores"]):
            raise HTTPException(404)
        try:
            book = book_named(db, job.pricebook)
        except DocumentError:  # the book was removed since
            book = None
        return Opened(
            number, text.revision, text.document, book, bore, f"{job.reference}, {job.title or ''}".strip(", ")
        )


async def _opened(request: Request, number: str, bore: str, fields: Mapping[str, str] | None = None) -> Opened:
    revision = None if fields is None else known_number(fields.get("revision", ""))
    return await run_in_threadpool(_open, store_of(request), known_number(number), known_number(bore), revision)


def changed_by(opened: Opened, fields: Mapping[str, str]) -> Changed:
    """Return the job document that the form of a bore says."""
    document: Document = json.loads(opened.document)
    found, faults = read_grid(fields)
    own = document["bores"][opened.bore]
    held = (own.get("readings") or {}).get("kind", GRID_KINDS[0]) not in GRID_KINDS
    if found is not None and not held:
        own.pop("worn_diameter", None)
        own["readings"] = {**_further(own.get("readings")), **found}
        own |= {"wear": fields["wear"]} if fields.get("wear") else {}
    elif not held and "readings" in own and fields.get("worn_diameter"):
        own.pop("readings")  # the grid was emptied
    if fields.get("worn_diameter") and "readings" not in own:
        own["worn_diameter"] = fields["worn_diameter"]
    for key in choices():
        if key in fields:
            value: Any = fields[key] or None
            value = int(value) if key in WHOLE and value and value.isdigit() else value
            document = pinned(document, opened.bore, key, value)
    return Changed(document, faults)


def _further(readings: Mapping[str, Any] | None) -> dict[str, Any]:
    """Return what is said of readings that the grid does not ask."""
    return {key: value for key, value in (readings or {}).items() if key == "uncertainty"}


@router.get("/jobs/{number}/bores/{bore}")
async def bore_page(request: Request, number: str, bore: str) -> Response:
    """Return the page of a bore."""
    opened = await _opened(request, number, bore)
    units = units_asked(request.query_params.get("units"))
    key = request.query_params.get("choice", "")
    told = await computed(request, weighed, opened.document, opened.bore, key, opened.book) if key in choices() else ""
    return await _shown(request, opened, units, told={key: told})


@router.post("/jobs/{number}/bores/{bore}/beside")
async def beside(request: Request, number: str, bore: str) -> Response:
    """Return the two variants and the pictures of what is typed so far; nothing is kept."""
    fields = await sent_form(request)
    opened, units = await _opened(request, number, bore, fields), units_asked(fields.get("units"))
    table, pictures = await _live(request, opened, changed_by(opened, fields), fields, units)
    return HTMLResponse(f'{table}<div id="drawn-now" hidden>{pictures}</div>')


async def _live(request: Request, opened: Opened, found: Changed, fields: Mapping[str, str], units: Units) -> Pieces:
    told = [[one.path, one.message] for one in found.faults]
    said = {"job": opened.number, "document": found.document, "faults": told, "fields": dict(fields)}
    now = json.dumps(said | {"bore": opened.bore, "units": units})
    return await computed(request, live_bore, opened.document, now, opened.book)


@router.post("/jobs/{number}/bores/{bore}/choice/{key}")
async def choice(request: Request, number: str, bore: str, key: str) -> Response:
    """Return what each way of one choice costs with what is typed so far."""
    if key not in choices():
        raise HTTPException(404)
    fields = await sent_form(request)
    opened = await _opened(request, number, bore, fields)
    found = changed_by(opened, fields)
    return HTMLResponse(await computed(request, weighed, json.dumps(found.document), opened.bore, key, opened.book))


@router.post("/jobs/{number}/bores/{bore}")
async def save(request: Request, number: str, bore: str) -> Response:
    """Keep a bore as it was typed; or show its form again, larger or with what is wrong."""
    fields = await sent_form(request)
    opened, units = await _opened(request, number, bore, fields), units_asked(fields.get("units"))
    found, intent = changed_by(opened, fields), fields.get("intent", "save")
    if intent in {"row", "column", "look"}:
        return await _shown(request, opened, units, fields=fields, more=intent)
    faults = found.faults
    if not faults:
        try:
            await computed(request, checked_job, json.dumps(found.document), opened.book)
        except DocumentError as error:
            faults = [Fault(at_field(one.path, opened.bore, fields), one.message) for one in error.faults]
    if faults:
        return await _shown(request, opened, units, fields=fields, faults=faults)
    await in_thread(_kept, store_of(request), once_of_form(request, fields), opened, found.document)
    return go_to(f"/jobs/{opened.number}/bores/{opened.bore}" if intent == "stay" else f"/jobs/{opened.number}")


def _kept(store: Store, once: Once, opened: Opened, document: Document) -> None:
    def write(session: Session) -> Answer:
        job = lock_job(session, opened.number)
        if job.revision != opened.revision:
            raise StaleError(f"job {opened.number} was changed by someone else meanwhile; open the bore again")
        change_job(session, who_asks(), job, document, job.pricebook)
        return Answer(200, {})

    done_once(store, once, write)


async def _shown(
    request: Request, opened: Opened, units: Units, *, fields: Mapping[str, str] | None = None,
    faults: list[Fault] | None = None, more: str = "", told: Mapping[str, str] | None = None,
) -> Response:  # fmt: skip
    """Return the page of a bore as it is kept, or as it was typed."""
    kept: Document = json.loads(opened.document)
    found = Changed(kept, []) if fields is None else changed_by(opened, fields)
    own = found.document["bores"][opened.bore]
    grid = grid_of(own.get("readings"), _length(own, units), units) if fields is None else _as_sent(fields, more)
    live, pictures = await _live(request, opened, found, fields or {}, units)
    wrong = {one.path: one.message for one in faults or []}
    offered = [(one, at_path(own, one.key), Markup((told or {}).get(one.key, ""))) for one in choices().values()]
    content: dict[str, Any] = {
        "units": units, "opened": opened, "bore": own, "grid": grid, "kinds": GRID_KINDS, "wear": own.get("wear", ""),
        "worn": own.get("worn_diameter", ""), "faults": wrong, "choices": offered, "key": new_key(),
        "names": [one["name"] for one in kept["bores"]],
        "live": Markup(live), "pictures": Markup(pictures),  # pieces that our own templates made
    }  # fmt: skip
    return page("bore.html", 422 if faults else 200, csrf=csrf_word(request), **content)


def _as_sent(fields: Mapping[str, str], more: str) -> Grid:
    cells = sized(fields)
    if more == "row":
        cells.append(["" for _ in cells[0]])
    elif more == "column":
        cells = [[*row, ""] for row in cells]
    said = (fields.get(f"readings.{name}", "") for name in ("kind", "unit", "temperature"))
    return Grid(*said, gaps=bool(fields.get("readings.missing")), cells=cells)


def _length(bore: Document, units: Units) -> float | None:
    try:
        return deci(read(str(bore["length"]), "length"), "in" if units == "us" else "mm")
    except UnitError:
        return None
