"""Backups: one SQLite file with all there is, of either database; verified by restoring it; and back again.

A backup restores into a file or into PostgreSQL, so it is also the way from one to the other.
"""

import contextlib
import os
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from typing import Any

import sqlalchemy as sa
from sqlmodel import col

from api.store.address import Address
from api.store.audit import Who, note
from api.store.copies import TABLES, copied, holdings, snapshot
from api.store.engine import Store, said_of
from api.store.errors import UnusableError
from api.store.files import beside, connect, create, created, removed, synced
from api.store.models import Counter, Session, Token
from api.store.refill import refill
from api.store.schema import free_name, prepare, sound_version, upgrade, version_of
from api.store.sound import faults_in
from api.store.versions import HEAD, VERSION_TABLE

__all__ = ["back_up", "restore", "unsound"]

TOLD = 5  # faults of a backup, of which one is enough to refuse it
GAP = 1000  # numbers left out where it is not known which were given since the backup
Holdings = dict[str, tuple[int, str]]


def back_up(store: Store, file: str) -> Holdings:
    """Write all there is into a file, whole or not at all, while servers run; return what it holds.

    The file is restored into another one, and that is compared with the database, before it gets its name.

    Raises
    ------
    UnusableError
        If the file cannot be written, or does not give back what the database holds.
    """
    if store.address.file and os.path.exists(file) and os.path.samefile(file, store.address.file):
        raise UnusableError(f"{file} is the database itself; give another name")
    part = beside(file)
    with _told(file), removed(part):
        os.close(create(part))
        with snapshot(store) as connection:
            before = holdings(connection)
            _write(store, connection, part)
        with tempfile.TemporaryDirectory(dir=os.path.dirname(os.path.abspath(file))) as folder:
            again = os.path.join(folder, "restored.db")
            restored = Store(Address(file=again))
            with contextlib.closing(restored):
                refill(part, restored, file)
                with snapshot(restored) as connection:
                    if holdings(connection) != before:
                        raise UnusableError(f"{file}: the backup does not give back what the database holds")
        synced(part)
        os.replace(part, file)
        synced(os.path.dirname(os.path.abspath(file)))
    return before


def _write(store: Store, connection: sa.Connection, part: str) -> None:
    """Write what a connection reads into a new SQLite file of its own."""
    if not store.address.shared:
        driver: Any = connection.connection.driver_connection
        with contextlib.closing(connect(part)) as target:
            driver.backup(target)
            target.execute("PRAGMA journal_mode = DELETE")  # one file, nothing beside it
        return
    there = Store(Address(file=part))  # empty, and its owner's only
    with contextlib.closing(there), there.engine.execution_options(write=True).begin() as target:
        upgrade(target)
        copied(connection, target)


def _fill(ready: str, file: str) -> None:
    """Put a whole database in the place of a file that is there or not: all at once, for those who have it open too."""
    created(file)
    with (
        contextlib.closing(connect(ready)) as source,
        contextlib.closing(connect(file, timeout=60.0)) as there,
    ):
        source.backup(there)  # one transaction: a file in its place would leave servers with the one that is gone


def restore(file: str, store: Store, who: Who) -> list[str]:
    """Put what a backup holds in the place of what a database holds; the former content is kept in a file.

    Only rows are taken, into tables that are made anew, and only if all of them are sound; else nothing is changed.
    Quote numbers go on above every one that is known to have been given; sign-ins end.

    Returns
    -------
    list[str]
        What was done, a line each.

    Raises
    ------
    UnusableError
        If the backup is damaged, altered, of a newer version, or not ours, or the database cannot be written.
    """
    with _told(file), tempfile.TemporaryDirectory() as folder:
        taken, ready = (os.path.join(folder, name) for name in ("taken.db", "ready.db"))
        _take(file, taken)
        with contextlib.closing(Store(Address(file=ready))) as copy:
            refill(taken, copy, file)
            _must_be_sound(copy, file)
            said, last = _set_aside(store, file)
            known = set() if last is None else _in_force(store)
            _settle(copy, who, last)
            _replace(copy, store)
            with snapshot(copy) as one, snapshot(store) as other:
                if (held := holdings(one)) != holdings(other):
                    raise UnusableError(f"{store.address}: does not hold what the backup holds; do not use it")
            said += [f"lets in a token it did not before: {line}" for line in _added(_in_force(copy) - known)]
    counts = ", ".join(f"{held[name][0]} {name}" for name in ("jobs", "quotes", "actuals"))
    return [*said, f"{store.address}: holds {counts} from {file}"]


def _in_force(store: Store) -> set[tuple[str, str, str, str | None]]:
    """Return name, role, hash and end of each token that was not revoked."""
    columns = (col(Token.name), col(Token.role), col(Token.sha256), col(Token.expires_at))
    with snapshot(store) as connection:
        rows = connection.execute(sa.select(*columns).where(col(Token.revoked_at).is_(None)))
        return {(name, role, digest, end) for name, role, digest, end in rows}


def _added(tokens: set[tuple[str, str, str, str | None]]) -> list[str]:
    """Return a line for each token; a name from elsewhere is written so that it stays on its line."""
    return sorted(f"{name!r} as {role}" + (f" until {end!r}" if end else "") for name, role, _, end in tokens)


def _take(file: str, taken: str) -> None:
    """Copy a backup where nobody changes it while it is looked at."""
    if not os.path.isfile(file):
        raise UnusableError(f"{file}: is not there")
    if any(os.path.exists(file + end) and os.path.getsize(file + end) for end in ("-wal", "-journal")):
        raise UnusableError(f"{file}: is a database in use, not a backup; make one of it: boreworth backup")
    shutil.copyfile(file, taken)


def _must_be_sound(copy: Store, file: str) -> None:
    """Raise `UnusableError` where what a backup holds is not what was once kept."""
    with snapshot(copy) as connection:
        faults = faults_in(connection)
    if faults:
        more = f"; and {len(faults) - TOLD} more" if len(faults) > TOLD else ""
        raise UnusableError(f"{file}: was altered; nothing was restored: {'; '.join(faults[:TOLD])}{more}")


def unsound(store: Store) -> list[str]:
    """Return a line for whatever a database holds that is not what was once kept: a backup of it is not restored."""
    with snapshot(store) as connection:
        return faults_in(connection)


def _settle(copy: Store, who: Who, last: int | None) -> None:
    """Make a copy fit to go on from: numbers above those given since, no sign-ins, the restoring noted."""
    with copy.writing() as session:
        counter = session.get_one(Counter, "quote")
        counter.last = counter.last + GAP if last is None else max(counter.last, last)
        session.add(counter)
        session.execute(sa.delete(Session))
        note(session, who, "backup restored", "database", next_quote=counter.last + 1)


def _set_aside(store: Store, file: str) -> tuple[list[str], int | None]:
    """Keep what a database holds now; return what was done, and the last quote number it gave, if it can tell."""
    if store.address.shared:
        kept = free_name(f"{file}.before-restore")
        with store.engine.begin() as connection:
            version = version_of(connection)
        if not version:
            return [], None
        if version != HEAD:
            raise UnusableError(f"{store.address}: is of version {version}; migrate it first: boreworth migrate")
    else:
        there = store.address.file
        if not os.path.exists(there) or not os.path.getsize(there):
            return [], None
        try:
            sound_version(there)
            prepare(store)
        except UnusableError as error:
            return _moved(there, str(error)), None
        kept = free_name(f"{there}.before-restore")
    back_up(store, kept)
    with store.reading() as session:
        return [f"{store.address}: what it held is kept as {kept}"], session.get_one(Counter, "quote").last


def _moved(there: str, why: str) -> list[str]:
    """Move a damaged file out of the way, with what SQLite keeps beside it."""
    aside = free_name(f"{there}.damaged")
    for end in ("", "-wal", "-shm"):
        if os.path.exists(there + end):
            os.replace(there + end, aside + end)
    return [f"{why}; it is kept as {aside}"]


def _replace(copy: Store, store: Store) -> None:
    if not store.address.shared:
        store.close()
        _fill(copy.address.file, store.address.file)
        prepare(store)
        return
    with snapshot(copy) as source, store.engine.begin() as target:
        target.execute(sa.text("SET LOCAL statement_timeout = 0"))
        names = ", ".join([*(table.name for table in reversed(TABLES)), VERSION_TABLE])
        target.execute(sa.text(f"DROP TABLE IF EXISTS {names} CASCADE"))
        for name in ("audit", "calibrations", "papers", "quotes"):
            target.execute(sa.text(f"DROP FUNCTION IF EXISTS boreworth_keep_{name}()"))
        upgrade(target)
        copied(source, target)


@contextlib.contextmanager
def _told(file: str) -> Iterator[None]:
    """Turn a fault of the system into one of ours."""
    try:
        yield
    except OSError as error:
        name = str(error.filename or file)
        named = file if name.startswith(file) else name  # not by the name of a part of it
        raise UnusableError(f"{named}: {(error.strerror or str(error)).lower()}") from error
    except sqlite3.Error as error:
        raise UnusableError(f"{file}: {said_of(error)}") from error
