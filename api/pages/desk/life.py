"""The life of a job and its quotes by buttons: each a form that is done once, however often it is sent."""

import json
from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Request, Response
from sqlmodel import Session
from starlette.exceptions import HTTPException

from api.pages.desk.forms import go_to, known_number, once_of_form, sent_form
from api.routes.quotes import do_draft, do_issue, do_revise, do_settle
from api.routes.stored import in_thread, store_of, who_asks
from api.store.engine import Store
from api.store.errors import StaleError
from api.store.jobs import change_job, delete_job, find_job, lock_job
from api.store.quotes import remove_draft
from api.store.replays import Answer, Once, done_once

__all__ = ["drafted", "router"]

router = APIRouter(include_in_schema=False)
SETTLED = {"accept": "accepted", "decline": "declined"}


async def drafted(request: Request, job: int, fields: Mapping[str, str]) -> Response:
    """Draft a quote of a job, and lead on to it."""
    found = await do_draft(request, once_of_form(request, dict(fields) | {"key": f"{fields.get('key', '')}-q"}), job)
    return go_to(f"/quotes/{found.document['number']}")


@router.post("/jobs/{number}/quote")
async def draft(request: Request, number: str) -> Response:
    """Draft a quote of a job as it stands."""
    return await drafted(request, known_number(number), await sent_form(request))


@router.post("/jobs/{number}/restore")
async def restore(request: Request, number: str) -> Response:
    """Take back the last change of a job: its document of before becomes the next revision."""
    fields = await sent_form(request)
    job, seen = known_number(number), known_number(fields.get("revision", ""))
    await in_thread(_restored, store_of(request), once_of_form(request, fields), job, seen)
    return go_to(f"/jobs/{job}")


def _restored(store: Store, once: Once, number: int, seen: int) -> None:
    def write(session: Session) -> Answer:
        job = lock_job(session, number)
        if job.revision != seen:
            raise StaleError(f"job {number} was changed by someone else meanwhile; look at it again")
        before = _document(session, number, seen - 1)
        change_job(session, who_asks(), job, before, job.pricebook)
        return Answer(200, {})

    done_once(store, once, write)


def _document(session: Session, number: int, revision: int) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(find_job(session, number, revision)[1].document)
    return found


@router.post("/jobs/{number}/remove")
async def remove_job(request: Request, number: str) -> Response:
    """Remove a job and its drafts, if nothing of it was issued."""
    fields, job = await sent_form(request), known_number(number)

    def write(session: Session) -> Answer:
        delete_job(session, who_asks(), lock_job(session, job))
        return Answer(200, {})

    await in_thread(done_once, store_of(request), once_of_form(request, fields), write)
    return go_to("/")


@router.post("/quotes/{number}/{verb}")
async def act(request: Request, number: str, verb: str) -> Response:
    """Issue, revise, accept, decline or remove a quote, and lead on to what came of it."""
    fields, quote = await sent_form(request), known_number(number)
    once = once_of_form(request, fields)
    if verb == "issue":
        await do_issue(request, once, quote, fields.get("budget") == "yes")
    elif verb == "revise":
        quote = int((await do_revise(request, once, quote)).document["number"])
    elif verb in SETTLED:
        await in_thread(do_settle, store_of(request), once, quote, SETTLED[verb])
    elif verb != "remove":
        raise HTTPException(404)
    else:
        return go_to(f"/jobs/{await in_thread(_removed, store_of(request), once, quote)}")
    return go_to(f"/quotes/{quote}")


def _removed(store: Store, once: Once, quote: int) -> int:
    def write(session: Session) -> Answer:
        return Answer(200, {"job": remove_draft(session, once.who, quote)})

    return int(done_once(store, once, write).document["job"])
