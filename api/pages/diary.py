"""The page of the diary: put a quote on a day by one click, move it, take it off; who goes, days off."""

from collections.abc import Callable
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse
from sqlmodel import Session
from starlette.exceptions import HTTPException

from api.describe.diary import DayOff, Named, Placing
from api.pages.diary_view import Asked, diary_of
from api.pages.forms import Fields, csrf_word, one_of, sent_fields
from api.render import page
from api.routes.diary import today
from api.routes.stored import in_thread, number_of, store_of, who_asks
from api.store.audit import Who
from api.store.crew import add_holiday, add_resource, remove_holiday, remove_resource
from api.store.engine import Store
from api.store.errors import ClashError, MissingError, StateError
from api.store.placing import Wish, place, take_off
from api.store.quotes import settle_due
from api.store.week import monday_of
from api.work.tasks import book_of
from estimator.errors import DocumentError
from estimator.signs import unfit
from estimator.strict import validated

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
LONGEST = 120
WRONG = (ClashError, DocumentError, MissingError, StateError)


@router.get("/diary")
async def show(request: Request) -> Response:
    """Return the diary; with `quote` where that one has room."""
    return await _page(request, _asked(request), "", 200)


def _asked(request: Request) -> Asked:
    given = request.query_params
    try:
        placing = validated(Placing, {"start": given.get("from") or today()}, {})
    except DocumentError:
        placing = Placing(start=today())
    names = tuple(name for name in given.getlist("who")[:20] if not unfit(name[:LONGEST]))
    quote = number_of(given["quote"], "quote") if given.get("quote") else None
    return Asked(monday_of(placing.start), quote, names, today())


async def _page(request: Request, asked: Asked, wrong: str, status: int) -> Response:
    found = await in_thread(_shown, store_of(request), asked)
    return page("diary.html", status, csrf=csrf_word(request), wrong=wrong, **found)


def _shown(store: Store, asked: Asked) -> dict[str, Any]:
    settle_due(store)
    with store.reading() as session:
        return diary_of(session, asked, book_of(None).work_days)


@router.post("/diary/{act}")
async def change(request: Request, act: str) -> Response:
    """Do what a form of the diary asks, and lead back; where something is in the way, say what."""
    fields = await sent_fields(request)
    if act not in ACTS:
        raise HTTPException(404)
    asked = _asked(request)
    try:
        await in_thread(_done, store_of(request), ACTS[act], who_asks(), fields)
    except WRONG as error:
        said = str(error)
        status = 422 if isinstance(error, DocumentError) else 404 if isinstance(error, MissingError) else 409
        return await _page(request, asked, f"{said[:1].upper()}{said[1:]}.", status)
    start = one_of(fields, "start") if act == "place" else asked.start
    return RedirectResponse(Asked(monday_of(start), None, (), today()).other(), 303)


def _done(store: Store, act: "Act", who: Who, fields: Fields) -> None:
    with store.writing() as session:
        act(session, who, fields)


def _place(session: Session, who: Who, fields: Fields) -> None:
    sent = {"start": one_of(fields, "start"), **({"technicians": names} if (names := fields.get("who")) else {})}
    wanted = validated(Placing, sent, {})
    place(session, who, number_of(one_of(fields, "quote"), "quote"), Wish(wanted.start, wanted.technicians))


def _take_off(session: Session, who: Who, fields: Fields) -> None:
    take_off(session, who, number_of(one_of(fields, "quote"), "quote"))


def _add_name(session: Session, who: Who, fields: Fields) -> None:
    wanted = validated(Named, {key: one_of(fields, key) for key in ("kind", "name")}, {})
    add_resource(session, who, wanted.kind, wanted.name)


def _remove_name(session: Session, who: Who, fields: Fields) -> None:
    wanted = validated(Named, {key: one_of(fields, key) for key in ("kind", "name")}, {})
    remove_resource(session, who, wanted.kind, wanted.name, today())


def _add_day_off(session: Session, who: Who, fields: Fields) -> None:
    wanted = validated(DayOff, {key: one_of(fields, key) for key in ("date", "name")}, {})
    add_holiday(session, who, wanted.date, wanted.name)


def _remove_day_off(session: Session, who: Who, fields: Fields) -> None:
    remove_holiday(session, who, validated(Placing, {"start": one_of(fields, "date")}, {}).start)


Act = Callable[[Session, Who, Fields], None]
ACTS: dict[str, Act] = {
    "place": _place,
    "take-off": _take_off,
    "add-name": _add_name,
    "remove-name": _remove_name,
    "add-day-off": _add_day_off,
    "remove-day-off": _remove_day_off,
}
