"""The grid of readings of one bore: what is typed into it becomes readings of the document, and readings its cells.

The grid is a matrix of fields: `cell.0.0` is its corner, the first row the clock, the first column the depths.
"""

import re
from collections.abc import Mapping
from typing import Any, NamedTuple

from estimator.errors import Fault
from exports.format import Units
from exports.intake.filled import GRID_KINDS, TEMPERATURE
from exports.intake.said import as_cell, as_said, clock, reading, reading_cell

__all__ = ["GRID_KINDS", "Grid", "at_field", "grid_of", "read_grid", "sized"]

CELL = re.compile(r"cell\.([0-9]{1,3})\.([0-9]{1,3})")
MOST = 120  # rows and columns of a grid typed by hand
ROWS, CLOCKS = 3, {"diameter": (0, 45, 90, 135), "radius": tuple(range(0, 360, 45)), "three-point": (0, 30, 60, 90)}
ENDS = (1 / 7, 1 / 2, 6 / 7)  # of the length: near both faces and in the middle
PLACE = re.compile(r"readings\.(clock|depth|values)\.([0-9]+)(?:\.([0-9]+))?")


class Grid(NamedTuple):
    """The cells of a grid as they are shown, and what is said of all of them."""

    kind: str
    unit: str
    temperature: str
    gaps: bool
    cells: list[list[str]]


def grid_of(readings: Mapping[str, Any] | None, length: float | None, units: Units) -> Grid | None:
    """Return the grid of some readings, or an empty one; None for readings that no grid holds.

    Parameters
    ----------
    readings
        As they stand in the document.
    length
        Of the bore, to suggest depths. [mm or in]
    units
        The page's units.
    """
    unit = "in" if units == "us" else "mm"
    if readings is None:
        depths = [f"{length * share:.3g}" if length else "" for share in ENDS]
        rows = [[depth, *("" for _ in CLOCKS["diameter"])] for depth in depths]
        return Grid("diameter", unit, "", gaps=False, cells=[["", *map(str, CLOCKS["diameter"])], *rows])
    if readings.get("kind") not in GRID_KINDS:
        return None
    said = readings.get("unit") or unit
    warm = readings.get("temperature")
    temperature = "" if warm is None else str(as_cell(warm, TEMPERATURE, TEMPERATURE.units[0]) or warm)
    head = ["", *(f"{one:g}" for one in readings.get("clock", ()))]
    rows = [
        [_shown(depth), *map(_shown, row)]
        for depth, row in zip(readings.get("depth", ()), readings.get("values", ()), strict=False)
    ]
    return Grid(
        str(readings["kind"]), str(said), temperature, gaps=readings.get("missing") == "allowed", cells=[head, *rows]
    )


def _shown(value: object) -> str:
    return "" if value is None else str(reading_cell(value) if reading_cell(value) is not None else value)


def sized(fields: Mapping[str, str]) -> list[list[str]]:
    """Return the cells of a grid as they were sent."""
    found = {(int(match[1]), int(match[2])): text for name, text in fields.items() if (match := CELL.fullmatch(name))}
    kept = {place: text for place, text in found.items() if max(place) <= MOST}
    high, wide = max((row for row, _ in kept), default=-1), max((column for _, column in kept), default=-1)
    return [[kept.get((row, column), "") for column in range(wide + 1)] for row in range(high + 1)]


def read_grid(fields: Mapping[str, str]) -> tuple[dict[str, Any] | None, list[Fault]]:
    """Return the readings that a grid says, None where nothing was read; and what is wrong, by cell.

    Rows and columns without a reading are left out, so that a grid may be larger than what was read.
    """
    cells, unit = sized(fields), fields.get("readings.unit", "mm")
    rows = [number for number, row in enumerate(cells) if number and any(one.strip() for one in row[1:])]
    columns = [n for n in range(1, len(cells[0]) if cells else 1) if any(cells[row][n].strip() for row in rows)]
    if not rows:
        return None, []
    faults: list[Fault] = []

    def read(row: int, column: int) -> Any:  # noqa: ANN401  # a value of a document
        text = cells[row][column].strip()
        try:
            return (clock(text) if row == 0 else reading(text, unit)) if text or row * column == 0 else None
        except ValueError as error:
            faults.append(Fault(f"cell.{row}.{column}", str(error)))
            return None

    found: dict[str, Any] = {"kind": fields.get("readings.kind", "diameter"), "unit": unit}
    found["clock"] = [read(0, column) for column in columns]
    found["depth"] = [read(row, 0) for row in rows]
    found["values"] = [[read(row, column) for column in columns] for row in rows]
    if fields.get("readings.missing"):
        found["missing"] = "allowed"
    if warm := fields.get("readings.temperature", "").strip():
        try:
            found["temperature"] = as_said(warm, TEMPERATURE, TEMPERATURE.units[0])
        except ValueError as error:
            faults.append(Fault("readings.temperature", str(error)))
    return found, faults


def at_field(path: str, bore: int, fields: Mapping[str, str]) -> str:
    """Return the field of a bore's form that a path of the job stands for; the path itself where it is none of it."""
    path = path.removeprefix(f"bores.{bore}.")
    match = PLACE.match(path)
    if match is None:
        return path
    cells = sized(fields)
    rows = [number for number, row in enumerate(cells) if number and any(one.strip() for one in row[1:])]
    columns = [n for n in range(1, len(cells[0]) if cells else 1) if any(cells[row][n].strip() for row in rows)]
    first, second = int(match[2]), int(match[3] or 0)
    try:
        if match[1] == "clock":
            return f"cell.0.{columns[first]}"
        return f"cell.{rows[first]}.{columns[second] if match[1] == 'values' else 0}"
    except IndexError:
        return path
