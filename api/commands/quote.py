"""`boreworth quote`: the quote of a job as a workbook."""

from enum import StrEnum
from typing import Annotated

import typer

from api.commands.edge import (
    AsJson,
    BookFile,
    JobFile,
    Units,
    estimated,
    in_asked_units,
    print_json,
    say,
    say_warnings,
    write_file,
)

__all__ = ["Paper", "quote"]


class Paper(StrEnum):
    """Paper that the workbook's pages are set for."""

    A4 = "a4"
    LETTER = "letter"


def quote(
    job: JobFile,
    out: Annotated[str, typer.Option(metavar="QUOTE.xlsx", help="Where the workbook goes.")],
    as_json: AsJson = False,
    paper: Annotated[Paper, typer.Option(help="Paper the pages are set for.")] = Paper.A4,
    units: Annotated[
        Units | None, typer.Option(help="Units of the papers; as most bores were typed where not said.")
    ] = None,
    pricebook: BookFile = None,
) -> None:
    """Write the quote of a job as a workbook."""
    found = in_asked_units(estimated(job, pricebook, "full"), units)
    from exports.format import amount
    from exports.sheets import quote_sheets
    from exports.workbook import quote_workbook, sheets_of

    builders = quote_sheets(found)
    sheets = [sheet.name for sheet in sheets_of(found, builders)]
    write_file(out, quote_workbook(found, builders, paper.value))
    say_warnings(job, found)
    if as_json:
        print_json({"file": out, "sheets": sheets, "estimate": found})
    else:
        price = found["price"]
        say(f"{out}: {', '.join(sheets)}")
        say(f"price with tax {amount(price['total'], price['currency'])}")
