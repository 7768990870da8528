"""`boreworth pricebook`: the built-in price book, to copy and change."""

from typing import Annotated

import typer

from api.commands.edge import json_of, write_file

__all__ = ["pricebook"]

Out = Annotated[str, typer.Option(metavar="FILE.json", help="File to write; - is standard output.")]


def pricebook(out: Out) -> None:
    """Write the built-in price book; its figures are invented."""
    from estimator.pricebook import builtin_document

    write_file(out, json_of(builtin_document()))
