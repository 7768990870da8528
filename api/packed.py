"""Pages and scripts go out packed to whoever takes them so; documents and files go as they are."""

import gzip
import re

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

__all__ = ["Packed"]

NONE = re.compile(r"0(\.0*)?")
KINDS = ("text/html", "text/javascript")
SMALLEST = 1000  # [bytes]; less fits into one packet as it is
LEVEL = 5  # most of what can be won, in few milliseconds


class Packed:
    """Middleware that packs pages; each of them is sent in one piece."""

    def __init__(self, app: ASGIApp) -> None:
        """Stand before an application."""
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, and pack what comes back if it is a page."""
        if scope["type"] != "http" or not _takes_gzip(Headers(scope=scope)):
            await self.app(scope, receive, send)
            return
        begun: list[Message] = []

        async def packed(message: Message) -> None:
            if message["type"] == "http.response.start":
                begun.append(message)
                return
            if begun:
                start = begun.pop()
                body = message.get("body", b"")
                if not message.get("more_body", False) and _is_page(start, body):
                    message = {**message, "body": _pack(start, body)}
                await send(start)
            await send(message)

        await self.app(scope, receive, packed)


def _takes_gzip(headers: Headers) -> bool:
    """Return whether a caller takes gzip: it is named, and not with a weight of nothing."""
    named = [one.replace(" ", "").split(";q=") for one in headers.get("accept-encoding", "").split(",")]
    return any(one[0] == "gzip" and (len(one) == 1 or not NONE.fullmatch(one[1])) for one in named)


def _is_page(start: Message, body: bytes) -> bool:
    kind = Headers(raw=start["headers"]).get("content-type", "")
    return len(body) >= SMALLEST and kind.startswith(KINDS)


def _pack(start: Message, body: bytes) -> bytes:
    """Return a body packed, and say so in its headers."""
    found = gzip.compress(body, LEVEL, mtime=0)
    headers = MutableHeaders(raw=start["headers"])
    headers["content-encoding"], headers["content-length"] = "gzip", str(len(found))
    headers.add_vary_header("Accept-Encoding")
    return found
