"""What the service writes down about its work: one JSON object a line on standard error, only keys named here.

A key that is not named is dropped, so that no token, no document and no cost reaches a log by oversight. What the
server library has to say comes as lines of the same kind.
"""

import logging
import sys
import traceback
from collections.abc import MutableMapping
from pathlib import Path
from typing import Any

import structlog

from api.caller import request_id

__all__ = ["configure", "log", "place_of"]

HOUSE = str(Path(__file__).resolve().parents[1])  # where our packages lie
KEYS = {
    "event", "level", "time", "request_id", "method", "route", "status", "ms", "caller", "role", "way", "peer", "kind",
    "where", "said", "process",
}  # fmt: skip


def _numbered(_: Any, __: str, event: MutableMapping[str, Any]) -> MutableMapping[str, Any]:  # noqa: ANN401  # the library's own
    """Add the number of the request under way."""
    return {**event, "request_id": request_id()} if request_id() else event


def _only_named(_: Any, __: str, event: MutableMapping[str, Any]) -> MutableMapping[str, Any]:  # noqa: ANN401  # the library's own
    return {key: value for key, value in event.items() if key in KEYS}


class _Passed(logging.Handler):
    """Passes the words of the server library on; a traceback could quote a document and is cut to its place."""

    def emit(self, record: logging.LogRecord) -> None:
        """Write one record."""
        error = record.exc_info[1] if record.exc_info else None
        more = {"kind": type(error).__name__, "where": place_of(error)} if error else {"said": record.getMessage()}
        getattr(log(), record.levelname.lower(), log().info)("server", **more)


def configure(level: str) -> None:
    """Write what is of this level or above to standard error."""
    number = logging.getLevelNamesMapping()[level.upper()]
    structlog.configure(
        processors=[
            _numbered,
            structlog.processors.add_log_level,
            structlog.processors.TimeStamper(fmt="iso", utc=True, key="time"),
            _only_named,
            structlog.processors.JSONRenderer(sort_keys=True),
        ],
        wrapper_class=structlog.make_filtering_bound_logger(number),
        logger_factory=lambda *_: structlog.WriteLogger(sys.stderr),  # as it is when something is written
        cache_logger_on_first_use=False,
    )
    server = logging.getLogger("uvicorn")
    passed: list[logging.Handler] = [_Passed()]
    server.handlers, server.propagate = passed, False
    server.setLevel(max(number, logging.WARNING))


def log() -> Any:  # noqa: ANN401  # the library's own proxy
    """Return the log."""
    return structlog.get_logger()


def place_of(error: BaseException) -> str:
    """Return where an error came up: the last place in our own code, and the library's if it came up there.

    Never its words, which may quote a document.
    """
    steps = traceback.extract_tb(error.__traceback__)
    own = [step for step in steps if step.filename.startswith(HOUSE)]
    places = [f"{step.filename.rpartition('/')[2]}:{step.lineno}" for step in (own[-1:] + steps[-1:])]
    return " in ".join(dict.fromkeys(places))


if not structlog.is_configured():  # an application that is not run by `serve` still tells of its defects
    configure("error")
