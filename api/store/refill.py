"""A backup that may come from anywhere: its rows into tables made anew, nothing else of it."""

import contextlib
import sqlite3
from collections.abc import Iterator
from typing import Any

import sqlalchemy as sa
from sqlalchemy.exc import DBAPIError

from api.store.copies import TABLES
from api.store.engine import Store, said_of
from api.store.errors import UnusableError
from api.store.files import connect, created
from api.store.schema import known, upgrade
from api.store.versions import HEAD, VERSION_TABLE

__all__ = ["refill"]

AT_ONCE = 500  # rows
HIGHEST = 10**17  # a number that was counted never gets there
KINDS: tuple[tuple[type[sa.types.TypeEngine[Any]], type], ...] = (
    (sa.LargeBinary, bytes), (sa.Integer, int), (sa.Text, str),
)  # fmt: skip


def refill(backup: str, target: Store, name: str) -> None:
    """Make the tables of a new database and copy a backup's rows into them; migrate what is of an earlier version.

    Triggers, views, indexes and whatever else stands in the file are left behind; nothing of it is run.

    Parameters
    ----------
    backup
        A SQLite file that nobody else writes to.
    target
        A database that is not there yet.
    name
        What the backup is called when something is wrong with it.

    Raises
    ------
    UnusableError
        If the file is damaged, lacks a table or column, or holds a row that ours does not take.
    """
    created(target.address.file)
    try:
        with contextlib.closing(connect(backup, isolation_level=None)) as source:
            version = _version(source, name)
            with target.engine.execution_options(write=True).begin() as connection:
                upgrade(connection, version)
                _copy(source, connection, name)
                if version != HEAD:
                    upgrade(connection)
    except sqlite3.Error as error:
        raise UnusableError(f"{name}: {_words(error)}") from error
    except DBAPIError as error:
        raise UnusableError(f"{name}: holds rows that do not go together: {_words(error.orig)}") from error


def _words(error: object) -> str:
    """Return what a database says is wrong: known faults in our words, of others the first line."""
    known_one = str(getattr(error, "sqlite_errorname", "")).startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB"))
    return said_of(error) if known_one else str(error).partition("\n")[0][:200]


def _version(source: sqlite3.Connection, name: str) -> str:
    """Return the version of a backup, having made sure that nothing of the file is run and that it is whole."""
    for line in ("trusted_schema = OFF", "query_only = ON", "cell_size_check = ON"):
        source.execute(f"PRAGMA {line}")
    if (found := source.execute("PRAGMA quick_check(1)").fetchone()[0]) != "ok":
        raise UnusableError(f"{name}: is damaged ({' '.join(str(found).split())[:200]}); take another backup")
    if VERSION_TABLE not in _tables(source):
        raise UnusableError(f"{name}: holds nothing of boreworth")
    rows = source.execute(f"SELECT version_num FROM {VERSION_TABLE} NOT INDEXED LIMIT 2").fetchall()
    if len(rows) != 1:
        raise UnusableError(f"{name}: does not say of which version it is")
    try:
        return known(str(rows[0][0]))
    except UnusableError as error:
        raise UnusableError(f"{name}: {error}") from None


def _tables(source: sqlite3.Connection) -> set[str]:
    """Return the names of what are tables: no views, and none that a module of SQLite answers for."""
    rows = source.execute("SELECT name, sql FROM sqlite_master WHERE type = 'table'").fetchall()
    return {str(name) for name, sql in rows if not str(sql).upper().lstrip().startswith("CREATE VIRTUAL")}


def _copy(source: sqlite3.Connection, target: sa.Connection, name: str) -> None:
    """Copy the rows of every table that the target has."""
    there, own = _tables(source), sa.MetaData()
    own.reflect(target)
    target.execute(sa.delete(own.tables["counters"]))  # the first counter, made with its table
    for table in (own.tables[one.name] for one in TABLES if one.name in own.tables):
        if table.name not in there:
            raise UnusableError(f"{name}: lacks the table {table.name}")
        batch: list[dict[str, Any]] = []
        for row in _rows(source, table, name):
            batch.append(row)
            if len(batch) == AT_ONCE:
                target.execute(sa.insert(table), batch)
                batch = []
        if batch:
            target.execute(sa.insert(table), batch)
        if "id" in table.c:
            _count_on(source, target, table, name)


def _rows(source: sqlite3.Connection, table: sa.Table, name: str) -> Iterator[dict[str, Any]]:
    """Yield the rows of a table, each value of the kind that its column holds."""
    stored = {str(row[1]) for row in source.execute(f"PRAGMA table_xinfo({table.name})") if row[6] == 0}
    if lacking := [column.name for column in table.c if column.name not in stored]:
        raise UnusableError(f"{name}: the table {table.name} lacks {', '.join(lacking)}")
    kinds = {column.name: _kind(column) for column in table.c}
    named = ", ".join(f'"{column}"' for column in kinds)
    order = ", ".join(f'"{column.name}"' for column in table.primary_key.columns)
    for values in source.execute(f"SELECT {named} FROM {table.name} NOT INDEXED ORDER BY {order}"):
        row = dict(zip(kinds, values, strict=True))
        for column, kind in kinds.items():
            if row[column] is not None and type(row[column]) is not kind:
                raise UnusableError(f"{name}: {table.name}.{column} holds what is no {kind.__name__}")
        yield row


def _kind(column: sa.Column[Any]) -> type:
    return next(plain for kind, plain in KINDS if isinstance(column.type, kind))


def _count_on(source: sqlite3.Connection, target: sa.Connection, table: sa.Table, name: str) -> None:
    """Let rows be counted on from the last number given, to rows that are gone too."""
    asked = {"name": table.name}
    last = target.scalar(sa.select(sa.func.coalesce(sa.func.max(table.c.id), 0))) or 0
    if "sqlite_sequence" in _tables(source):
        found = source.execute("SELECT max(seq) FROM sqlite_sequence WHERE name = :name", asked).fetchone()[0]
        last = max(last, found) if type(found) is int else last
    if last >= HIGHEST:
        raise UnusableError(f"{name}: {table.name} is counted up to {last}, which never happens")
    target.execute(sa.text("DELETE FROM sqlite_sequence WHERE name = :name"), asked)
    target.execute(sa.text("INSERT INTO sqlite_sequence (name, seq) VALUES (:name, :last)"), {**asked, "last": last})
