"""What surrounds every request: its number, its headers, one log line, the counters, and a net under defects."""

import asyncio
import re
import time
import uuid
from typing import Any

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.access.metrics import Metrics
from api.caller import NOBODY, number_request, request_id
from api.logs import log, place_of
from api.problems import problem

__all__ = ["Watch"]

NUMBER = re.compile(r"[A-Za-z0-9._-]{1,64}")
METHODS = {"GET", "HEAD", "POST", "PUT", "DELETE", "PATCH", "OPTIONS"}
QUIET = {"/health", "/ready", "/metrics"}
DEFECT, ENDING = 500, 503
AGAIN = {"Retry-After": "5"}
HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Content-Security-Policy": "default-src 'none'; frame-ancestors 'none'",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
    "Cache-Control": "no-store",
}


class Watch:
    """Middleware around everything else."""

    def __init__(self, app: ASGIApp, metrics: Metrics) -> None:
        """Surround an application."""
        self.app, self.metrics = app, metrics

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request; whatever goes wrong inside becomes a 500 and one line in the log."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        scope["request_id"] = _number(Headers(scope=scope))
        number_request(scope["request_id"])
        answer = _Answer(send, request_id())
        began = time.perf_counter()
        self.metrics.begin()
        try:
            await self.app(scope, receive, answer.send)
        except asyncio.CancelledError:  # the service ends, and waited as long as it does
            if not answer.status:
                await problem(ENDING, headers=AGAIN)(scope, receive, answer.send)
        except Exception as error:  # a defect of ours; its words may quote a document, so only its place is told
            log().error("defect", kind=type(error).__name__, where=place_of(error))
            if not answer.status:
                await problem(DEFECT)(scope, receive, answer.send)
        finally:
            self._note(scope, answer.status, time.perf_counter() - began)

    def _note(self, scope: Scope, status: int, seconds: float) -> None:
        method = scope["method"] if scope["method"] in METHODS else "other"
        route = getattr(scope.get("route"), "path", "none")
        self.metrics.end(method, route, status, seconds)
        write = log().debug if route in QUIET else log().info
        write("request", **_said(scope, method, route), status=status, ms=round(1000 * seconds, 1))


def _said(scope: Scope, method: str, route: str) -> dict[str, Any]:
    """Return what the log says of a request: the pattern of its path, who asked, and never what was asked."""
    caller, peer = scope.get("caller", NOBODY), scope.get("client")
    who = {} if caller is NOBODY else {"caller": caller.name, "role": caller.role, "way": caller.way}
    return {"method": method, "route": route, "peer": peer[0] if peer else "", **who}


def _number(headers: Headers) -> str:
    """Return the number that the request came with, if it is a plain one, else a new one."""
    given = headers.get("x-request-id", "")
    return given if NUMBER.fullmatch(given) else uuid.uuid4().hex


class _Answer:
    """Sends an answer on with our headers, and remembers its status; 0 before it began."""

    def __init__(self, send: Send, number: str) -> None:
        self._send, self._number, self.status = send, number, 0

    async def send(self, message: Message) -> None:
        """Send one message on."""
        if message["type"] == "http.response.start":
            self.status = message["status"]
            headers = MutableHeaders(scope=message)
            headers["X-Request-ID"] = self._number
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await self._send(message)
