"""What a small request can ask for at most, on a running server, as owner and as field: nobody else is kept waiting.

None of these is judged by a clock: what never ended once would be given up at the deadline, and told 503.
"""

import json
import threading
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from tests.api.running import Reply, Server, give_tokens, serving
from tests.api.service import job

LARGE = 101  # bores: the least that is large work, which never takes the last worker
Documents = dict[str, Any]
ROLES = ("owner", "field")
ENOUGH = 100_000  # bytes of an answer that tells of faults


@pytest.fixture(scope="module")
def pooled(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server with two workers, where everybody needs a token, with a job and its quote."""
    folder = tmp_path_factory.mktemp("pooled")
    database = f"sqlite:///{folder}/shop.db"
    tokens = give_tokens(database)
    with serving(
        database, log=folder / "log", BOREWORTH_WORKERS="2", BOREWORTH_LOGIN="always", BOREWORTH_RATE_LIMIT="100000"
    ) as server:
        server.tokens = tokens
        assert server.ask("POST", "/api/jobs", "owner", job()).status == 201
        assert server.ask("POST", "/api/jobs/1/quotes", "owner").status == 201
        yield server


def readings(count: int, unit: str) -> Documents:
    """Return a job with so many readings in a unit that there is not, each another text."""
    rows = [[f"{82 + number / 1e5:.5f} {unit}" for number in range(row, row + 20)] for row in range(0, count, 20)]
    depth = [f"{50 * (row + 0.5) / len(rows):.4f} mm" for row in range(len(rows))]
    return job(readings={"kind": "diameter", "clock": [9 * one for one in range(20)], "depth": depth, "values": rows})


def many_keys() -> Documents:
    """Return a job with 20,000 keys that there are not."""
    return job() | {f"k{number}": {f"a{number}": 1} for number in range(10_000 - 20)}


def bores(count: int) -> Documents:
    """Return a job of many bores, each another."""
    one = job()["bores"][0]
    return job() | {
        "bores": [one | {"name": f"B{number}", "length": f"{40 + number / 4} mm"} for number in range(count)]
    }


WRONG: dict[str, Callable[[], Documents]] = {
    "a power of powers": lambda: job(length="70 m**9**9**9"),
    "a tower": lambda: job(length="70 m" + "**9" * 500),
    "a power that is large": lambda: job(length="70 mm^99999999"),
    "a long product": lambda: job(length="70 " + "*".join(["mm"] * 5000)),
    "many digits": lambda: job(length="9" * 5000 + " mm"),
    "a large exponent": lambda: job(length="1e999999999 mm"),
    "40 readings in an unknown unit": lambda: readings(40, "mmm"),
    "9,800 readings in an unknown unit": lambda: readings(9800, "furlongs"),
    "9,800 readings in units of their own": lambda: readings(9800, "mm^1.000000001"),
    "20,000 keys": many_keys,
    "300,000 faults": lambda: {"reference": "x", "bores": [{"faces": [1] * 300_000}]},
    "300,000 bores": lambda: {"reference": "x", "bores": [1] * 300_000},
    "a long word": lambda: job(condition={"cracks": "x" * 1_000_000}),
    "a long key": lambda: job() | {"k" * 1_500_000: 1},
}


def asked(server: Server, role: str, document: Documents) -> list[Reply]:
    """Send a job in every way that a role may."""
    if role == "field":
        return [server.ask("POST", "/api/orders", role, {"jobs": [document]})]
    return [
        server.ask("POST", "/api/estimates", role, document),
        server.ask("POST", "/api/jobs", role, document),
        server.ask("POST", "/api/explanations", role, {"job": document, "key": "price.total"}),
        server.ask("POST", "/api/comparisons", role, document),
    ]


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("attack", WRONG)
def test_what_is_wrong_is_told_in_few_words(pooled: Server, role: str, attack: str) -> None:
    for reply in asked(pooled, role, WRONG[attack]()):
        assert reply.status == 422, reply.body[:300]
        assert len(reply.body) < ENOUGH
        assert 1 <= len(reply.json["errors"]) <= 101
    assert pooled.ask("GET", "/health").status == 200


def test_while_a_large_order_is_made_others_are_answered(pooled: Server) -> None:
    large: list[Reply] = []
    body = {"jobs": [bores(LARGE)]}
    asking = threading.Thread(target=lambda: large.append(pooled.ask("POST", "/api/orders", "field", body)))
    asking.start()
    before = 0
    while asking.is_alive():
        assert pooled.ask("GET", "/health").status == 200
        assert pooled.ask("GET", "/ready").status == 200
        assert pooled.ask("POST", "/api/estimates", "owner", job()).status == 200
        before += asking.is_alive()
    assert large[0].status == 200
    assert before >= 1, "nobody was answered before it"


def test_more_bores_than_a_job_may_have_are_told_at_once(pooled: Server) -> None:
    for body, said in (
        ({"jobs": [bores(200)] * 2 + [job()]}, "hold 401 bores together; 400 at most"),
        ({"jobs": [{}] * 5000}, "holds 5000 jobs"),
    ):
        reply = pooled.ask("POST", "/api/orders", "field", body)
        assert reply.status == 422, reply.body[:300]
        assert said in reply.json["errors"][0]["message"]
    assert pooled.ask("POST", "/api/estimates", "owner", bores(201)).status == 422


def test_many_faults_in_a_record_make_a_small_answer(pooled: Server) -> None:
    path = "/api/jobs/1/actuals"
    for record in (
        {"quote": "100001", "bores": [{"name": f"N{number}", "wire": "1 mmm"} for number in range(20_000)]},
        {"quote": "100001", **{f"k{number}": number for number in range(9_000)}},
        {"quote": 10**300},
    ):
        reply = pooled.ask("POST", path, "field", json.dumps(record).encode())
        assert reply.status == 422, reply.body[:300]
        assert len(reply.body) < ENOUGH
