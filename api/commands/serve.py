"""`boreworth serve`: the web service on this machine."""

import gc
import signal
import socket
import sys
from typing import TYPE_CHECKING, Annotated, Any

import typer

from api.commands.edge import REFUSED, WRONG, reason_of, say, stop

if TYPE_CHECKING:
    from api.settings import Settings

__all__ = ["serve"]

Host = Annotated[str | None, typer.Option(help="Address to listen on; else BOREWORTH_HOST, else 127.0.0.1.")]
Port = Annotated[int | None, typer.Option(min=0, max=65535, help="Else BOREWORTH_PORT, else 8000; 0 takes a free one.")]
Database = Annotated[str | None, typer.Option(metavar="URL", help="Not built yet.")]


def serve(host: Host = None, port: Port = None, database: Database = None) -> None:
    """Serve estimates and explanations over HTTP, on this machine only."""
    if database is not None:
        stop(WRONG, "boreworth serve: --database: not built yet")
    settings = _settings(host=host, port=port)
    with _listening(settings.host.strip("[]"), settings.port) as door:
        _run(door)


def _settings(**given: object) -> "Settings":
    """Return the settings, those given on the command line before the variables."""
    from pydantic import ValidationError

    from api.settings import PREFIX, Settings

    chosen: dict[str, Any] = {name: value for name, value in given.items() if value is not None}
    try:
        return Settings(**chosen)
    except ValidationError as error:
        faults = error.errors(include_url=False)
        stop(WRONG, *(f"{PREFIX}{str(one['loc'][0]).upper()}: {one['msg']}" for one in faults))


def _listening(host: str, port: int) -> socket.socket:
    """Return a socket that listens on a loopback address."""
    from api.loopback import is_loopback

    if not is_loopback(host):
        stop(WRONG, f"boreworth serve: {host}: tokens are not built yet; serve on a loopback address such as 127.0.0.1")
    try:
        family, _, _, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        if not is_loopback(str(address[0])):
            stop(WRONG, f"boreworth serve: {host} is {address[0]} here, which is no loopback address")
        return socket.create_server(address[:2], family=family, backlog=2048)
    except OSError as error:
        stop(REFUSED, f"boreworth serve: {host} port {port}: {reason_of(error)}")


def _run(door: socket.socket) -> None:
    """Answer requests until told to stop; to be told so is a good end."""
    import uvicorn

    from api.app import create_app

    host, port = door.getsockname()[:2]
    config = uvicorn.Config(
        create_app(), lifespan="off", ws="none", log_level="warning", access_log=False, proxy_headers=False,
        server_header=False, timeout_graceful_shutdown=10,
    )  # fmt: skip
    server = uvicorn.Server(config)
    gc.enable()

    def end(*_: object) -> None:
        if not server.started:  # before the server listens to signals itself
            sys.exit(0)

    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, end)
    shown = f"[{host}]" if ":" in host else host
    say(f"serving on http://{shown}:{port}, stop with Ctrl+C")
    server.run(sockets=[door])
