"""`boreworth explain`: how one figure came about."""

from typing import Annotated

import typer

from api.commands.edge import (
    WRONG,
    AsJson,
    BookFile,
    JobFile,
    faults_in,
    opened,
    print_json,
    print_page,
    stop,
)

__all__ = ["explain"]

Key = Annotated[str, typer.Argument(metavar="KEY", help="Path of the figure, such as bores.A.buildup.deposit_mass_kg.")]
Begin = Annotated[int | None, typer.Option("--step", metavar="N", help="Begin at the step with that number.")]
Depth = Annotated[int | None, typer.Option("--depth", metavar="N", min=1, help="Show that many levels of steps.")]


def explain(
    job: JobFile, key: Key, step: Begin = None, depth: Depth = None, as_json: AsJson = False, pricebook: BookFile = None
) -> None:
    """Print how one figure of the estimate came about, with its sources."""
    from api.explained import explained
    from estimator.errors import UnknownEntryError
    from exports.page.explained import page

    document, book = opened(job, pricebook)
    with faults_in(job):
        found = explained(document, book, key, at=key)
    if as_json:
        print_json(found)
    else:
        try:
            print_page(page(found, step=step, depth=depth))
        except UnknownEntryError as error:
            stop(WRONG, f"--step: {error}")
