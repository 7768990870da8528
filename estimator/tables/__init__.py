"""Facts as data: one fact a row, each with its source and mark; a user's own rows lie over them.

A table is a CSV file whose header names the field and, in brackets, the unit of its numbers. Each row becomes a frozen
model; the same model reads a user's own row from the price book's `tables`, where quantities are texts with a unit.
"""

import csv
import functools
from collections.abc import Callable, Iterator, Mapping
from importlib import resources
from typing import Any, TypeVar, get_args

from estimator.errors import DocumentError, Fault, UnknownEntryError, nearest
from estimator.fields import si_unit_of
from estimator.formula import is_recording, leaf
from estimator.strict import validated
from estimator.tables.rows import ROWS, Constant, Row
from estimator.units import on_rescale, si_label, split

__all__ = ["ROWS", "Row", "Tables", "builtin", "explained", "raw"]

R = TypeVar("R", bound=Row)
SCALES = ("HB", "HV")  # hardness is a number on a scale, not a quantity with a unit

MOST_ROWS = 2000  # of the user's own


@functools.cache
def _texts(table: str) -> dict[str, dict[str, Any]]:
    """Return the rows of a built-in table as a user would write them: quantities with their unit."""
    model = ROWS[table]
    text = resources.files("estimator.tables").joinpath(f"{table}.csv").read_text("utf-8")
    headers, *rows = csv.reader(text.splitlines())
    columns = [_column(model, header) for header in headers]
    found: dict[str, dict[str, Any]] = {}
    for cells in rows:
        row = {name: read(cell) for (name, read), cell in zip(columns, cells, strict=True) if cell != ""}
        found[str(row[model.key_field])] = row
    return found


def _column(model: type[Row], header: str) -> tuple[str, Callable[[str], object]]:
    """Return the field of a column, and what its cells are: with the header's unit, text, or as they stand."""
    name, _, unit = header.partition(" [")
    if unit and unit[:-1] not in SCALES:
        return name, f"{{}} {unit[:-1]}".format
    annotation = model.model_fields[name].annotation
    parts = get_args(annotation)
    return name, str if annotation is str or str in parts or any(isinstance(one, str) for one in parts) else _as_it_is


def _as_it_is(cell: str) -> object:
    """Return a number, or a text with its own unit."""
    try:
        return float(cell)
    except ValueError:
        return cell


@functools.cache
def builtin(table: str) -> dict[str, Row]:
    """Return the built-in rows of a table by name."""
    return {name: validated(ROWS[table], row, {}) for name, row in _texts(table).items()}


on_rescale(builtin.cache_clear)


def explained(model: R, prefix: str) -> R:
    """Return a copy of a row whose numbers know which field they were taken from."""
    changes: dict[str, object] = {}
    for name in model.__class__.model_fields:
        value = getattr(model, name)
        if isinstance(value, float | int) and not isinstance(value, bool):
            text, unit = f"{prefix}: {name}", si_unit_of(type(model), name)
            changes[name] = leaf(
                value, "fact", f"{prefix}.{name}", text, source=model.source, mark=model.mark, unit=unit
            )
    return model.model_copy(update=changes)


class Tables:
    """The built-in tables with a user's own rows laid over them."""

    def __init__(self, own: Mapping[str, Any] | None = None) -> None:
        """Read the user's own rows; raise `DocumentError` with every fault."""
        faults: list[Fault] = []
        self.memo: dict[Any, Any] = {}
        self.mark: object = object()  # tables of one mark are alike; a price book gives its own, by value
        self._own: dict[str, dict[str, Row]] = {}
        self.moved: dict[str, tuple[Row, Row]] = {}
        count = sum(len(rows) for rows in (own or {}).values() if isinstance(rows, Mapping))
        if count > MOST_ROWS:
            raise DocumentError([Fault("tables", f"holds {count} rows; {MOST_ROWS} at most")])
        for table, rows in (own or {}).items():
            if table not in ROWS:
                near = nearest(table, ROWS, 1)
                faults.append(Fault(f"tables.{table}", f"no such table; did you mean {(near or sorted(ROWS))[0]!r}?"))
            elif not isinstance(rows, Mapping):
                faults.append(Fault(f"tables.{table}", "must be an object of rows by name"))
            else:
                self._own[table] = {}
                for name, row in rows.items():
                    faults += self._lay(table, str(name), row)
        if faults:
            raise DocumentError(faults)
        self._constants = {name: row for name, row in self.rows("constants").items() if isinstance(row, Constant)}

    def _lay(self, table: str, name: str, row: object) -> list[Fault]:
        """Lay one of the user's rows over the built-in one of that name."""
        model, path = ROWS[table], f"tables.{table}.{name}"
        if not isinstance(row, Mapping):
            return [Fault(path, "must be an object: the fields of the row to change or add")]
        own = {"source": "the user's own row", "mark": "common practice, no source"}
        shed = {one for field, others in model.sheds.items() if field in row for one in others}
        beneath = {field: text for field, text in _texts(table).get(name, {}).items() if field not in shed}
        whole = {**beneath, **own, **row, model.key_field: name}
        try:
            self._own[table][name] = validated(model, whole, {}, path)
        except DocumentError as error:
            return list(error.faults)
        return []

    def move(self, table: str, name: str, row: Row) -> None:
        """Lay a calibrated row over the one of its name; `moved` keeps both, before and after."""
        self.moved[name] = (self.rows(table)[name], row)
        self._own.setdefault(table, {})[name] = row

    def rows(self, table: str) -> dict[str, Row]:
        """Return all rows of a table by name, the user's over the built-in."""
        own = self._own.get(table)
        return {**builtin(table), **own} if own else builtin(table)

    def row(self, table: str, name: str, model: type[R]) -> R:
        """Return one row; raise `UnknownEntryError` with near names where there is none."""
        found = self.rows(table).get(name)
        if not isinstance(found, model):
            raise UnknownEntryError(table, name, self.rows(table))
        return explained(found, f"tables.{table}.{name}") if is_recording() else found

    def every(self, table: str, model: type[R]) -> Iterator[R]:
        """Yield every row of a table."""
        return (self.row(table, name, model) for name in self.rows(table))

    def _constant(self, name: str) -> Constant:
        row = self._constants.get(name)
        if row is None:
            raise UnknownEntryError("constants", name, self._constants)
        return row

    def plain_constant(self, name: str) -> float:
        """Return a constant as it stands, with nothing recorded; raise `UnknownEntryError` where there is none."""
        return self._constant(name).value

    def constant(self, name: str) -> float:
        """Return a constant of the table of constants; raise `UnknownEntryError` where there is none."""
        row = self._constants.get(name) or self._constant(name)
        if not is_recording():
            return row.value
        text = str(_texts("constants").get(name, {}).get("value", ""))
        unit = si_label(split(text)[1]) if " " in text else ""
        return leaf(row.value, "fact", name, row.meaning, source=row.source, mark=row.mark, unit=unit)


@functools.cache
def raw(table: str) -> tuple[dict[str, str], ...]:
    """Return the rows of a table as they stand in its file."""
    text = resources.files("estimator.tables").joinpath(f"{table}.csv").read_text("utf-8")
    return tuple(csv.DictReader(text.splitlines()))
