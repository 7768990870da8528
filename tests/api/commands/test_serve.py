"""A real server on a real port, started and stopped as a person would."""

import http.client
import json
import os
import re
import select
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from pydantic_core import to_json

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from tests.api.servers import command
from tests.api.service import JSON, SAMPLES, job

COMMAND = [sys.executable, "-m", "api.commands", "serve"]
ROOT = SAMPLES.parent
PATIENCE = 60.0  # seconds; a loaded machine starts slowly


def environment(**variables: str) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("BOREWORTH_")}
    return {**kept, "BOREWORTH_DATABASE": f"sqlite:///{tempfile.mkdtemp()}/quotes.db", **variables}


def started(*words: str, **variables: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [*COMMAND, *words],
        cwd=ROOT,
        env=environment(**variables),
        stderr=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


def refused(*words: str, **variables: str) -> tuple[int, str]:
    """Return exit code and what a server that does not start says."""
    plain = {"BOREWORTH_DATABASE": f"sqlite:///{tempfile.mkdtemp()}/quotes.db"}
    code, printed, said = command("serve", *words, **(plain | variables))
    assert printed == ""
    return code, said


def first_line(process: subprocess.Popen[str]) -> str:
    """Return what the server says once its tables are made."""
    assert process.stderr is not None
    ready, _, _ = select.select([process.stderr], [], [], PATIENCE)
    assert ready, "the server says nothing"
    line = process.stderr.readline()
    return process.stderr.readline() if ": made, version" in line else line


@contextmanager
def serving(*words: str, **variables: str) -> Iterator[tuple[subprocess.Popen[str], str, int]]:
    """Run a server; yield the process, its host and its port."""
    with started(*words, **variables) as process:
        try:
            match = re.fullmatch(r"serving on http://(\S+):(\d+), stop with Ctrl\+C\n", line := first_line(process))
            assert match, line
            yield process, match[1].strip("[]"), int(match[2])
        finally:
            if process.poll() is None:
                process.kill()


@pytest.fixture(scope="module")
def port() -> Iterator[int]:
    with serving("--port", "0") as (_, _, found):
        yield found


def ask(port: int, method: str, path: str, body: bytes | None = None, **headers: str) -> tuple[int, bytes]:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
    try:
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        connection.request(method, path, body, (JSON if body is not None else {}) | named)
        response = connection.getresponse()
        return response.status, response.read()
    finally:
        connection.close()


def test_it_lives_and_is_ready(port: int) -> None:
    assert ask(port, "GET", "/health") == (200, b'{"status":"ok"}')
    assert ask(port, "GET", "/ready") == (200, b'{"status":"ready"}')


def test_it_estimates_as_the_engine_does(port: int) -> None:
    body = json.dumps(job()).encode()
    assert ask(port, "POST", "/api/estimates", body) == (200, to_json(estimate(body, read_pricebook())))


def test_a_foreign_host_and_a_foreign_origin_are_refused(port: int) -> None:
    body = json.dumps(job()).encode()
    assert ask(port, "GET", "/health", Host="bores.example")[0] == 421
    assert ask(port, "GET", "/health", Host="bores.example", X_Forwarded_For="127.0.0.1")[0] == 421
    assert ask(port, "POST", "/api/estimates", body, Origin="http://bores.example")[0] == 403
    assert ask(port, "POST", "/api/estimates", body, Origin=f"http://127.0.0.1:{port}")[0] == 200


def test_a_body_without_an_end_is_cut_off(port: int) -> None:
    with socket.create_connection(("127.0.0.1", port), timeout=PATIENCE) as line:
        line.sendall(
            b"POST /api/estimates HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
            b"Transfer-Encoding: chunked\r\n\r\n"
        )
        chunk = b"10000\r\n" + b" " * 0x10000 + b"\r\n"
        for _ in range(33):  # 2 MB and 64 kB, and no last chunk
            line.sendall(chunk)
        assert line.recv(65536).startswith(b"HTTP/1.1 413 ")


def test_what_is_no_http_ends_neither_the_server_nor_its_patience(port: int) -> None:
    with socket.create_connection(("127.0.0.1", port), timeout=PATIENCE) as line:
        line.sendall(b"\x16\x03\x01\x00\r\n\r\n")
        assert line.recv(65536).startswith(b"HTTP/1.1 400 ")
    assert ask(port, "GET", "/health")[0] == 200


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_to_be_stopped_is_a_good_end(number: signal.Signals) -> None:
    with serving("--port", "0") as (process, _, port):
        assert ask(port, "GET", "/health")[0] == 200
        process.send_signal(number)
        rest = process.communicate(timeout=PATIENCE)
        assert (process.returncode, rest) == (0, ("", ""))


def test_a_request_under_way_is_answered_before_the_end() -> None:
    body = json.dumps(job()).encode()
    head = b"POST /api/estimates HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
    with serving("--port", "0") as (process, _, port):
        with socket.create_connection(("127.0.0.1", port), timeout=PATIENCE) as line:
            line.sendall(head + b"Content-Length: %d\r\n\r\n" % len(body) + body[:100])
            time.sleep(0.3)  # the server has begun to read it
            process.send_signal(signal.SIGTERM)
            time.sleep(0.3)
            line.sendall(body[100:])
            assert line.recv(65536).startswith(b"HTTP/1.1 200 ")
        assert process.wait(PATIENCE) == 0


def test_settings_come_from_variables_and_the_command_line_goes_first() -> None:
    with serving(BOREWORTH_HOST="::1", BOREWORTH_PORT="0") as (_, host, _):
        assert host == "::1"
    with serving("--host", "localhost", BOREWORTH_HOST="0.0.0.0", BOREWORTH_PORT="0") as (_, host, _):
        assert host in {"127.0.0.1", "::1"}


@pytest.mark.parametrize("host", ["203.0.113.250", "bores.example", ""])
def test_an_address_that_is_none_of_ours_is_refused(host: str) -> None:
    code, said = refused("--host", host)
    assert (code, said.count("\n")) == (1 if host else 2, 1)
    assert said.startswith(f"boreworth serve: {host} port" if host else "boreworth serve: --host: is empty")


@pytest.mark.parametrize(
    ("name", "value", "expected"),
    [("PORT", "many", "integer"), ("PORT", "70000", "65535"), ("LOGIN", "never", "'remote' or 'always'")],
)
def test_a_wrong_setting_is_said_by_its_name(name: str, value: str, expected: str) -> None:
    code, said = refused(**{f"BOREWORTH_{name}": value})
    assert (code, said.count("\n")) == (2, 1)
    assert said.startswith(f"BOREWORTH_{name}: ")
    assert expected in said


def test_a_port_in_use_is_said_in_one_line(port: int) -> None:
    code, said = refused("--port", str(port))
    assert (code, said) == (1, f"boreworth serve: 127.0.0.1 port {port}: address already in use\n")
