"""Who comes in: from this machine without a token, from elsewhere only with one; and in what order one is refused."""

import http.client
import re
import socket
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from api.access.gate import Gate
from api.access.secrets import new_token
from api.pages.doors import sign_in_page
from api.store.errors import UnavailableError
from estimator.document.redact import ROLES
from tests.api.running import Server, elsewhere, give_tokens, serving
from tests.api.service import HERE, client, job

LARGE = b" " * (2 * 1024 * 1024 + 1)
FOREIGN = "http://bores.example"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("gate")


@pytest.fixture(scope="module")
def database(folder: Path) -> str:
    return f"sqlite:///{folder}/quotes.db"


@pytest.fixture(scope="module")
def tokens(database: str) -> dict[str, str]:
    return give_tokens(database)


@pytest.fixture(scope="module")
def behind(folder: Path, database: str, tokens: dict[str, str]) -> Iterator[Server]:
    """A server that asks everybody for a token, as behind a reverse proxy."""
    with serving(database, log=folder / "behind.log", BOREWORTH_LOGIN="always") as server:
        server.tokens = tokens
        yield server


@pytest.fixture(scope="module")
def open_server(folder: Path, database: str, tokens: dict[str, str]) -> Iterator[Server]:
    """A server that listens on every address, of both families where there are two."""
    with serving(database, "--host", "::", log=folder / "open.log") as server:
        server.tokens, server.host = tokens, "127.0.0.1"
        yield server


# ---------------------------------------------------------------- 401 comes first

UNKNOWN = [
    ("GET", "/api/jobs", None, {}),
    ("GET", "/api/nothing", None, {}),
    ("GET", "/nothing", None, {}),
    ("GET", "/metrics", None, {}),
    ("GET", "/jobs/1", None, {}),
    ("GET", "/api/jobs/999", None, {}),
    ("POST", "/api/estimates", b"no json", {}),
    ("POST", "/api/estimates", b"no json", {"Content_Type": "text/plain"}),
    ("POST", "/api/estimates", b"{}", {"Origin": FOREIGN}),
    ("POST", "/api/estimates", LARGE, {}),
    ("PATCH", "/api/estimates", b"{}", {}),
    ("DELETE", "/api/jobs/1", None, {}),
    ("TRACE", "/health", None, {}),
    ("POST", "/health", b"{}", {}),
    ("GET", "//api/jobs", None, {}),
    ("GET", "/api/../health", None, {}),
    ("GET", "/health/", None, {}),
    ("GET", "/HEALTH", None, {}),
]


@pytest.mark.parametrize(("method", "path", "body", "headers"), UNKNOWN)
def test_whoever_is_unknown_is_told_only_that(
    behind: Server, method: str, path: str, body: bytes | None, headers: dict[str, str]
) -> None:
    said = behind.ask(method, path, None, body, **headers)
    assert said.status == 401, said.body
    assert said.headers["www-authenticate"] == "Bearer"
    assert "token" in said.problem


@pytest.mark.parametrize("path", ["/health", "/ready", "/openapi.json", "/sign-in", "/"])
def test_what_is_open_is_open(behind: Server, path: str) -> None:
    assert behind.ask("GET", path).status == 200


@pytest.mark.parametrize(
    "said",
    ["Bearer", "Bearer ", "Basic eDp5", "Bearer bwt_x", "bearer {}x", "Token {}", "{}", "Bearer {} {}", "Bearer '{}'"],
)
def test_what_is_no_token_in_force_is_401(behind: Server, said: str) -> None:
    token = behind.tokens["owner"]
    assert behind.ask("GET", "/metrics", Authorization=said.format(token, token)).status == 401
    assert behind.ask("GET", "/metrics", Authorization=f"bearer {token}").status == 200


def test_a_browser_that_is_not_signed_in_is_shown_where(behind: Server) -> None:
    page = behind.ask("GET", "/jobs/999", Accept="text/html,*/*;q=0.8")
    assert (page.status, page.headers["content-type"]) == (401, "text/html; charset=utf-8")
    assert b'action="/sign-in"' in page.body
    assert b'value="/jobs/999"' in page.body
    assert behind.ask("GET", "/api/jobs/999", Accept="text/html").headers["content-type"] == "application/problem+json"


@pytest.mark.parametrize("role", ROLES)
def test_every_role_gets_past_the_gate(behind: Server, role: str) -> None:
    assert behind.ask("GET", "/", role, Accept="text/html").status == 200
    assert b'action="/sign-in"' not in behind.ask("GET", "/", role).body


# ---------------------------------------------------------------- what is on this machine


@pytest.mark.parametrize("host", ["127.0.0.1", "::1"])
def test_this_machine_needs_no_token(open_server: Server, host: str) -> None:
    assert open_server.ask("GET", "/metrics", host=host).status == 200
    assert open_server.ask("POST", "/api/estimates", body=job(), host=host).status == 200


@pytest.mark.parametrize("path", ["/metrics", "/api/estimates"])
def test_a_token_counts_on_this_machine_too(open_server: Server, path: str) -> None:
    method, body = ("POST", job()) if "api" in path else ("GET", None)
    assert open_server.ask(method, path, "owner", body).status == 200
    assert open_server.ask(method, path, "field", body).status == 403
    assert open_server.ask(method, path, None, body, Authorization="Bearer bwt_none").status == 401
    assert open_server.ask(method, path, None, body, Cookie="boreworth_session=gone").status == 200
    assert open_server.ask("GET", "/health", Authorization="Bearer bwt_none").status == 200


def test_an_address_of_the_network_needs_one(open_server: Server, behind: Server) -> None:
    server, host = (open_server, elsewhere()) if elsewhere() else (behind, "127.0.0.1")
    assert server.ask("GET", "/metrics", host=host).status == 401
    assert server.ask("GET", "/metrics", host=host, Host="localhost").status == 401
    assert server.ask("GET", "/metrics", "owner", host=host).status == 200
    assert server.ask("GET", "/", host=host).status == 200


FORWARDED = [
    "X-Forwarded-For", "Forwarded", "X-Real-IP", "X-Forwarded-Host", "Via", "X-Forwarded-Proto", "X-Forwarded-Port",
    "X-Forwarded-Server", "X-Forwarded-Prefix", "X-Forwarded", "X-Forwarded-By", "X-Forwarded-SSL",
    "X-Original-Host", "X-Original-URL", "X-Original-For", "X-Client-IP", "X-Cluster-Client-IP",
    "X-Envoy-External-Address", "X-Request-ID", "X-ProxyUser-IP", "True-Client-IP", "CF-Connecting-IP", "CF-Ray",
    "Fastly-Client-IP", "CDN-Loop", "Client-IP", "Remote-Addr", "Proxy-Connection", "Max-Forwards",
    "Front-End-Https", "X-Amzn-Trace-Id", "Traceparent", "X-B3-TraceId", "X-Correlation-ID", "X-Scheme",
    "X-Url-Scheme", "X-Nobody-Knows", "Surrogate-Capability",
]  # fmt: skip


@pytest.mark.parametrize("header", FORWARDED)
@pytest.mark.parametrize("value", ["127.0.0.1", ""])
def test_no_header_makes_a_request_local(open_server: Server, header: str, value: str) -> None:
    name = header.replace("-", "_")
    said = open_server.ask("GET", "/metrics", **{name: value})
    assert (said.status, f"it has the header {header.lower()}." in said.problem) == (401, True)
    assert open_server.ask("GET", "/metrics", "owner", **{name: value}).status == 200
    host = elsewhere() or "127.0.0.1"
    assert open_server.ask("GET", "/metrics", host=host, **{name: value}).status == 401


BROWSER = {
    "Accept": "text/html", "Accept-Language": "de", "Accept-Encoding": "gzip", "Connection": "keep-alive", "DNT": "1",
    "Cookie": "theirs=1", "Upgrade-Insecure-Requests": "1", "Sec-Fetch-Dest": "document", "Sec-Fetch-Mode": "navigate",
    "Sec-Fetch-Site": "none", "Sec-Fetch-User": "?1", "Sec-GPC": "1", "Sec-CH-UA": "x", "Sec-CH-UA-Platform": "x",
    "Priority": "u=0, i", "Cache-Control": "no-cache", "Pragma": "no-cache", "Referer": "http://localhost:8000/",
    "User-Agent": "x", "TE": "trailers", "If-None-Match": "x", "If-Modified-Since": "x", "Range": "bytes=0-",
}  # fmt: skip


def test_what_a_browser_sends_by_itself_makes_no_stranger(open_server: Server) -> None:
    with closing(http.client.HTTPConnection("127.0.0.1", open_server.port, timeout=60)) as line:
        line.request("GET", "/metrics", headers=BROWSER)
        assert line.getresponse().status == 200


def test_an_old_protocol_is_a_proxys(open_server: Server) -> None:
    with socket.create_connection(("127.0.0.1", open_server.port), timeout=60) as line:
        line.sendall(b"GET /metrics HTTP/1.0\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n")
        said = b"".join(iter(lambda: line.recv(65536), b""))
    assert said.startswith(b"HTTP/1.1 401")
    assert b"it has HTTP/1.0." in said


@pytest.mark.parametrize(
    "host", ["bores.example", "127.0.0.1.bores.example", "localhost.example:80", "10.0.0.1", "", "a b"]
)
def test_on_loopback_a_foreign_host_is_refused(open_server: Server, host: str) -> None:
    assert open_server.ask("GET", "/health", Host=host).status in {400, 421}
    assert open_server.ask("GET", "/api/nothing", "owner", Host=host).status in {400, 421}


@pytest.mark.parametrize("host", ["localhost", "LOCALHOST:1", "127.0.0.1:99", "127.9.8.7", "[::1]:8000"])
def test_loopback_by_any_of_its_names_is_served(open_server: Server, host: str) -> None:
    assert open_server.ask("GET", "/metrics", Host=host).status == 200


def test_behind_a_proxy_any_host_is_served_with_a_token(behind: Server) -> None:
    assert behind.ask("GET", "/metrics", "owner", Host="bores.example", X_Forwarded_For="203.0.113.7").status == 200
    assert behind.ask("GET", "/metrics", Host="localhost").status == 401


def test_two_hosts_are_one_too_many(open_server: Server) -> None:
    with closing(http.client.HTTPConnection("127.0.0.1", open_server.port, timeout=60)) as line:
        line.putrequest("GET", "/metrics", skip_host=True)
        for host in ("localhost", "bores.example"):
            line.putheader("Host", host)
        line.endheaders()
        assert line.getresponse().status in {400, 421}


# ---------------------------------------------------------------- where a change comes from


@pytest.mark.parametrize("origin", [FOREIGN, "null", "http://localhost:1", "https://127.0.0.1", ""])
@pytest.mark.parametrize(("path", "body"), [("/api/estimates", job()), ("/api/orders", {"jobs": [job()]})])
def test_a_change_from_another_origin_is_403(
    open_server: Server, behind: Server, origin: str, path: str, body: dict[str, Any]
) -> None:
    assert open_server.ask("POST", path, body=body, Origin=origin).status == 403
    assert behind.ask("POST", path, "owner", body, Origin=origin).status == 403


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE"])
def test_a_change_from_another_site_is_403(open_server: Server, behind: Server, method: str) -> None:
    for site, refused in (("cross-site", True), ("same-origin", False), ("none", False)):
        for server, role in ((open_server, None), (behind, "owner")):
            reply = server.ask(method, "/api/pricebooks/nowhere", role, {"crew": "x"}, **{"Sec-Fetch-Site": site})
            assert (reply.status == 403) == refused, (site, reply)


def test_a_change_from_our_own_origin_is_made(open_server: Server, behind: Server) -> None:
    for server, role in ((open_server, None), (behind, "owner")):
        own = f"http://127.0.0.1:{server.port}"
        assert server.ask("POST", "/api/estimates", role, job(), Origin=own).status == 200
    proxied = {"Origin": "https://bores.example", "Host": "bores.example"}
    assert behind.ask("POST", "/api/estimates", "owner", job(), **proxied).status == 200
    assert behind.ask("GET", "/metrics", "owner", Origin=FOREIGN).status == 200  # reading changes nothing


# ---------------------------------------------------------------- what every answer carries


@pytest.mark.parametrize("path", ["/", "/health", "/api/nothing", "/metrics", "/sign-in"])
@pytest.mark.parametrize("role", [None, "owner"])
def test_every_answer_carries_the_headers(behind: Server, path: str, role: str | None) -> None:
    headers = behind.ask("GET", path, role).headers
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["x-frame-options"] == "DENY"
    assert headers["cache-control"] == "no-store"
    assert headers["referrer-policy"] == "same-origin"
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy
    assert not re.search(r"script-src(?! 'self';)", policy)  # scripts of our own files alone
    assert "server" not in headers


def test_a_request_has_a_number(behind: Server) -> None:
    one, two = (behind.ask("GET", "/health").headers["x-request-id"] for _ in "12")
    assert one != two
    assert behind.ask("GET", "/health", X_Request_ID="van-7.42").headers["x-request-id"] == "van-7.42"
    assert len(behind.ask("GET", "/nothing", X_Request_ID="a b{}").headers["x-request-id"]) == 32


# ---------------------------------------------------------------- when the database does not answer


class Silent:
    """Keys that cannot be looked up."""

    def token(self, _: str) -> None:
        raise UnavailableError("the database is locked by another program; ask again")

    session = token


def test_while_the_database_is_silent_nobody_is_let_in_and_told_so() -> None:
    gate = Gate(client().app, Silent(), "remote", 100, sign_in_page)
    asked = TestClient(gate, base_url="http://localhost", client=HERE, raise_server_exceptions=False)
    token = {"authorization": "Bearer " + new_token()}
    said = asked.get("/metrics", headers=token)
    assert (said.status_code, said.headers["retry-after"]) == (503, "2")
    assert said.json()["detail"] == "The database is locked by another program; ask again."
    assert asked.get("/health", headers=token).status_code == 200
    assert asked.get("/metrics").status_code == 200  # who is on this machine is known without it
