"""What is typed into the form of a job becomes a job document, laid over the one it was opened from, and back.

A field is named by its path in the document. What the form does not ask stays as it stood; an empty field takes its key
out. Nothing is computed here.
"""

import copy
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from api.pages.desk.asked import ASKED, BORE_KEYS, MOST_ROWS, NEEDED, UNKNOWN, unit_beside
from estimator.errors import Fault
from exports.format import Units
from exports.intake.fields import Field
from exports.intake.said import as_said

__all__ = ["Typed", "at_path", "blank_names", "rows_of", "same_pin", "typed"]

ROW = re.compile(r"bores\.([0-9]{1,6})\.(.+)")
FIRST_LETTER, LETTERS = ord("A"), 26
Document = dict[str, Any]


@dataclass
class Typed:
    """A job document as typed: what is wrong or missing by field, and which row of the form each bore came from."""

    document: Document
    faults: list[Fault] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)
    rows: list[int] = field(default_factory=list)

    def in_form(self, path: str) -> str:
        """Return the path of a document as the form counts its rows."""
        found = re.match(r"bores\.([0-9]+)(.*)", path)
        inside = found is not None and int(found[1]) < len(self.rows)
        return f"bores.{self.rows[int(found[1])]}{found[2]}" if found is not None and inside else path

    @property
    def ready(self) -> "Typed":
        """The same with only those bores of which nothing is missing; it may have none."""
        pairs = [(row, bore) for row, bore in zip(self.rows, self.document["bores"], strict=True) if not lacks(bore)]
        document = {"reference": "new"} | self.document | {"bores": [bore for _, bore in pairs]}
        return Typed(document, self.faults, self.missing, [row for row, _ in pairs])


def lacks(bore: Mapping[str, Any]) -> list[str]:
    """Return the keys without which a bore cannot be priced; a bore with readings needs no worst diameter."""
    return [key for key in NEEDED if key not in bore and not (key == "worn_diameter" and "readings" in bore)]


def rows_of(fields: Mapping[str, str]) -> list[int]:
    """Return the rows of bores of a form, in order."""
    return sorted(row for row in _rows(fields) if row < MOST_ROWS)


def _rows(fields: Mapping[str, str]) -> set[int]:
    """Return the rows of a form, those beyond the last that it may have too."""
    return {int(match[1]) for name in fields if (match := ROW.fullmatch(name))}


def blank_names() -> Iterator[str]:
    """Yield names for bores: A, B, … Z, then A2, B2 …"""
    for turn in range(1, MOST_ROWS):
        for letter in range(LETTERS):
            yield chr(FIRST_LETTER + letter) + (str(turn) if turn > 1 else "")


def at_path(document: Mapping[str, Any], path: str) -> Any:  # noqa: ANN401  # a value of a document
    """Return what stands at a path of a document; None where nothing does."""
    found: Any = document
    for part in path.split("."):
        found = found.get(part) if isinstance(found, Mapping) else None
    return found


def same_pin(bores: list[Document], number: int) -> str:
    """Return the name of an earlier bore on the same pin, empty where there is none."""
    line = bores[number].get("line")
    return next((str(one.get("name", "")) for one in bores[:number] if line and one.get("line") == line), "")


def _put(document: Document, path: str, value: object) -> None:
    *above, last = path.split(".")
    for part in above:
        inner = document.setdefault(part, {})
        document = inner if isinstance(inner, dict) else {}
    if value is None:
        document.pop(last, None)
    else:
        document[last] = value


def _taken(document: Document, asked: Mapping[str, Field], fields: Mapping[str, str], units: Units) -> list[Fault]:
    """Put what is typed into a document by the key of each question; return what is wrong."""
    faults = []
    for key, one in asked.items():
        if (text := fields.get(key)) is None:
            continue
        try:
            _put(document, key, as_said(text, one, unit_beside(one, units)) if text.strip() else None)
        except ValueError as error:
            faults.append(Fault(key, str(error)))
    for key in {key.partition(".")[0] for key in asked if "." in key}:
        if document.get(key) == {}:
            del document[key]
    return faults


def typed(fields: Mapping[str, str], base: Document | None, units: Units) -> Typed:
    """Return the job document that a form says.

    Parameters
    ----------
    fields
        What was sent, by name.
    base
        The document that the form was opened from, if there was one.
    units
        The units that stand beside its fields.
    """
    document: Document = copy.deepcopy(base) if base else {}
    if "machine" in document and "equipment" not in document:
        document["equipment"] = document.pop("machine")  # both are taken; the form asks by the one
    found = Typed(document, _taken(document, ASKED, fields, units))
    if any(row >= MOST_ROWS for row in _rows(fields)):
        found.faults.append(Fault("bores", f"a form holds {MOST_ROWS} bores; send a job of more as a document"))
    former = document.get("bores") or []
    document["bores"] = []
    for row in rows_of(fields):
        own = {
            match[2]: text for name, text in fields.items() if (match := ROW.fullmatch(name)) and int(match[1]) == row
        }
        _bore(found, row, own, former, units)
    _pins(found, fields)
    if not document.get("reference"):
        found.missing.append("reference")
    return found


def _bore(found: Typed, row: int, own: dict[str, str], former: list[Document], units: Units) -> None:
    """Add the bore of one row; a row in which nothing was typed is none."""
    was = own.get("was", "")
    bore = copy.deepcopy(former[int(was)]) if was.isdigit() and int(was) < len(former) else {}
    if not bore and not any(own.get(key, "").strip() for key in NEEDED):
        return
    found.faults += [one.within(f"bores.{row}") for one in _taken(bore, BORE_KEYS, own, units)]
    names = [one.get("name") for one in found.document["bores"]]
    bore.setdefault("name", next(name for name in blank_names() if name not in names))
    bore.setdefault("material", UNKNOWN)
    wrong = {one.path for one in found.faults}
    names_of = (f"bores.{row}.{key}" for key in lacks(bore))
    found.missing += [name for name in names_of if name not in wrong]
    found.rows.append(row)
    found.document["bores"].append(bore)


def _pins(found: Typed, fields: Mapping[str, str]) -> None:
    """Let bores lie on one line where a row names another on the same pin."""
    bores: list[Document] = found.document["bores"]
    names = {str(bore.get("name")): bore for bore in bores}
    for place, (row, bore) in enumerate(zip(found.rows, bores, strict=True)):
        same = fields.get(f"bores.{row}.same")
        if same is None or same == same_pin(bores, place):
            continue
        other = names.get(same)
        if same and other is not None and other is not bore:
            bore["line"] = other.setdefault("line", f"pin of {same}")
        elif not same:
            for key in ("line", "position"):
                bore.pop(key, None)
