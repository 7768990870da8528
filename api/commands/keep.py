"""`boreworth migrate`, `backup`, `restore` and `export`: what is kept, kept well."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Annotated

import typer

from api.commands.edge import REFUSED, WRONG, say, stop

if TYPE_CHECKING:
    from api.store.audit import Who
    from api.store.engine import Store

__all__ = ["backup", "export", "migrate", "restore"]

Database = Annotated[str | None, typer.Option(metavar="URL", help="Else BOREWORTH_DATABASE, else boreworth.db here.")]
Out = Annotated[str, typer.Option(metavar="FILE", help="Where the backup goes; one that is there is replaced whole.")]
Folder = Annotated[str, typer.Option("--out", metavar="FOLDER", help="A new or empty folder.")]
File = Annotated[str, typer.Argument(metavar="FILE", help="A backup.")]


@contextmanager
def _named(database: str | None, *, there: bool) -> Iterator["Store"]:
    """Use the database as it is, unprepared; end the command where it cannot be used, or is not there but shall be."""
    from api.commands.settings import read_settings
    from api.store.address import DEFAULT, read_address
    from api.store.engine import Store
    from api.store.errors import StoreError, UnusableError
    from api.store.schema import must_be_there

    store = None
    try:
        address = read_address(read_settings(database=database).database or DEFAULT)
        store = Store(address)
        if there:
            must_be_there(store)
        yield store
    except UnusableError as error:
        stop(WRONG, f"boreworth: {error}")
    except StoreError as error:
        stop(REFUSED, f"boreworth: {error}")
    finally:
        if store is not None:
            store.close()


def migrate(database: Database = None) -> None:
    """Bring the tables of a database to this program's version, or make them; a file is backed up before."""
    from api.store.schema import migrate as bring

    with _named(database, there=False) as store:
        say(bring(store))


def backup(out: Out, database: Database = None) -> None:
    """Write everything into one file while servers run, and verify it by restoring it."""
    from api.store.backups import back_up, unsound

    with _named(database, there=True) as store:
        held, faults = back_up(store, out), unsound(store)
    say(f"{out}: {held['jobs'][0]} jobs, {held['quotes'][0]} quotes, verified by restoring it")
    if faults:
        stop(REFUSED, *(f"{out}: {line}; a restore would refuse it, so keep an earlier backup" for line in faults))


def restore(file: File, database: Database = None) -> None:
    """Put what a backup holds in the place of what a database holds; the former content is kept in a file."""
    from api.store.backups import restore as put_back

    with _named(database, there=False) as store:
        for line in put_back(file, store, _user()):
            say(line)
    say("tokens that were revoked since the backup are in force again: look at boreworth token list")


def export(out: Folder, database: Database = None) -> None:
    """Write everything as plain JSON and CSV, and every quote with its workbook."""
    from api.store.exports import export as write

    with _named(database, there=True) as store:
        counts = write(store, out)
    say(f"{out}: " + ", ".join(f"{count} {name}" for name, count in counts.items()))


def _user() -> "Who":
    """Return which user of this machine runs the command."""
    import getpass

    from api.store.audit import Who

    try:
        user = getpass.getuser()
    except (OSError, KeyError):  # a container may run as a number without a name
        user = "unknown"
    return Who(f"{user} (command)", "owner")
