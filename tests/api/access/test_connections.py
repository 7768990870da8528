"""Callers that keep a server waiting, or come in numbers: they are cut off, and nobody else is."""

import contextlib
import json
import select
import socket
import time
from collections.abc import Iterator
from typing import Any

import pytest

from tests.api.servers import Nursery, Server
from tests.api.service import job

PATIENCE = 60.0  # seconds; a loaded machine is slow
HEAD = b"POST /api/estimates HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
GET = b"GET /health HTTP/1.1\r\nHost: localhost\r\n"


@pytest.fixture(scope="module")
def hasty(nursery: Nursery, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server that waits for nobody longer than a second."""
    with nursery.serving(f"sqlite:///{tmp_path_factory.mktemp('hasty')}/shop.db", hurry=1) as found:
        yield found


def called(server: Server, begin: bytes = b"") -> socket.socket:
    line = socket.create_connection(("127.0.0.1", server.port), timeout=PATIENCE)
    line.sendall(begin)
    return line


def dripped(line: socket.socket, drop: bytes) -> bytes:
    """Send a drop now and then until the other end has enough; return what it said."""
    end, said = time.monotonic() + PATIENCE, b""
    while time.monotonic() < end:
        ready, _, _ = select.select([line], [], [], 0.2)
        with contextlib.suppress(ConnectionError, BrokenPipeError):
            if ready:
                if not (more := line.recv(65536)):
                    return said
                said += more
            else:
                line.sendall(drop)
                continue
            continue
        return said
    raise AssertionError(f"the server waits for ever, having said {said!r}")


SLOW = {
    "nothing": (b"", b"", b"HTTP/1.1 408"),
    "header": (GET, b"X-A: b\r\n", b"HTTP/1.1 408"),
    "second header": (GET + b"\r\n" + GET, b"X-A: b\r\n", b"HTTP/1.1 200"),
    "body": (HEAD + b"Content-Length: 1000\r\n\r\n", b" ", b"HTTP/1.1 408"),
    "chunks": (HEAD + b"Transfer-Encoding: chunked\r\n\r\n", b"1\r\n \r\n", b"HTTP/1.1 408"),
    "idle": (GET + b"\r\n", b"", b"HTTP/1.1 200"),
    "refused": (HEAD + b"X-Forwarded-For: a\r\nContent-Length: 1000\r\n\r\n", b" ", b"HTTP/1.1 401"),
}


@pytest.mark.parametrize("kind", SLOW)
def test_whoever_drips_is_cut_off(hasty: Server, kind: str) -> None:
    begin, drop, said = SLOW[kind]
    with called(hasty, begin) as line:
        heard = dripped(line, drop)
    assert heard.startswith(said), heard
    assert hasty.ask("GET", "/health").status == 200


def test_whoever_takes_no_answer_is_cut_off(hasty: Server) -> None:
    with socket.socket() as line:
        line.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
        line.settimeout(PATIENCE)
        line.connect(("127.0.0.1", hasty.port))
        ask = b"GET /openapi.json HTTP/1.1\r\nHost: localhost\r\n\r\n"
        end = time.monotonic() + PATIENCE
        cut = False
        while not cut and time.monotonic() < end:
            try:
                line.sendall(ask)
                time.sleep(0.01)
            except OSError:
                cut = True
        assert cut, "the server answers for ever"
    assert hasty.ask("GET", "/health").status == 200


def test_work_that_takes_long_is_no_waiting(hasty: Server) -> None:
    body = json.dumps(job()).encode()
    with called(hasty, HEAD + b"Content-Length: %d\r\n\r\n" % len(body) + body[:10]) as line:
        time.sleep(0.3)
        line.sendall(body[10:])
        assert line.recv(65536).startswith(b"HTTP/1.1 200")
        line.sendall(HEAD + b"Content-Length: %d\r\n\r\n" % len(body) + body)  # the same line once more
        assert line.recv(1 << 20)


def test_more_connections_than_there_is_room_for_are_turned_away(nursery: Nursery, sqlite: str) -> None:
    with nursery.serving(sqlite, connections=20, hurry=2) as server, contextlib.ExitStack() as held:
        for _ in range(19):
            held.enter_context(called(server))
        time.sleep(0.3)
        assert server.ask("GET", "/health").status == 200
        held.enter_context(called(server))
        time.sleep(0.3)
        full = server.ask("GET", "/health")
        assert (full.status, full.json()["status"], full.headers["retry-after"]) == (503, 503, "2")
        server.until(lambda: server.ask("GET", "/health").status == 200, "room is never made again")


@pytest.mark.parametrize("amiss", [{"files": 100}, {"files": 60, "connections": 1000}], ids=["bounded", "running out"])
def test_when_files_run_out_the_log_does_not(nursery: Nursery, sqlite: str, amiss: dict[str, Any]) -> None:
    with nursery.serving(sqlite, hurry=3, **amiss) as server:
        lines = [called(server) for _ in range(300)]
        time.sleep(2.0)
        for line in lines:
            line.close()
        server.until(lambda: server.ask("GET", "/ready").status == 200, "never answers again")
        said = server.said.read_text()
        assert said.count("\n") < 10, said[:2000]
        assert "out of system resource" in said or "connections" not in amiss
