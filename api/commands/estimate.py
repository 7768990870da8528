"""`boreworth estimate`: what a job takes and costs."""

from enum import StrEnum
from typing import Annotated

import typer

from api.commands.edge import (
    WRONG,
    AsJson,
    BookFile,
    JobFile,
    faults_in,
    print_json,
    print_page,
    read_book,
    read_file,
    say,
    stop,
)

__all__ = ["Units", "estimate"]


class Units(StrEnum):
    """Units of the page for people."""

    METRIC = "metric"
    US = "us"


def estimate(
    job: JobFile,
    as_json: AsJson = False,
    units: Annotated[Units, typer.Option(help="Units of the page for people.")] = Units.METRIC,
    spread: Annotated[int | None, typer.Option(metavar="N", help="Not built yet.")] = None,
    pricebook: BookFile = None,
) -> None:
    """Print what a job takes and costs."""
    if spread is not None:
        stop(WRONG, "boreworth estimate: --spread: not built yet")
    book = read_book(pricebook)
    document = read_file(job)
    with faults_in(job):
        from estimator.estimate import estimate as estimate_of

        found = estimate_of(document, book)
    if as_json:
        for warning in found["warnings"]:
            say(f"{job}: warning: {warning['text']}")
        print_json(found)
        return
    from exports.page.estimate import page

    print_page(page(found, units.value))
