"""A workbook's sheets as plain cells, read in bounded memory; what stands in a cell is a value or said to be none."""

import datetime
import functools
import io
import warnings
from dataclasses import dataclass
from typing import Any, Final

from estimator.errors import DocumentError, Fault
from exports.intake.archive import checked
from exports.intake.said import Content, Odd

__all__ = ["Page", "pages_of"]

MOST_ROWS, MOST_COLUMNS, MOST_SHEETS = 15_000, 400, 40
LONGEST_TEXT: Final = 32_767  # characters that a cell can hold
UNREADABLE = "cannot be read as a workbook; save it again as .xlsx"


@dataclass(frozen=True)
class Page:
    """One sheet: its name and what stands in its cells, by row and column from 1."""

    name: str
    cells: dict[tuple[int, int], Content]

    def get(self, row: int, column: int) -> Content:
        """Return what stands in a cell; None where nothing does."""
        return self.cells.get((row, column))

    def at(self, row: int, column: int) -> str:
        """Return the name of a cell, as a spreadsheet has it: "Readings!D7"."""
        letters = ""
        while column:
            column, one = divmod(column - 1, 26)
            letters = chr(ord("A") + one) + letters
        return f"{self.name}!{letters}{row}"

    @functools.cached_property
    def _columns(self) -> dict[int, list[int]]:
        found: dict[int, list[int]] = {}
        for row, column in sorted(self.cells):
            found.setdefault(row, []).append(column)
        return found

    def columns(self, row: int) -> list[int]:
        """Return the columns of a row in which something stands, from the left."""
        return self._columns.get(row, [])

    @property
    def last(self) -> int:
        """Number of the last row in which something stands."""
        return max(self._columns, default=0)


def _content(cell: Any) -> Content:  # noqa: ANN401  # a cell of the library, which comes without types here
    """Return what stands in a cell."""
    value, kind = cell.value, cell.data_type
    if kind == "f":
        return Odd("a formula")
    if kind == "e":
        return Odd(f"the error {str(value)[:20]}")
    if isinstance(value, datetime.datetime):
        return value.date() if value.time() == datetime.time() else Odd("a date with a time")
    if isinstance(value, datetime.time | datetime.timedelta):
        return Odd("a time of day")
    if isinstance(value, str):
        return value if value.strip() else None
    return value if value is None or isinstance(value, int | float | bool) else Odd("no value")


def _page(sheet: Any) -> Page:  # noqa: ANN401  # a sheet of the library
    """Return one sheet's cells."""
    sheet.reset_dimensions()  # what a file says of its own extent need not be so
    cells: dict[tuple[int, int], Content] = {}
    for row, found in enumerate(sheet.iter_rows(max_row=MOST_ROWS, max_col=MOST_COLUMNS), 1):
        for column, cell in enumerate(found, 1):
            if cell.value is not None and (content := _content(cell)) is not None:
                cells[row, column] = content
    return Page(sheet.title, cells)


def pages_of(data: bytes, wanted: tuple[str, ...]) -> dict[str, Page]:
    """Return the sheets of a workbook that have one of the names wanted, by that name.

    Raises
    ------
    DocumentError
        If the file is none that is to be opened, or cannot be read.
    """
    checked(data)
    from openpyxl import load_workbook  # noqa: PLC0415  # only loaded by who reads a workbook

    known = {name.casefold(): name for name in wanted}
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what the library does not keep of a file matters to nobody here
            book = load_workbook(io.BytesIO(data), read_only=True, keep_links=False)
            found = [sheet for sheet in book.worksheets if sheet.title.strip().casefold() in known]
            return {known[sheet.title.strip().casefold()]: _page(sheet) for sheet in found}
    except MemoryError:
        raise
    except Exception:  # the library raises whatever a broken file makes it stumble over
        raise DocumentError([Fault("", UNREADABLE)]) from None
