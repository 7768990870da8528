"""`boreworth intake`: a sheet to fill in on site, as a workbook or to print, blank or from a job."""

import os
from typing import Annotated

import typer

from api.commands.edge import WRONG, BookFile, faults_in, read_book, read_file, stop, write_file

__all__ = ["ending", "intake"]

COMMAND = "boreworth intake"


def ending(file: str) -> str:
    """Return how the name of a file ends, in small letters."""
    return os.path.splitext(file)[1].lower()


def intake(
    out: Annotated[
        str, typer.Option(metavar="SHEET.xlsx|SHEET.pdf", help="The workbook to write, or a sheet to print.")
    ],
    job: Annotated[str | None, typer.Argument(metavar="JOB.json", help="A job whose answers stand in it.")] = None,
    us: Annotated[bool, typer.Option("--inch", help="Offer inch, degF and mile first on a blank sheet.")] = False,
    pricebook: BookFile = None,
) -> None:
    """Write a sheet to fill in on site; `boreworth read` brings it back."""
    if ending(out) not in (".xlsx", ".pdf"):
        stop(WRONG, f"{COMMAND}: --out: {out[:80]!r} must end in .xlsx, or in .pdf to print it")
    document = None
    if job is not None:
        if os.path.exists(out) and os.path.exists(job) and os.path.samefile(out, job):
            stop(WRONG, f"{COMMAND}: --out: is the file of the job; give another name")
        book = read_book(pricebook)
        with faults_in(job):
            from estimator.strict import parse
            from exports.intake.check import check_of, partly

            document = parse(read_file(job))
            check_of(book)(partly(document))
    if ending(out) == ".pdf":
        import datetime

        from exports.papers.intake import intake_paper

        write_file(out, intake_paper(document, datetime.date.today(), us or None))  # the day on site
        return
    from exports.intake.form import intake_workbook

    write_file(out, intake_workbook(document, us or None))
