"""What is used up, bore by bore and in all."""

from collections.abc import Mapping
from string import ascii_uppercase
from typing import Any, NamedTuple

from estimator.estimate import Estimate
from estimator.tables.used import used_up
from exports.cells import Cell, Formula, Row, Sheet, blank, head, note, title
from exports.format import by_key, label
from exports.used import ENOUGH, Thing, things

__all__ = ["sheet"]

NAMED = {"wire": "Wire", "gas": "Gas"}  # of these a column says which one
WIDE = {"wire": 20.0, "gas": 18.0}


class Column(NamedTuple):
    """A column: its head and width, the key of what it holds, how a number is printed; no form where it is a name."""

    head: str
    width: float
    key: str
    form: str = ""


def _columns() -> list[Column]:
    """Return the columns: the bore, then all that can be used up."""
    found = [Column("Bore", 16.0, "name")]
    for one in used_up():
        found += [Column(NAMED[one.kind], WIDE[one.kind], one.kind)] if one.kind in NAMED else []
        unit = label(one.key, "metric")
        name = one.words.capitalize() + (f" [{unit}]" if unit else "")
        found.append(Column(name, max(10.0, len(name) + 1.0), one.key, f"{0:.{one.places}f}"))
    return found


def sheet(estimate: Estimate) -> Sheet:
    """Return the sheet of the parts."""
    columns = _columns()
    widths = tuple(one.width for one in columns)
    said = "With what stays on spools and in cylinders. Of parts the wear is expected. Gas at 15 °C, 1 bar."
    rows = [
        title(f"Expected consumables of {estimate['reference']}", len(columns)),
        note(said, len(columns), sum(widths)),
    ]
    rows.append(head(*(one.head for one in columns)))
    first = len(rows) + 1
    for bore in estimate["bores"]:
        used, names = by_key(bore["consumption"]), {**by_key(bore["buildup"]), "name": bore["name"]}
        cells = (Cell(used.get(one.key), form=one.form) if one.form else Cell(names[one.key]) for one in columns)
        rows.append(Row(tuple(cells)))
    rows.append(_sums(columns, first, len(rows), by_key(estimate["totals"])))
    rows += [*_taken(columns, estimate), blank()]
    return Sheet("Parts", widths, tuple(rows), 3, wide=True)


def _taken(columns: list[Column], estimate: Estimate) -> list[Row]:
    """Return what to take of each thing; of several wires or gases each on a line. Nothing where it is not said."""
    if not estimate.get("take"):
        return []
    found: dict[str, list[Thing]] = {}
    for one in things(estimate, "metric"):
        found.setdefault(one.key, []).append(one)
    cells = [Cell("Take")]
    for column in columns[1:]:
        each = found.get(column.key, []) if column.form else []
        said = "\n".join(f"{one.name} {one.take}".strip() if len(each) > 1 else one.take for one in each)
        cells.append(Cell(said or None, "text"))
    lines = max((len(each) for each in found.values()), default=1)
    return [Row(tuple(cells), lines=lines), note(ENOUGH, len(columns), sum(column.width for column in columns))]


def _sums(columns: list[Column], first: int, last: int, totals: Mapping[str, Any]) -> Row:
    """Return the row of what is used up in all."""
    cells = [Cell("Total", "sum")]
    for letter, one in zip(ascii_uppercase[1:], columns[1:], strict=False):
        whole = Formula(f"SUM({letter}{first}:{letter}{last})", totals.get(one.key, 0.0))
        cells.append(Cell(whole, "sum", one.form) if one.form else Cell(None, "sum"))
    return Row(tuple(cells))
