"""The header row of a table of points: which column holds what, in which unit."""

import csv
import re
from dataclasses import dataclass

from estimator.errors import DocumentError, Fault, nearest
from estimator.units import UnitError, dimension_of, factor

__all__ = ["Columns", "header_of", "metres_of"]

DELIMITERS = (";", "\t", ",")
LABELS, UNITS = ("label", "bore"), ("unit", "units")
NAMED = re.compile(r"([a-z]+)\s*(?:[\[(]\s*([^\])]*?)\s*[\])]|[_\s]\s*([a-z\"µ]+))?", re.IGNORECASE)
LONGEST = 40  # characters of a name that is told


@dataclass(frozen=True)
class Columns:
    """Where x, y, z, the label and the unit stand (-1 for none), metres a unit of each, and the columns not used."""

    delimiter: str
    width: int
    xyz: tuple[int, int, int]
    factors: tuple[float, float, float]
    label: int
    unit: int
    unused: tuple[str, ...]


def metres_of(symbol: str) -> float:
    """Return metres a unit of length, 0 for what is none."""
    for text in (symbol, symbol.lower()):
        try:
            if dimension_of(text) == "length":
                return factor(text)
        except UnitError:
            continue
    return 0.0


def _cells(line: str, row: int) -> tuple[str, list[str]]:
    """Return the separator and the cells of the header."""
    delimiter = max(DELIMITERS, key=line.count)
    try:
        return delimiter, [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter, strict=True))]
    except csv.Error as error:
        raise DocumentError([Fault(f"row {row}", f"is no CSV ({error})")]) from None


def _named(cell: str) -> tuple[str, str | None]:
    """Return name and unit of a column; no unit where none is said."""
    match = NAMED.fullmatch(cell)
    if match is None:
        return cell.casefold(), None
    name, bracketed, tailed = match[1].casefold(), match[2], match[3]
    if bracketed is not None:
        return name, bracketed
    if tailed is not None:
        return (name, tailed) if name in "xyz" and metres_of(tailed) else (cell.casefold(), None)
    return name, None


def header_of(line: str, row: int, unit: str | None) -> Columns:
    """Return the columns that a header row names; raise `DocumentError` with every fault.

    Parameters
    ----------
    line
        The header row.
    row
        Its number in the file.
    unit
        Unit of length said beside the file, for columns that name none.
    """
    delimiter, cells = _cells(line, row)
    at, units, unused, faults = dict[str, int](), dict[str, str](), list[str](), list[str]()
    for number, cell in enumerate(cells):
        name, said = _named(cell)
        key = "label" if name in LABELS else "unit" if name in UNITS else name
        if key not in ("x", "y", "z", "label", "unit"):
            faults += _meant(name)
            unused += [cell[:LONGEST]] if cell else []
            continue
        if key in at:
            faults.append(f"the column {key} stands twice; keep one")
        at[key] = number
        if said is not None:
            units[key] = said
    lacking = [name for name in "xyz" if name not in at]
    if lacking:
        what = "is no header" if len(lacking) == len("xyz") else f"has no column {', '.join(lacking)}"
        faults.append(f"{what}; write x [mm],y [mm],z [mm], and label where there are several bores")
    else:
        faults += _unit_faults(units, unit, "unit" in at)
    if faults:
        raise DocumentError([Fault(f"row {row}", said) for said in dict.fromkeys(faults)])
    by_row = "unit" in at
    factors = [1.0 if by_row else metres_of(units.get(name, unit or "")) for name in "xyz"]
    x, y, z = (at[name] for name in "xyz")
    return Columns(
        delimiter=delimiter, width=len(cells), xyz=(x, y, z), factors=(factors[0], factors[1], factors[2]),
        label=at.get("label", -1), unit=at.get("unit", -1), unused=tuple(unused),
    )  # fmt: skip


def _meant(name: str) -> list[str]:
    near = nearest(name, [*LABELS, *UNITS], 1) if len(name) < LONGEST else []
    return [f"unknown column {name!r}; did you mean {near[0]!r}?"] if near else []


def _unit_faults(units: dict[str, str], unit: str | None, by_row: bool) -> list[str]:
    """Return what is wrong with the units that the header or the option says, or does not say."""
    faults = [
        f"{said[:LONGEST]!r} is no unit of length; write for instance x [mm]"
        for said in units.values()
        if not metres_of(said)
    ]
    if unit is not None and not metres_of(unit):
        faults.append(f'--unit {unit[:LONGEST]!r} is no unit of length; write for instance "mm"')
    if faults:
        return faults
    said = set(map(metres_of, units.values()))
    if by_row and (units or unit is not None):
        return ["the unit is said twice: in its column and beside it; keep one"]
    if not by_row and unit is None and len(units) < len("xyz"):
        return ["the unit is not said; write it in the header, x [mm],y [mm],z [mm], or give --unit mm"]
    if unit is not None and said - {metres_of(unit)}:
        return [f"the header says another unit than --unit {unit}; keep one"]
    return []
