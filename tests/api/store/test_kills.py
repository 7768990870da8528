"""kill -9 while it writes: whatever was acknowledged is there afterwards, whole, and no worker is left."""

import hashlib
import threading
import time
from typing import Any

from estimator.strict import sha256
from tests.api.servers import Nursery, Reply, Server
from tests.api.service import job
from tests.api.work.processes import alive, children_of, waited
from tests.depth import deep

ROUNDS, WRITERS = deep(20, 4), 4
POOL = {"BOREWORTH_WORKERS": "1"}
SPAN = 0.2  # seconds of writing a round, from the first that is acknowledged


class Writer(threading.Thread):
    """Writes jobs, changes them, and quotes them, until the server is gone; remembers what was acknowledged."""

    def __init__(self, server: Server, name: str) -> None:
        super().__init__(name=name)
        self.server = server
        self.jobs: dict[int, int] = {}
        self.keys: dict[str, int] = {}
        self.quotes: dict[str, str] = {}
        self.sheets: dict[str, str] = {}
        self.wrong: list[Reply] = []

    def run(self) -> None:
        """Write until the server is gone."""
        count = 0
        while self._whole(job() | {"reference": f"{self.name}-{(count := count + 1)}"}):
            pass

    def _kept(self, reply: Reply, status: int) -> bool:
        if reply.status not in {0, status}:
            self.wrong.append(reply)
        return reply.status == status

    def _whole(self, document: dict[str, Any]) -> bool:
        ask = self.server.ask
        key = document["reference"]
        if not self._kept(made := ask("POST", "/api/jobs", document, idempotency_key=key), 201):
            return False
        number = made.json()["id"]
        self.jobs[number], self.keys[key] = 1, number
        if not self._kept(ask("PUT", f"/api/jobs/{number}", document | {"title": "again"}, if_match='"1"'), 200):
            return False
        self.jobs[number] = 2
        if not self._kept(drafted := ask("POST", f"/api/jobs/{number}/quotes"), 201):
            return False
        quote = drafted.json()["number"]
        self.quotes[quote] = "draft"
        if not self._kept(ask("POST", f"/api/quotes/{quote}/issue"), 200):
            return False
        self.quotes[quote] = "issued"
        sheet = ask("GET", f"/api/quotes/{quote}.xlsx")
        if sheet.status == 200:
            self.sheets[quote] = hashlib.sha256(sheet.body).hexdigest()
        return sheet.status == 200


def round_of(server: Server, number: int) -> list[Writer]:
    """Let writers write, kill the server among it, and return them."""
    writers = [Writer(server, f"R{number}-W{count}") for count in range(WRITERS)]
    for writer in writers:
        writer.start()
    server.until(lambda: any(writer.jobs for writer in writers), "writes nothing")
    time.sleep(SPAN)
    workers = children_of(server.pid)
    server.end()
    waited(lambda: not any(map(alive, workers)), "a worker is left")
    for writer in writers:
        writer.join()
    return writers


def check(server: Server, writers: list[Writer]) -> None:
    """See that all is there that was acknowledged, no less far than it was."""
    for writer in writers:
        assert writer.wrong == []
        for number, revision in writer.jobs.items():
            found = server.ask("GET", f"/api/jobs/{number}").json()
            assert found["revision"] >= revision
            assert found["job"]["reference"].startswith(writer.name)
        for key, number in writer.keys.items():
            again = server.ask("POST", "/api/jobs", job() | {"reference": key}, idempotency_key=key)
            assert (again.status, again.json()["id"], again.headers["idempotent-replayed"]) == (201, number, "true")
        for quote, state in writer.quotes.items():
            found = server.ask("GET", f"/api/quotes/{quote}").json()
            assert found["state"] in {state, "issued"}
            assert sha256(found["estimate"]) == (found["sha256"] or sha256(found["estimate"]))
        for quote, digest in writer.sheets.items():
            assert hashlib.sha256(server.ask("GET", f"/api/quotes/{quote}.xlsx").body).hexdigest() == digest


def test_every_acknowledged_write_survives(nursery: Nursery, database: str) -> None:
    numbers: list[int] = []
    written = 0
    server = nursery.start(database, variables=POOL).listening()
    for number in range(ROUNDS):
        writers = round_of(server, number)
        server = nursery.start(database, variables=POOL).listening()
        check(server, writers)
        given = sorted(int(quote) for writer in writers for quote in writer.quotes)
        assert not given or not numbers or given[0] > numbers[-1]
        numbers += given
        written += sum(len(writer.jobs) for writer in writers)
    server.end()
    assert len(set(numbers)) == len(numbers)
    assert written >= ROUNDS
