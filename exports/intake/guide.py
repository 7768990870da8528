"""The sheets Guide, which shows clock, depth and plate, and Steels, which are the names to choose from."""

import csv
import math
from dataclasses import replace
from importlib import resources

from exports.cells import Cell, Row, Sheet, blank, head, heading, lines_of, note, text, title
from exports.intake.fields import BORES, Field, fields_of

__all__ = ["guide_sheet", "steels_sheet", "told"]

WIDTHS = (2.3,) * 42
COLUMNS, ROOM = len(WIDTHS), sum(WIDTHS)
STEEL_WIDTHS = (18.0, 12.0, 112.0)

BOSS, HOLE = "#B9C4BB", "#F6EEDC"
CENTRE, OUTER, INNER = (8, 9), 6.4, 4.1  # of the boss seen along the axis, in cells
WALLS, FACES, DEPTHS = ((4, 6), (10, 12)), (27, 38), (("10", 29), ("35", 32), ("60", 35))  # of its section
WORDS = (  # row, first and last column, what stands there
    (1, (6, 12), "0: 12 o'clock"), (2, (14, 15), "45"), (8, (16, 20), "90: 3 o'clock"), (14, (14, 15), "135"),
    (15, (6, 12), "180: 6 o'clock"), (14, (3, 4), "225"), (8, (1, 2), "270"), (2, (3, 4), "315"), (8, (8, 10), "bore"),
    (2, (24, 31), "face on the drive side: 0"), (3, (27, 27), "↓"), (8, (22, 26), "drive side →"),
    (8, (39, 42), "far side"), (5, (28, 37), "wall of the boss"), (11, (28, 37), "wall of the boss"),
    (14, (24, 28), "depth"),
)  # fmt: skip


def told(part: str) -> list[tuple[str, str]]:
    """Return what the guide says in one part: a name, where there is one, and a text."""
    text = resources.files("exports.intake").joinpath("guide.csv").read_text("utf-8")
    return [(row["name"], row["text"]) for row in csv.DictReader(text.splitlines()) if row["part"] == part]


def _said(words: str, number: int = 0) -> Row:
    return text(f"{number}. {words}" if number else words, COLUMNS, ROOM)


def _filled(row: int, column: int) -> str | None:
    """Return the shade of a cell of the picture: boss and bore along the axis, and beside them their section."""
    far = math.hypot(row - CENTRE[0], column - CENTRE[1])
    if far <= OUTER:
        return BOSS if far > INNER else HOLE
    if FACES[0] <= column <= FACES[1] and WALLS[0][0] <= row <= WALLS[1][1]:
        return BOSS if any(first <= row <= last for first, last in WALLS) else HOLE
    return None


def _picture() -> list[Row]:
    """Return clock and depth as a picture of cells."""
    rows = list[Row]()
    words = [*WORDS, *((14, (column, column + 1), mark) for mark, column in DEPTHS)]
    for row in range(1, PICTURE + 1):
        cells = [Cell(None, "word", fill=_filled(row, column)) for column in range(1, COLUMNS + 1)]
        for _, column in DEPTHS if WALLS[0][1] < row < WALLS[1][0] else ():
            cells[column - 1] = Cell("┆", "bighead", fill=HOLE)
        here = [(span, said) for at, span, said in words if at == row]
        for (first, _), said in here:
            cells[first - 1] = replace(cells[first - 1], value=said, look="mark")
        rows.append(Row(tuple(cells), spans=tuple(span for span, _ in here if span[0] < span[1])))
    return rows


PICTURE = 15  # rows


def guide_sheet() -> Sheet:
    """Return the sheet that says how to measure."""
    rows = [title("Guide", COLUMNS), blank()]
    rows += [heading("Clock: looking into the bore from the drive side. Depth: from the face on that side", COLUMNS)]
    rows += [*_picture(), blank(), *(_said(words) for part in ("clock", "depth") for _, words in told(part))]
    rows += [blank(), heading("How to measure", COLUMNS)]
    rows += [_said(words, number) for number, (_, words) in enumerate(told("how"), 1)]
    rows += [blank(), heading("Where the plate ends (sheet Bores, Plate ends)", COLUMNS)]
    rows += [
        Row((Cell(name, "label"), *[Cell()] * 3, Cell(words, "note")), spans=((1, 4), (5, COLUMNS)))
        for name, words in told("plate")
    ]
    rows += [blank(), heading("Cautions", COLUMNS), *(_said(words) for _, words in told("care"))]
    rows += [heading("What the columns of sheet Bores ask", COLUMNS, breaks=True)]
    rows += [_asked(one) for one in fields_of(BORES)]
    return Sheet("Guide", WIDTHS, tuple(rows), 1)


def _asked(one: Field) -> Row:
    """Return what a column asks, for whoever fills in a printed sheet."""
    said = ", ".join(one.words) + ". " + one.hint if one.strict else one.hint
    cells = (Cell(one.label, "label"), *[Cell()] * (NAMED - 1), Cell(said, "text"))
    return Row(cells, lines=lines_of(said, ROOM * (1 - NAMED / COLUMNS)), spans=((1, NAMED), (NAMED + 1, COLUMNS)))


NAMED = 8  # columns of a label


def steels_sheet() -> Sheet:
    """Return the sheet of the steels that have a name."""
    text = resources.files("estimator.tables").joinpath("steels.csv").read_text("utf-8")
    steels = list(csv.DictReader(text.splitlines()))
    steels.sort(key=lambda one: one["name"] != "unknown")
    rows = [
        title("Steels", len(STEEL_WIDTHS)),
        note(
            "Names for the column Steel of sheet Bores. Not known, and no certificate: unknown.", 3, sum(STEEL_WIDTHS)
        ),
    ]
    rows.append(head("Steel", "Family", "What to know"))
    rows += [
        Row(
            (Cell(one["name"], "label"), Cell(one["family"]), Cell(one["why"], "note")),
            lines=1 + (len(one["why"]) > STEEL_WIDTHS[-1]),
        )
        for one in steels
    ]
    return Sheet("Steels", STEEL_WIDTHS, tuple(rows), 3, wide=True)
