"""Versions of the tables: made, migrated from each earlier one, and the same as the models say."""

import sqlite3
from pathlib import Path

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlmodel import SQLModel

from api.store import migrations
from api.store.address import read_address
from api.store.engine import Store
from api.store.files import created
from api.store.models import ORDER
from api.store.schema import prepare, upgrade, version_of
from api.store.versions import EARLIER, HEAD, VERSION_TABLE
from tests.api.servers import Nursery, command

VERSIONS = ScriptDirectory(str(Path(migrations.__file__).parent))
# What a database of an earlier version held; a job, its draft and its price book, as that version kept them.
HELD = (
    "INSERT INTO customers (id, key, name, created_at) VALUES (1, 'k', 'Quarry', '2026-01-01')",
    "INSERT INTO jobs (id, revision, reference, customer_id, state, search, created_at, changed_at) "
    "VALUES (7, 2, 'K-204', 1, 'draft', 'k-204', '2026-01-01', '2026-01-02')",
    "INSERT INTO job_revisions (job_id, revision, document, sha256, created_at, created_by) "
    "VALUES (7, 2, '{\"reference\":\"K-204\"}', 'h', '2026-01-02', 'ann')",
    "INSERT INTO quotes (number, job_id, job_revision, revision, first, state, currency, total, created_at, "
    "created_by) VALUES (100009, 7, 2, 1, 100009, 'draft', 'EUR', '1.00', '2026-01-02', 'ann')",
    "INSERT INTO papers (number, engine, tables_sha256, job, pricebook, estimate, explanations) "
    "VALUES (100009, 'boreworth 0.0.1', 't', '{}', '{}', '{\"reference\":\"K-204\"}', '')",
    "UPDATE counters SET last = 100009",
)


def held_at(store: Store, version: str) -> None:
    """Make a database as a server of an earlier version left it."""
    if not store.address.shared:
        created(store.address.file)
    with store.engine.execution_options(write=True).begin() as connection:
        upgrade(connection, version)
        for text in HELD:
            connection.exec_driver_sql(text)


def test_the_versions_are_one_line() -> None:
    line = [one.revision for one in VERSIONS.walk_revisions()]
    assert line == [HEAD, *reversed(EARLIER)]


def test_the_models_are_what_the_migrations_make(store: Store) -> None:
    with store.engine.connect() as connection:
        asked = {"version_table": VERSION_TABLE, "compare_type": True, "compare_server_default": True}
        assert compare_metadata(MigrationContext.configure(connection, opts=asked), SQLModel.metadata) == []
    assert {model.__tablename__ for model in ORDER} == set(SQLModel.metadata.tables)


@pytest.mark.parametrize("version", EARLIER)
def test_a_file_of_each_earlier_version_is_kept_and_migrated(nursery: Nursery, sqlite: str, version: str) -> None:
    store = Store(read_address(sqlite))
    held_at(store, version)
    store.close()
    with nursery.serving(sqlite) as server:
        assert server.ask("GET", "/api/jobs/7").json()["job"] == {"reference": "K-204"}
        assert server.ask("GET", "/api/jobs?q=k-204").json()["items"][0]["customer"] == "Quarry"
        assert [item["number"] for item in server.ask("GET", "/api/jobs/7/quotes").json()["items"]] == ["100009"]
        assert server.ask("GET", "/api/quotes/100009").json()["estimate"] == {"reference": "K-204"}
        said = server.said.read_text()
    file = store.address.file
    assert f"migrated from version {version} to {HEAD}; the former one is kept as {file}.version-{version}" in said
    with sqlite3.connect(f"{file}.version-{version}") as kept:
        assert kept.execute(f"SELECT version_num FROM {VERSION_TABLE}").fetchall() == [(version,)]
        assert kept.execute("SELECT number FROM quotes").fetchall() == [(100009,)]
    kept.close()


@pytest.mark.parametrize("version", EARLIER)
def test_an_older_shared_database_waits_to_be_migrated(nursery: Nursery, postgresql: str, version: str) -> None:
    store = Store(read_address(postgresql))
    held_at(store, version)
    code, _, said = command("serve", "--port", "0", "--database", postgresql)
    assert code != 0
    assert f"is of version {version}, this program needs {HEAD}" in said
    assert "boreworth migrate" in said
    with store.engine.connect() as connection:
        assert version_of(connection) == version
    assert command("migrate", "--database", postgresql)[0] == 0
    with nursery.serving(postgresql) as server:
        assert server.ask("GET", "/api/jobs/7").json()["revision"] == 2
    assert "already" in command("migrate", BOREWORTH_DATABASE=postgresql)[2]
    store.close()


def test_two_may_migrate_at_once(nursery: Nursery, sqlite: str) -> None:
    store = Store(read_address(sqlite))
    held_at(store, EARLIER[0])
    store.close()
    servers = [nursery.start(sqlite) for _ in range(3)]
    assert [server.listening().ask("GET", "/api/jobs/7").status for server in servers] == [200] * 3
    for server in servers:
        server.end()
    assert sum("migrated" in server.said.read_text() for server in servers) == 1


def test_a_migration_that_fails_leaves_what_was_there(sqlite: str) -> None:
    store = Store(read_address(sqlite))
    held_at(store, EARLIER[0])
    with store.engine.execution_options(write=True).begin() as connection:
        connection.exec_driver_sql("CREATE TABLE replays (name TEXT)")  # in the way of the next version
    with pytest.raises(Exception, match=r".*"):
        prepare(store)
    with store.engine.connect() as connection:
        assert version_of(connection) == EARLIER[0]
        assert sa.inspect(connection).has_table("audit") is False
    store.close()
