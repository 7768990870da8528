"""The store of a command, opened and made ready; what is wrong with it ends the command in one line."""

import getpass
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from api.commands.edge import REFUSED, WRONG, say, stop

if TYPE_CHECKING:
    from sqlmodel import Session

    from api.store.engine import Store
    from api.store.models import Token

__all__ = ["noted", "open_store", "opened"]


def open_store(database: str) -> "Store":
    """Return the store at a URL, its tables made where there are none; end the command if it cannot be used."""
    from api.store.address import read_address
    from api.store.engine import Store
    from api.store.errors import StoreError
    from api.store.schema import prepare

    try:
        store = Store(read_address(database))
        done = prepare(store)
    except StoreError as error:
        stop(WRONG, f"boreworth: --database: {error}")
    if done:
        say(done)
    return store


@contextmanager
def opened(database: str | None) -> Iterator["Store"]:
    """Use the store of `--database`, else of BOREWORTH_DATABASE; end the command if it cannot answer."""
    from api.commands.settings import read_settings
    from api.store.errors import StoreError

    store = open_store(read_settings(database=database).database)
    try:
        yield store
    except StoreError as error:
        stop(REFUSED, f"boreworth: {store.address}: {error}")
    finally:
        store.close()


def noted(db: "Session", action: str, token: "Token") -> None:
    """Note in the audit what was done to a token, and by which user of this machine."""
    from api.store.audit import Who, note

    try:
        user = getpass.getuser()
    except (OSError, KeyError):  # a container may run as a number without a name
        user = "unknown"
    note(db, Who(f"{user} (command)", "owner"), action, f"token {token.name}", role=token.role)
