"""Real servers on real ports, started and killed as often as a test likes."""

import atexit
import functools
import http.client
import json
import os
import re
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.api.service import SAMPLES

ROOT = SAMPLES.parent
PATIENCE = 60.0  # seconds; a loaded machine starts slowly
SERVING = re.compile(r"serving on http://127\.0\.0\.1:(\d+)")


@dataclass(frozen=True)
class Reply:
    """What a server answered; status 0 where it was gone before it did."""

    status: int
    headers: dict[str, str]
    body: bytes

    def json(self) -> Any:  # JSON is of any type
        """Return the body as what it says."""
        return json.loads(self.body)


GONE = Reply(0, {}, b"")


@dataclass
class Server:
    """A server process."""

    pid: int
    said: Path
    port: int = 0

    def ask(self, method: str, path: str, document: object = None, **headers: str) -> Reply:
        """Ask once; a server that is gone answers with status 0."""
        body = None if document is None else json.dumps(document).encode()
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        named |= {} if body is None else {"content-type": "application/json"}
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        try:
            line.request(method, path, body, named)
            found = line.getresponse()
            return Reply(found.status, {name.lower(): value for name, value in found.getheaders()}, found.read())
        except (OSError, http.client.HTTPException):
            return GONE
        finally:
            line.close()

    def lives(self) -> bool:
        """Return whether the process is there."""
        try:
            os.kill(self.pid, 0)
        except ProcessLookupError:
            return False
        return True

    def end(self, number: signal.Signals = signal.SIGKILL) -> None:
        """Send a signal and wait until the process is gone."""
        try:
            os.kill(self.pid, number)
        except ProcessLookupError:
            return
        self.until(lambda: not self.lives(), "does not end")

    def until(self, happened: Any, why: str) -> None:  # a question without arguments
        """Wait until something is so."""
        end = time.monotonic() + PATIENCE
        while not happened():
            assert time.monotonic() < end, f"{why}: {self.said.read_text()}"
            time.sleep(0.01)

    def listening(self) -> "Server":
        """Wait until the server says where it listens."""

        def heard() -> bool:
            text = self.said.read_text() if self.said.exists() else ""
            if match := SERVING.search(text):
                self.port = int(match[1])
            assert self.port or self.lives(), text
            return bool(self.port)

        self.until(heard, "says nothing")
        return self


class Nursery:
    """The process that forks servers."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.count, self.born = folder, 0, list[Server]()
        kept = {name: value for name, value in os.environ.items() if not name.startswith("BOREWORTH_")}
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.api.nursery"], cwd=ROOT, text=True, env=kept,
            stdin=subprocess.PIPE, stdout=subprocess.PIPE,
        )  # fmt: skip

    def bear(self, words: tuple[str, ...], variables: Mapping[str, str], **order: Any) -> Server:
        """Fork a process that runs a command."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.count += 1
        said = f"{self.folder}/said-{self.count}.txt"
        whole: dict[str, Any] = {"words": words, "said": said, "variables": dict(variables), **order}
        self.process.stdin.write(json.dumps(whole) + "\n")
        self.process.stdin.flush()
        self.born.append(Server(int(self.process.stdout.readline()), Path(whole["said"])))
        return self.born[-1]

    def start(self, database: str, *words: str, variables: Mapping[str, str] | None = None, **amiss: float) -> Server:
        """Start a server on a database, on a port of its own; it need not listen yet. It computes by itself."""
        usual = {"BOREWORTH_DATABASE": database, "BOREWORTH_LOG_LEVEL": "error", "BOREWORTH_WORKERS": "0"}
        return self.bear(("serve", "--port", "0", *words), {**usual, **(variables or {})}, **amiss)

    def command(self, *words: str, **variables: str) -> tuple[int, str, str]:
        """Run a command to its end; return exit code and what it printed and said."""
        printed, code = (self.folder / f"{name}-{self.count}" for name in ("printed", "code"))
        one = self.bear(words, variables, printed=str(printed), code=str(code))
        one.until(lambda: not one.lives(), "does not end")
        return int(code.read_text("utf-8")), printed.read_text("utf-8"), one.said.read_text("utf-8")

    @contextmanager
    def serving(self, database: str, variables: Mapping[str, str] | None = None, **amiss: float) -> Iterator[Server]:
        """Run a server that listens, and kill it in the end."""
        server = self.start(database, variables=variables, **amiss)
        try:
            yield server.listening()
        finally:
            server.end()

    def close(self) -> None:
        """End what is left."""
        for server in self.born:
            server.end()
        assert self.process.stdin is not None
        self.process.stdin.close()
        assert self.process.stdout is not None
        self.process.stdout.close()
        self.process.wait(PATIENCE)


@functools.cache
def the_nursery() -> Nursery:
    """Return the one of this process, made when first asked for."""
    folder = tempfile.TemporaryDirectory(prefix="nursery")
    found = Nursery(Path(folder.name))
    atexit.register(folder.cleanup)
    atexit.register(found.close)
    return found


def command(*words: str, **variables: str) -> tuple[int, str, str]:
    """Run a command to its end, in a process of its own; return exit code and what it printed and said."""
    return the_nursery().command(*words, **variables)
