"""Questions laid out as a table, a column a question, units below the heads; and what each cell offers."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from exports.cells import Cell, Choice, Row
from exports.intake.fields import Field, Group, fields_of, units_of

__all__ = ["TALL", "Laid", "choice", "laid", "look"]

TALL = 1.7  # of a row that is written into by hand


class Laid(NamedTuple):
    """Rows of a table, what its cells offer, the number of its last column in each group, by the group's name."""

    rows: list[Row]
    choices: list[Choice]
    ends: dict[str, int]


def choice(one: Field, cells: str) -> Choice:
    """Return what the cells of a question offer: its few words, or those of a sheet, and its hint."""
    words, source = (one.words, "") if one.kind != "steel" else ((), "Steels!$A$4:$A$103")
    return Choice(cells, words, source, one.hint, strict=one.strict)


def look(one: Field) -> str:
    """Return how the cells of a question look: numbers stand right."""
    return "measure" if one.kind in ("quantity", "number", "tolerance", "clock") else "entry"


def _letters(count: int) -> list[str]:
    """Return the names of the first columns."""
    single = [chr(ord("A") + number) for number in range(26)]
    return [*single, *(f"A{letter}" for letter in single)][:count]


def laid(
    groups: Sequence[Group], units: Mapping[str, str], documents: Iterable[Mapping[str, Any]], us: bool, above: int
) -> Laid:
    """Return a table of answers.

    Parameters
    ----------
    groups
        The questions, by column.
    units
        The unit of a column by its key; else the usual one.
    documents
        The answers by key, a row each.
    us
        Whether the usual unit is the last one that a question offers.
    above
        How many rows stand above the table.
    """
    asked, heads, spans, ends = list(fields_of(groups)), list[Cell](), list[tuple[int, int]](), dict[str, int]()
    for group in groups:
        first = len(heads) + 1
        heads += [Cell(group.name, "bighead"), *(Cell(None, "bighead") for _ in group.fields[1:])]
        spans += [(first, len(heads))] if len(group.fields) > 1 else []
        ends[group.name] = len(heads)
    said = [units.get(one.key, units_of(one, us)) for one in asked]
    rows = [
        Row(tuple(heads), spans=tuple(spans), scale=TALL),
        Row(tuple(Cell(one.label, "head") for one in asked), lines=3),
        Row(tuple(Cell(unit, "unit") if unit else Cell(None, "head") for unit in said)),
    ]
    top = above + len(rows) + 1
    rows += [Row(tuple(Cell(held.get(one.key), look(one)) for one in asked), scale=TALL) for held in documents]
    last, columns = above + len(rows), list(zip(_letters(len(asked)), asked, strict=True))
    offered = [choice(one, f"{letter}{top}:{letter}{last}") for letter, one in columns]
    offered += [Choice(f"{letter}{top - 1}", one.units) for letter, one in columns if one.units]
    return Laid(rows, offered, ends)
