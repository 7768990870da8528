"""Made, migrated or refused: what happens to a database before it is used."""

import contextlib
import os
import sqlite3
import time
from collections.abc import Callable, Iterator

import sqlalchemy as sa
from sqlalchemy.exc import DBAPIError

from api.store.engine import RESTORE, Store, said_of
from api.store.errors import UnusableError
from api.store.files import connect, create, created
from api.store.versions import EARLIER, HEAD, VERSION_TABLE

__all__ = ["free_name", "known", "migrate", "must_be_there", "prepare", "sound_version", "upgrade", "version_of"]

LOCK = 0x626F7265  # PostgreSQL's advisory lock for the making of tables
PATIENCE = 60.0  # [s] that one server waits for another that makes the tables
EMPTY = (
    "{0}: is empty, so it was never a database, or what it held is lost; restore a backup (boreworth restore FILE), "
    "or remove the file and a new database is made"
)
NO_FILE = "the folder of the database file {} is not there, or nothing may be written in it"


def prepare(store: Store) -> str:
    """Make the tables of an empty database, or migrate a file that is older, its backup kept beside it.

    Returns
    -------
    str
        What was done, in one line; empty where nothing was.

    Raises
    ------
    UnusableError
        If the database is damaged, newer, not ours, cannot be opened, or is shared and older.
    """
    return _prepared(store, migrate_shared=False)


def migrate(store: Store) -> str:
    """Make or migrate the tables, of a shared database too; return what was done. Raises as `prepare` does."""
    return _prepared(store, migrate_shared=True) or f"{store.address}: is of version {HEAD} already"


def _prepared(store: Store, *, migrate_shared: bool) -> str:
    try:
        if not store.address.shared:
            _check_file(store)
        with _locked(store) as connection:
            version = version_of(connection)
            if version == HEAD:
                return ""
            if version and store.address.shared and not migrate_shared:
                raise UnusableError(
                    f"{store.address}: is of version {version}, this program needs {HEAD}; "
                    "stop the servers, make a backup, and run: boreworth migrate"
                )
            kept = _backed_up(store.address.file, version) if version and not store.address.shared else ""
            upgrade(connection)
    except DBAPIError as error:
        raise UnusableError(f"{store.address}: {said_of(error.orig)}") from error
    done = f"migrated from version {version} to {HEAD}" if version else f"made, version {HEAD}"
    return f"{store.address}: {done}" + (f"; the former one is kept as {kept}" if kept else "")


def must_be_there(store: Store) -> None:
    """Raise `UnusableError` for a database that holds nothing, or whose version is not that of this program."""
    try:
        if store.address.shared:
            with store.engine.connect() as connection:
                version = version_of(connection)
        else:
            version = sound_version(store.address.file)
    except DBAPIError as error:
        raise UnusableError(f"{store.address}: {said_of(error.orig)}") from error
    if version != HEAD:
        said = f"is of version {version}; run: boreworth migrate" if version else "holds nothing of boreworth"
        raise UnusableError(f"{store.address}: {said}")


def version_of(connection: sa.Connection) -> str:
    """Return the version of the tables, empty for an empty database; raise `UnusableError` for one not known."""
    tables = sa.inspect(connection).get_table_names()
    if VERSION_TABLE not in tables:
        if tables and (connection.dialect.name == "sqlite" or "job_revisions" in tables):
            raise UnusableError("the database holds tables of another program; name one of its own")
        return ""
    return known(str(connection.scalar(sa.text(f"SELECT version_num FROM {VERSION_TABLE}"))))


def known(version: str) -> str:
    """Return a version that this program knows; raise `UnusableError` for any other."""
    if version not in (*EARLIER, HEAD):
        raise UnusableError(
            f"the database is of version {version[:40]}, made by a newer boreworth; this one knows {HEAD} at most: "
            "install the newer one, or restore a backup of before"
        )
    return version


@contextlib.contextmanager
def _locked(store: Store) -> Iterator[sa.Connection]:
    """Hold the database against others who would make its tables, in one transaction."""
    if store.address.shared:
        with store.engine.begin() as connection:
            connection.execute(sa.text(f"SET LOCAL lock_timeout = '{PATIENCE:.0f}s'"))
            connection.execute(sa.text("SET LOCAL statement_timeout = 0"))
            connection.execute(sa.text(f"SELECT pg_advisory_xact_lock({LOCK})"))
            yield connection
        return
    with store.engine.execution_options(write=True).begin() as connection:
        yield connection


def _check_file(store: Store) -> None:
    """Raise `UnusableError` for a file that is damaged or none of ours; turn write-ahead logging on."""
    file = store.address.file
    if not os.path.exists(file):
        _make(file)
    elif not os.path.getsize(file):
        raise UnusableError(EMPTY.format(file))
    _retried(lambda: _check(store))


def _make(file: str) -> None:
    """Make an empty database where none is."""
    if not os.access(os.path.dirname(file) or ".", os.W_OK):
        raise UnusableError(NO_FILE.format(file))
    try:
        created(file)
    except OSError as error:
        raise UnusableError(f"{file}: {(error.strerror or str(error)).lower()}") from error


def _check(store: Store) -> None:
    file = store.address.file
    try:
        with contextlib.closing(connect(file, timeout=PATIENCE, isolation_level=None)) as plain:
            _must_be_sound(plain, file)
            if plain.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
                with store.engine.connect() as connection:
                    version_of(connection)  # a file that is not ours stays as it is
                plain.execute("PRAGMA journal_mode = WAL")
    except sqlite3.Error as error:
        if _is_busy(error):
            raise
        raise UnusableError(f"{file}: {said_of(error)}") from error


def _must_be_sound(plain: sqlite3.Connection, file: str) -> None:
    if (found := plain.execute("PRAGMA quick_check(1)").fetchone()[0]) != "ok":
        raise UnusableError(f"{file}: is damaged ({' '.join(str(found).split())}); {RESTORE}")


def sound_version(file: str) -> str:
    """Return the version of a database file, without changing it.

    Raises `UnusableError` for one that is not there, damaged, empty, newer, or none of ours.
    """
    if not os.path.isfile(file):
        raise UnusableError(f"{file}: is not there")
    engine = sa.create_engine("sqlite://", creator=lambda: connect(file, timeout=PATIENCE))
    try:
        with contextlib.closing(connect(file, timeout=PATIENCE)) as plain:
            _must_be_sound(plain, file)
        with engine.connect() as connection:
            if not (version := version_of(connection)):
                raise UnusableError(f"{file}: holds nothing of boreworth")
            return version
    except sqlite3.Error as error:
        raise UnusableError(f"{file}: {said_of(error)}") from error
    except DBAPIError as error:
        raise UnusableError(f"{file}: {said_of(error.orig)}") from error
    finally:
        engine.dispose()


def _is_busy(error: sqlite3.Error) -> bool:
    return str(getattr(error, "sqlite_errorname", "")).startswith(("SQLITE_BUSY", "SQLITE_LOCKED"))


def _retried(act: Callable[[], None]) -> None:
    """Act again while another server holds the file; SQLite itself does not wait for a change of journal."""
    end = time.monotonic() + PATIENCE
    while True:
        try:
            return act()
        except sqlite3.Error as error:
            if time.monotonic() > end:
                raise UnusableError(f"the database file: {said_of(error)}") from error
            time.sleep(0.05)


def _backed_up(file: str, version: str) -> str:
    """Copy a database file as it is, beside it under a new name; return the name."""
    kept = free_name(f"{file}.version-{version}")
    os.close(create(kept))
    with (
        contextlib.closing(connect(file, timeout=PATIENCE)) as source,
        contextlib.closing(connect(kept)) as target,
    ):
        source.backup(target)
        if target.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok":
            raise UnusableError(f"{kept}: the backup before the migration is damaged; nothing was migrated")
    return kept


def free_name(name: str) -> str:
    """Return the name, or with a number behind it, so that no file is written over."""
    found, number = name, 1
    while os.path.exists(found):
        number += 1
        found = f"{name}-{number}"
    return found


def upgrade(connection: sa.Connection, version: str = HEAD) -> None:
    """Bring the tables to a version, within the connection's transaction."""
    from alembic import command  # noqa: PLC0415  # most starts find the tables made
    from alembic.config import Config  # noqa: PLC0415  # the same

    config = Config()
    config.set_main_option("script_location", "api.store:migrations")
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    command.upgrade(config, version)
