"""The diary: accepted quotes on days, who goes, days off, when a quote could begin."""

import datetime
from typing import Any

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from api.describe.answers import body_of
from api.describe.diary import DAYS_OFF, NAMES, PLACINGS, DayOff, Named, Placing, Span
from api.describe.routes import DONE, KEY, MADE, NO_CONTENT, kept, parameter
from api.routes.requests import answer, json_body, parameters
from api.routes.stored import in_thread, made_once, number_of, once_of, store_of, who_asks
from api.store.crew import add_holiday, add_resource, holidays, remove_holiday, remove_resource, resources
from api.store.diary import Placed, free_week, near, placed, placed_quote, waiting
from api.store.engine import Store
from api.store.errors import MissingError
from api.store.placing import Wish, earliest, place, take_off
from api.store.planned import planned_of
from api.store.quotes import find_quote
from api.store.replays import Answer
from api.store.week import monday_of, moved
from api.work.tasks import book_of
from estimator.errors import DocumentError, Fault
from estimator.signs import unfit
from estimator.strict import parse, sha256, validated

__all__ = ["router", "shown", "today"]

router = APIRouter()
WEEKS, MOST_DAYS = 4, 400
FROM = parameter("from", "The first date; this week's Monday if not said.", format="date")
UNTIL = parameter("until", f"The last date, at most {MOST_DAYS} days later; four weeks if not said.", format="date")
CHANGES = (403, 404, 409, 415)


def today() -> str:
    """Return today's date where the service runs."""
    return datetime.date.today().isoformat()


def shown(one: Placed) -> dict[str, Any]:
    """Return a placed quote as the answer tells it."""
    plan = one.plan
    names = ("reference", "title", "customer", "machine", "site", "distance_km", "days")
    return {
        "number": str(one.number),
        "state": one.state,
        "job_id": one.job_id,
        **{name: plan[name] for name in names},
        "start": one.start,
        "until": one.until,
        "technicians": one.technicians,
        "rigs": one.rigs,
    }


# ---------------------------------------------------------------- read


@router.get(
    "/api/diary", operation_id="read_diary", response_class=Response,
    openapi_extra={"parameters": [FROM, UNTIL]}, responses=kept("Diary", "What stands on which day.", 200, 403),
)  # fmt: skip
async def read(request: Request) -> Response:
    """Return what stands on which day, what waits for one, and the next free week."""
    start, until = _asked(parameters(request, ("from", "until")))
    return answer(await in_thread(_diary, store_of(request), start, until))


def _asked(given: dict[str, str]) -> tuple[str, str]:
    """Return from when until when is asked; raise `DocumentError` for what is no such span of days."""
    span = validated(Span, given, {})
    start = span.since or monday_of(today())
    until = span.until or moved(start, 7 * WEEKS - 1)
    if not start <= until <= moved(start, MOST_DAYS):
        raise DocumentError([Fault("until", f"must be from {start} to {MOST_DAYS} days later")])
    return start, until


def _diary(store: Store, start: str, until: str) -> dict[str, Any]:
    work_days = book_of(None).work_days
    with store.reading() as session:
        free = free_week(session, today(), work_days)
        rows = [
            {"number": str(quote.number), "job_id": quote.job_id, "reference": plan["reference"],
             "customer": plan["customer"], "days": len(plan["days"]), "technicians": plan["technicians"]}
            for quote, plan in waiting(session)
        ]  # fmt: skip
        return {
            "from": start,
            "until": until,
            "work_days": list(work_days),
            "holidays": [{"date": date, "name": name} for date, name in holidays(session, start, until).items()],
            **_names(session),
            "items": [shown(one) for one in placed(session, start, until)],
            "waiting": rows,
            "next_free_week": None if free is None else {"start": free[0], "technicians": free[1]},
        }


def _names(session: Session) -> dict[str, list[str]]:
    return {f"{kind}s": [row.name for row in resources(session, kind)] for kind in ("technician", "rig")}


@router.get(
    "/api/quotes/{number}/days", operation_id="read_days", response_class=Response,
    openapi_extra={"parameters": [FROM]},
    responses=kept("DaysOfQuote", "Where it stands, and when it could begin.", 200, 403, 404),
)  # fmt: skip
async def read_days(request: Request, number: str) -> Response:
    """Return where a quote stands, what it takes, when it could begin, and who goes near the same place then."""
    start, _ = _asked({"from": today()} | parameters(request, ("from",)))
    return answer(await in_thread(_days, store_of(request), number_of(number, "quote"), start))


def _days(store: Store, number: int, start: str) -> dict[str, Any]:
    with store.reading() as session:
        find_quote(session, number)
        plan, stands = planned_of(session, number), placed_quote(session, number)
        first = earliest(session, plan, start, number)
        around = stands.start if stands else first.dates[0] if first else start
        return {
            "number": str(number),
            "placed": shown(stands) if stands else None,
            "days": len(plan["days"]),
            **{name: plan[name] for name in ("technicians", "rigs", "people")},
            "earliest": first and {"start": first.dates[0], "dates": first.dates, "technicians": first.technicians,
                                   "rigs": first.rigs},
            "nearby": [
                {"number": str(one.number), "reference": one.reference, "dates": one.dates, "basis": one.basis}
                for one in near(session, number, plan, around)
            ],
        }  # fmt: skip


# ---------------------------------------------------------------- place


@router.post(
    "/api/quotes/{number}/days", operation_id="place_quote", status_code=201, response_class=Response,
    openapi_extra=body_of("PlacingSent", PLACINGS) | {"parameters": [KEY]},
    responses=kept("PlacedNow", "It stands on these days.", 201, *CHANGES) | kept("PlacedNow", "It was moved.", 200),
)  # fmt: skip
async def place_one(request: Request, number: str) -> Response:
    """Put an accepted quote on days, or move it; 409 with what clashes where somebody or a rig is taken."""
    parameters(request)
    document = parse(await json_body(request))
    wanted, quote = validated(Placing, document, {}), number_of(number, "quote")
    once = once_of(request, sha256(document))

    def write(session: Session, _: None) -> Answer:
        stood = placed_quote(session, quote) is not None
        row, new = place(session, once.who, quote, Wish(wanted.start, wanted.technicians, wanted.rigs))
        found = placed_quote(session, row.number)
        assert found is not None  # it was placed just now
        said = shown(found) | {"new": new, "moved": stood}
        return Answer(DONE if stood else MADE, said, {"Location": f"/api/quotes/{quote}/days"})

    return await made_once(request, once, _ready, write)


async def _ready() -> None:
    """Make nothing beforehand."""


@router.delete(
    "/api/quotes/{number}/days", operation_id="take_off_days", status_code=204, response_class=Response,
    responses=kept("", "", 204, 403, 404) | NO_CONTENT,
)  # fmt: skip
async def remove(request: Request, number: str) -> Response:
    """Take a quote off its days."""
    parameters(request)
    await in_thread(_write, store_of(request), take_off, who_asks(), number_of(number, "quote"))
    return Response(status_code=204)


def _plain(text: str) -> str:
    """Return a text of a path; raise `MissingError` where nothing is ever called that."""
    if unfit(text):
        raise MissingError("there is nothing of that name")
    return text


def _write(store: Store, act: Any, *what: object) -> Any:  # noqa: ANN401  # what the act takes and answers
    with store.writing() as session:
        return act(session, *what)


# ---------------------------------------------------------------- who goes, days off


@router.post(
    "/api/diary/names", operation_id="add_name", status_code=201, response_class=Response,
    openapi_extra=body_of("NamedSent", NAMES), responses=kept("KnownNames", "Who and what can go.", 201, 403, 409, 415),
)  # fmt: skip
async def add_name(request: Request) -> Response:
    """Add a technician or a rig; one who is there already stays."""
    parameters(request)
    wanted, who = validated(Named, parse(await json_body(request)), {}), who_asks()

    def act(session: Session) -> dict[str, list[str]]:
        add_resource(session, who, wanted.kind, wanted.name)
        return _names(session)

    return answer(await in_thread(_write, store_of(request), act), MADE)


@router.delete(
    "/api/diary/names/{kind}/{name}", operation_id="remove_name", status_code=204, response_class=Response,
    responses=kept("", "", 204, 403, 404, 409) | NO_CONTENT,
)  # fmt: skip
async def remove_name(request: Request, kind: str, name: str) -> Response:
    """Let a technician or rig go; 409 while days ahead are theirs."""
    parameters(request)
    who, gone = who_asks(), (_plain(kind), _plain(name))
    await in_thread(_write, store_of(request), lambda session: remove_resource(session, who, *gone, today()))
    return Response(status_code=204)


@router.post(
    "/api/diary/days-off", operation_id="add_day_off", status_code=201, response_class=Response,
    openapi_extra=body_of("DayOffSent", DAYS_OFF), responses=kept("OffDay", "Nobody works then.", 201, 403, 415),
)  # fmt: skip
async def add_day_off(request: Request) -> Response:
    """Add a day off, or name it anew; it says which quotes stand on it."""
    parameters(request)
    wanted = validated(DayOff, parse(await json_body(request)), {})
    numbers = await in_thread(_write, store_of(request), add_holiday, who_asks(), wanted.date, wanted.name)
    return answer({"date": wanted.date, "name": wanted.name, "standing": list(map(str, numbers))}, MADE)


@router.delete(
    "/api/diary/days-off/{date}", operation_id="remove_day_off", status_code=204, response_class=Response,
    responses=kept("", "", 204, 403, 404) | NO_CONTENT,
)  # fmt: skip
async def remove_day_off(request: Request, date: str) -> Response:
    """Make a day off a day as others are."""
    parameters(request)
    await in_thread(_write, store_of(request), remove_holiday, who_asks(), _plain(date))
    return Response(status_code=204)
