"""The database opened: transactions to read and to write, and its faults in our own words."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import sqlalchemy as sa
import sqlalchemy.event
from sqlalchemy.exc import DBAPIError, InterfaceError, InternalError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeoutError
from sqlmodel import Session, create_engine

from api.store.address import Address
from api.store.errors import UnavailableError, UnusableError
from api.store.files import connect

__all__ = ["RESTORE", "Store"]

PATIENCE = 10  # [s] that a writer waits for the others
CONNECTIONS, MORE = 8, 32  # kept open, and opened besides when all are taken
RESTORE = "restore a backup: boreworth restore FILE"
SAID = {  # by the name SQLite gives the error, or its beginning
    "SQLITE_BUSY": "the database is locked by another program; ask again",
    "SQLITE_LOCKED": "the database is locked by another program; ask again",
    "SQLITE_FULL": "the disk or the database is full; nothing was written",
    "SQLITE_READONLY": "the database file is read-only; nothing was written",
    "SQLITE_CANTOPEN": "the database file cannot be opened",
    "SQLITE_IOERR": "the disk does not take or give what is due (full, or a limit of file size); nothing was written",
    "SQLITE_CORRUPT": f"the database file is damaged; {RESTORE}",
    "SQLITE_NOTADB": f"the database file is damaged; {RESTORE}",
}
SAID_BY_STATE = {  # by the code of PostgreSQL's error, or its beginning
    "53100": "the disk of the database is full; nothing was written",
    "25006": "the database is read-only; nothing was written",
    "55P03": "the database is locked by another program; ask again",
    "57014": "the database took too long; ask again",
    "40": "two changes met; ask again",
}
GONE = "the database does not answer; ask again"


class Store:
    """An open database."""

    def __init__(self, address: Address) -> None:
        """Open a database; nothing is read or made yet."""
        self.address = address
        self._made: set[Any] = set()  # connections to a shared database, of the driver's own type
        self.engine = _shared(address.url, self._made) if address.shared else _file(address.file)
        self._writing = self.engine.execution_options(write=True)

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """Read within one transaction; raise `UnavailableError` where the database cannot answer."""
        with spoken(), Session(self.engine, autoflush=False) as session:
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """Write within one transaction, kept for good at the end of the block, or not at all where it raises."""
        with spoken(), Session(self._writing, expire_on_commit=False) as session:
            yield session
            session.commit()

    def close(self) -> None:
        """Close every connection, those in use too."""
        self.engine.dispose()
        for connection in tuple(self._made):
            connection.close()


def _file(file: str) -> sa.Engine:
    engine = create_engine(
        "sqlite://",
        creator=lambda: connect(file, timeout=PATIENCE, check_same_thread=False, isolation_level=None),
        poolclass=sa.QueuePool, pool_size=CONNECTIONS, max_overflow=MORE, pool_timeout=PATIENCE,
    )  # fmt: skip

    @sa.event.listens_for(engine, "connect")
    def _connected(connection: Any, _: object) -> None:  # noqa: ANN401  # of the driver's own type
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA recursive_triggers = ON")  # a row that is replaced fires what guards it
        connection.execute("PRAGMA trusted_schema = OFF")

    @sa.event.listens_for(engine, "begin")
    def _begun(connection: sa.Connection) -> None:
        # Who means to write says so at once: two readers that turn writers would wait for each other for ever.
        connection.exec_driver_sql("BEGIN IMMEDIATE" if connection.get_execution_options().get("write") else "BEGIN")

    return engine


def _shared(url: str, made: set[Any]) -> sa.Engine:
    try:
        import psycopg  # noqa: PLC0415  # only who has a shared database has its driver
    except ImportError:
        raise UnusableError("a postgresql:// URL needs the extra: pip install 'boreworth[postgres]'") from None
    options = f"-c lock_timeout={PATIENCE}s -c statement_timeout={6 * PATIENCE}s -c timezone=UTC"

    def connected() -> Any:  # noqa: ANN401  # of the driver's own type
        made.difference_update([one for one in tuple(made) if one.closed])
        found = psycopg.connect(url, connect_timeout=PATIENCE, options=options, client_encoding="utf8")
        made.add(found)
        return found

    return create_engine(
        "postgresql+psycopg://", creator=connected, pool_pre_ping=True,
        pool_size=CONNECTIONS, max_overflow=MORE, pool_timeout=PATIENCE,
    )  # fmt: skip


@contextmanager
def spoken() -> Iterator[None]:
    """Turn a fault of the driver into `UnavailableError` in words for people; a wrong statement of ours stays."""
    try:
        yield
    except PoolTimeoutError:
        raise UnavailableError("too many requests wait for the database; ask again") from None
    except (OperationalError, InterfaceError, InternalError) as error:
        raise UnavailableError(said_of(error.orig)) from error
    except DBAPIError as error:
        if not (error.connection_invalidated or _name(error.orig) in SAID):
            raise
        raise UnavailableError(said_of(error.orig)) from error


def _name(error: object) -> str:
    """Return the name of SQLite's error without what refines it."""
    return "_".join(str(getattr(error, "sqlite_errorname", "")).split("_")[:2])


def said_of(error: object) -> str:
    """Return what a driver's error means."""
    state = str(getattr(error, "sqlstate", None) or "")
    return SAID.get(_name(error)) or SAID_BY_STATE.get(state) or SAID_BY_STATE.get(state[:2]) or GONE
