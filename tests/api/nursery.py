"""A process that has loaded the program and forks a server for each line it reads, so that a start takes no seconds.

A line is JSON: the words of the command, where its standard error goes, variables, and what shall be amiss:

- `file_size`: the largest file the process may write [bytes] (RLIMIT_FSIZE)
- `pages`: the largest database [pages] (PRAGMA max_page_count)
- `powerless`: root's power to write what is read-only is given up
- `days`: its clock goes so many days ahead, or behind
- `still`: no time passes for those who count how often somebody asks
- `patience`: how long it waits for a lock [s]
- `hurry`: how long it waits for headers, a body and a caller that takes no answer [s]
- `files`: how many files it may have open
- `connections`: how many connections it takes, whatever the number of files

Each child is a process of its own, with its own connections; what it is answered with is its process id. Where an
order names files `printed` and `code`, they take its standard output and, once it has ended, its exit code.
"""

import ctypes
import json
import os
import resource
import signal
import struct
import sys
from datetime import UTC, datetime, timedelta
from typing import Any

import sqlalchemy as sa
import sqlalchemy.event

import api.access.connections
import api.access.rate
import api.app
import api.store.clock
import api.store.engine
import exports.sheets
import exports.workbook
from api.commands import main

LOADED = (api.app, exports.sheets, exports.workbook)
OVERRIDES = 0b110  # CAP_DAC_OVERRIDE and CAP_DAC_READ_SEARCH


def _powerless() -> None:
    libc = ctypes.CDLL(None, use_errno=True)
    header, data = struct.pack("=II", 0x20080522, 0), ctypes.create_string_buffer(24)
    libc.capget(header, data)
    words = struct.unpack("=6I", data.raw)
    left = [word & ~OVERRIDES if number < 3 else word for number, word in enumerate(words)]
    if libc.capset(header, struct.pack("=6I", *left)):
        raise OSError(ctypes.get_errno(), "capset")


def _pages(most: int) -> None:
    @sa.event.listens_for(sa.Engine, "connect")
    def _(connection: Any, _: object) -> None:
        connection.execute(f"PRAGMA max_page_count = {most}")


def _days(ahead: float) -> None:
    class Shifted(datetime):
        @classmethod
        def now(cls, _: object = None) -> datetime:  # pyrefly: ignore[bad-override-param-name] # only ever asked for UTC
            return datetime.now(UTC) + timedelta(days=ahead)

    vars(api.store.clock)["datetime"] = Shifted  # the clock of this process alone


def _amiss(order: dict[str, Any]) -> None:
    if "file_size" in order:
        resource.setrlimit(resource.RLIMIT_FSIZE, (order["file_size"],) * 2)
    if "pages" in order:
        _pages(order["pages"])
    if "days" in order:
        _days(order["days"])
    if order.get("still"):
        api.access.rate.Buckets.__init__.__defaults__ = (float,)  # a clock that says nought
    if "patience" in order:
        api.store.engine.PATIENCE = order["patience"]
    if "hurry" in order:
        api.access.connections.HEADER = api.access.connections.BODY = api.access.connections.ANSWER = order["hurry"]
    if "files" in order:
        resource.setrlimit(resource.RLIMIT_NOFILE, (order["files"],) * 2)
    if "connections" in order:
        most = order["connections"]
        vars(api.access.connections)["most_connections"] = lambda: most
    if order.get("powerless"):
        _powerless()


def _child(order: dict[str, Any]) -> None:
    os.setsid()
    nowhere, said = os.open(os.devnull, os.O_RDWR), os.open(order["said"], os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    printed = os.open(order["printed"], os.O_WRONLY | os.O_CREAT) if "printed" in order else nowhere
    for number, stream in ((nowhere, 0), (printed, 1), (said, 2)):
        os.dup2(number, stream)
    os.environ.update(order["variables"])
    _amiss(order)
    sys.argv = ["boreworth", *order["words"]]
    main()


def _told(code: object, file: str) -> None:
    """Write an exit code to a file, which is there at once and whole."""
    sys.stdout.flush()
    sys.stderr.flush()
    number = code if isinstance(code, int) else int(bool(code))
    with open(f"{file}.part", "w", encoding="utf-8") as sink:
        sink.write(str(number))
    os.rename(f"{file}.part", file)


def nurse() -> None:
    """Fork a child a line."""
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # nobody waits for them here
    for line in sys.stdin:
        order = json.loads(line)
        number = os.fork()
        if not number:
            try:
                signal.signal(signal.SIGCHLD, signal.SIG_DFL)
                _child(order)
            except SystemExit as end:
                if "code" in order:
                    _told(end.code, order["code"])
            finally:
                os._exit(1)
        sys.stdout.write(f"{number}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    nurse()
