"""A filled intake sheet back into a job document; what is wrong is told at its cell, all of it at once."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from estimator.errors import DocumentError, Fault
from estimator.strict import LARGEST_DOCUMENT, canonical
from exports.intake import grids, more
from exports.intake.faults import Places
from exports.intake.fields import BORES, JOB, Field, fields_of
from exports.intake.pages import Page, pages_of
from exports.intake.said import as_said, unit_said
from exports.intake.slips import slips_in

__all__ = ["document_of", "job_of_pages", "job_of_sheet"]

SHEETS = ("Job", "Bores", grids.NAME, more.NAME)
NEEDED = SHEETS[:2]


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


def _job(page: Page, places: Places) -> dict[str, Any]:
    """Return the answers of the sheet Job, found by their labels."""
    document: dict[str, Any] = {}
    asked = {one.label: one for one in fields_of(JOB)}
    for row in range(1, page.last + 1):
        label = page.get(row, 1)
        one = asked.pop(label.strip(), None) if isinstance(label, str) else None
        if one is not None:
            _answered(one, (page, row, 2), _unit(page, row, 3, one, places), places, "", document)
    if missing := [one.label for one in asked.values()]:
        places.wrong(page.name, f"the row {missing[0]!r} is gone; take a new sheet and copy the answers over")
    return document


def _heads(page: Page) -> tuple[int, dict[int, Field]]:
    """Return the row of the heads of sheet Bores, and the question of each column."""
    asked = {one.label: one for one in fields_of(BORES)}
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


FARTHEST = 20  # rows in which the heads are looked for


def _bores(page: Page, places: Places) -> list[dict[str, Any]]:
    """Return the bores, a row each; a row in which only a line stands is not filled in."""
    top, columns = _heads(page)
    if {one.key for one in columns.values()} != {one.key for one in fields_of(BORES)}:
        places.wrong(
            page.name, "its heads are not those of an intake sheet; take a new sheet and copy the answers over"
        )
        return []
    plain = {column for column, one in columns.items() if one.key != "line"}
    found = list[dict[str, Any]]()
    places.cells["bores"] = page.at(top + 2, 1)
    units = {column: _unit(page, top + 1, column, one, places) for column, one in columns.items()}
    for row in range(top + 2, page.last + 1):
        if not plain.isdisjoint(page.columns(row)):
            bore: dict[str, Any] = {}
            for column, one in columns.items():
                _answered(one, (page, row, column), units[column], places, f"bores.{len(found)}.", bore)
            places.cells[f"bores.{len(found)}"] = places.cells[f"bores.{len(found)}.name"]
            places.cells[f"bores.{len(found)}.plate"] = places.cells[f"bores.{len(found)}.plate.ends"]
            places.cells[f"bores.{len(found)}.readings"] = places.cells[f"bores.{len(found)}.worn_diameter"]
            found.append(bore)
    _names(found, places)
    return found


def _names(bores: list[dict[str, Any]], places: Places) -> None:
    """Note each bore without a name, and each name that stands twice."""
    seen = set[str]()
    for number, name in enumerate(bore.get("name") for bore in bores):
        if name is None or name in seen:
            said = (
                "is missing: give the bore a mark of its own"
                if name is None
                else f"{name!r} stands above; give another mark"
            )
            places.wrong(places.cells[f"bores.{number}.name"], said)
        seen.add(str(name))


def document_of(pages: Mapping[str, Page]) -> tuple[dict[str, Any], Places]:
    """Return the job document that the sheets say, and where each key stands; nothing is checked across cells."""
    places = Places()
    document, bores = _job(pages["Job"], places), _bores(pages["Bores"], places)
    if bores:
        document["bores"] = bores
    number_of = {str(one.get("name")): number for number, one in reversed(list(enumerate(bores)))}
    if places.faults and not bores:
        return document, places  # whatever else is said is of no bore
    if grids.NAME in pages:
        for number, readings in grids.grids_of(pages[grids.NAME], places, number_of):
            bores[number]["readings"] = readings
    if more.NAME in pages:
        more.put_more(pages[more.NAME], document, number_of, places)
    return document, places


def _raised(faults: Iterable[Fault]) -> None:
    if found := list(dict.fromkeys(faults)):
        raise DocumentError(found)


def job_of_sheet(data: bytes, check: Callable[[dict[str, Any]], object]) -> dict[str, Any]:
    """Return the job document of a filled intake workbook.

    Parameters
    ----------
    data
        The bytes of the workbook.
    check
        Raises `DocumentError` where the document is wrong, each fault with its key.

    Raises
    ------
    DocumentError
        If the file is none that is to be opened, or an answer is wrong: each fault with its cell, "Readings!D7".
    """
    return job_of_pages(pages_of(data, SHEETS), check)


def job_of_pages(pages: Mapping[str, Page], check: Callable[[dict[str, Any]], object]) -> dict[str, Any]:
    """Return the job document of the sheets of a filled workbook; `job_of_sheet` says how it is checked."""
    _raised(
        Fault(name, "the workbook has no such sheet; fill in an intake sheet as it was made")
        for name in NEEDED
        if name not in pages
    )
    document, places = document_of(pages)
    _raised([*places.faults, *slips_in(document, places.cells)])
    if len(canonical(document)) > LARGEST_DOCUMENT:
        raise DocumentError([Fault("", f"the job would be larger than {LARGEST_DOCUMENT >> 20} MB")])
    try:
        check(document)
    except DocumentError as error:
        raise DocumentError([places.at(fault) for fault in error.faults]) from None
    return document
