"""The quote workbook against the bare library writing the same cells, in one run."""

import io
import statistics
import time
from collections.abc import Callable
from pathlib import Path

import openpyxl

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from exports.sheets import QUOTE
from exports.workbook import quote_workbook

__all__ = ["workbook_ratio"]

ROUNDS = 15


def workbook_ratio(sample: Path) -> tuple[float, str]:
    """Return the time of our workbook over that of the library writing the same values, without looks or charts."""
    found = estimate(sample.read_bytes(), read_pricebook())
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

    def timed(work: Callable[[], object]) -> float:
        start = time.perf_counter()
        work()
        return time.perf_counter() - start

    rounds = [(timed(lambda: quote_workbook(found, QUOTE)), timed(bare)) for _ in range(ROUNDS)]
    ours, theirs = (1e3 * statistics.median(column) for column in zip(*rounds, strict=True))
    return statistics.median(a / b for a, b in rounds), f"{ours:.0f} against {theirs:.0f} ms"
