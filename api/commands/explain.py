"""`boreworth explain`: how one figure came about."""

from typing import Annotated

import typer

from api.commands.edge import AsJson, BookFile, JobFile, faults_in, print_json, print_page, read_book, read_file

__all__ = ["explain"]

Key = Annotated[str, typer.Argument(metavar="KEY", help="Path of the figure, such as bores.A.buildup.deposit_mass_kg.")]


def explain(job: JobFile, key: Key, as_json: AsJson = False, pricebook: BookFile = None) -> None:
    """Print how one figure of the estimate came about, with its sources."""
    from api.explained import explained
    from estimator.trust.explain import page

    book = read_book(pricebook)
    document = read_file(job)
    with faults_in(job):
        found = explained(document, book, key, at=key)
    if as_json:
        print_json(found)
    else:
        print_page(page(found))
