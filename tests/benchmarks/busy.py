"""How long `/health` and `/ready` take while eight callers ask for forty bores each, against an idle server.

    python -m tests.benchmarks.busy

Prints the median and the 95th percentile of both, and the ratio of the medians; a number for people, never a test.
"""

import statistics
import sys
import tempfile
import threading
import time
from contextlib import suppress
from pathlib import Path

from tests.api.running import Server, serving
from tests.api.service import job

__all__ = ["main"]

CALLERS, BORES, ASKED = 8, 40, 300
PATHS = ("/health", "/ready")


def large() -> dict[str, object]:
    """Return a job of forty bores, each another."""
    one = job()["bores"][0]
    return job() | {"bores": [one | {"name": f"B{count}", "length": f"{40 + count} mm"} for count in range(BORES)]}


def times_of(server: Server) -> dict[str, list[float]]:
    """Return how long each of many requests took. [ms]"""
    found: dict[str, list[float]] = {path: [] for path in PATHS}
    for _ in range(ASKED):
        for path in PATHS:
            begun = time.perf_counter()
            assert server.ask("GET", path).status == 200
            found[path].append(1000 * (time.perf_counter() - begun))
    return found


def busy(server: Server, stop: threading.Event, answers: list[int]) -> None:
    """Ask for estimates until told to stop."""
    while not stop.is_set():
        with suppress(TimeoutError):  # on a machine that has much else to do
            answers.append(server.ask("POST", "/api/estimates", body=large()).status)


def main() -> None:
    """Measure and print."""
    stop, answers = threading.Event(), list[int]()
    with (
        tempfile.TemporaryDirectory() as folder,
        serving(f"sqlite:///{folder}/shop.db", log=Path(folder) / "log") as server,
    ):
        assert server.ask("POST", "/api/estimates", body=job()).status == 200
        times_of(server)
        idle = times_of(server)
        callers = [threading.Thread(target=busy, args=(server, stop, answers)) for _ in range(CALLERS)]
        for caller in callers:
            caller.start()
        time.sleep(2.0)
        loaded = times_of(server)
        stop.set()
        for caller in callers:
            caller.join()
    for path in PATHS:
        (a, b), (c, d) = (
            (statistics.median(found[path]), statistics.quantiles(found[path], n=20)[-1]) for found in (idle, loaded)
        )
        sys.stdout.write(
            f"{path:8} idle {a:.1f} ms (95 % {b:.1f}), busy {c:.1f} ms (95 % {d:.1f}): {c / a:.1f} times\n"
        )
    sys.stdout.write(f"{len(answers)} estimates of {BORES} bores answered meanwhile, statuses {sorted(set(answers))}\n")


if __name__ == "__main__":
    main()
