"""Three ratios and their aims: the estimate route against an empty one, the command, the workbook.

Both routes run in one process behind a real server, because that is what a caller meets; the callers are in another
process that only writes and reads sockets, so that the server is what is measured. The empty route takes the same body
as the web library reads JSON (a dict) and answers as many bytes. The two take turns; the median of the rounds counts.
"""

import json
import os
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import uvicorn
from fastapi import Response

from api.app import create_app
from api.describe.examples import JOBS
from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from tests.benchmarks.workbooks import workbook_ratio

ROOT = Path(__file__).resolve().parents[2]
SAMPLE = min((ROOT / "sample_jobs").glob("*.json"))
BORES, CLOCK, DEPTHS = 4, 12, 3  # 4 bores of 36 readings
CALLERS, REQUESTS, ROUNDS, STARTS = 4, 50, 9, 15
LEAST_THROUGHPUT, LONGEST_START, LONGEST_WORKBOOK = 0.5, 3.0, 2.0


def large_job() -> bytes:
    """Return a job of four bores with 36 readings each."""
    first: dict[str, Any] = JOBS["measured"]["value"]["bores"][0]
    rows = [[82.0 + 0.04 * (station + abs(6 - place)) for place in range(CLOCK)] for station in range(DEPTHS)]
    readings = {
        "kind": "diameter",
        "unit": "mm",
        "clock": [180 / CLOCK * place for place in range(CLOCK)],
        "depth": [10, 25, 40],
        "values": rows,
    }
    bores = [first | {"name": f"B{number}", "readings": readings} for number in range(BORES)]
    return json.dumps(JOBS["measured"]["value"] | {"bores": bores}).encode()


# ---------------------------------------------------------------- routes


def serve(door: socket.socket) -> None:
    """Serve the application and, beside its routes, an empty one."""
    app = create_app()

    @app.post("/empty")
    async def empty(job: dict[str, Any], size: int) -> Response:  # noqa: ARG001  # it takes the body and drops it
        return Response(b" " * size, media_type="application/json")

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


def request(path: str, body: bytes) -> bytes:
    """Return a whole request."""
    lines = [
        f"POST {path} HTTP/1.1",
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


def throughput(port: int, said: bytes) -> float:
    """Return answers per second to several callers at once."""

    def call() -> None:
        with socket.create_connection(("127.0.0.1", port)) as line:
            for _ in range(REQUESTS):
                answered(line, said)

    callers = [threading.Thread(target=call) for _ in range(CALLERS)]
    start = time.perf_counter()
    for caller in callers:
        caller.start()
    for caller in callers:
        caller.join()
    return CALLERS * REQUESTS / (time.perf_counter() - start)


def engine_time(job: bytes) -> float:
    """Return how long the engine alone takes for a job [s]: what no route can save."""
    book, times = read_pricebook(), []
    for _ in range(REQUESTS):
        start = time.perf_counter()
        estimate(job, book)
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def route_ratio() -> tuple[float, str]:
    """Return the throughput of the estimate route over that of an empty one."""
    job = large_job()
    with server() as port:
        with socket.create_connection(("127.0.0.1", port)) as line:
            size = len(answered(line, request("/api/estimates", job)))
        pair = (request("/api/estimates", job), request(f"/empty?size={size}", job))
        rounds = [[throughput(port, said) for said in pair] for _ in range(ROUNDS)]
    ours, empty = (statistics.median(column) for column in zip(*rounds, strict=True))
    share = engine_time(job) * ours
    said = (
        f"{ours:.0f} against {empty:.0f} answers/s, {share:.0%} of ours in the engine; {len(job)} bytes in, {size} out"
    )
    return statistics.median(one / other for one, other in rounds), said


# ---------------------------------------------------------------- command


def start_ratio() -> tuple[float, str]:
    """Return the time of `boreworth estimate` over that of importing its two libraries, all of it compiled before."""
    commands = (["-m", "api.commands", "estimate", str(SAMPLE)], ["-c", "import numpy, pydantic"])
    with tempfile.TemporaryDirectory() as compiled:
        kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        kept["PYTHONPYCACHEPREFIX"] = compiled

        def run(words: list[str]) -> float:
            start = time.perf_counter()
            subprocess.run([sys.executable, *words], cwd=ROOT, env=kept, check=True, capture_output=True)
            return time.perf_counter() - start

        for words in commands:
            run(words)
        rounds = [[run(words) for words in commands] for _ in range(STARTS)]
    ours, bare = (statistics.median(column) for column in zip(*rounds, strict=True))
    return statistics.median(one / other for one, other in rounds), f"{1e3 * ours:.0f} against {1e3 * bare:.0f} ms"


def main() -> int:
    """Print the ratios; return 0 only if all meet their aims."""
    ratio, said = route_ratio()
    fast = ratio >= LEAST_THROUGHPUT
    lines = [f"estimate route / empty route: {ratio:.3f} of its throughput, aim {LEAST_THROUGHPUT} or more ({said})"]
    ratio, said = start_ratio()
    lines += [f"boreworth estimate / import numpy, pydantic: {ratio:.2f} times, aim under {LONGEST_START:g} ({said})"]
    quick = ratio < LONGEST_START
    ratio, said = workbook_ratio(SAMPLE)
    lines += [f"quote workbook / bare library: {ratio:.2f} times, aim under {LONGEST_WORKBOOK:g} ({said})"]
    sys.stdout.write("\n".join([*lines, ""]))
    return int(not (fast and quick and ratio < LONGEST_WORKBOOK))


if __name__ == "__main__":
    if sys.argv[1:2] == ["--serve"]:
        serve(socket.socket(fileno=int(sys.argv[2])))
    else:
        sys.exit(main())
