"""A sheet as data: rows of cells with a look, a number format and a name; one writer turns them into a workbook."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field

from estimator.estimate import Estimate

__all__ = [
    "Cell",
    "Chart",
    "Choice",
    "Formula",
    "Row",
    "Sheet",
    "blank",
    "head",
    "heading",
    "lines_of",
    "money_form",
    "money_places",
    "note",
    "plain",
    "sheet_names",
    "text",
    "title",
]

Look = str
Value = str | float | int | None


@dataclass(frozen=True, slots=True)
class Formula:
    """A live formula with the value it has now, so that a preview without calculation shows it too."""

    text: str
    value: float


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: what stands in it, look, number format, the name other cells call it by, a shade below it."""

    value: Value | Formula = None
    look: Look = "plain"
    form: str | None = None
    name: str | None = None
    fill: str | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One row of cells; `span` merges its first cell over that many columns, `lines` is how tall a wrapped text is.

    `spans` merges runs of columns, each a first and a last one from 1; `scale` is how large the type is.
    """

    cells: tuple[Cell, ...]
    span: int = 1
    lines: int = 1
    breaks: bool = False
    spans: tuple[tuple[int, int], ...] = ()
    scale: float = 1.0


@dataclass(frozen=True, slots=True)
class Chart:
    """A chart of one block of cells: columns are series, the first column is the axis; all rows and columns from 1."""

    title: str
    across: str
    up: str
    first_row: int
    last_row: int
    first_column: int
    last_column: int
    at: str


@dataclass(frozen=True, slots=True)
class Choice:
    """What cells that are filled in offer: a list, of few words or of a column of cells, and a hint beside them.

    Where it is strict nothing else can be typed.
    """

    cells: str
    values: tuple[str, ...] = ()
    source: str = ""
    hint: str = ""
    strict: bool = False


@dataclass(frozen=True)
class Sheet:
    """A sheet: its name, column widths, rows, how many stay in view, charts, whether it lies wide or is one page.

    A sheet with a footer of its own is a paper by itself: its pages are numbered from 1. A wide table goes over several
    pages side by side where it breaks after columns; `kept` of the first columns stay in view and stand on each page.
    """

    name: str
    widths: tuple[float, ...]
    rows: tuple[Row, ...]
    frozen: int
    wide: bool = False
    charts: tuple[Chart, ...] = field(default=())
    one_page: bool = False
    footer: str | None = None
    choices: tuple[Choice, ...] = ()
    breaks_after: tuple[int, ...] = ()
    kept: int = 0
    percent: int = 100  # how large it is printed where it breaks after columns


WIDTH_OF_A_CHARACTER = 0.95
FORBIDDEN, LONGEST = re.compile(r"[\\/*?:\[\]]"), 31  # of a sheet's name


def plain(*values: Value | Formula, form: str | None = None) -> Row:
    """Return a row of plain values."""
    return Row(tuple(Cell(value, form=form if isinstance(value, float | int | Formula) else None) for value in values))


def head(*names: str) -> Row:
    """Return the header row of a table."""
    return Row(tuple(Cell(name, "head") for name in names), lines=2)


def title(words: str, columns: int) -> Row:
    """Return the title row of a sheet."""
    return Row((Cell(words, "title"),), span=columns)


def heading(words: str, columns: int, breaks: bool = False) -> Row:
    """Return a heading inside a sheet; on a new page if it breaks."""
    return Row((Cell(words, "heading"),), span=columns, breaks=breaks)


def blank() -> Row:
    """Return an empty row."""
    return Row(())


def text(words: str, columns: int, width: float, look: Look = "text") -> Row:
    """Return a text over all columns, as tall as it needs at that width in characters."""
    return Row((Cell(words, look),), span=columns, lines=lines_of(words, width))


def note(words: str, columns: int, width: float) -> Row:
    """Return a small remark over all columns."""
    return text(words, columns, width, "note")


def money_form(estimate: Estimate) -> str:
    """Return the number format of the estimate's currency, by the places its amounts have."""
    return money_places(str(estimate["price"]["total"]))


def money_places(amount: str) -> str:
    """Return the number format of amounts with as many places as that one."""
    places = len(amount.partition(".")[2])
    return "#,##0" + ("." + "0" * places if places else "")


def lines_of(words: str, width: float, scale: float = 1.0) -> int:
    """Return how many lines a wrapped text takes at a width in characters, in type that much larger."""
    room = max(1, int(width / WIDTH_OF_A_CHARACTER / scale))
    return sum(max(1, -(-len(line) // room)) for line in words.split("\n"))


def sheet_names(estimate: Estimate, prefix: str) -> list[str]:
    """Return a name for a sheet of each bore: no sign that a workbook forbids, none twice, none too long."""
    names: list[str] = []
    for number, bore in enumerate(estimate["bores"], 1):
        name = f"{prefix} {FORBIDDEN.sub(' ', bore['name'])}"[:LONGEST].strip(" '")
        taken = {one.casefold() for one in names}
        names.append(name if name.casefold() not in taken else f"{name[: LONGEST - 6].strip()} ({number})")
    return names


Builder = Callable[[Estimate], Sheet | tuple[Sheet, ...]]
