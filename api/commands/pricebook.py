"""`boreworth pricebook`: the built-in price book, to copy and change."""

import os
from typing import Annotated

import typer

from api.commands.edge import WRONG, json_of, stop, write_file

__all__ = ["pricebook"]

Out = Annotated[str, typer.Option(metavar="FILE.json", help="File to write; - is standard output.")]


Force = Annotated[bool, typer.Option("--force", help="Write over a file that holds something else.")]


def pricebook(out: Out, force: Force = False) -> None:
    """Write the built-in price book; its figures are invented."""
    from estimator.book.pricebook import builtin_document

    book = json_of(builtin_document())
    if not force and _holds_other(out, book):
        stop(WRONG, f"{out}: holds something else, perhaps your own prices; give another name, or --force")
    write_file(out, book)


def _holds_other(file: str, data: bytes) -> bool:
    """Return whether a file is there whose content would be lost."""
    if file == "-" or not os.path.isfile(file) or not os.path.getsize(file):
        return False
    with open(file, "rb") as there:
        return there.read() != data
