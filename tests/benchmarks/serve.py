"""The estimate route against a bare one: the same server, the same body validated, the same bytes answered.

The callers are in another process that only writes and reads sockets, so that the server is what is measured. Every
request asks for a job that was not asked for before. The two routes take turns; the median of the rounds counts.
"""

import itertools
import json
import socket
import statistics
import subprocess
import sys
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import uvicorn

from api.app import create_app
from estimator.job.job import Job
from tests.benchmarks.ratio import ROOT, Ratio, changed, readings_job

__all__ = ["route_ratio", "serve"]

BORES, CALLERS, REQUESTS, ROUNDS = 4, 4, 12, 5
STEP = 0.0005  # mm: readings of two requests differ by no less
NUMBERS = itertools.count(1)


def serve(door: socket.socket) -> None:
    """Serve the application and, beside its routes, one that validates a job and answers what it was last told to."""
    app, kept = create_app(), dict[str, Any]()

    @app.post("/bare")
    async def bare(job: Job) -> dict[str, Any]:  # noqa: ARG001  # it takes the body and drops it
        return kept

    @app.put("/bare")
    async def told(document: dict[str, Any]) -> None:
        kept.update(document)

    uvicorn.Server(uvicorn.Config(app, log_level="error", access_log=False)).run(sockets=[door])


@contextmanager
def server() -> Iterator[int]:
    """Run the server in a process of its own; yield its port."""
    with socket.create_server(("127.0.0.1", 0)) as door:
        command = [sys.executable, "-m", "tests.benchmarks", "--serve", str(door.fileno())]
        with subprocess.Popen(command, cwd=ROOT, pass_fds=[door.fileno()]) as process:
            try:
                yield door.getsockname()[1]
            finally:
                process.terminate()


def request(path: str, body: bytes, method: str = "POST") -> bytes:
    """Return a whole request."""
    lines = [
        f"{method} {path} HTTP/1.1",
        "Host: localhost",
        "Content-Type: application/json",
        f"Content-Length: {len(body)}",
    ]
    return "\r\n".join([*lines, "", ""]).encode() + body


def answered(line: socket.socket, said: bytes) -> bytes:
    """Send a request and return the body of a good answer."""
    line.sendall(said)
    got = b""
    while b"\r\n\r\n" not in got:
        got += line.recv(1 << 16)
    head, _, body = got.partition(b"\r\n\r\n")
    assert head.startswith(b"HTTP/1.1 200 "), got
    length = int(head.lower().partition(b"content-length:")[2].split()[0])
    parts, taken = [body], len(body)
    while taken < length:
        parts.append(line.recv(1 << 16))
        taken += len(parts[-1])
    return b"".join(parts)


def throughput(port: int, asked: Sequence[Sequence[bytes]]) -> float:
    """Return answers per second to several callers at once, each with requests of its own."""

    def call(own: Sequence[bytes]) -> None:
        with socket.create_connection(("127.0.0.1", port)) as line:
            for said in own:
                answered(line, said)

    callers = [threading.Thread(target=call, args=(own,)) for own in asked]
    start = time.perf_counter()
    for caller in callers:
        caller.start()
    for caller in callers:
        caller.join()
    return sum(map(len, asked)) / (time.perf_counter() - start)


def _asked(path: str) -> list[list[bytes]]:
    """Return the requests of each caller, no two alike."""
    job, bores = readings_job(BORES), range(BORES)
    jobs = ((json.dumps(changed(job, STEP * next(NUMBERS), *bores)).encode() for _ in range(REQUESTS)) for _ in bores)
    return [[request(path, one) for one in own] for own in itertools.islice(jobs, CALLERS)]


def route_ratio() -> Ratio:
    """Return the throughput of the estimate route over that of the bare one."""
    body = json.dumps(readings_job(BORES)).encode()
    with server() as port:
        with socket.create_connection(("127.0.0.1", port)) as line:
            found = answered(line, request("/api/estimates", body))
            answered(line, request("/bare", found, "PUT"))
            assert len(answered(line, request("/bare", body))) == len(found)
        rounds = [[throughput(port, _asked(path)) for path in ("/api/estimates", "/bare")] for _ in range(ROUNDS)]
    ours, bare = (statistics.median(column) for column in zip(*rounds, strict=True))
    said = f"{ours:.0f} against {bare:.0f} answers/s; {len(body)} bytes in, {len(found)} out"
    value = statistics.median(one / other for one, other in rounds)
    return Ratio("serve against a bare route", value, 0.3, said, most=False)
