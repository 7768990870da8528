"""The pages for who is on site: today's and the next jobs, and one with its cards and what is recorded."""

import datetime
import json
from dataclasses import asdict
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse

from api.access.roles import may
from api.caller import current
from api.filled import filled
from api.pages.field.assets import POLICY, VERSION
from api.pages.field.card import job_card
from api.pages.field.jobs import Whole, listed, whole_of
from api.pages.forms import csrf_word
from api.routes.diary import today
from api.routes.requests import computed
from api.routes.stored import in_thread, number_of, store_of
from api.store.engine import Store
from api.store.quotes import settle_due

__all__ = ["router"]

router = APIRouter(include_in_schema=False)


@router.get("/field")
async def home(request: Request) -> Response:
    """Return today's job and the next ones."""
    found = await in_thread(_listed, store_of(request), current().name)
    csrf = csrf_word(request)
    return _sent(filled("field/list.html", current(), csrf, version=VERSION, made=_now(), today=today(), **found))


@router.get("/field/{number}")
async def job(request: Request, number: str) -> Response:
    """Return a job's cards; it shows no money, whoever asks."""
    found = await in_thread(_whole, store_of(request), number_of(number, "quote"))
    orders = may("field", "POST", f"/api/quotes/{number}/variations")
    given = {
        "caller": asdict(current()), "csrf": csrf_word(request), "today": today(), "made": _now(),
        "content": found.content | {"orders": orders},
    }  # fmt: skip
    return _sent(await computed(request, job_card, found.estimate, json.dumps(given)))


def _listed(store: Store, name: str) -> dict[str, Any]:
    settle_due(store)
    with store.reading() as session:
        return listed(session, today(), name)


def _whole(store: Store, number: int) -> Whole:
    settle_due(store)
    with store.reading() as session:
        return whole_of(session, number)


def _now() -> str:
    """Return the moment that a page was made, as its clock says it."""
    return datetime.datetime.now().astimezone().isoformat(timespec="minutes")


def _sent(text: str) -> Response:
    return HTMLResponse(text, headers={"Content-Security-Policy": POLICY, "Vary": "Accept, Cookie"})
