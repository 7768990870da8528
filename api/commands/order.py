"""`boreworth order`: what to take and to order for several jobs."""

from typing import Annotated

import typer

from api.commands.edge import (
    WRONG,
    AsJson,
    BookFile,
    faults_in,
    lines_of,
    print_json,
    print_page,
    read_book,
    read_file,
    stop,
    write_file,
)

__all__ = ["order"]


def order(
    jobs: Annotated[list[str], typer.Argument(metavar="JOB.json...", help="The job documents.")],
    stock: Annotated[str | None, typer.Option(metavar="FILE", help="Stock on hand: item,on_hand,pack_size.")] = None,
    service_level: Annotated[float, typer.Option(metavar="LEVEL", help="Share of cases covered.")] = 0.95,
    as_json: AsJson = False,
    out: Annotated[str | None, typer.Option(metavar="ORDER.xlsx", help="Also write a workbook.")] = None,
    pricebook: BookFile = None,
) -> None:
    """Say what to take and to order for several jobs."""
    book = read_book(pricebook)
    documents = [read_file(job) for job in jobs]
    from estimator.errors import DocumentError, Fault
    from estimator.order import order as ordered
    from estimator.order import read_stock

    have = None
    if stock is not None:
        with faults_in(stock):
            try:
                have = read_stock(read_file(stock).decode("utf-8-sig"))
            except UnicodeDecodeError:
                raise DocumentError([Fault("", "is not UTF-8; save the file as UTF-8")]) from None
    try:
        with faults_in(", ".join(jobs)):
            found = ordered(documents, book, have, service_level)
    except DocumentError as error:  # pragma: no cover  # faults_in ends the command
        stop(WRONG, *lines_of(jobs[0], error.faults))
    if out is not None:
        from exports.sheets.order import sheet
        from exports.workbook import workbook

        write_file(out, workbook([sheet(found)], "order"))
    if as_json:
        print_json(found)
        return
    from exports.page_choice import order_page

    print_page(order_page(found))
