"""Signing in by page: a token for a cookie that no script reads, no other site uses, and that ends."""

import json
import re
import sqlite3
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from api.pages.doors import _own_path
from tests.api.running import PATIENCE, Reply, Server, give_tokens, serving

FORM = {"Content_Type": "application/x-www-form-urlencoded"}
FOREIGN = "https://evil.example"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("sessions")


@pytest.fixture(scope="module")
def server(folder: Path) -> Iterator[Server]:
    database = f"sqlite:///{folder}/quotes.db"
    tokens = give_tokens(database)
    brief: dict[str, Any] = {"BOREWORTH_LOGIN": "always", "BOREWORTH_SESSION_HOURS": "0.002"}
    with serving(database, log=folder / "log", **brief) as found:
        found.tokens = tokens
        yield found


def sign_in(server: Server, token: str, back: str = "/", **headers: str) -> Reply:
    body = f"token={token}&next={back}".encode()
    return server.ask("POST", "/sign-in", None, body, **(FORM | headers))


def cookie_of(reply: Reply) -> str:
    return reply.headers["set-cookie"].partition(";")[0]


def own(server: Server) -> str:
    return f"http://{server.host}:{server.port}"


def test_a_token_is_exchanged_for_a_cookie_no_script_can_read(server: Server, folder: Path) -> None:
    reply = sign_in(server, server.tokens["estimator"], "/jobs/7")
    assert (reply.status, reply.headers["location"]) == (303, "/jobs/7")
    said = reply.headers["set-cookie"]
    assert re.fullmatch(r"boreworth_session=[A-Za-z0-9_-]{43}; HttpOnly; Max-Age=7; Path=/; SameSite=strict", said)
    assert server.ask("GET", "/metrics", Cookie=cookie_of(reply)).status == 200
    secret = cookie_of(reply).partition("=")[2].encode()
    assert secret not in b"".join(path.read_bytes() for path in folder.glob("quotes.db*"))
    assert server.tokens["estimator"] not in reply.body.decode()


def test_by_https_the_cookie_is_for_https_only(server: Server) -> None:
    proxied = {"Origin": "https://bores.example", "Host": "bores.example"}
    assert "; Secure" in sign_in(server, server.tokens["owner"], **proxied).headers["set-cookie"]


@pytest.mark.parametrize("token", ["", "bwt_guess", "bwt_" + "x" * 43])
def test_what_is_no_token_gets_the_page_again(server: Server, token: str) -> None:
    reply = sign_in(server, token)
    assert reply.status == 401
    assert b"This token is not valid" in reply.body
    assert "set-cookie" not in reply.headers
    assert token.encode() not in reply.body or not token


@pytest.mark.parametrize(
    "back",
    ["//evil.example", "https://evil.example", "/\\evil.example", "/\r\nSet-Cookie:x=1", "javascript:x", "x", ""],
)
def test_the_way_back_stays_in_the_service(back: str) -> None:
    assert _own_path(back) == "/"
    assert _own_path("/quotes/7?units=us") == "/quotes/7?units=us"


def test_another_site_cannot_sign_anybody_in_or_act_for_them(server: Server) -> None:
    assert sign_in(server, server.tokens["owner"], Origin=FOREIGN).status == 403
    cookie = cookie_of(sign_in(server, server.tokens["owner"]))
    page = server.ask("GET", "/", Cookie=cookie, Accept="text/html").body.decode()
    csrf = re.findall(r'name="csrf" value="([0-9a-f]{64})"', page)[0]
    assert cookie.partition("=")[2] not in page
    leave = {"Cookie": cookie, **FORM}
    for headers, form in (
        ({"Origin": FOREIGN}, csrf),
        ({"Origin": "null"}, csrf),
        ({}, csrf),
        ({"Origin": own(server)}, ""),
        ({"Origin": own(server)}, "0" * 64),
    ):
        assert server.ask("POST", "/sign-out", None, f"csrf={form}".encode(), **leave, **headers).status == 403
    assert server.ask("POST", "/api/estimates", None, {}, Cookie=cookie, Origin=FOREIGN).status == 403
    assert server.ask("POST", "/api/estimates", None, {}, Cookie=cookie).status == 403
    assert server.ask("GET", "/metrics", Cookie=cookie).status == 200
    done = server.ask("POST", "/sign-out", None, f"csrf={csrf}".encode(), **leave, Origin=own(server))
    assert (done.status, done.headers["location"]) == (303, "/")
    assert 'boreworth_session=""' in done.headers["set-cookie"]
    assert server.ask("GET", "/metrics", Cookie=cookie).status == 401


def test_a_session_ends_after_its_time(server: Server) -> None:
    cookie = cookie_of(sign_in(server, server.tokens["field"]))
    assert server.ask("GET", "/api/jobs", Cookie=cookie).status == 200
    end = time.monotonic() + PATIENCE
    while server.ask("GET", "/api/jobs", Cookie=cookie).status == 200 and time.monotonic() < end:
        time.sleep(0.2)
    assert server.ask("GET", "/api/jobs", Cookie=cookie).status == 401


@pytest.mark.parametrize("cookie", ["boreworth_session=", "boreworth_session=x", "other=1", ";;"])
def test_what_is_no_session_is_nobody(server: Server, cookie: str) -> None:
    assert server.ask("GET", "/metrics", Cookie=cookie).status == 401


def test_a_token_in_the_header_goes_before_the_cookie(server: Server) -> None:
    cookie = cookie_of(sign_in(server, server.tokens["owner"]))
    assert server.ask("GET", "/metrics", "field", Cookie=cookie).status == 403
    assert server.ask("GET", "/metrics", Cookie=cookie, Authorization="Bearer x").status == 401


def test_a_form_is_small_and_a_form(server: Server) -> None:
    large = b"token=" + b"x" * 5000
    assert server.ask("POST", "/sign-in", None, large, **FORM).status == 413
    assert server.ask("POST", "/sign-in", None, b"{}", Content_Type="application/json").status == 415


def test_coming_and_going_is_noted(server: Server, folder: Path) -> None:
    assert sign_in(server, server.tokens["fleet"]).status == 303
    with sqlite3.connect(folder / "quotes.db") as plain:
        rows = plain.execute("SELECT actor, role, action, detail, request FROM audit").fetchall()
    assert {action for _, _, action, _, _ in rows} >= {"signed in", "signed out"}
    assert {(actor, role) for actor, role, *_ in rows} >= {("the owner", "owner"), ("the field", "field")}
    assert all(request for *_, request in rows)
    assert not any("bwt_" in json.dumps(row) for row in rows)
