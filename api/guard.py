"""How much may be sent, and whether a request comes from a page of ours."""

import re

from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.loopback import host_of
from api.problems import problem
from estimator.strict import LARGEST_DOCUMENT

__all__ = ["SAFE", "Guard", "same_origin"]

SAFE = {"GET", "HEAD", "OPTIONS", "TRACE"}
PORTS = {"http": "80", "https": "443"}
MOST_DIGITS = 18
LARGEST_UPLOAD = 10 * 1024 * 1024  # [bytes] of a workbook or a photo; what it unpacks to is bounded where it is read
UPLOADS = {("POST", "/api/intake")}
PHOTOS = re.compile(r"/jobs/[0-9]+/photos")


class Guard:
    """Middleware that refuses large bodies, said to be large or not."""

    def __init__(self, app: ASGIApp) -> None:
        """Stand before an application."""
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request that is refused; pass any other on, its body counted."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        file = (scope["method"], scope["path"]) in UPLOADS or PHOTOS.fullmatch(scope["path"])
        most = LARGEST_UPLOAD if file else LARGEST_DOCUMENT
        if status := _refusal(headers, most):
            await problem(status)(scope, receive, send)
            return
        await self.app(scope, _counted(receive, most), send)


def _refusal(headers: Headers, most: int) -> int:
    """Return the status to refuse a request with by the length it says, or 0; `most` is how long it may be."""
    length = headers.get("content-length", "0")
    if "content-length" in headers and "transfer-encoding" in headers:
        return 400  # two lengths of one body: a proxy may have read the other (RFC 9112, 6.3)
    if not (length.isascii() and length.isdigit()):
        return 400
    return 413 if len(length) > MOST_DIGITS or int(length) > most else 0


def same_origin(origin: str, host: str) -> bool:
    """Return whether an Origin names the host and port that the request went to."""
    scheme, _, rest = origin.lower().partition("://")
    name, port = host_of(rest)
    own, own_port = host_of(host)
    usual = PORTS.get(scheme)
    return usual is not None and (name, port or usual) == (own, own_port or usual)


def _counted(receive: Receive, most: int) -> Receive:
    """Return a receiver that stops at a body larger than allowed, said beforehand or not."""
    taken = 0

    async def counted() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > most:
            raise HTTPException(413)
        return message

    return counted
