"""The sheet Record: what the work took and what was gauged, for a quote; and back into a record of what happened."""

from typing import Any

from estimator.after.happened import Happened
from estimator.errors import DocumentError
from estimator.strict import validated
from exports.cells import Cell, Choice, Row, Sheet, blank, note, title
from exports.intake.asked import labelled, tabled
from exports.intake.faults import Places
from exports.intake.fields import DONE, RECORD, fields_of
from exports.intake.filled import Filled
from exports.intake.laid import TALL, choice, laid
from exports.intake.pages import Page

__all__ = ["NAME", "record_of", "record_sheet"]

NAME = "Record"
ROWS, STATIONS, VALUE = 6, 3, 4  # blank rows; finished sizes a bore; the last column of an answer above the table
SAID = "To be filled in when the work is done; until then leave it empty. Times and sizes in the unit below each head."


def record_sheet(said: Filled) -> Sheet:
    """Return the sheet of what happened, blank but for the marks of the bores."""
    asked = list(fields_of(DONE))
    rows = [title("Record of the work", len(asked)), note(SAID, len(asked), sum(one.width for one in asked))]
    choices = list[Choice]()
    for one in fields_of(RECORD):
        answer = [Cell(None, "entry")] * (VALUE - 1)
        cells = (Cell(one.label, "question"), *answer, Cell(one.hint, "hint"))
        rows.append(Row(cells, spans=((2, VALUE), (VALUE + 1, len(asked))), scale=TALL))
        choices.append(choice(one, f"B{len(rows)}"))
    rows.append(blank())
    bores = [{"name": bore.get("name")} for bore in said.bores] or [{} for _ in range(ROWS)]
    table = laid(DONE, {}, bores, said.us, len(rows))
    widths = tuple(one.width for one in asked)
    return Sheet(NAME, widths, (*rows, *table.rows), 1, wide=True, choices=(*choices, *table.choices))


def _stations(bore: dict[str, Any], number: int, places: Places) -> None:
    """Gather the finished sizes of a bore, which stand side by side, and where they stand."""
    found = list[dict[str, Any]]()
    for station in range(1, STATIONS + 1):
        held = {key: bore.pop(f"{key} {station}", None) for key in ("depth", "diameter", "clock")}
        if any(value is not None for value in held.values()):
            for key in held:
                cell = places.cells[f"bores.{number}.{key} {station}"]
                places.cells[f"bores.{number}.finished.stations.{len(found)}.{key}"] = cell
            found.append({key: value for key, value in held.items() if value is not None})
    places.cells[f"bores.{number}.finished"] = places.cells[f"bores.{number}.diameter 1"]
    if found:
        bore.setdefault("finished", {})["stations"] = found


def record_of(page: Page) -> dict[str, Any] | None:
    """Return the record on a sheet, None where there is none; raise `DocumentError` with each fault at its cell."""
    places = Places()
    record, bores = labelled(page, RECORD, places), tabled(page, DONE, places, "name")
    for number, bore in enumerate(bores):
        _stations(bore, number, places)
    if places.faults:
        raise DocumentError(places.faults)
    if not record and not bores:
        return None
    if bores:
        record["bores"] = bores
    try:
        validated(Happened, record, {})
    except DocumentError as error:
        raise DocumentError([places.at(fault) for fault in error.faults]) from None
    return record
