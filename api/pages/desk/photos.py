"""Photos of a job: sent by a form, shown, ticked for the letter, removed."""

import hashlib

from fastapi import APIRouter, Request, Response
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.exceptions import HTTPException

from api.access.gate import session_in
from api.access.secrets import is_csrf_of
from api.pages.desk.forms import go_to, known_number, once_of_form, sent_form
from api.pages.desk.parts import taken_apart
from api.routes.requests import computed
from api.routes.stored import in_thread, store_of, who_asks
from api.store.engine import Store
from api.store.photos import add_photo, find_photo, remove_photo, tick_photo
from api.store.replays import Answer, done_once
from api.work.pictures import cleaned
from estimator.signs import unfit

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
LONGEST = 200
ACTS = {"tick": tick_photo, "remove": remove_photo}


@router.get("/jobs/{number}/photos/{photo}")
async def show(request: Request, number: str, photo: str) -> Response:
    """Return a photo of a job."""
    data = await run_in_threadpool(_data, store_of(request), known_number(number), known_number(photo))
    return Response(data, media_type="image/jpeg", headers={"Cache-Control": "private, max-age=86400"})


def _data(store: Store, job: int, photo: int) -> bytes:
    with store.reading() as db:
        return find_photo(db, job, photo).data


@router.post("/jobs/{number}/photos")
async def send(request: Request, number: str) -> Response:
    """Keep a photo of a job, written anew."""
    sent = taken_apart(request.headers.get("content-type", ""), await request.body())
    if sent is None:
        raise HTTPException(415, "Send a form with a file in it, as multipart/form-data.")
    session = session_in(Headers(scope=request.scope))
    if session and not is_csrf_of(sent.fields.get("csrf", ""), session):
        raise HTTPException(403, "The form belongs to another session; load the page again.")
    job, words = known_number(number), " ".join(sent.fields.get("words", "").split())[:LONGEST]
    words = "" if unfit(words) else words
    made = await computed(request, cleaned, sent.file)
    once = once_of_form(request, sent.fields | {"file": hashlib.sha256(sent.file).hexdigest()})

    def write(db: Session) -> Answer:
        return Answer(201, {"photo": add_photo(db, who_asks(), job, words, made)})

    await in_thread(done_once, store_of(request), once, write)
    return go_to(f"/jobs/{job}#photos")


@router.post("/jobs/{number}/photos/{photo}/{act}")
async def change(request: Request, number: str, photo: str, act: str) -> Response:
    """Tick a photo for the letter or not, or remove it."""
    fields = await sent_form(request)
    if act not in ACTS:
        raise HTTPException(404)
    job, one = known_number(number), known_number(photo)

    def write(db: Session) -> Answer:
        ACTS[act](db, who_asks(), job, one)
        return Answer(200, {})

    await in_thread(done_once, store_of(request), once_of_form(request, fields), write)
    return go_to(f"/jobs/{job}#photos")
