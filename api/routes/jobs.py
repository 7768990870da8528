"""Jobs: kept, read, changed over a known revision, listed, removed."""

import json
from typing import Any

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from api.describe.answers import body_of
from api.describe.examples import JOBS
from api.describe.routes import IF_MATCH, KEY, MADE, NO_CONTENT, kept, parameter, said_of_list
from api.routes.requests import answer, computed, json_body, parameters
from api.routes.stored import (
    BOOK,
    book_asked,
    etag,
    expected,
    in_thread,
    number_of,
    once_of,
    page_of,
    paged,
    store_of,
    told,
    who_asks,
)  # fmt: skip
from api.store.engine import Store
from api.store.jobs import JOB_STATES, Wanted, add_job, change_job, delete_job, find_job, list_jobs, lock_job
from api.store.models import Job
from api.store.quotes import settle_due
from api.store.replays import Answer, Once, done_once
from api.work import tasks

__all__ = ["router"]

router = APIRouter()
REVISION = parameter("revision", "An earlier revision of the document.")


def _told(job: Job) -> dict[str, Any]:
    """Return what is said of a job beside its document."""
    return {
        "id": job.id,
        "revision": job.revision,
        "state": job.state,
        "pricebook": job.pricebook,
        "created_at": job.created_at,
        "changed_at": job.changed_at,
    }


def _answer(session: Session, job: Job, status: int) -> Answer:
    assert job.id is not None  # it is kept
    _, text = find_job(session, job.id)
    headers = {"ETag": etag(job.revision)} | ({"Location": f"/api/jobs/{job.id}"} if status == MADE else {})
    return Answer(status, _told(job), headers, {"job": text.document})


async def _read(request: Request, usual: str | None = None) -> tuple[str, str, str | None]:
    """Return hash and text of a request's job document, and the name of its price book.

    Raises `DocumentError` for a document that is wrong.

    The name is `usual` where none is given; an empty one stands for the built-in book.
    """
    name = parameters(request, ("pricebook",)).get("pricebook", usual) or None
    body, book = await json_body(request), await book_asked(request, name)
    return *await computed(request, tasks.checked_job, body, book), name


@router.post(
    "/api/jobs", operation_id="store_job", status_code=201, response_class=Response,
    openapi_extra=body_of("Job", JOBS) | {"parameters": [KEY, BOOK]},
    responses=kept("KeptJob", "The job is kept.", 201, 403, 415),
)  # fmt: skip
async def store_job(request: Request) -> Response:
    """Keep a job; one that must not be welded too."""
    digest, text, name = await _read(request)
    return await told(await in_thread(_store, store_of(request), once_of(request, digest), text, name))


def _store(store: Store, once: Once, text: str, name: str | None) -> Answer:
    document = json.loads(text)

    def write(session: Session) -> Answer:
        return _answer(session, add_job(session, once.who, document, name), MADE)

    return done_once(store, once, write)


@router.get(
    "/api/jobs", operation_id="list_jobs", response_class=Response,
    openapi_extra={"parameters": said_of_list(JOB_STATES)}, responses=kept("JobList", "Jobs, newest first."),
)  # fmt: skip
async def list_all(request: Request) -> Response:
    """Return jobs, newest first, as narrowed."""
    return answer(await in_thread(_list, store_of(request), *page_of(request, JOB_STATES)))


def _list(store: Store, wanted: Wanted, after: int | None, limit: int) -> dict[str, Any]:
    settle_due(store)
    with store.reading() as session:
        rows = list_jobs(session, wanted, after, limit + 1)
        items = [
            _told(job) | {"reference": job.reference, "title": job.title, "customer": customer, "equipment": machine}
            for job, customer, machine in rows
        ]
    return paged(items, limit, "id")


@router.get(
    "/api/jobs/{id}", operation_id="read_job", response_class=Response, openapi_extra={"parameters": [REVISION]},
    responses=kept("KeptJob", "The job.", 200, 404),
)  # fmt: skip
async def read_one(request: Request, id: str) -> Response:
    """Return a job as it stands, or an earlier revision of it."""
    given = parameters(request, ("revision",)).get("revision")
    revision = None if given is None else number_of(given, "revision")
    return await told(await in_thread(_find, store_of(request), number_of(id, "job"), revision))


def _find(store: Store, number: int, revision: int | None) -> Answer:
    settle_due(store)
    with store.reading() as session:
        job, text = find_job(session, number, revision)
        said = _told(job) | {"revision": text.revision}
        return Answer(200, said, {"ETag": etag(text.revision)}, {"job": text.document})


@router.put(
    "/api/jobs/{id}", operation_id="change_job", response_class=Response,
    openapi_extra=body_of("Job", JOBS) | {"parameters": [IF_MATCH, BOOK]},
    responses=kept("KeptJob", "The next revision is kept.", 200, 403, 404, 412, 415, 428),
)  # fmt: skip
async def change_one(request: Request, id: str) -> Response:
    """Keep the next revision of a job, if it is still the one that was read; quotes stay as they are."""
    number, store = number_of(id, "job"), store_of(request)
    _, text, name = await _read(request, await in_thread(_matched, store, request, number))
    return await told(await in_thread(_change, store, request, number, text, name))


def _matched(store: Store, request: Request, number: int) -> str | None:
    """Return the name of a job's price book; raise where it is gone or changed, before its new document is read."""
    with store.reading() as session:
        job, _ = find_job(session, number)
        expected(request, job.revision)
        return job.pricebook


def _change(store: Store, request: Request, number: int, text: str, name: str | None) -> Answer:
    document = json.loads(text)
    with store.writing() as session:
        job = lock_job(session, number)
        expected(request, job.revision)
        change_job(session, who_asks(), job, document, name)
        return _answer(session, job, 200)


@router.delete(
    "/api/jobs/{id}", operation_id="remove_job", status_code=204, response_class=Response,
    openapi_extra={"parameters": [IF_MATCH]}, responses=NO_CONTENT | kept("", "", 0, 403, 404, 409, 412, 428),
)  # fmt: skip
async def remove_one(request: Request, id: str) -> Response:
    """Remove a job and its drafts, if nothing of it was issued."""
    parameters(request)
    await in_thread(_remove, store_of(request), request, number_of(id, "job"))
    return Response(status_code=204)


def _remove(store: Store, request: Request, number: int) -> None:
    with store.writing() as session:
        job = lock_job(session, number)
        expected(request, job.revision)
        delete_job(session, who_asks(), job)
