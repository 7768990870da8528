"""Intake sheets as people fill them in: cells typed into a sheet that was written, and what is read from it."""

import io
import re
from collections.abc import Mapping
from typing import Any

import openpyxl
from openpyxl.utils import column_index_from_string

from estimator.book.pricebook import read_pricebook
from estimator.errors import DocumentError
from exports.intake.back import job_of_pages, job_of_sheet
from exports.intake.check import check_of
from exports.intake.form import intake_sheets
from exports.intake.pages import Page

__all__ = ["CHECK", "faults", "pages", "read", "taken", "typed"]

CHECK = check_of(read_pricebook())
PLACE = re.compile(r"(\w+)!([A-Z]+)([0-9]+)")


def typed(sheet: bytes, cells: Mapping[str, Any]) -> bytes:
    """Return a workbook with cells ("Readings!D7") typed over; None empties one."""
    book, out = openpyxl.load_workbook(io.BytesIO(sheet)), io.BytesIO()
    for place, value in cells.items():
        name, _, cell = place.partition("!")
        book[name][cell] = value
    book.save(out)
    return out.getvalue()


def read(sheet: bytes) -> dict[str, Any]:
    """Return the job of a workbook, checked."""
    return job_of_sheet(sheet, CHECK)[0]


def pages(document: Mapping[str, Any] | None, cells: Mapping[str, Any]) -> dict[str, Page]:
    """Return the cells of a sheet written from a document, some typed over, without writing a workbook.

    A workbook has one kind of number: what has no decimals comes back as a whole one.
    """
    found: dict[str, dict[tuple[int, int], Any]] = {}
    for sheet in intake_sheets(document):
        found[sheet.name] = {
            (row, column): whole(cell.value)
            for row, held in enumerate(sheet.rows, 1)
            for column, cell in enumerate(held.cells, 1)
            if cell.value is not None
        }
    for place, value in cells.items():
        match = PLACE.fullmatch(place)
        assert match, place
        found[match[1]][int(match[3]), column_index_from_string(match[2])] = value
    return {
        name: Page(name, {place: value for place, value in held.items() if value is not None})
        for name, held in found.items()
        if name in ("Job", "Bores", "Readings", "Record", "More")
    }


def whole(value: Any) -> Any:
    """Return a number without decimals as a whole one."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


def taken(document: Mapping[str, Any] | None, cells: Mapping[str, Any]) -> dict[str, Any]:
    """Return the job of a sheet written from a document, with some cells typed over."""
    return job_of_pages(pages(document, cells), CHECK)


def faults(document: Mapping[str, Any] | None, cells: Mapping[str, Any]) -> dict[str, str]:
    """Return what is wrong with such a sheet, by cell."""
    try:
        taken(document, cells)
    except DocumentError as error:
        return {fault.path: fault.message for fault in error.faults}
    return {}
