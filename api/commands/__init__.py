"""The command `boreworth`, one file a command."""

import gc
import os
import traceback
from typing import Annotated

import typer

from api.commands import (
    cards,
    compare,
    diff,
    draw,
    estimate,
    explain,
    fleet,
    intake,
    keep,
    learn,
    order,
    pack,
    pricebook,
    quote,
    read,
    serve,
    settings,
    token,
)  # fmt: skip
from api.commands.edge import REFUSED, stop

__all__ = ["app", "main"]

app = typer.Typer(
    name="boreworth",
    help="Prices the repair of worn bores by welding and boring on site.",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=False,
)
app.command("estimate")(estimate.estimate)
app.command("quote")(quote.quote)
app.command("cards")(cards.cards)
app.command("draw")(draw.draw)
app.command("compare")(compare.compare)
app.command("fleet")(fleet.fleet)
app.command("learn")(learn.learn)
app.command("order")(order.order)
app.command("pack")(pack.pack)
app.command("diff")(diff.diff)
app.command("explain")(explain.explain)
app.command("pricebook")(pricebook.pricebook)
app.command("intake")(intake.intake)
app.command("read")(read.read)
app.command("serve")(serve.serve)
app.command("migrate")(keep.migrate)
app.command("backup")(keep.backup)
app.command("restore")(keep.restore)
app.command("export")(keep.export)
app.command("settings")(settings.settings)
app.add_typer(token.app, name="token", help="Who may use the service from elsewhere: add, list, revoke.")


def _version(wanted: bool) -> None:
    if wanted:
        from estimator import ENGINE

        typer.echo(ENGINE)
        raise typer.Exit


@app.callback()
def _top(
    version: Annotated[  # answered by its callback before any command
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and end.")
    ] = False,
) -> None:
    pass


def main() -> None:
    """Run the command; a defect of ours is told in one line, with the place."""
    gc.disable()  # a command ends before there is much to collect; `serve` turns it on again
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # looking for plug-ins takes longer than the estimate
    try:
        app(prog_name="boreworth")
    except Exception as error:
        place = traceback.extract_tb(error.__traceback__)[-1]
        where = f"{os.path.basename(place.filename)}:{place.lineno}"
        stop(REFUSED, f"boreworth: a defect of the program, at {where}: {type(error).__name__}: {error}")
