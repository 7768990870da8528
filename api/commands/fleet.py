"""`boreworth fleet`: a whole list of bores, what to do with each and what one shutdown takes."""

import gc
import multiprocessing
import sys
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from typing import TYPE_CHECKING, Annotated

import typer

from api.commands.edge import (
    WRONG,
    AsJson,
    BookFile,
    faults_in,
    print_json,
    print_page,
    read_book,
    read_file,
    say,
    stop,
    write_file,
)
from api.commands.progress import progress

if TYPE_CHECKING:
    from decimal import Decimal

    from estimator.book.pricebook import PriceBook
    from estimator.fleet.lines import Raw
    from estimator.fleet.make import Answered, Fleet, Worth

__all__ = ["fleet"]

FEW = 40  # jobs that are done before other processes have begun
TOGETHER = 8  # jobs that a process is handed at a time
LARGEST = 64 << 20  # [bytes] of a list
PARQUET = b"PAR1"
_BOOK: "list[PriceBook]" = []  # of a worker process: read once


def fleet(
    rows: Annotated[str, typer.Argument(metavar="LIST.csv", help="A bore a line; the first line names the columns.")],
    out: Annotated[str | None, typer.Option(metavar="FLEET.xlsx", help="Also write a workbook.")] = None,
    as_json: AsJson = False,
    budget: Annotated[str | None, typer.Option(metavar="MONEY", help='Of one shutdown, "20000 EUR".')] = None,
    crew_hours: Annotated[str | None, typer.Option(metavar="TIME", help='Of the crew in it, "80 h".')] = None,
    pricebook: BookFile = None,
) -> None:
    """Say of every bore of a fleet: leave, watch, measure, repair, sleeve, replace or stop, and by when."""
    gc.enable()  # a long list leaves much behind
    book = read_book(pricebook)
    lines = _lines(rows)
    money, hours = _limits(budget, crew_hours, book)
    from estimator.fleet.make import fleet as answered

    with _workers(pricebook, book, len(lines)) as work, progress("bores") as told:
        found = answered(lines, book, budget=money, crew_hours=hours, answered=work, told=told)
    _finish(rows, found, out, as_json)


def _lines(file: str) -> "list[Raw]":
    """Return the rows of a list; end the command where it cannot be read."""
    data = read_file(file)
    if file.lower().endswith(".parquet") or data.startswith(PARQUET):
        stop(WRONG, f"{file}: a list in Parquet is not built yet; save it as CSV")
    if len(data) > LARGEST:
        stop(WRONG, f"{file}: is larger than {LARGEST >> 20} MB; split the list")
    from estimator.errors import DocumentError, Fault
    from estimator.fleet.lines import rows_of_csv

    with faults_in(file):
        try:
            return rows_of_csv(data.decode("utf-8-sig"))
        except UnicodeDecodeError:
            raise DocumentError([Fault("", "is not UTF-8; save the file as UTF-8")]) from None


def _limits(budget: str | None, crew_hours: str | None, book: "PriceBook") -> "tuple[Decimal | None, float | None]":
    from estimator.errors import DocumentError
    from estimator.fleet.limits import limits_of

    try:
        return limits_of(budget, crew_hours, book)
    except DocumentError as error:
        options = {"budget": "--budget", "crew_hours": "--crew-hours"}
        said = (f"{options.get(one.path, one.path)}: {one.message}" for one in error.faults)
        stop(WRONG, *(f"boreworth fleet: {line}" for line in said))


def _finish(file: str, found: "Fleet", out: str | None, as_json: bool) -> None:
    """Tell what was set aside, and write or print what was found; nothing answered is a wrong list."""
    for row in found["set_aside"]:
        say(f"{file}: line {row['line']}: set aside: {'; '.join(row['reasons'])}")
    if not found["rows"]:
        stop(WRONG, f"{file}: no row could be answered")
    if out is not None:
        from exports.sheets.fleet import sheet
        from exports.workbook import workbook

        write_file(out, workbook([sheet(found)], "fleet"))
    if as_json:
        print_json(found)
        return
    from exports.page.fleet import fleet_page

    print_page(fleet_page(found))


# ---------------------------------------------------------------- in several processes


def _begin(book: str | None) -> None:
    _BOOK.append(read_book(book))


def _worth(document: str) -> "Worth":
    from estimator.fleet.make import worth_of

    return worth_of(document, _BOOK[0])


@contextmanager
def _workers(pricebook: str | None, book: "PriceBook", rows: int) -> "Iterator[Answered]":
    """Hand out what answers job documents: in this process where they are few, else in one a processor."""
    from api.work.pool import cores
    from estimator.fleet.make import in_turn

    if rows <= FEW or cores() == 1 or pricebook == "-":
        yield in_turn(book)
        return
    kind = multiprocessing.get_context("fork" if sys.platform == "linux" else "spawn")
    with ProcessPoolExecutor(cores(), kind, _begin, (pricebook,)) as pool:

        def answered(documents: Sequence[str]) -> "Iterable[Worth]":
            return pool.map(_worth, documents, chunksize=TOGETHER)

        yield answered
