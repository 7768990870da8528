"""Files that only their owner may read, made whole: databases, backups, exports."""

import contextlib
import os
import secrets
import sqlite3
from collections.abc import Iterator
from typing import Any, TextIO
from urllib.parse import quote

__all__ = ["beside", "connect", "create", "created", "folder", "opened", "removed", "synced"]

OWNER, OWNERS_FOLDER = 0o600, 0o700
BESIDE = ("", "-journal", "-wal", "-shm")  # a database and what SQLite keeps beside it, as readable as the file itself


def create(file: str) -> int:
    """Make an empty file for its owner only and return it open; raise `FileExistsError` where one is there."""
    return os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, OWNER)


def opened(file: str) -> TextIO:
    """Open a new text file for its owner only; its line ends are written as they are."""
    return open(create(file), "w", encoding="utf-8", newline="")


def folder(path: str) -> None:
    """Make a folder for its owner only, those above it as usual; one that is there stays as it is."""
    os.makedirs(path, OWNERS_FOLDER, exist_ok=True)


def beside(file: str) -> str:
    """Return a name beside a file that nobody else writes to."""
    return f"{file}.{secrets.token_hex(4)}.part"


def connect(file: str, **options: Any) -> sqlite3.Connection:  # noqa: ANN401  # the library's own
    """Open a database file that is there; one that is not is not made."""
    asked = f"file://{quote(os.fsencode(os.path.abspath(file)))}?mode=rw"
    return sqlite3.connect(asked, uri=True, **options)


def created(file: str) -> bool:
    """Make an empty database, unless a file is there; whoever else looks sees none or a whole one.

    Returns
    -------
    bool
        Whether it was made.
    """
    part = beside(file)
    with removed(part):
        os.close(create(part))
        with contextlib.closing(connect(part, isolation_level=None)) as plain:
            plain.execute("PRAGMA journal_mode = WAL")
        synced(part)
        try:
            os.link(part, file)
        except FileExistsError:
            return False
        except OSError:  # a disk without hard links
            if os.path.exists(file):
                return False
            os.rename(part, file)
    return True


@contextlib.contextmanager
def removed(part: str) -> Iterator[None]:
    """Leave no part of a file behind."""
    try:
        yield
    finally:
        for end in BESIDE:
            with contextlib.suppress(OSError):
                os.unlink(part + end)


def synced(path: str) -> None:
    """Have the disk keep a file or folder for good."""
    number = os.open(path, os.O_RDONLY)
    try:
        os.fsync(number)
    finally:
        os.close(number)
