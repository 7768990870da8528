"""`boreworth pack`: what the field lead takes along for one job or several, as one PDF to print."""

import os
from typing import Annotated

import typer

from api.commands.edge import (
    WRONG,
    BookFile,
    Units,
    estimated,
    in_asked_units,
    read_book,
    say,
    say_warnings,
    stop,
    write_file,
)

__all__ = ["pack"]

ENDING, PIPE = ".pdf", "-"


def pack(
    jobs: Annotated[list[str], typer.Argument(metavar="JOB.json...", help="The job documents, in the order of work.")],
    out: Annotated[str, typer.Option(metavar="PACK.pdf", help="Where the pack goes.")],
    units: Annotated[
        Units | None, typer.Option(help="Units of the pack; as most bores were typed where not said.")
    ] = None,
    pricebook: BookFile = None,
) -> None:
    """Write the field lead's pack: parts to take, day pages, reading grids, weld and cutting cards, sign-off."""
    ending = os.path.splitext(out)[1].lower()
    if out != PIPE and ending != ENDING:
        stop(WRONG, f"{out}: --out ends in {ending or 'nothing'}; write a name that ends in {ENDING}")
    found = [in_asked_units(estimated(job, pricebook), units) for job in jobs]
    import datetime

    from estimator.van.take import take_for
    from exports.papers.pack import Packed
    from exports.papers.pack import pack as packed

    take = take_for(found, read_book(pricebook)) if len(found) > 1 else None
    write_file(out, packed([Packed(one) for one in found], datetime.date.today(), take))
    for job, one in zip(jobs, found, strict=True):
        say_warnings(job, one)
    say(f"{out}: work pack for {', '.join(one['reference'] for one in found)}")
