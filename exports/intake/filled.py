"""A job document as what stands in the cells of its intake sheet; what has no cell goes to the sheet More."""

import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from estimator.units import UnitError, split
from exports.intake.fields import BORES, JOB, Field, Group, fields_of, units_of
from exports.intake.said import as_cell, reading_cell, survives

__all__ = ["GRID_KINDS", "Filled", "Grid", "More", "filled"]

GRID_KINDS = ("diameter", "radius", "three-point")
MOST_ACROSS = 360  # clock positions of one grid
WHOLE = ("kind", "clock", "depth", "values")
Cell = str | int | float | None
Said = dict[str, Cell]


@dataclass(frozen=True)
class Grid:
    """Readings of one bore as cells: a row a depth, a column a place on the clock."""

    bore: str
    kind: str = "diameter"
    unit: str = "mm"
    clock: tuple[Cell, ...] = ()
    depth: tuple[Cell, ...] = ()
    values: tuple[tuple[Cell, ...], ...] = ()
    temperature: Cell = None
    warmth: str = "degC"
    missing: Cell = None


@dataclass(frozen=True)
class More:
    """A key that the sheet asks no question for: of which bore (none of the job's own), where, its value as JSON."""

    bore: str
    key: str
    value: str


@dataclass(frozen=True)
class Filled:
    """What stands in the cells: answers by key, units by key, grids, and what is left."""

    us: bool = False
    job: Said = field(default_factory=dict)
    job_units: dict[str, str] = field(default_factory=dict)
    bores: tuple[Said, ...] = ()
    units: dict[str, str] = field(default_factory=dict)
    grids: tuple[Grid, ...] = ()
    more: tuple[More, ...] = ()


TEMPERATURE = Field("temperature", "Part temperature", "quantity", ("degC", "degF"))
MISSING = Field("missing", "Gaps", "choice", words=("refused", "allowed"))


# ---------------------------------------------------------------- keys of a document


def _copied(value: Any) -> Any:  # noqa: ANN401  # a value of a document
    """Return a copy in which no two places are one, as in a document that was read."""
    if isinstance(value, dict):
        return {key: _copied(one) for key, one in value.items()}
    return [_copied(one) for one in value] if isinstance(value, list) else value


def _at(document: Mapping[str, Any], key: str) -> Any:  # noqa: ANN401  # a value of a document
    """Return what stands at a dotted key; None where nothing does."""
    here: Any = document
    for step in key.split("."):
        if not isinstance(here, dict) or step not in here:
            return None
        here = here[step]
    return here


def _without(document: dict[str, Any], key: str) -> None:
    """Take a dotted key away, and whatever holds nothing without it."""
    head, _, rest = key.partition(".")
    if not rest:
        del document[head]
        return
    _without(document[head], rest)
    if not document[head]:
        del document[head]


def _unit_of(value: object) -> str:
    try:
        return split(value)[1] if isinstance(value, str) else ""
    except UnitError:
        return ""


def _usual(values: Sequence[object], one: Field, us: bool) -> str:
    """Return the unit that most values of a question have, among those it offers."""
    pairs = [part for value in values for part in (value.values() if isinstance(value, dict) else [value])]
    found = Counter(unit for value in pairs if (unit := _unit_of(value)) in one.units)
    return found.most_common(1)[0][0] if found else units_of(one, us)


def _answers(document: dict[str, Any], groups: Sequence[Group], units: Mapping[str, str]) -> Said:
    """Return the cells of a document's answers, and take from it what has one."""
    found: Said = {}
    for one in fields_of(groups):
        value = _at(document, one.key)
        cell = None if value is None else as_cell(value, one, units.get(one.key, ""))
        if cell is not None:
            found[one.key] = cell
            _without(document, one.key)
    return found


def _columns(documents: Sequence[Mapping[str, Any]], groups: Sequence[Group], us: bool) -> dict[str, str]:
    return {
        one.key: _usual([_at(document, one.key) for document in documents], one, us)
        for one in fields_of(groups)
        if one.units
    }


# ---------------------------------------------------------------- readings


def _row(values: object) -> tuple[Cell, ...] | None:
    """Return the cells of a row of readings; None where one of them has none."""
    if not isinstance(values, list):
        return None
    cells = tuple(None if value is None else reading_cell(value) for value in values)
    return None if any(cell is None and value is not None for cell, value in zip(cells, values, strict=True)) else cells


def _table(
    readings: Mapping[str, Any],
) -> tuple[tuple[Cell, ...], tuple[Cell, ...], tuple[tuple[Cell, ...], ...]] | None:
    """Return clock, depths and values as cells; None where they are no table with something in each row and column."""
    clock, depth, rows = _row(readings["clock"]), _row(readings["depth"]), readings["values"]
    values = [_row(row) for row in rows] if isinstance(rows, list) else []
    whole = tuple(row for row in values if row is not None)
    if not clock or not depth or None in clock or None in depth or len(clock) > MOST_ACROSS:
        return None
    if len(whole) < len(values) or len(whole) != len(depth) or any(len(row) != len(clock) for row in whole):
        return None
    if any(set(row) == {None} for row in (*whole, *zip(*whole, strict=True))):
        return None
    return clock, depth, whole


def _plain(cells: object) -> bool:
    """Return whether a plain number stands somewhere in a list."""
    if isinstance(cells, list):
        return any(_plain(one) for one in cells)
    return isinstance(cells, int | float)


def _grid(bore: dict[str, Any], name: str, us: bool) -> Grid | None:
    """Return a bore's readings as cells, and take from it what has one; None where they are no grid."""
    readings = bore.get("readings")
    if (
        not isinstance(readings, dict)
        or not all(key in readings for key in WHOLE)
        or readings["kind"] not in GRID_KINDS
    ):
        return None
    unit, table = readings.get("unit"), _table(readings)
    numbers = _plain(readings["depth"]) or _plain(readings["values"])
    if table is None or numbers is (unit is None) or not (unit is None or (isinstance(unit, str) and survives(unit))):
        return None
    warmth = _usual([readings.get("temperature")], TEMPERATURE, us)
    part = {key: readings[key] for key in ("temperature", "missing") if readings.get(key) is not None}
    answered = _answers(part, (Group("", (TEMPERATURE, MISSING)),), {"temperature": warmth})
    clock, depth, values = table
    said = unit or ("in" if us else "mm")
    grid = Grid(
        name, readings["kind"], said, clock, depth, values, warmth=warmth,
        temperature=answered.get("temperature"), missing=answered.get("missing"),
    )  # fmt: skip
    for key in (*WHOLE, *answered, *(["unit"] if unit else [])):
        _without(bore, f"readings.{key}")
    return grid


# ---------------------------------------------------------------- the whole


def _left(bore: str, document: Mapping[str, Any]) -> Iterator[More]:
    """Yield what no cell took, key by key; what was taken in part is told by its parts."""
    for key, value in document.items():
        yield More(bore, key, json.dumps(value, separators=(", ", ": ")))


def _parts(bore: str, left: dict[str, Any], whole: Mapping[str, Any]) -> Iterator[More]:
    """Yield what is left; of a key that is partly taken each part by itself."""
    for key, value in left.items():
        if isinstance(value, dict) and value != whole[key] and "." not in "".join(value):
            yield from (More(bore, f"{key}.{one.key}", one.value) for one in _left(bore, value))
        else:
            yield from _left(bore, {key: value})


def _named(bores: object) -> list[str]:
    """Return the names of the bores; none where one cannot stand in a cell, or stands twice."""
    if not isinstance(bores, list) or not all(isinstance(one, dict) for one in bores):
        return []
    (name,) = (one for one in fields_of(BORES) if one.key == "name")
    names = [one.get("name") for one in bores]
    usable = all(isinstance(one, str) and as_cell(one, name) is not None for one in names)
    return [str(one) for one in names] if usable and len(set(map(str, names))) == len(names) else []


def filled(document: Mapping[str, Any], us: bool | None = None) -> Filled:
    """Return what stands on the intake sheet of a job document; no key of it is lost."""
    left: dict[str, Any] = _copied(dict(document))
    names = _named(left.get("bores"))
    bores: list[dict[str, Any]] = left.pop("bores") if names else []
    if us is None:
        us = (
            _usual([_at(one, "nominal_diameter") for one in bores], Field("", "", units=("mm", "in")), us=False) == "in"
        )
    job_units, units = _columns([left], JOB, us), _columns(bores, BORES, us)
    rows, grids, more = list[Said](), list[Grid](), list[More]()
    for one, name in zip(bores, names, strict=True):
        before = _copied(one)
        rows.append(_answers(one, BORES, units))
        grid = _grid(one, name, us)
        if grid is not None:
            grids.append(grid)
        elif not {"readings", "worn_diameter"} & set(before):
            grids.append(Grid(name, unit="in" if us else "mm", warmth="degF" if us else "degC"))
        more += _parts(name, one, before)
    job = _answers(left, JOB, job_units)
    everything = (*_parts("", left, document), *more)
    return Filled(us, job, job_units, tuple(rows), units, grids=tuple(grids), more=everything)
