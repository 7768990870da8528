"""`boreworth serve`: the web service."""

import gc
import signal
import socket
import sys
from typing import TYPE_CHECKING, Annotated

import typer

from api.commands.edge import REFUSED, WRONG, reason_of, say, stop
from api.commands.opened import opened
from api.commands.settings import read_settings

if TYPE_CHECKING:
    from api.settings import Settings
    from api.store.engine import Store
    from api.work.pool import Pool

__all__ = ["serve"]

Host = Annotated[str | None, typer.Option(help="Address to listen on; else BOREWORTH_HOST, else 127.0.0.1.")]
Port = Annotated[int | None, typer.Option(min=0, max=65535, help="Else BOREWORTH_PORT, else 8000; 0 takes a free one.")]
Database = Annotated[str | None, typer.Option(metavar="URL", help="Else BOREWORTH_DATABASE, else boreworth.db here.")]
NO_TOKEN = (
    "no token exists, and others than this machine may come in only with one: boreworth token add NAME --role owner"
)


def serve(host: Host = None, port: Port = None, database: Database = None) -> None:
    """Serve jobs, quotes and estimates over HTTP: on this machine without login, elsewhere with tokens."""
    settings = read_settings(host=host, port=port, database=database)
    with _listening(settings.host.strip("[]"), settings.port) as door, opened(settings.database) as store:
        if settings.login == "always" or not _is_here(door):
            _need_token(settings.host, store)
        _run(door, settings, store)


def _need_token(host: str, store: "Store") -> None:
    """End the command where requests from elsewhere are to come in and no token is in force."""
    from api.store import keys

    with store.reading() as db:
        if not keys.has_any(db):
            stop(WRONG, f"boreworth serve: {host}: {NO_TOKEN}")


def _is_here(door: socket.socket) -> bool:
    """Return whether a socket listens on a loopback address."""
    from api.loopback import is_loopback_peer

    return is_loopback_peer(str(door.getsockname()[0]))


def _listening(host: str, port: int) -> socket.socket:
    """Return a socket that listens; no connection is taken before the service runs."""
    if not host:
        stop(
            WRONG, "boreworth serve: --host: is empty; give an address, 0.0.0.0 for every one of IPv4, :: for every one"
        )
    try:
        family, _, _, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)[0]
        both = family == socket.AF_INET6 and host == "::" and socket.has_dualstack_ipv6()
        return socket.create_server(address[:2], family=family, backlog=2048, dualstack_ipv6=both)
    except OSError as error:
        stop(REFUSED, f"boreworth serve: {host} port {port}: {reason_of(error)}")


def _run(door: socket.socket, settings: "Settings", store: "Store") -> None:
    """Answer requests until told to stop; to be told so is a good end."""
    from api.access.connections import Server, config_of
    from api.app import create_app
    from api.logs import configure

    configure(settings.log_level)
    host, port = door.getsockname()[:2]
    pool = _pool(settings)
    server = Server(config_of(create_app(settings, store, pool)))
    gc.enable()

    def end(*_: object) -> None:
        if not server.started:  # before the server listens to signals itself
            sys.exit(0)

    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, end)
    shown = f"[{host}]" if ":" in host else host
    say(f"serving on http://{shown}:{port}, stop with Ctrl+C")
    try:
        server.run(sockets=[door])
    finally:
        if pool is not None:
            pool.close()


def _pool(settings: "Settings") -> "Pool | None":
    """Return the processes that compute, the first of them on its way; None where there shall be none."""
    from api.work.pool import Pool

    if not settings.workers:
        return None
    pool = Pool(settings.workers, settings.work_deadline, settings.work_queue, settings.work_memory)
    pool.start()
    return pool
