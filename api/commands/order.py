"""`boreworth order`: what to take and to order for several jobs."""

from typing import TYPE_CHECKING, Annotated

import typer

from api.commands.edge import (
    REFUSED,
    WRONG,
    AsJson,
    BookFile,
    faults_in,
    print_json,
    print_page,
    read_book,
    read_file,
    stop,
    write_file,
)

if TYPE_CHECKING:
    from estimator.errors import Fault

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
    from estimator.buying import order as ordered
    from estimator.buying import read_stock
    from estimator.errors import DocumentError, Fault, JobRefusedError

    have = None
    if stock is not None:
        with faults_in(stock):
            try:
                have = read_stock(read_file(stock).decode("utf-8-sig"))
            except UnicodeDecodeError:
                raise DocumentError([Fault("", "is not UTF-8; save the file as UTF-8")]) from None
    try:
        found = ordered(documents, book, have, service_level)
    except DocumentError as error:
        stop(WRONG, *(_told(fault, jobs, stock) for fault in error.faults))
    except JobRefusedError as error:
        stop(REFUSED, *(_told(fault, jobs, stock) for fault in error.faults))
    if out is not None:
        from exports.sheets.order import sheet, van
        from exports.workbook import workbook

        write_file(out, workbook([sheet(found), van(found)], "order"))
    if as_json:
        print_json(found)
        return
    from exports.page.choice import order_page

    print_page(order_page(found))


def _told(fault: "Fault", jobs: list[str], stock: str | None) -> str:
    """Return a fault as a line that begins with the file it stands in."""
    where, _, rest = fault.path.partition(".")
    if where == "jobs" and rest:
        number, _, key = rest.partition(".")
        place = f"{key}: " if key and not fault.addressed else ""
        return f"{jobs[int(number)]}: {place}{fault.message}"
    if where == "stock" and stock is not None:
        return f"{stock}: {fault}"
    return f"boreworth order: {fault}"
