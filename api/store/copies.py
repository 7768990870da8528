"""Whole databases row by row: read in one moment, copied, and told apart by what they hold."""

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import sqlalchemy as sa

from api.store.engine import Store, spoken
from api.store.models import ORDER

__all__ = ["TABLES", "copied", "holdings", "rows_of", "snapshot"]

TABLES: tuple[sa.Table, ...] = tuple(model.metadata.tables[str(model.__tablename__)] for model in ORDER)
AT_ONCE = 500  # rows
COUNTED = [table for table in TABLES if "id" in table.c]


@contextmanager
def snapshot(store: Store) -> Iterator[sa.Connection]:
    """Read a database as it is at one moment, whatever is written meanwhile."""
    engine = store.engine
    if store.address.shared:
        engine = engine.execution_options(isolation_level="REPEATABLE READ")
    with spoken(), engine.begin() as connection:
        if store.address.shared:
            connection.execute(sa.text("SET TRANSACTION READ ONLY"))
        yield connection


def rows_of(connection: sa.Connection, table: sa.Table) -> Iterator[sa.Row[Any]]:
    """Yield the rows of a table in the order of its key."""
    query = sa.select(table).order_by(*table.primary_key.columns)
    yield from connection.execution_options(yield_per=AT_ONCE).execute(query)


def holdings(connection: sa.Connection) -> dict[str, tuple[int, str]]:
    """Return for each table how many rows it has, and a hash of them all."""
    found: dict[str, tuple[int, str]] = {}
    for table in TABLES:
        count, digest = 0, hashlib.sha256()
        for row in rows_of(connection, table):
            count += 1
            digest.update(repr(tuple(row)).encode())
        found[table.name] = (count, digest.hexdigest())
    return found


def copied(source: sa.Connection, target: sa.Connection) -> None:
    """Copy every row into a database whose tables were just made, and how far its rows were counted."""
    target.execute(sa.delete(TABLES[0]))  # the first counter, made with its table
    for table in TABLES:
        batch: list[dict[str, Any]] = []
        for row in rows_of(source, table):
            batch.append(dict(row._mapping))
            if len(batch) == AT_ONCE:
                target.execute(sa.insert(table), batch)
                batch = []
        if batch:
            target.execute(sa.insert(table), batch)
    for table in COUNTED:
        _count_on(target, table.name, _last_of(source, table.name))


def _last_of(connection: sa.Connection, table: str) -> int:
    """Return the last number that a table's rows were counted with, of rows that are gone too."""
    if connection.dialect.name == "sqlite":
        found = connection.execute(sa.text("SELECT seq FROM sqlite_sequence WHERE name = :name"), {"name": table})
        return int(found.scalar() or 0)
    name = connection.scalar(sa.text("SELECT pg_get_serial_sequence(:name, 'id')"), {"name": table})
    row = connection.execute(sa.text(f"SELECT last_value, is_called FROM {name}")).one()
    return int(row[0]) if row[1] else 0


def _count_on(connection: sa.Connection, table: str, last: int) -> None:
    """Let a table's rows be counted on from a number."""
    if connection.dialect.name == "sqlite":
        said = {"name": table, "last": last}
        connection.execute(sa.text("DELETE FROM sqlite_sequence WHERE name = :name"), said)
        connection.execute(sa.text("INSERT INTO sqlite_sequence (name, seq) VALUES (:name, :last)"), said)
    elif last:
        said = {"name": table, "last": last}
        connection.execute(sa.text("SELECT setval(pg_get_serial_sequence(:name, 'id'), :last)"), said)
