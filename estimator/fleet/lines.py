"""A list of bores as people keep it: columns in any order, units in the head or in the cell, bad rows set aside."""

import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from estimator.errors import DocumentError, Fault, nearest
from estimator.signs import unfit

__all__ = ["COLUMNS", "MOST_ROWS", "Raw", "rows_of_csv", "rows_of_objects"]

REQUIRED = ("machine", "bore", "nominal_diameter", "length", "worn_diameter", "read_at")
OPTIONAL = (
    *("class", "site", "distance", "material", "tolerance", "outside_diameter", "earlier_diameter", "earlier_at"),
    *("wear_limit", "hours_per_year", "hours_now", "downtime_cost", "part_price", "part_life", "sleeve_price"),
    *("sleeve_life", "lead_time", "can_run", "remaining_life", "repair_life", "discount_rate"),
)
COLUMNS = (*REQUIRED, *OPTIONAL)
MOST_ROWS, LONGEST_CELL, MOST_COLUMNS = 20_000, 200, 200
HEAD = re.compile(r"\s*([^\[\]()]{1,80}?)\s*(?:[\[(]\s*([^\[\]()]{1,20}?)\s*[\])])?\s*")
BARE = re.compile(r"[+-]?[0-9]+(?:\.[0-9]*)?(?:[eE][+-]?[0-9]{1,3})?")
COMMA = re.compile(r"([0-9]+),([0-9]+)(\s*[A-Za-z%].*)?")
SEPARATORS = ";\t,"


@dataclass(frozen=True)
class Raw:
    """A row as it came: its line, and its cells by column, each with the unit of its head; `faults`: what is odd."""

    line: int
    cells: Mapping[str, str]
    faults: tuple[str, ...] = ()


def _column(head: str) -> tuple[str, str]:
    """Return the name of a column and the unit said in its head."""
    found = HEAD.fullmatch(head.strip()[:LONGEST_CELL])
    if found is None:
        return head.strip()[:LONGEST_CELL], ""
    return re.sub(r"[\s-]+", "_", found[1].strip().lower()), found[2] or ""


def _with_unit(text: str, unit: str) -> str:
    """Return a cell with the unit of its head, unless it has one of its own."""
    return f"{text} {unit}" if unit and BARE.fullmatch(text) else text


def _heads(cells: list[str]) -> list[tuple[str, str]]:
    """Return the columns of a head; raise `DocumentError` for one that is unknown, twice there, or missing."""
    heads = [_column(cell) for cell in cells]
    while heads and not heads[-1][0]:
        heads.pop()
    names, faults = [name for name, _ in heads], list[Fault]()
    for name in dict.fromkeys(names):
        if name not in COLUMNS:
            near = nearest(name, COLUMNS, 1)
            said = f"did you mean {near[0]!r}?" if near else f"known are {', '.join(COLUMNS)}"
            faults.append(Fault("line 1", f"no column is called {name!r}; {said}"))
        elif names.count(name) > 1:
            faults.append(Fault("line 1", f"{name} stands twice; keep one"))
    missing = [name for name in REQUIRED if name not in names]
    faults += [Fault("line 1", f"{', '.join(missing)} is missing")] if missing else []
    if faults:
        raise DocumentError(faults)
    return heads


def _is_empty(cells: list[str]) -> bool:
    return not any(cell.strip() for cell in cells) or cells[0].lstrip().startswith("#")


def _separator(text: str) -> str:
    """Return what stands between the columns: the sign that the first line with words has most of."""
    first = next((line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")), "")
    return max(SEPARATORS, key=lambda sign: (first.count(sign), -SEPARATORS.index(sign)))


def rows_of_csv(text: str) -> list[Raw]:
    """Return the rows of a list as CSV text; raise `DocumentError` where its head or size is wrong."""
    separator = _separator(text.removeprefix("\ufeff"))
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), delimiter=separator)
    try:
        return list(_rows(reader, separator))
    except csv.Error as error:
        raise DocumentError([Fault(f"line {reader.line_num}", f"cannot be read as CSV: {error}")]) from None


def _rows(reader: Any, separator: str) -> Iterator[Raw]:  # noqa: ANN401  # the reader of the csv module has no name
    heads: list[tuple[str, str]] = []
    count = 0
    for cells in reader:
        if _is_empty(cells):
            continue
        if not heads:
            heads = _heads(cells[:MOST_COLUMNS])
            continue
        count += 1
        if count > MOST_ROWS:
            raise DocumentError([Fault(f"line {reader.line_num}", f"more than {MOST_ROWS} rows; split the list")])
        yield _row(reader.line_num, heads, cells, separator)
    if not heads:
        raise DocumentError([Fault("", f"is empty; its first line names the columns: {', '.join(REQUIRED)}, ...")])


def _row(line: int, heads: list[tuple[str, str]], cells: list[str], separator: str) -> Raw:
    faults = list[str]()
    if any(cell.strip() for cell in cells[len(heads) :]):
        faults.append(f"has {len(cells)} cells, and the head names {len(heads)} columns")
    found = dict[str, str]()
    for (name, unit), cell in zip(heads, cells, strict=False):
        text = cell.strip()
        if len(text) > LONGEST_CELL:
            faults.append(f"{name}: longer than {LONGEST_CELL} characters")
        elif said := unfit(text) or ("has more than one line" if "\n" in text else ""):
            faults.append(f"{name}: {said}")
        elif text:
            comma = COMMA.fullmatch(text) if separator != "," else None
            found[name] = _with_unit(f"{comma[1]}.{comma[2]}{comma[3] or ''}" if comma else text, unit)
    return Raw(line, found, tuple(faults))


def rows_of_objects(rows: Iterable[Any]) -> list[Raw]:
    """Return the rows of a list as JSON objects; their lines count from one."""
    found = list[Raw]()
    for line, row in enumerate(rows, 1):
        if line > MOST_ROWS:
            raise DocumentError([Fault("rows", f"more than {MOST_ROWS} rows; split the list")])
        if not isinstance(row, Mapping):
            found.append(Raw(line, {}, ("must be an object of columns",)))
            continue
        found.append(_of_object(line, row))
    return found


def _of_object(line: int, row: Mapping[Any, Any]) -> Raw:
    """Return a row that came as an object; its keys may name units as a head does."""
    plain, faults = dict[str, str](), list[str]()
    for key, value in list(row.items())[:MOST_COLUMNS]:
        name, unit = _column(str(key))
        if name not in COLUMNS:
            faults.append(f"no column is called {name[:LONGEST_CELL]!r}")
        elif len(text := _plain(value)) > LONGEST_CELL:
            faults.append(f"{name}: longer than {LONGEST_CELL} characters")
        elif text:
            plain[name] = _with_unit(text, unit)
    return Raw(line, plain, tuple(faults))


def _plain(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value is None:
        return ""
    return str(value).strip() if isinstance(value, str | int | float) else f"({type(value).__name__})"
