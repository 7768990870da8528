"""The quote workbook against the bare library writing the same cells."""

import io

import openpyxl

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from exports.sheets import QUOTE
from exports.workbook import quote_workbook
from tests.benchmarks.ratio import Ratio, least
from tests.benchmarks.shell import SAMPLE

__all__ = ["workbook_ratio"]


def workbook_ratio() -> Ratio:
    """Return the time of our workbook over that of the library writing the same values, without looks or charts."""
    found = estimate(SAMPLE.read_bytes(), read_pricebook(), "full")
    source = openpyxl.load_workbook(io.BytesIO(quote_workbook(found, QUOTE)))
    cells = [
        (sheet.title, [(c.row, c.column, c.value) for row in sheet.iter_rows() for c in row if c.value is not None])
        for sheet in source
    ]

    def bare() -> None:
        book = openpyxl.Workbook()
        book.remove(book.worksheets[0])
        for title, values in cells:
            page = book.create_sheet(title)
            for row, column, value in values:
                page.cell(row, column, value)
        book.save(io.BytesIO())

    ours, theirs = least(lambda: quote_workbook(found, QUOTE)), least(bare)
    return Ratio(
        "quote workbook against openpyxl", ours / theirs, 1.5, f"{1e3 * ours:.0f} against {1e3 * theirs:.0f} ms"
    )
