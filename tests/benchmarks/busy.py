"""How long `/health` and `/ready` take while eight callers ask for forty bores each, against an idle server.

    python -m tests.benchmarks.busy

Prints the median and the 95th percentile of both, and the ratio of the medians; a number for people, never a test. The
callers are in a process of their own, and no two of their jobs are the same.
"""

import itertools
import multiprocessing
import statistics
import sys
import tempfile
import threading
import time
from pathlib import Path

from api.work.pool import cores
from tests.api.running import Server, serving
from tests.api.service import job

__all__ = ["main"]

CALLERS, BORES, ASKED = 8, 40, 300
PATHS = ("/health", "/ready")


def large(number: int) -> dict[str, object]:
    """Return a job of forty bores, each another than in any other job."""
    one = job()["bores"][0]
    lengths = [f"{40 + count + number % 9973 / 10000} mm" for count in range(BORES)]
    return job() | {"bores": [one | {"name": f"B{count}", "length": said} for count, said in enumerate(lengths)]}


def times_of(server: Server) -> dict[str, list[float]]:
    """Return how long each of many requests took. [ms]"""
    found: dict[str, list[float]] = {path: [] for path in PATHS}
    for _ in range(ASKED):
        for path in PATHS:
            begun = time.perf_counter()
            assert server.ask("GET", path).status == 200
            found[path].append(1000 * (time.perf_counter() - begun))
    return found


def ask_on(server: Server, answers: Path) -> None:
    """Ask for estimates in several threads until ended, writing each status down."""

    def ask(caller: int) -> None:
        for number in itertools.count(1000 * caller):
            status = server.ask("POST", "/api/estimates", body=large(number)).status
            with answers.open("a") as file:
                file.write(f"{status}\n")

    threads = [threading.Thread(target=ask, args=(one,)) for one in range(CALLERS)]
    for thread in threads:
        thread.start()


def main() -> None:
    """Measure and print."""
    with (
        tempfile.TemporaryDirectory() as folder,
        serving(f"sqlite:///{folder}/shop.db", log=Path(folder) / "log", BOREWORTH_WORKERS=f"{cores()}") as server,
    ):
        answers = Path(folder) / "answers"
        answers.touch()
        assert server.ask("POST", "/api/estimates", body=job()).status == 200
        times_of(server)
        idle = times_of(server)
        callers = multiprocessing.get_context("fork").Process(target=ask_on, args=(server, answers))
        callers.start()
        while not answers.read_text("utf-8"):
            time.sleep(0.1)
        loaded = times_of(server)
        callers.kill()
        callers.join()
        statuses = answers.read_text("utf-8").split()
    for path in PATHS:
        middle = [statistics.median(found[path]) for found in (idle, loaded)]
        worst = [statistics.quantiles(found[path], n=20)[-1] for found in (idle, loaded)]
        times = [f"{a:.1f} ms (95 %: {b:.1f})" for a, b in zip(middle, worst, strict=True)]
        sys.stdout.write(f"{path:8} idle {times[0]}, busy {times[1]}: {middle[1] / middle[0]:.1f} times\n")
    sys.stdout.write(f"{len(statuses)} estimates answered meanwhile, statuses {sorted(set(statuses))}\n")


if __name__ == "__main__":
    main()
