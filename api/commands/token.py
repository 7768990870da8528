"""`boreworth token`: who may use the service from elsewhere."""

from typing import TYPE_CHECKING, Annotated

import typer

from api.commands.edge import REFUSED, WRONG, AsJson, print_data, print_json, print_page, say, stop

if TYPE_CHECKING:
    from api.store.models import Token

__all__ = ["app"]

app = typer.Typer(no_args_is_help=True, rich_markup_mode=None)
Name = Annotated[str, typer.Argument(help="Whom it is for, or which device.")]
Database = Annotated[str | None, typer.Option(metavar="URL", help="Else BOREWORTH_DATABASE, else boreworth.db here.")]
EXPIRES = "A day (2027-01-31) or how long from now (90 day); never, if left out."
LONGEST_NAME = 80
TAKEN = {"clock", "loopback"}  # names that stand for nobody in the audit


@app.command("add")
def add(
    name: Name,
    role: Annotated[str, typer.Option(help="owner, estimator, field or fleet; the last two never see cost.")],
    expires: Annotated[str | None, typer.Option(metavar="WHEN", help=EXPIRES)] = None,
    database: Database = None,
) -> None:
    """Make a token and print it, this once; only its hash is kept."""
    from api.access.secrets import digest, new_token
    from api.commands.opened import noted, opened
    from api.store import keys
    from estimator.document.redact import ROLES

    if role not in ROLES:
        stop(WRONG, f"boreworth token add: --role: {role!r} is none; choose of {', '.join(ROLES)}")
    if name.strip() in TAKEN:
        stop(WRONG, f"boreworth token add: NAME: {name!r} stands for no person; take another")
    if not (name.strip() and len(name) <= LONGEST_NAME and name.isprintable()):
        stop(WRONG, f"boreworth token add: NAME: must be 1 to {LONGEST_NAME} characters that can be printed")
    ends, secret = None if expires is None else _end(expires), new_token()
    with opened(database) as store:
        try:
            with store.writing() as db:
                token = keys.add(db, name.strip(), role, digest(secret), ends)
                noted(db, "token added", token)
        except keys.TakenNameError:
            stop(REFUSED, f"boreworth token add: {name}: a token of this name is in force; revoke it or take another")
    say(f"{name.strip()}, {role}, {'never expires' if ends is None else 'until ' + ends}; it is shown only now:")
    print_data(secret.encode() + b"\n")


@app.command("list")
def every(as_json: AsJson = False, database: Database = None) -> None:
    """List the tokens, those revoked or expired too; never the tokens themselves."""
    from api.commands.opened import opened
    from api.store import keys

    with opened(database) as store, store.reading() as db:
        found = [_shown(token) for token in keys.every(db)]
    if as_json:
        print_json(found)
        return
    heads: dict[str, str | None] = {
        key: key.replace("_", " ") for key in ("name", "role", "state", "created_at", "expires_at", "last_used_at")
    }
    rows: list[dict[str, str | None]] = [heads, *found]
    wide = {key: max(len(row[key] or "") for row in rows) for key in heads}
    lines = ["  ".join(f"{row[key] or '':<{wide[key]}}" for key in heads).rstrip() for row in rows]
    print_page("\n".join([*lines, ""]) if found else "no token yet: boreworth token add NAME --role owner\n")


@app.command("revoke")
def revoke(name: Name, database: Database = None) -> None:
    """Revoke a token; whoever uses it is refused at once, everywhere."""
    from api.commands.opened import noted, opened
    from api.store import keys

    with opened(database) as store, store.writing() as db:
        found = keys.revoke(db, name.strip())
        for token in found:
            noted(db, "token revoked", token)
    if not found:
        stop(REFUSED, f"boreworth token revoke: {name}: no token of this name is in force; see boreworth token list")
    say(f"{name.strip()}: revoked")


def _end(text: str) -> str:
    """Return when a token ends, as times are kept."""
    from api.store.clock import day_of, later, now
    from estimator.units import UnitError, read

    moment = day_of(text)
    try:
        moment = moment or later(now(), read(text, "time"))
    except (UnitError, ValueError, OverflowError):
        stop(WRONG, f"boreworth token add: --expires: {text!r} is neither a day (2027-01-31) nor a time (90 day)")
    if moment <= now():
        stop(WRONG, f"boreworth token add: --expires: {text!r} is past already")
    return moment


def _shown(token: "Token") -> dict[str, str | None]:
    """Return what may be seen of a token."""
    from api.store.clock import now

    ended = token.expires_at is not None and token.expires_at <= now()
    state = "revoked" if token.revoked_at else "expired" if ended else "in force"
    times = {key: getattr(token, key) for key in ("created_at", "expires_at", "revoked_at", "last_used_at")}
    return {"name": token.name, "role": token.role, "state": state, **times}
