"""A real server on a real port and a real database, with a token of each role."""

import http.client
import json
import re
import signal
import socket
import time
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from typer.testing import CliRunner

from api.access.secrets import digest, new_token
from api.commands import app
from api.store import keys
from api.store.address import read_address
from api.store.engine import Store
from api.store.schema import prepare
from estimator.document.redact import ROLES
from tests.api.servers import Server as Process
from tests.api.servers import the_nursery

__all__ = ["PATIENCE", "Reply", "Server", "elsewhere", "give_tokens", "serving", "token_command"]

PATIENCE = 60.0  # [s]; a loaded machine starts slowly
SERVING = re.compile(r"serving on http://(\S+):(\d+), stop with Ctrl\+C\n")
JSON = {"Content-Type": "application/json"}
NOWHERE = ("192.0.2.1", 9)  # kept for documents (RFC 5737); nothing is sent there


@dataclass(frozen=True)
class Reply:
    """What came back."""

    status: int
    headers: Mapping[str, str]
    body: bytes

    @property
    def json(self) -> Any:
        return json.loads(self.body)

    @property
    def problem(self) -> str:
        """The detail of a problem document, its shape checked."""
        assert self.headers["content-type"] == "application/problem+json"
        assert self.json["status"] == self.status
        return str(self.json["detail"])


@dataclass
class Server:
    """A running server: where it answers, and all it wrote to standard error."""

    host: str
    port: int
    log: Path
    tokens: dict[str, str] = field(default_factory=dict)

    def ask(
        self,
        method: str,
        path: str,
        role: str | None = None,
        body: object = None,
        host: str | None = None,
        **headers: str,
    ) -> Reply:
        """Send one request, with the token of a role; a body that is no bytes goes as JSON."""
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        named |= {"Authorization": f"Bearer {self.tokens[role]}"} if role else {}
        data = json.dumps(body).encode() if body is not None and not isinstance(body, bytes) else body
        with closing(http.client.HTTPConnection(host or self.host, self.port, timeout=PATIENCE)) as line:
            line.request(method, path, data, (JSON if body is not None else {}) | named)
            answer = line.getresponse()
            return Reply(answer.status, {k.lower(): v for k, v in answer.getheaders()}, answer.read())

    def logged(self) -> list[dict[str, Any]]:
        """Return the lines of the log, each a JSON object, and check that there are no others but the first."""
        lines = self.log.read_text("utf-8").splitlines()
        return [
            json.loads(line) for line in lines if not line.startswith(("serving on", "sqlite", str(self.log.parent)))
        ]


@contextmanager
def serving(database: str, *words: str, log: Path, still: bool = False, **variables: str) -> Iterator[Server]:
    """Run a server on a free port of 127.0.0.1, or of the `--host` in `words`; all it says goes to a file.

    It computes by itself. Where it is `still`, no bucket of requests fills again, however slow the machine.
    """
    command = ("serve", "--port", "0", "--database", database, *words)
    alone = {"BOREWORTH_WORKERS": "0", **variables}
    process = the_nursery().bear(command, alone, said=str(log), printed=str(log), still=still)
    try:
        yield Server(*_told(process, log), log)
    finally:
        process.end(signal.SIGTERM)


def _told(process: Process, log: Path) -> tuple[str, int]:
    """Return host and port, as the server says once it listens."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end and process.lives():
        if match := SERVING.search(log.read_text("utf-8") if log.exists() else ""):
            return match[1].strip("[]"), int(match[2])
        time.sleep(0.02)
    raise AssertionError(f"the server does not serve: {log.read_text('utf-8')}")


def give_tokens(database: str) -> dict[str, str]:
    """Make a database ready and return a new token of each role."""
    store = Store(read_address(database))
    prepare(store)
    found: dict[str, str] = {role: new_token() for role in ROLES}
    with closing(store), store.writing() as db:
        for role, secret in found.items():
            keys.add(db, f"the {role}", role, digest(secret), None)
    return found


def token_command(database: str, *words: str) -> tuple[int, str, str]:
    """Run `boreworth token` in this process; return exit code, standard output and standard error."""
    done = CliRunner().invoke(app, ["token", *words, "--database", database])
    return done.exit_code, done.stdout, done.stderr


def elsewhere() -> str:
    """Return an address of this machine that is no loopback address; an empty text where it has none."""
    with closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as line:
        try:
            line.connect(NOWHERE)
        except OSError:
            return ""
        return str(line.getsockname()[0])
