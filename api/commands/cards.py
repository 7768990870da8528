"""`boreworth cards`: the weld cards of a job as a workbook of their own, a page a bore."""

from typing import Annotated

import typer

from api.commands.edge import AsJson, BookFile, JobFile, Units, estimated, in_asked_units, print_json, say, write_file
from api.commands.quote import Paper

__all__ = ["cards"]


def cards(
    job: JobFile,
    out: Annotated[str, typer.Option(metavar="CARDS.xlsx", help="Where the workbook goes.")],
    as_json: AsJson = False,
    paper: Annotated[Paper, typer.Option(help="Paper the pages are set for.")] = Paper.A4,
    units: Annotated[
        Units | None, typer.Option(help="Units of the papers; as most bores were typed where not said.")
    ] = None,
    pricebook: BookFile = None,
) -> None:
    """Write the weld cards of a job, one page a bore, to tape to the boss."""
    found = in_asked_units(estimated(job, pricebook), units)
    from exports.sheets import card
    from exports.workbook import quote_workbook, sheets_of

    names = [sheet.name for sheet in sheets_of(found, [card.sheets])]
    write_file(out, quote_workbook(found, [card.sheets], paper.value))
    if as_json:
        print_json({"file": out, "sheets": names})
    else:
        say(f"{out}: {', '.join(names)}")
