"""The sheet Readings: a block for each bore that is measured, a row a depth, a column a place on the clock."""

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from exports.cells import Cell, Choice, Row, Sheet, blank, note, title
from exports.intake.faults import Places
from exports.intake.fields import Field
from exports.intake.filled import GRID_KINDS, MISSING, TEMPERATURE, Filled, Grid
from exports.intake.pages import Page
from exports.intake.said import as_said, clock, reading, unit_said

__all__ = ["NAME", "grids_of", "readings_sheet"]

NAME = "Readings"
BORE, KIND, UNIT, WARM, GAPS, DEPTH = "Bore", "Measured", "Unit", "Part temperature", "Gaps", "Depth\n╲  clock [°]"
DEPTHS, POSITIONS = 5, (0, 45, 90, 135, None, None, None, None)  # of diameters, which a block asks for
LEAST_ACROSS, BLOCKS = len(POSITIONS), 18
WIDTHS = (13.0, *(9.0,) * LEAST_ACROSS)
TALL = 1.3  # of a row that is written into by hand
PAGE = 37  # such rows on one sheet of paper
HEADS = 3  # rows of a block above its readings
HINT_KIND = (
    "Diameter: bore gauge or inside micrometer, clock 0 to 135. Radius: dial indicator on the bar, clock all round. "
    "Three-point: three-jaw micrometer, clock 0 to below 120."
)
SAID = (
    "A block for each bore: depth from the face on the drive side, clock as seen from there, 0 is 12 o'clock. "
    "Diameters are asked for; of radii the clock goes all round, up to 315. Change depths and clock as you need; leave "
    "what was not read empty. Copy a block where one is missing.",
    "Write the size that is read, not the wear: 91.2, or 3 1/2 in. Several readings of one place: 91.2; 91.3.",
)


# ---------------------------------------------------------------- onto the sheet


def _block(grid: Grid) -> list[Row]:
    """Return the rows of one block, whose first row names the bore."""
    across = max(LEAST_ACROSS, len(grid.clock))
    positions = [*grid.clock, *(None,) * (across - len(grid.clock))] if grid.clock else list(POSITIONS)
    rows = list(zip(grid.depth, grid.values, strict=True)) or [(None, ()) for _ in range(DEPTHS)]
    first = (
        Cell(BORE, "question"), Cell(grid.bore or None, "entry"), Cell(None, "entry"), Cell(KIND, "question"),
        Cell(grid.kind, "entry"), Cell(None, "entry"), Cell(UNIT, "question"), Cell(grid.unit, "unit"),
    )  # fmt: skip
    second = (
        Cell(WARM, "question"), Cell(grid.temperature, "measure"), Cell(grid.warmth, "unit"), Cell(GAPS, "question"),
        Cell(grid.missing, "entry"), Cell(None, "entry"),
    )  # fmt: skip
    heads = (Cell(DEPTH, "over"), *(Cell(one, "clock") for one in positions))
    top = Row(first, scale=TALL, spans=((2, 3), (5, 6)))
    found = [top, Row(second, scale=TALL, spans=((5, 6),)), Row(heads, lines=2)]
    for depth, values in rows:
        cells = [*values, *(None,) * (across - len(values))]
        found.append(Row((Cell(depth, "measure"), *(Cell(one, "measure") for one in cells)), scale=TALL))
    return [*found, blank()]


def _offered(top: int) -> Iterator[Choice]:
    """Yield what the cells of a block offer whose first row is that one."""
    yield Choice(f"B{top}", source="Bores!$A$5:$A$204", hint="The mark of the bore, as on sheet Bores.")
    yield Choice(f"E{top}", GRID_KINDS, hint=HINT_KIND, strict=True)
    yield Choice(f"H{top}", ("mm", "in"), hint="Of depths and readings in this block.")
    yield Choice(f"B{top + 1}", hint="Of the part, when it was measured; empty: 20 degC.")
    yield Choice(f"C{top + 1}", TEMPERATURE.units)
    yield Choice(
        f"E{top + 1}", MISSING.words, hint="Allowed: single places that nobody can reach may stay empty.", strict=True
    )


def readings_sheet(said: Filled) -> Sheet:
    """Return the sheet of the readings."""
    unit, warmth = ("in", "degF") if said.us else ("mm", "degC")
    grids = said.grids or (() if said.bores else tuple(Grid("", unit=unit, warmth=warmth) for _ in range(BLOCKS)))
    across = max([LEAST_ACROSS, *(len(grid.clock) for grid in grids)])
    widths = (WIDTHS[0], *(WIDTHS[1],) * across)
    room = sum(WIDTHS)
    rows = [title("Readings", len(WIDTHS)), *(note(one, len(WIDTHS), room) for one in SAID)]
    rows.append(blank())
    choices, used = list[Choice](), len(rows) + 2
    for grid in grids:
        block = _block(grid)
        choices += _offered(len(rows) + 1)
        if used + len(block) > PAGE:
            block[0], used = replace(block[0], breaks=True), 1
        used += len(block)
        rows += block
    return Sheet(NAME, widths, tuple(rows), 1, choices=tuple(choices))


# ---------------------------------------------------------------- and back


def grids_of(page: Page, places: Places, number_of: dict[str, int]) -> Iterator[tuple[int, dict[str, Any]]]:
    """Yield the readings of each block that is filled in, with the number of its bore; note what is wrong."""
    tops = [row for row in range(1, page.last + 1) if page.get(row, 1) == BORE and page.get(row, 4) == KIND]
    seen = set[int]()
    for top, end in itertools.pairwise([*tops, page.last + 1]):
        used = [row for row in range(top + HEADS, end) if _some(page, row)]
        if not used:
            continue
        name = page.get(top, 2)
        number = number_of.get(_name(name))
        if number is None:
            said = (
                "which bore is this? Choose its mark" if name is None else f"no bore {str(name)[:40]!r} on sheet Bores"
            )
            places.wrong(page.at(top, 2), said)
        elif number in seen:
            places.wrong(page.at(top, 2), f"bore {_name(name)} has a block above; keep one")
        else:
            seen.add(number)
            yield number, _readings(page, top, used, places, f"bores.{number}.readings")


def _name(content: object) -> str:
    return content.strip() if isinstance(content, str) else repr(content)


def _some(page: Page, row: int) -> list[int]:
    """Return the columns of a row in which a reading stands."""
    return [column for column in page.columns(row) if column > 1]


def _readings(page: Page, top: int, rows: Sequence[int], places: Places, key: str) -> dict[str, Any]:
    """Return the readings of one block."""
    columns = sorted({column for row in rows for column in _some(page, row)})
    places.cells[key] = page.at(top, 2)
    places.cells[f"{key}.clock"], places.cells[f"{key}.depth"] = page.at(top + 2, 2), page.at(top + HEADS, 1)
    unit = places.taken(f"{key}.unit", page.at(top, 8), lambda: _unit(page, top))
    unit = LENGTH.units[0] if unit is None else unit
    found: dict[str, Any] = {"kind": _kind(page, top, places, key)}
    found["clock"] = [_position(page, top + 2, column, places, f"{key}.clock.{n}") for n, column in enumerate(columns)]
    found["depth"] = [_depth(page, row, unit, places, f"{key}.depth.{n}") for n, row in enumerate(rows)]
    found["values"] = [
        [
            places.taken(f"{key}.values.{n}.{m}", page.at(row, column), lambda: reading(page.get(row, column), unit))  # noqa: B023  # called at once
            for m, column in enumerate(columns)
        ]
        for n, row in enumerate(rows)
    ]
    if any(_numbers(cell) for cell in (*found["depth"], *(one for row in found["values"] for one in row))):
        found["unit"] = unit
        if not unit:
            places.wrong(page.at(top, 8), "is missing: in which unit are the depths and readings? Choose mm or in")
    _gaps(page, (rows, columns), found["values"], page.get(top + 1, 5) != "allowed", places)
    for one, column, beside in ((TEMPERATURE, 2, 3), (MISSING, 5, 0)):
        content = page.get(top + 1, column)
        if content is not None:
            said = str(page.get(top + 1, beside) or "") if beside else ""
            found[one.key] = places.taken(
                f"{key}.{one.key}",
                page.at(top + 1, column),
                lambda: as_said(content, one, said),  # noqa: B023  # called at once
            )
    return found


def _gaps(page: Page, at: tuple[Sequence[int], Sequence[int]], values: Any, wrong: bool, places: Places) -> None:  # noqa: ANN401  # readings of a document
    """Note every empty place of a grid in which none is allowed."""
    for row, cells in zip(at[0], values, strict=True):
        for column, cell in zip(at[1], cells, strict=True):
            if wrong and cell is None and page.get(row, column) is None:
                places.wrong(page.at(row, column), "is missing: read it again, or choose allowed beside Gaps above")


def _numbers(cell: object) -> bool:
    return any(_numbers(one) for one in cell) if isinstance(cell, list) else isinstance(cell, int | float)


def _unit(page: Page, top: int) -> str:
    return unit_said(page.get(top, 8), LENGTH)


LENGTH = Field("", "", "quantity", ("mm", "in"))


def _kind(page: Page, top: int, places: Places, key: str) -> str | None:
    content, cell = page.get(top, 5), page.at(top, 5)
    if content is None:
        places.wrong(cell, f"is missing: what was read? Choose {', '.join(GRID_KINDS)}")
        return None
    found: str | None = places.taken(f"{key}.kind", cell, lambda: as_said(content, KINDS))
    return found


KINDS = Field("kind", KIND, "choice", words=GRID_KINDS)


def _position(page: Page, row: int, column: int, places: Places, key: str) -> int | float | None:
    content, cell = page.get(row, column), page.at(row, column)
    if content is None:
        places.wrong(cell, "is missing: at which place on the clock, in degrees, was the column below read?")
        return None
    return places.taken(key, cell, lambda: clock(content))


def _depth(page: Page, row: int, unit: str, places: Places, key: str) -> Any:  # noqa: ANN401  # number or text
    content, cell = page.get(row, 1), page.at(row, 1)
    if content is None:
        places.wrong(cell, "is missing: how far from the face on the drive side was this row read?")
        return None
    return places.taken(key, cell, lambda: reading(content, unit))
