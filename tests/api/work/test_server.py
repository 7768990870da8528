"""A running server with a pool: what its callers see of a worker that is late, lost or taken, and that none is left."""

import os
import re
import signal
import threading

import pytest

from tests.api.servers import Nursery, Reply, Server
from tests.api.service import job
from tests.api.work.processes import alive, children_of, waited

KEYS = re.compile(rb'name="key" value="[^"]*"')  # of forms: each page has fresh ones


def large(bores: int = 200) -> dict[str, object]:
    """Return a job that is computed for many seconds."""
    one = job()["bores"][0]
    return job() | {
        "bores": [one | {"name": f"B{number}", "length": f"{40 + number / 4} mm"} for number in range(bores)]
    }


def refused(reply: Reply, said: str) -> None:
    """See that an answer is the problem that tells when to come back."""
    assert (reply.status, reply.headers["content-type"]) == (503, "application/problem+json"), reply.body[:300]
    assert int(reply.headers["retry-after"]) >= 1
    assert said in reply.json()["detail"]
    assert reply.json()["errors"][0]["path"] == ""


def computes(server: Server) -> bool:
    """Return whether a server has work under way."""
    return b"boreworth_work_under_way 1.0" in server.ask("GET", "/metrics").body


class Asking(threading.Thread):
    """A caller that waits for its answer."""

    def __init__(self, server: Server, document: object, path: str = "/api/estimates") -> None:
        super().__init__()
        self.server, self.document, self.path = server, document, path
        self.reply = Reply(0, {}, b"")
        self.start()

    def run(self) -> None:
        """Ask."""
        self.reply = self.server.ask("POST", self.path, self.document)


@pytest.mark.parametrize("path", ["/api/estimates", "/api/orders", "/api/explanations"])
def test_what_takes_too_long_is_given_up_and_told(nursery: Nursery, sqlite: str, path: str) -> None:
    variables = {"BOREWORTH_WORKERS": "1", "BOREWORTH_WORK_DEADLINE": "0.05"}
    bodies = {
        "/api/estimates": large(40),
        "/api/orders": {"jobs": [large(40)]},
        "/api/explanations": {"job": large(40), "key": "price.total"},
    }
    with nursery.serving(sqlite, variables=variables) as server:
        refused(server.ask("POST", path, bodies[path]), "given up")
        assert server.ask("GET", "/health").status == 200
        assert server.ask("GET", "/ready").status == 200


def test_a_full_queue_is_told_at_once_and_the_rest_is_answered(nursery: Nursery, sqlite: str) -> None:
    with nursery.serving(sqlite, variables={"BOREWORTH_WORKERS": "1", "BOREWORTH_WORK_QUEUE": "0"}) as server:
        assert server.ask("POST", "/api/estimates", job()).status == 200
        first = Asking(server, large())
        waited(lambda: computes(server), "is not begun")
        refused(server.ask("POST", "/api/estimates", job()), "Too much work is waiting")
        assert server.ask("GET", "/api/jobs").status == 200
        (worker,) = children_of(server.pid)
        os.kill(worker, signal.SIGKILL)
        first.join()
        refused(first.reply, "ended")
        assert server.ask("POST", "/api/estimates", job()).status == 200
        (other,) = children_of(server.pid)
        assert other != worker


@pytest.mark.parametrize("number", [signal.SIGKILL, signal.SIGTERM])
def test_no_worker_outlives_its_server(nursery: Nursery, sqlite: str, number: signal.Signals) -> None:
    with nursery.serving(sqlite, variables={"BOREWORTH_WORKERS": "2"}) as server:
        small = [Asking(server, large(2)) for _ in range(4)]
        for one in small:
            one.join()
            assert one.reply.status == 200
        at_work = Asking(server, large())
        workers = children_of(server.pid)
        assert 1 <= len(workers) <= 2
        waited(lambda: computes(server), "is not begun")
        if number == signal.SIGKILL:
            server.end(number)
        else:
            os.kill(server.pid, number)  # it ends when the work is done, or when it has waited long enough
            server.until(lambda: not server.lives(), "does not end")
        waited(lambda: not any(map(alive, workers)), f"one of {workers} lives on")
        at_work.join()
        assert at_work.reply.status in ({0} if number == signal.SIGKILL else {200, 503})
        assert at_work.reply.status != 503 or at_work.reply.headers["retry-after"]
        assert "Exception" not in server.said.read_text()


def test_a_signal_to_all_of_them_ends_them_when_the_work_is_answered(nursery: Nursery, sqlite: str) -> None:
    with nursery.serving(sqlite, variables={"BOREWORTH_WORKERS": "1"}) as server:
        assert server.ask("POST", "/api/estimates", job()).status == 200
        (worker,) = children_of(server.pid)
        asking = Asking(server, large(20))
        waited(lambda: computes(server), "is not begun")
        for one in (worker, server.pid):
            os.kill(one, signal.SIGTERM)
        asking.join()
        assert asking.reply.status == 200
        waited(lambda: not alive(worker), "lives on")
        server.until(lambda: not server.lives(), "does not end")


def test_quotes_and_pages_are_made_by_workers_as_they_are_without(nursery: Nursery, sqlite: str) -> None:
    with nursery.serving(sqlite, variables={"BOREWORTH_WORKERS": "1"}) as server:
        assert server.ask("POST", "/api/jobs", job()).status == 201
        assert server.ask("POST", "/api/jobs/1/quotes").status == 201
        draft = server.ask("GET", "/api/quotes/100001.xlsx")
        assert server.ask("POST", "/api/quotes/100001/issue").status == 200
        pages = [server.ask("GET", path, accept="text/html") for path in ("/jobs/1", "/quotes/100001")]
    with nursery.serving(sqlite) as server:
        others = [server.ask("GET", path, accept="text/html") for path in ("/jobs/1", "/quotes/100001")]
        assert [KEYS.sub(b"", page.body) for page in others] == [KEYS.sub(b"", page.body) for page in pages]
        issued = server.ask("GET", "/api/quotes/100001.xlsx")
        assert [page.status for page in pages] == [draft.status for _ in pages] == [issued.status] * 2 == [200, 200]
