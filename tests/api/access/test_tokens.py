"""Tokens: shown once, kept as hashes, ended at once; and a service for others that does not start without one."""

import json
import re
import sqlite3
import time
from pathlib import Path
from typing import Any

import pytest

from tests.api.commands.test_serve import refused
from tests.api.running import PATIENCE, give_tokens, serving, token_command

SHAPE = re.compile(r"bwt_[A-Za-z0-9_-]{43}\n")


@pytest.fixture
def database(tmp_path: Path) -> str:
    return f"sqlite:///{tmp_path}/quotes.db"


def test_a_token_is_printed_once_and_kept_as_a_hash(tmp_path: Path, database: str) -> None:
    code, secret, said = token_command(database, "add", "Anna", "--role", "owner")
    assert (code, bool(SHAPE.fullmatch(secret))) == (0, True)
    assert "only now" in said
    code, listed, said = token_command(database, "list")
    assert (code, said) == (0, "")
    assert "Anna  owner  in force" in listed
    kept = b"".join(path.read_bytes() for path in tmp_path.iterdir())
    assert b"Anna" in kept
    assert secret.strip().encode() not in kept
    assert secret.strip()[4:].encode() not in kept
    assert secret.strip() not in listed


def test_a_name_stands_for_one_token_in_force(database: str) -> None:
    assert token_command(database, "add", "van 2", "--role", "field")[0] == 0
    code, out, said = token_command(database, "add", "van 2", "--role", "fleet")
    assert (code, out) == (1, "")
    assert "van 2: a token of this name is in force" in said
    assert token_command(database, "revoke", "van 2")[0] == 0
    assert token_command(database, "revoke", "van 2")[0] == 1
    assert token_command(database, "add", "van 2", "--role", "fleet")[0] == 0
    found = json.loads(token_command(database, "list", "--json")[1])
    assert [(one["name"], one["role"], one["state"]) for one in found] == [
        ("van 2", "field", "revoked"),
        ("van 2", "fleet", "in force"),
    ]
    assert not any("sha" in key or "token" in key for one in found for key in one)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["Anna", "--role", "admin"], "--role: 'admin' is none; choose of owner, estimator, field, fleet"),
        (["", "--role", "owner"], "NAME: must be 1 to 80 characters"),
        (["a\nb", "--role", "owner"], "NAME: must be 1 to 80 characters"),
        (["x" * 81, "--role", "owner"], "NAME: must be 1 to 80 characters"),
        (["loopback", "--role", "owner"], "stands for no person"),
        (["Anna", "--role", "owner", "--expires", "soon"], "--expires: 'soon' is neither a day"),
        (["Anna", "--role", "owner", "--expires", "3 kg"], "--expires: '3 kg' is neither a day"),
        (["Anna", "--role", "owner", "--expires", "2020-01-31"], "is past already"),
        (["Anna", "--role", "owner", "--expires", "-1 day"], "is past already"),
    ],
)
def test_a_wrong_word_is_told_in_one_line(database: str, words: list[str], said: str) -> None:
    code, out, err = token_command(database, "add", *words)
    assert (code, out, err.count("\n")) == (2, "", 1)
    assert said in err


def test_a_token_ends_on_its_day_or_after_its_time(database: str) -> None:
    assert token_command(database, "add", "long", "--role", "field", "--expires", "90 day")[0] == 0
    assert token_command(database, "add", "day", "--role", "field", "--expires", "2199-01-31")[0] == 0
    long, day = json.loads(token_command(database, "list", "--json")[1])
    assert day["expires_at"].startswith("2199-01-31")
    assert long["created_at"] < long["expires_at"] < day["expires_at"]


def test_others_come_in_only_where_a_token_exists(tmp_path: Path, database: str) -> None:
    for words, variables in ((["--host", "0.0.0.0"], {}), ([], {"BOREWORTH_LOGIN": "always"})):
        code, said = refused(*words, "--port", "0", "--database", database, **variables)
        assert code == 2
        assert "no token exists" in said.splitlines()[-1]
        assert "boreworth token add NAME --role owner" in said
    token_command(database, "add", "brief", "--role", "owner", "--expires", "1 s")
    time.sleep(1.1)
    assert refused("--host", "0.0.0.0", "--port", "0", "--database", database)[0] == 2  # it has expired
    token_command(database, "add", "Anna", "--role", "owner")
    with serving(database, "--host", "0.0.0.0", log=tmp_path / "log") as server:
        server.host = "127.0.0.1"
        assert server.ask("GET", "/health").status == 200


def test_a_revoked_token_is_refused_at_once_by_every_process(tmp_path: Path, database: str) -> None:
    tokens = give_tokens(database)
    always: dict[str, Any] = {"BOREWORTH_LOGIN": "always"}
    with (
        serving(database, log=tmp_path / "one", **always) as one,
        serving(database, log=tmp_path / "two", **always) as two,
    ):
        form = {"Content_Type": "application/x-www-form-urlencoded"}
        one.tokens = two.tokens = tokens
        signed = one.ask("POST", "/sign-in", None, f"token={tokens['estimator']}".encode(), **form)
        cookie = signed.headers["set-cookie"].partition(";")[0]
        assert two.ask("GET", "/metrics", Cookie=cookie).status == 200  # a session is good in every process
        assert {server.ask("GET", "/metrics", "estimator").status for server in (one, two)} == {200}
        assert token_command(database, "revoke", "the estimator")[0] == 0
        for server in (one, two):
            assert server.ask("GET", "/metrics", "estimator").status == 401
            assert server.ask("GET", "/metrics", Cookie=cookie).status == 401
        assert one.ask("GET", "/metrics", "owner").status == 200


def test_a_token_that_expires_is_refused_from_then_on(tmp_path: Path, database: str) -> None:
    code, secret, _ = token_command(database, "add", "brief", "--role", "owner", "--expires", "4 s")
    assert code == 0
    with serving(database, log=tmp_path / "log") as server:
        server.tokens = {"brief": secret.strip()}
        end, seen = time.monotonic() + PATIENCE, set()
        while time.monotonic() < end and 401 not in seen:
            seen.add(server.ask("GET", "/metrics", "brief", X_Forwarded_For="203.0.113.7").status)
            time.sleep(0.1)
        assert seen - {200} == {401}


def test_what_is_done_to_tokens_is_noted(tmp_path: Path, database: str) -> None:
    token_command(database, "add", "Anna", "--role", "owner")
    token_command(database, "revoke", "Anna")
    with sqlite3.connect(tmp_path / "quotes.db") as plain:
        rows = plain.execute("SELECT action, subject, role FROM audit ORDER BY id").fetchall()
    assert rows == [("token added", "token Anna", "owner"), ("token revoked", "token Anna", "owner")]
