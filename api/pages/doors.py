"""Signing in and out by page: a token is exchanged for a cookie that no script can read."""

from urllib.parse import parse_qs

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.types import Scope

from api.access.gate import COOKIE, Keys, network_of, session_in
from api.access.rate import Tries
from api.access.secrets import is_csrf_of
from api.caller import current
from api.logs import log
from api.problems import refusal
from api.render import page
from api.settings import Settings

__all__ = ["router", "sign_in_page"]

router = APIRouter(include_in_schema=False)
WRONG = "This token is not valid."
SMALL_FORM = 4096  # [bytes]; a token and a way back are far less
FORM = "application/x-www-form-urlencoded"


def sign_in_page(scope: Scope, status: int = 200, wrong: str = "", back: str = "") -> Response:
    """Return the page that asks for a token; afterwards it leads back to where one wanted to go."""
    settings, leads = scope["app"].state.settings, back or scope["path"]
    days = f"{settings.device_hours / 24:g}"
    return page("sign_in.html", status, wrong=wrong, next=leads, hours=f"{settings.session_hours:g}", days=days)


@router.get("/sign-in")
async def ask(request: Request) -> Response:
    """Return the sign-in page."""
    return sign_in_page(request.scope, back="/")


@router.post("/sign-in")
async def sign_in(request: Request) -> Response:
    """Exchange a token for a session; the cookie is for https only where the browser came by https."""
    form = await _form(request)
    settings, back = request.app.state.settings, _own_path(form.get("next", "/"))
    keys, token = request.app.state.keys, form.get("token", "")
    hours = await run_in_threadpool(_hours, settings, keys, token) if "stay" in form else settings.session_hours
    session = await run_in_threadpool(keys.sign_in, token, hours)
    if session is None:
        log().warning("sign-in refused")
        wait = 0 if request.scope["near"] else _counted(request, token)
        if wait:
            return refusal(request.scope, 429, headers={"Retry-After": str(wait)})
        return sign_in_page(request.scope, 401, WRONG, back)
    answer = RedirectResponse(back, 303)
    secure = request.headers.get("origin", "").lower().startswith("https://")
    life = int(3600 * hours)
    answer.set_cookie(COOKIE, session, max_age=life, path="/", secure=secure, httponly=True, samesite="strict")
    return answer


def _hours(settings: Settings, keys: Keys, token: str) -> float:
    """Return how long a device stays signed in: long with a token of the field, which sees no money."""
    holder = keys.token(token)
    return settings.device_hours if holder is not None and holder.role == "field" else settings.session_hours


def _counted(request: Request, token: str) -> int:
    """Count a wrong try; return the seconds to wait, or 0."""
    peer = request.client.host if request.client else ""
    tries: Tries = request.app.state.tries
    return tries.wrong(network_of(peer), token)


@router.post("/sign-out")
async def sign_out(request: Request) -> Response:
    """Close the session and forget the cookie."""
    form, session = await _form(request), session_in(Headers(scope=request.scope))
    if session and not is_csrf_of(form.get("csrf", ""), session):
        raise HTTPException(403, "The form belongs to another session; load the page again.")
    if session:
        await run_in_threadpool(request.app.state.keys.sign_out, session, current())
    # A device of the field goes by its own page, where pages it kept are dropped and entries that wait stay.
    of_field = current().role == "field"
    answer = RedirectResponse("/field" if of_field else "/", 303)
    answer.delete_cookie(COOKIE, path="/", httponly=True, samesite="strict")
    if not of_field:
        answer.headers["Clear-Site-Data"] = '"cache", "storage"'
    return answer


async def _form(request: Request) -> dict[str, str]:
    """Return a small form's fields, the first of each name; raise 413 or 415 for anything else."""
    if request.headers.get("content-type", "").partition(";")[0].strip().lower() != FORM:
        raise HTTPException(415, f"Send a form, as {FORM}.")
    body = await request.body()
    if len(body) > SMALL_FORM:
        raise HTTPException(413)
    found = parse_qs(body.decode("utf-8", "replace"), keep_blank_values=True)
    return {name: values[0].strip() for name, values in found.items()}


def _own_path(text: str) -> str:
    """Return a path of this service as it is, and `/` for anything that could lead elsewhere."""
    safe = (
        text.startswith("/") and not text.startswith(("//", "/\\", "/sign")) and text.isprintable() and "\\" not in text
    )
    return text if safe and text.isascii() else "/"
