"""The form of a job as its page shows it: fields with what stands in them, from a document or as they were typed."""

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from api.pages.desk.asked import (
    ASKED,
    BORE_KEYS,
    FIRST,
    FIRST_OF_BORE,
    UNKNOWN,
    Input,
    further,
    unit_beside,
    usual_of,
)
from api.pages.desk.typed import at_path, blank_names, rows_of, same_pin
from exports.format import Units
from exports.intake.fields import BORES, JOB, Field
from exports.intake.said import as_cell

__all__ = ["NEXT", "fields_of_document", "form_view"]

NEXT = "__N__"  # stands for the number of a row that a script adds
KEPT = "\0kept"
Shown = dict[str, Any]


def fields_of_document(document: Mapping[str, Any], units: Units) -> dict[str, str]:
    """Return what stands in the fields of a form that is opened from a job document."""
    found = {"reference": str(document.get("reference", ""))}
    found |= _cells(document, ASKED, "", units)
    if "equipment" not in document and "machine" in document:
        found |= _cells({"equipment": document["machine"]}, ASKED, "", units)
    bores = list(document.get("bores") or [])
    for row, bore in enumerate(bores):
        found |= _cells(bore, BORE_KEYS, f"bores.{row}.", units)
        found |= {f"bores.{row}.was": str(row), f"bores.{row}.same": same_pin(bores, row)}
        if "readings" in bore:
            found[f"bores.{row}.worn_diameter"] = KEPT
    return found


def _cells(document: Mapping[str, Any], asked: Mapping[str, Field], before: str, units: Units) -> dict[str, str]:
    found = {}
    for key, one in asked.items():
        if (value := at_path(document, key)) is not None:
            cell = as_cell(value, one, unit_beside(one, units))
            found[before + key] = KEPT if cell is None else str(cell)
    return found


def form_view(
    fields: Mapping[str, str], faults: Mapping[str, str], units: Units, steels: Collection[str], *, rows: int = 1
) -> Shown:
    """Return what the template shows of a form.

    Parameters
    ----------
    fields
        What stands in it, by name.
    faults
        What is wrong, by the name of the field.
    units
        The units beside its fields.
    steels
        The steels to choose from.
    rows
        How many rows of bores there are at the least.
    """
    numbers = rows_of(fields)
    while len(numbers) < rows:
        numbers.append(max(numbers, default=-1) + 1)

    def input_of(field: Field, before: str = "") -> Input:
        words = (UNKNOWN, *steels) if field.kind == "steel" else field.words
        one = Field(field.key, field.label, field.kind, field.units, words)
        name, said = before + field.key, fields.get(before + field.key, "")
        value, unit = "" if said == KEPT else said, "" if field.kind == "tolerance" else unit_beside(field, units)
        return Input(name, one, unit, value, usual_of(field, units), fault=faults.get(name, ""), kept=said == KEPT)

    def row_of(number: object, name: str, others: list[str]) -> Shown:
        before, more = f"bores.{number}.", further(BORES, FIRST_OF_BORE)
        first = [input_of(BORE_KEYS[key], before) for key in FIRST_OF_BORE]
        return {
            "number": number,
            "title": name,
            "was": fields.get(f"{before}was", ""),
            "same": fields.get(f"{before}same", ""),
            "others": others,
            "measured": fields.get(f"{before}worn_diameter") == KEPT,
            "first": [first[0]._replace(usual=name), *first[1:]],
            "more": [(group.name, [input_of(one, before) for one in group.fields]) for group in more],
            "faulty": any(name.startswith(before) for name in faults),
        }

    names, shown = _free_names(fields, numbers), list[Shown]()
    for number in numbers:
        shown.append(row_of(number, next(names), [row["title"] for row in shown]))
    return {
        "first": [input_of(ASKED[key]) for key in FIRST],
        "more": [(group.name, [input_of(one) for one in group.fields]) for group in further(JOB, FIRST)],
        "rows": shown,
        "blank": row_of(NEXT, "", [row["title"] for row in shown]),
        "units": units,
    }


def _free_names(fields: Mapping[str, str], numbers: list[int]) -> Iterator[str]:
    """Yield for each row a name that no other row has."""
    taken = {fields.get(f"bores.{number}.name", "") for number in numbers}
    free = (name for name in blank_names() if name not in taken)
    return (fields.get(f"bores.{number}.name", "") or next(free) for number in numbers)
