"""What recorded jobs teach: as it stands, and by version as an owner accepted it."""

import json
from typing import Any

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from api.describe.answers import body_of
from api.describe.examples import CALIBRATIONS
from api.describe.routes import KEY, LIMIT_AND_AFTER, MADE, kept
from api.routes.requests import answer, computed, json_body, parameters, sent
from api.routes.stored import in_thread, made_once, number_of, once_of, page_of, paged, store_of, told
from api.store.actuals import to_learn
from api.store.calibrations import accept, find_calibration, in_force, list_calibrations
from api.store.engine import Store
from api.store.errors import MissingError, StateError
from api.store.models import Calibration
from api.store.quotes import settle_due
from api.store.replays import Answer
from api.work import learning
from estimator.errors import DocumentError, Fault

__all__ = ["router"]

router = APIRouter()
RECORDS_A_BORE = 200  # records are learnt from about as fast as one bore is planned


def _said(row: Calibration) -> dict[str, Any]:
    return {
        "version": row.id,
        "sha256": row.sha256,
        "accepted_at": row.created_at,
        "accepted_by": row.created_by,
        "jobs": json.loads(row.document)["jobs"],
    }


def _records(store: Store) -> tuple[str, int | None]:
    """Return the records that are learnt from, and the version in force."""
    settle_due(store)
    with store.reading() as session:
        kept_one = in_force(session)
        return to_learn(session), None if kept_one is None else kept_one.id


@router.get(
    "/api/calibration", operation_id="calibration", response_class=Response,
    responses=kept("Calibration", "What recorded jobs teach, as it stands.", 200, 403),
)  # fmt: skip
async def calibrated(request: Request) -> Response:
    """Return what the records of accepted quotes teach, tested in the order of time; `accepted`: what is in force."""
    parameters(request)
    records, version = await in_thread(_records, store_of(request))
    times = 1 + records.count('"bores"') // RECORDS_A_BORE
    return sent(await computed(request, learning.learnt, records, version, times=times))


@router.get(
    "/api/calibrations", operation_id="list_calibrations", response_class=Response,
    openapi_extra={"parameters": LIMIT_AND_AFTER},
    responses=kept("CalibrationList", "Accepted calibrations, newest first; the first is in force.", 200, 403),
)  # fmt: skip
async def list_all(request: Request) -> Response:
    """Return the calibrations that owners accepted, newest first."""
    _, after, limit = page_of(request)
    return answer(await in_thread(_list, store_of(request), after, limit))


def _list(store: Store, after: int | None, limit: int) -> dict[str, Any]:
    with store.reading() as session:
        return paged([_said(row) for row in list_calibrations(session, after, limit + 1)], limit, "version")


@router.get(
    "/api/calibrations/{version}", operation_id="read_calibration", response_class=Response,
    responses=kept("KeptCalibration", "The calibration.", 200, 403, 404),
)  # fmt: skip
async def read_one(request: Request, version: str) -> Response:
    """Return a calibration as it was accepted."""
    parameters(request)
    return await told(await in_thread(_find, store_of(request), number_of(version, "calibration")))


def _find(store: Store, version: int) -> Answer:
    with store.reading() as session:
        return _answer(find_calibration(session, version), 200)


def _answer(row: Calibration, status: int) -> Answer:
    headers = {"Location": f"/api/calibrations/{row.id}"} if status == MADE else {}
    return Answer(status, _said(row), headers, {"calibration": row.document})


@router.post(
    "/api/calibrations", operation_id="accept_calibration", status_code=201, response_class=Response,
    openapi_extra=body_of("Accepted", CALIBRATIONS) | {"parameters": [KEY]},
    responses=kept("KeptCalibration", "Accepted: new quotes are drawn up with it.", 201, 403, 409, 415),
)  # fmt: skip
async def accept_one(request: Request) -> Response:
    """Accept what records teach now, an earlier version again, or the book alone; quotes that are drawn up keep theirs.

    With `sha256` what was read is accepted or nothing: 409 where the records teach something else by now.
    """
    parameters(request)
    asked = await computed(request, learning.acceptance, await json_body(request))
    once = once_of(request, asked[0])

    async def ready() -> tuple[str, str]:
        if asked[1] is not None:
            return await in_thread(_again, store_of(request), asked[1])
        records, _ = await in_thread(_records, store_of(request))
        digest, text = await computed(request, learning.to_accept, "[]" if asked[3] else records)
        if asked[2] not in (None, digest):
            raise StateError("the records teach something else by now; read the calibration again")
        return text, digest

    def write(session: Session, made: tuple[str, str]) -> Answer:
        return _answer(accept(session, once.who, *made), MADE)

    return await made_once(request, once, ready, write)


def _again(store: Store, version: int) -> tuple[str, str]:
    with store.reading() as session:
        try:
            row = find_calibration(session, version)
        except MissingError as error:
            raise DocumentError([Fault("version", str(error))]) from None
        return row.document, row.sha256
