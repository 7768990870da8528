"""A sheet in the units of an inch job: figures under a head with a unit are turned, and so are those in texts.

A builder writes a sheet in the document's units and names them in its heads, "Step [mm]"; here each is turned as the
page turns it. Sheets whose figures are prices or are multiplied by prices stay as they are.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from exports.cells import Cell, Formula, Row, Sheet
from exports.format import roughness_said
from exports.in_units import FIGURE, FOUND, US, figure_to_us, text_in, turned_to_us

__all__ = ["in_us"]

KEPT = ("Price", "Inputs", "Parts")  # counted as they are priced
HEADS = frozenset({"head", "over", "beside", "bighead"})
UNIT = "|".join(sorted(map(re.escape, US), key=len, reverse=True))
UNIT_OF = re.compile(rf"(?<=\[)(?:{UNIT})(?=\])|(?<=\n)(?:{UNIT})$")
PLAIN = re.compile(rf"((?:to )?[+-]?)({FIGURE})((?: ±| to )({FIGURE}))?")
SPEED = "Speed [m/min]"  # of cutting, which the trade tells in feet
MASK = 0xE000  # first sign of those that no text has: they stand for names that stay as they were typed


def in_us(sheet: Sheet, estimate: Mapping[str, Any]) -> Sheet:
    """Return a sheet of an estimate document in US units; one that is counted as it is priced, unchanged."""
    if sheet.name in KEPT:
        return sheet
    turner, rows = _Turner(_names(estimate)), list[Row]()
    for row in sheet.rows:
        rows.append(turner.row(row))
    charts = tuple(replace(one, up=turner.text(one.up), across=turner.text(one.across)) for one in sheet.charts)
    return replace(sheet, rows=tuple(rows), charts=charts)


def _names(estimate: Mapping[str, Any]) -> list[str]:
    """Return the texts that somebody typed and that would be read as figures with a unit, longest first."""
    typed = [estimate["reference"], *_texts(estimate["job"]), *(bore["name"] for bore in estimate["bores"])]
    typed += [*_texts(estimate["pricebook"])]
    return sorted({one for one in typed if FOUND.search(one)}, key=len, reverse=True)


def _texts(item: object) -> Iterator[str]:
    """Yield every text that a part of a document holds."""
    if isinstance(item, str):
        yield item
    elif isinstance(item, Mapping):
        for one in item.values():
            yield from _texts(one)


class _Turner:
    """Turns rows one after the other: what a head says of its column holds until the next head."""

    def __init__(self, names: list[str]) -> None:
        self._names = names
        self._columns: dict[int, str] = {}
        self._block = ""

    def row(self, row: Row) -> Row:
        """Return a row in US units."""
        first = row.cells[0] if row.cells else Cell()
        said = first.value if isinstance(first.value, str) else ""
        if first.look == "heading":
            self._block, self._columns = _unit_in(said), {}
        elif first.look in HEADS or any(cell.look in HEADS for cell in row.cells):
            self._columns = {at: _unit_in(str(cell.value or "")) for at, cell in enumerate(row.cells)}
        own = _unit_in(said) if first.look not in HEADS and first.look != "heading" else ""
        cells = tuple(self._cell(cell, own or self._of_column(at)) for at, cell in enumerate(row.cells))
        return replace(row, cells=cells)

    def _of_column(self, at: int) -> str:
        return self._columns.get(at) or (self._block if at and at in self._columns else "")

    def _cell(self, cell: Cell, symbol: str) -> Cell:
        """Return a cell in US units; `symbol`: the metric unit of its column or row, if it has one."""
        value = cell.value
        if isinstance(value, str):
            plain = PLAIN.fullmatch(value) if symbol and cell.look not in HEADS else None
            return replace(cell, value=_plainly(plain, symbol) if plain else self.text(value))
        if not symbol or value is None or isinstance(value, bool):
            return cell
        form = _form(cell.form, symbol)
        if isinstance(value, Formula):
            return replace(cell, value=replace(value, value=figure_to_us(value.value, symbol)), form=form)
        return replace(cell, value=_figure(float(value), symbol), form=form)

    def text(self, words: str) -> str:
        """Return a text in US units, names that somebody typed as they were."""
        masked = words
        for number, name in enumerate(self._names):
            masked = masked.replace(name, chr(MASK + number))
        said = masked.replace(SPEED, "Speed [ft/min]")
        said = text_in(UNIT_OF.sub(lambda found: US[found[0]][1], said), "us")
        for number, name in enumerate(self._names):
            said = said.replace(chr(MASK + number), name)
        return said


def _figure(value: float, symbol: str) -> float:
    """Return a figure in US units; a roughness as the trade says it."""
    return float(roughness_said(value).replace(",", "")) if symbol == "µm" else figure_to_us(value, symbol)


def _unit_in(said: str) -> str:
    """Return the metric unit that a head names, if it is one that is turned."""
    found = UNIT_OF.search(said)
    return "" if found is None else "m/min of cutting" if said == SPEED else found[0]


def _plainly(found: re.Match[str], symbol: str) -> str:
    """Return a figure that stands as a text in a column with a unit: "3.81", "17.1 ±1.5", "90.000 to 90.054"."""
    more = "" if found[3] is None else found[3].removesuffix(found[4]) + turned_to_us(found[4], symbol)
    return f"{found[1]}{turned_to_us(found[2], symbol)}{more}"


def _form(form: str | None, symbol: str) -> str | None:
    """Return a number format as fine as it was, in the other unit; that of each sign of a number."""
    if form is None:
        return None
    return ";".join(_finer(one, US[symbol][2], US[symbol][3]) for one in form.split(";"))


def _finer(form: str, finer: int, most: int) -> str:
    """Return a number format with so many decimals more, or fewer."""
    whole, _, decimals = form.partition(".")
    places = max(0, min(max(most, len(decimals)), len(decimals) + finer))
    return f"{whole}.{'0' * places}" if places else whole
