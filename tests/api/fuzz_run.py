"""Walks through a server of their own, for some minutes or some walks."""

import sys
import tempfile
import time
from argparse import ArgumentParser
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from hypothesis import HealthCheck, Phase, settings
from hypothesis.stateful import run_state_machine_as_test

from tests.api.fuzz import Walk
from tests.api.running import give_tokens, serving

__all__ = ["opened", "run", "walk"]


@contextmanager
def opened(database: str, folder: Path) -> Iterator[None]:
    """Let walks go through a server on a database, where everybody needs a token."""
    tokens = give_tokens(database)
    with serving(
        database, log=folder / "log", BOREWORTH_LOGIN="always", BOREWORTH_RATE_LIMIT="1000000",
        BOREWORTH_LOG_LEVEL="warning", BOREWORTH_WORKERS="2",
    ) as server:  # fmt: skip
        server.tokens = tokens
        Walk.server, Walk.described = server, server.ask("GET", "/openapi.json").json
        Walk.seen.clear()
        Walk.issued.clear()
        yield
        lines = server.logged()
        assert [line for line in lines if line["level"] == "error"] == []
        assert server.ask("GET", "/ready").status == 200


def walk(walks: int, steps: int, *, derandomize: bool) -> None:
    """Go some walks of some steps each; one that fails is told as it is, for what the server holds was there before."""
    run_state_machine_as_test(
        Walk,
        settings=settings(
            max_examples=walks,
            stateful_step_count=steps,
            deadline=None,
            derandomize=derandomize,
            database=None,
            suppress_health_check=list(HealthCheck),
            phases=[Phase.generate],
            report_multiple_bugs=False,
        ),
    )


def run() -> None:
    """Walk for as many minutes as the command line says, and print what was asked for and how it was answered."""
    words = ArgumentParser(prog="python -m tests.api.fuzz")
    words.add_argument("--minutes", type=float, default=10.0)
    words.add_argument("--database", default="")
    given = words.parse_args()
    end = time.monotonic() + 60 * given.minutes
    with (
        tempfile.TemporaryDirectory() as folder,
        opened(given.database or f"sqlite:///{folder}/shop.db", Path(folder)),
    ):
        while time.monotonic() < end:
            walk(5, 60, derandomize=False)
    for (method, pattern, status), count in sorted(Walk.seen.items()):
        sys.stdout.write(f"{count:6} {method:7} {pattern} {status}\n")
    sys.stdout.write(f"{Walk.seen.total()} requests, no server error, {len(Walk.issued)} quotes issued\n")
