"""Who is being answered: known to everything that runs for one request, in its thread or another."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Literal

from estimator.document.redact import Role, sees_cost, sees_money

__all__ = ["LOOPBACK", "NOBODY", "Caller", "answering", "current", "number_request", "request_id"]


@dataclass(frozen=True)
class Caller:
    """Who asks, as which role, and how that is known; `key` is what limits and replays go by."""

    name: str
    role: Role
    way: Literal["loopback", "token", "session", "none"]
    key: str

    @property
    def sees_cost(self) -> bool:
        """Return whether cost and margin may be shown."""
        return sees_cost(self.role)

    @property
    def sees_money(self) -> bool:
        """Return whether any amount of money may be shown."""
        return sees_money(self.role)


LOOPBACK = Caller("loopback", "owner", "loopback", "loopback")
NOBODY = Caller("", "field", "none", "")  # what is open to all is shown as to whom least is shown
_CALLER: ContextVar[Caller] = ContextVar("caller")
_NUMBER: ContextVar[str] = ContextVar("request_id", default="")


def current() -> Caller:
    """Return who is being answered; raise `LookupError` outside a request, so that nothing is shown by oversight."""
    return _CALLER.get()


@contextmanager
def answering(caller: Caller) -> Iterator[None]:
    """Answer a caller within the block."""
    before = _CALLER.set(caller)
    try:
        yield
    finally:
        _CALLER.reset(before)


def request_id() -> str:
    """Return the number of the request that is being answered; empty outside one."""
    return _NUMBER.get()


def number_request(number: str) -> None:
    """Give the request that is being answered its number."""
    _NUMBER.set(number)
