"""How often somebody from elsewhere may ask; on this machine as often as one likes."""

import time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from api.access.gate import network_of
from api.access.rate import MOST_CALLERS, Buckets, Tries
from tests.api.running import Server, give_tokens, serving
from tests.api.service import client


class Clock:
    """A clock that stands until it is moved."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


@given(
    per_minute=st.integers(1, 1000),
    burst=st.integers(1, 100),
    pauses=st.lists(st.floats(0, 5), min_size=1, max_size=60),
)
def test_nobody_gets_more_than_the_burst_and_what_flowed_in(per_minute: int, burst: int, pauses: list[float]) -> None:
    clock = Clock()
    buckets, granted = Buckets(per_minute, burst, clock), 0
    for pause in pauses:
        clock.now += pause
        granted += buckets.take("a") == 0
        assert granted <= burst + (clock.now - 1000) * per_minute / 60 + 1e-6
    assert granted >= min(burst, len(pauses))


@given(per_minute=st.integers(1, 1000), burst=st.integers(1, 20))
def test_whoever_waits_as_long_as_was_said_is_let_in(per_minute: int, burst: int) -> None:
    clock = Clock()
    buckets = Buckets(per_minute, burst, clock)
    for _ in range(burst):
        assert buckets.take("a") == 0
    wait = buckets.take("a")
    assert wait >= 1
    assert buckets.take("b") == 0  # another caller has a bucket of its own
    clock.now += wait
    assert buckets.take("a") == 0


def test_callers_are_forgotten_before_they_fill_the_memory() -> None:
    buckets = Buckets(1, 1, Clock())
    for number in range(MOST_CALLERS + 50):
        buckets.take(f"caller {number}")
    assert len(buckets._left) == MOST_CALLERS
    assert buckets.take(f"caller {MOST_CALLERS + 49}") > 0
    assert buckets.take("caller 0") == 0


@pytest.mark.parametrize(
    ("peer", "network"),
    [
        ("203.0.113.7", "203.0.113.7"),
        ("::ffff:203.0.113.7", "203.0.113.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
        ("fe80::1%eth0", "fe80::/64"),
        ("", ""),
    ],
)
def test_an_address_is_counted_as_its_network(peer: str, network: str) -> None:
    assert network_of(peer) == network


def test_too_many_requests_are_told_when_to_come_back(tmp_path: Path) -> None:
    database = f"sqlite:///{tmp_path}/quotes.db"
    tokens = give_tokens(database)
    with serving(database, log=tmp_path / "log", still=True, BOREWORTH_RATE_LIMIT="5") as server:
        server.tokens = tokens
        assert {server.ask("GET", "/metrics").status for _ in range(40)} == {200}  # this machine
        proxied = {"X_Forwarded_For": "203.0.113.7"}
        said = [server.ask("GET", "/metrics", "owner", **proxied) for _ in range(7)]
        assert [one.status for one in said] == [200] * 5 + [429] * 2
        assert 1 <= int(said[-1].headers["retry-after"]) <= 12
        assert "Retry-After" in said[-1].problem
        assert server.ask("GET", "/api/nothing", "estimator", **proxied).status == 404  # a caller of its own
        assert server.ask("GET", "/metrics").status == 200
        assert [server.ask("GET", "/metrics", **proxied).status for _ in range(7)] == [401] * 5 + [429] * 2


FORM = {"Content_Type": "application/x-www-form-urlencoded"}


def tried_by_page(server: Server, token: str, **headers: str) -> int:
    return server.ask("POST", "/sign-in", None, f"token={token}".encode(), **FORM, **headers).status


def test_whoever_tries_tokens_behind_a_proxy_locks_nobody_else_out(tmp_path: Path) -> None:
    database = f"sqlite:///{tmp_path}/quotes.db"
    tokens = give_tokens(database)
    with serving(
        database, log=tmp_path / "log", still=True, BOREWORTH_LOGIN="always", BOREWORTH_RATE_LIMIT="300"
    ) as server:
        server.tokens = tokens
        bad, good = {"X_Forwarded_For": "203.0.113.7"}, {"X_Forwarded_For": "198.51.100.1"}
        again = [tried_by_page(server, "bwt_guessed", **bad) for _ in range(23)]
        assert (again[:20], 429 in again[20:]) == ([401] * 20, True)
        others = [tried_by_page(server, f"bwt_{number}", **bad) for number in range(130)]
        assert (others[0], 429 in others[100:]) == (401, True)  # the address has tried too many, whichever
        begun = time.monotonic()
        asked = [server.ask("GET", "/metrics", Authorization="Bearer bwt_x", **bad).status for _ in range(30)]
        assert 429 in asked
        assert asked.count(401) <= 2 + time.monotonic() - begun  # one a second flows in, however slow the machine is
        flood = {server.ask("GET", "/sign-in", **bad).status for _ in range(320)}
        assert 429 in flood
        assert server.ask("GET", "/sign-in", **good).status == 200
        assert tried_by_page(server, tokens["field"], **good) == 303
        assert tried_by_page(server, tokens["owner"], **bad) == 303  # who knows one comes in from anywhere
        assert server.ask("GET", "/metrics", "owner", **good).status == 200


def test_on_this_machine_nobody_counts() -> None:
    form = {"content-type": "application/x-www-form-urlencoded"}
    with client() as service:
        here = [service.post("/sign-in", content="token=bwt_guessed", headers=form).status_code for _ in range(30)]
    assert set(here) == {401}


def test_a_token_that_has_expired_does_not_use_up_its_address() -> None:
    tries = Tries()
    assert [tries.wrong("203.0.113.7", "old") > 0 for _ in range(200)].count(False) == 20
    assert [tries.wrong("203.0.113.7", f"guess {number}") > 0 for number in range(100)].count(False) >= 80
    assert tries.wrong("203.0.113.7", "one more") > 0
    assert tries.wrong("198.51.100.1", "one more") == 0
