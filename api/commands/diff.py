"""`boreworth diff`: which causes moved the price from one job to another."""

from typing import Annotated

import typer

from api.commands.edge import AsJson, BookFile, faults_in, print_json, print_page, read_book, read_file

__all__ = ["diff"]


def diff(
    first: Annotated[str, typer.Argument(metavar="A.json", help="The job it is held against.")],
    second: Annotated[str, typer.Argument(metavar="B.json", help="The job whose price moved.")],
    as_json: AsJson = False,
    pricebook: BookFile = None,
    other_pricebook: Annotated[
        str | None, typer.Option(metavar="FILE", help="The price book of B, if it is another.")
    ] = None,
) -> None:
    """Say which causes moved the price from A to B, and by how much."""
    book = read_book(pricebook)
    other = book if other_pricebook is None else read_book(other_pricebook)
    one, two = read_file(first), read_file(second)
    from estimator.estimate import estimate
    from estimator.trust.causes import causes

    for file, document, rates in ((first, one, book), (second, two, other)):
        with faults_in(file):
            estimate(document, rates, "price")
    found = causes(one, two, book, other)
    if as_json:
        print_json(found)
        return
    from exports.page.choice import causes_page

    print_page(causes_page(found))
