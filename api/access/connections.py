"""What one connection may take, so long for its headers, its body, its answer; and how many of them there may be.

The server library bounds a header's size and how long a connection may idle between two requests; the rest is here.
"""

import asyncio
import time
from typing import Any

import h11
import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from api.logs import log, place_of

__all__ = ["Server", "Waiting", "config_of"]

HEADER, BODY, ANSWER, IDLE = 10.0, 60.0, 60.0, 5.0  # [s] for all of each; ANSWER: that a caller takes no byte of it
MOST_CONNECTIONS = 500
SELDOM = 60.0  # [s] between two lines of the log about the same fault of the system
FULL = (
    b"HTTP/1.1 503 Service Unavailable\r\ncontent-type: application/problem+json\r\nretry-after: 2\r\n"
    b"connection: close\r\ncontent-length: 127\r\n\r\n"
    b'{"type":"about:blank","title":"Service Unavailable","status":503,'
    b'"detail":"Too many connections; try again later.","errors":[]}'
)
LATE = b"HTTP/1.1 408 Request Timeout\r\nconnection: close\r\ncontent-length: 0\r\n\r\n"


def most_connections() -> int:
    """Return how many connections there is room for: half the files that the process may have open."""
    try:
        import resource  # noqa: PLC0415  # a system without such limits has not got it
    except ImportError:
        return MOST_CONNECTIONS
    soft, _ = resource.getrlimit(resource.RLIMIT_NOFILE)
    return MOST_CONNECTIONS if soft == resource.RLIM_INFINITY else min(MOST_CONNECTIONS, soft // 2)


class Waiting(H11Protocol):
    """A connection that is waited for only so long."""

    most = MOST_CONNECTIONS
    _due: asyncio.TimerHandle | None = None
    _stalled: asyncio.TimerHandle | None = None
    _for = ""

    def connection_made(self, transport: asyncio.Transport) -> None:
        """Take a connection, or turn it away where there are too many."""
        super().connection_made(transport)
        if len(self.connections) > self.most:
            transport.write(FULL)
            transport.close()
            return
        self._wait("header")

    def data_received(self, data: bytes) -> None:
        """Take what came, and wait for what is due next."""
        if not self.transport.is_closing():
            super().data_received(data)
            self._look()

    def on_response_complete(self) -> None:
        """Go on with what came meanwhile."""
        super().on_response_complete()
        self._look()

    def connection_lost(self, exc: Exception | None) -> None:
        """Wait no more."""
        self._wait("")
        self.resume_writing()
        super().connection_lost(exc)

    def pause_writing(self) -> None:
        """Wait for a caller to take what it was answered."""
        super().pause_writing()
        self._stalled = self.loop.call_later(ANSWER, self.transport.abort)

    def resume_writing(self) -> None:
        """Go on with the answer."""
        if self._stalled is not None:
            self._stalled.cancel()
            self._stalled = None
        super().resume_writing()

    def _look(self) -> None:
        """Begin to wait for what is due now, unless it is being waited for."""
        begun = self.conn.their_state is h11.IDLE and bool(self.conn.trailing_data[0])
        self._wait("header" if begun else "body" if self.conn.their_state is h11.SEND_BODY else "")

    def _wait(self, what: str) -> None:
        if what == self._for:
            return
        if self._due is not None:
            self._due.cancel()
        self._for = what
        self._due = self.loop.call_later(HEADER if what == "header" else BODY, self._late) if what else None

    def _late(self) -> None:
        """End a connection that kept us waiting; say so where nothing was answered yet."""
        cycle: Any = self.cycle  # there is none before the first request, whatever the library's types say
        if cycle is None or cycle.response_complete or not cycle.response_started:
            self.transport.write(LATE)
        self.transport.close()


class Server(uvicorn.Server):
    """The server, with faults of the system written down now and then only."""

    async def serve(self, sockets: Any = None) -> None:  # noqa: ANN401  # the library's own
        """Serve until told to stop."""
        asyncio.get_running_loop().set_exception_handler(Seldom().heard)
        await super().serve(sockets)


class Seldom:
    """Writes down a fault of the event loop, and the same again only after a while."""

    def __init__(self) -> None:
        """Begin with none."""
        self._said: dict[str, float] = {}

    def heard(self, _: asyncio.AbstractEventLoop, context: dict[str, Any]) -> None:
        """Take a fault of the event loop, as when no file can be opened for another connection."""
        error, said = context.get("exception"), str(context.get("message", ""))
        if time.monotonic() - self._said.get(said, -SELDOM) < SELDOM:
            return
        kept = {} if len(self._said) > MOST_CONNECTIONS else self._said
        self._said = {**kept, said: time.monotonic()}
        where = {"kind": type(error).__name__, "where": place_of(error)} if isinstance(error, BaseException) else {}
        log().error("server", said=said, **where)


def config_of(app: Any) -> uvicorn.Config:  # noqa: ANN401  # any application
    """Return how an application is served."""
    Waiting.most = most_connections()
    return uvicorn.Config(
        app, http=Waiting, lifespan="off", ws="none", log_config=None, access_log=False, proxy_headers=False,
        server_header=False, timeout_graceful_shutdown=10, timeout_keep_alive=int(IDLE), backlog=128,
    )  # fmt: skip
