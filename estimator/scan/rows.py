"""Rows of a table of points to places in metres.

A block of clean lines is read at once; a block that holds anything odd is read cell by cell, and told by row.
"""

import csv
import re
from typing import NamedTuple

import numpy as np

from estimator.errors import DocumentError, Fault
from estimator.geometry.frame import Array, Whole
from estimator.scan.header import Columns, metres_of
from estimator.units import factor

__all__ = ["MOST_POINTS", "Block", "Reader"]

MOST_POINTS = 1_000_000
MOST_FAULTS = 20
FARTHEST = 1000.0  # [m] no arm reaches beyond
QUANTUM = (
    1e-4  # [mm] places are rounded to it: below what an arm can tell, and the same from inches as from millimetres
)
NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,4})?")
Clean = tuple[Array, Whole, list[list[str]]]


class Block(NamedTuple):
    """What a block of lines holds: places (n, 3) [m], their rows, the numbers of their labels (or none)."""

    points: Array
    rows: Whole
    labels: Whole


class Reader:
    """Reads blocks of lines by the columns of their header; gathers faults and the labels it met."""

    def __init__(self, columns: Columns) -> None:
        self.columns = columns
        self.faults: list[Fault] = []
        self.labels: dict[str, int] = {}
        self.count = 0
        self._metres: dict[str, float] = {}
        self._mark = ""

    def block(self, lines: list[str], row: int) -> Block:
        """Return what the lines hold, the first of which is that row; raise `DocumentError` at too many faults."""
        numbers, rows, (labels, units) = self._at_once(lines, row) or self._by_row(lines, row)
        self.count += len(rows)
        if self.count > MOST_POINTS:
            raise DocumentError([Fault("", f"holds more than {MOST_POINTS} points; thin them before")])
        metres = numbers * np.array(self.columns.factors)
        if self.columns.unit >= 0:
            metres = metres * self._factors(units, rows)
        self._near(metres, rows)
        quantum = QUANTUM * factor("mm")
        codes = [self.labels.setdefault(label, len(self.labels)) for label in labels]
        if len(self.faults) >= MOST_FAULTS:
            raise DocumentError(
                [*self.faults[:MOST_FAULTS], Fault("", f"only the first {MOST_FAULTS} faults are told")]
            )
        return Block(np.round(metres / quantum) * quantum, rows, np.array(codes, dtype=np.int64))

    def _wrong(self, row: int, message: str) -> None:
        self.faults.append(Fault(f"row {row}", message))

    def _factors(self, units: list[str], rows: Whole) -> Array:
        """Return metres a unit of each row (n, 1)."""
        for symbol, row in zip(units, rows, strict=True):
            if symbol not in self._metres:
                self._metres[symbol] = metres_of(symbol)
                if not self._metres[symbol]:
                    said = f"{symbol[:20]!r} is no unit of length" if symbol else "has no unit"
                    self._wrong(int(row), f'{said}; write for instance "mm"')
        return np.array([self._metres[symbol] for symbol in units], dtype=float).reshape(-1, 1)

    def _near(self, metres: Array, rows: Whole) -> None:
        far = np.flatnonzero(np.abs(metres).max(axis=1, initial=0.0) > FARTHEST * factor("m"))
        for at in far[:MOST_FAULTS]:
            self._wrong(int(rows[at]), "lies farther off than 1 km; a decimal-point or unit error?")

    # ------------------------------------------------------------ clean lines

    def _at_once(self, lines: list[str], row: int) -> Clean | None:
        """Return what a block holds if all its lines are clean and whole."""
        columns = self.columns
        text = "\n".join(lines)
        if '"' in text:
            lines = self._unquoted(lines)
            text = "\n".join(lines)
        if {line.count(columns.delimiter) for line in lines} != {columns.width - 1}:
            return None
        plain = lines
        if columns.delimiter != ",":
            if ("," in text and "." in text) or not self._same_mark(lines[0]):
                return None
            plain = text.replace(",", ".").split("\n")
        try:
            numbers = np.loadtxt(plain, delimiter=columns.delimiter, usecols=columns.xyz, comments=None, ndmin=2)
        except ValueError:
            return None
        if len(numbers) != len(lines) or not np.isfinite(numbers).all():
            return None
        texts = [self._column(lines, at) for at in (columns.label, columns.unit)]
        return numbers, np.arange(row, row + len(lines), dtype=np.int64), texts

    def _unquoted(self, lines: list[str]) -> list[str]:
        """Return lines without their quotes, or nothing where they are not whole."""
        try:
            rows = list(csv.reader(lines, delimiter=self.columns.delimiter, strict=True))
        except csv.Error:
            return []
        whole = len(rows) == len(lines) and {len(cells) for cells in rows} == {self.columns.width}
        return [self.columns.delimiter.join(cells) for cells in rows] if whole else []

    def _same_mark(self, line: str) -> bool:
        """Return whether a line has the decimal sign of those before it."""
        cells = line.split(self.columns.delimiter)
        marks = {sign for at in self.columns.xyz for sign in ".," if sign in cells[at]}
        self._mark = self._mark or next(iter(marks), "")
        return marks <= {self._mark}

    def _column(self, lines: list[str], at: int) -> list[str]:
        """Return the cells of one column, none where there is no such column."""
        return [line.split(self.columns.delimiter)[at].strip() for line in lines] if at >= 0 else []

    # ------------------------------------------------------------ cell by cell

    def _by_row(self, lines: list[str], row: int) -> Clean:
        """Return what a block holds, cell by cell; what is wrong becomes a fault of its row."""
        numbers, rows, texts = list[list[float]](), list[int](), (list[str](), list[str]())
        for number, line in enumerate(lines, row):
            if len(self.faults) >= MOST_FAULTS:
                break
            if not line.strip(self.columns.delimiter + " \t"):
                continue
            cells = self._cells(line, number)
            found = self._place(cells, number) if cells else None
            if found is None:
                continue
            numbers.append(found)
            rows.append(number)
            for held, at in zip(texts, (self.columns.label, self.columns.unit), strict=True):
                if at >= 0:
                    held.append(cells[at])
        return np.array(numbers, dtype=float).reshape(-1, 3), np.array(rows, dtype=np.int64), list(texts)

    def _cells(self, line: str, row: int) -> list[str]:
        """Return the cells of a line; none if they are not what the header says."""
        try:
            cells = [cell.strip() for cell in next(csv.reader([line], delimiter=self.columns.delimiter, strict=True))]
        except csv.Error as error:
            self._wrong(row, f"is no CSV ({error}); one row a line, quotes in pairs")
            return []
        if len(cells) == self.columns.width:
            return cells
        decimal = self.columns.delimiter == "," and len(cells) > self.columns.width
        hint = "; with decimal commas, part the columns by semicolons" if decimal else ""
        self._wrong(row, f"has {len(cells)} cells where the header has {self.columns.width}{hint}")
        return []

    def _place(self, cells: list[str], row: int) -> list[float] | None:
        """Return the three numbers of a row, or None with a fault."""
        found = []
        for name, at in zip("xyz", self.columns.xyz, strict=True):
            cell = cells[at]
            marks = {sign for sign in ".," if sign in cell}
            if len(marks) == 1 and self.columns.delimiter != ",":
                self._mark = self._mark or next(iter(marks))
                if marks != {self._mark}:
                    self._wrong(row, f"{name} {cell[:40]!r} has another decimal sign than the rows before; keep to one")
                    return None
                cell = cell.replace(",", ".")
            number = float(cell) if NUMBER.fullmatch(cell) else np.nan
            if not np.isfinite(number):
                said = f"{cells[at][:40]!r} is no finite number" if cell else "is empty"
                self._wrong(row, f"{name} {said}; write a plain number such as 45.012")
                return None
            found.append(number)
        return found
