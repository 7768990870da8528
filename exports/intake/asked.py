"""Answers found by their questions: by a label at the left of a row, or by the heads of a table."""

from collections.abc import Sequence
from typing import Any

from exports.intake.faults import Places
from exports.intake.fields import Field, Group, fields_of
from exports.intake.pages import Page
from exports.intake.said import as_said, unit_said

__all__ = ["labelled", "tabled"]

FARTHEST = 30  # rows in which the heads are looked for
GONE = "take a new sheet and copy the answers over"


def _put(document: dict[str, Any], key: str, value: object) -> None:
    """Put a value at a dotted key."""
    *steps, last = key.split(".")
    for step in steps:
        document = document.setdefault(step, {})
    document[last] = value


def _answered(
    one: Field, where: tuple[Page, int, int], unit: str, places: Places, prefix: str, into: dict[str, Any]
) -> None:
    """Put what one cell says into a document; an empty cell says nothing, and is where a missing key is told."""
    page, row, column = where
    content, cell = page.get(row, column), page.at(row, column)
    places.cells[prefix + one.key] = cell
    if content is None:
        return
    value = places.taken(prefix + one.key, cell, lambda: as_said(content, one, unit))
    if value is not None:
        _put(into, one.key, value)


def _unit(page: Page, row: int, column: int, one: Field, places: Places) -> str:
    """Return what a unit cell says; what is no unit is noted once, and not again at each number."""
    try:
        return unit_said(page.get(row, column), one) if one.units else ""
    except ValueError as error:
        places.wrong(page.at(row, column), str(error))
        return one.units[0]


def labelled(page: Page, groups: Sequence[Group], places: Places) -> dict[str, Any]:
    """Return the answers beside the labels of some questions, in the second column, their units in the third."""
    document: dict[str, Any] = {}
    asked = {one.label: one for one in fields_of(groups)}
    for row in range(1, page.last + 1):
        label = page.get(row, 1)
        one = asked.pop(label.strip(), None) if isinstance(label, str) else None
        if one is not None:
            _answered(one, (page, row, 2), _unit(page, row, 3, one, places), places, "", document)
    if missing := [one.label for one in asked.values()]:
        places.wrong(page.name, f"the row {missing[0]!r} is gone; {GONE}")
    return document


def _heads(page: Page, groups: Sequence[Group]) -> tuple[int, dict[int, Field]]:
    """Return the row of the heads of a table, and the question of each column."""
    asked = {one.label: one for one in fields_of(groups)}
    best: tuple[int, dict[int, Field]] = (0, {})
    for row in range(1, min(page.last, FARTHEST) + 1):
        labels = {column: page.get(row, column) for column in page.columns(row)}
        found = {
            column: asked[label.strip()]
            for column, label in labels.items()
            if isinstance(label, str) and label.strip() in asked
        }
        if len(found) > len(best[1]):
            best = row, found
    return best


def tabled(page: Page, groups: Sequence[Group], places: Places, idle: str) -> list[dict[str, Any]]:
    """Return the bores of a table, a row each; a row in which only the idle question is answered is not filled in."""
    top, columns = _heads(page, groups)
    if {one.key for one in columns.values()} != {one.key for one in fields_of(groups)}:
        places.wrong(page.name, f"its heads are not those of an intake sheet; {GONE}")
        return []
    plain = {column for column, one in columns.items() if one.key != idle}
    found = list[dict[str, Any]]()
    places.cells["bores"] = page.at(top + 2, 1)
    units = {column: _unit(page, top + 1, column, one, places) for column, one in columns.items()}
    for row in range(top + 2, page.last + 1):
        if not plain.isdisjoint(page.columns(row)):
            bore: dict[str, Any] = {}
            for column, one in columns.items():
                _answered(one, (page, row, column), units[column], places, f"bores.{len(found)}.", bore)
            places.cells[f"bores.{len(found)}"] = places.cells[f"bores.{len(found)}.name"]
            found.append(bore)
    _names(found, places)
    return found


def _names(bores: list[dict[str, Any]], places: Places) -> None:
    """Note each bore without a name, and each name that stands twice."""
    seen = set[str]()
    for number, name in enumerate(bore.get("name") for bore in bores):
        cell = places.cells[f"bores.{number}.name"]
        if name is None:
            places.wrong(cell, "is missing: give the bore a mark of its own")
        elif name in seen:
            places.wrong(cell, f"{name!r} stands above; give another mark")
        seen.add(str(name))
