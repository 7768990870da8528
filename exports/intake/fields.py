"""What the intake sheet asks: `questions.csv`, a row a question, by the key of the job document its answer goes to."""

import csv
import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from importlib import resources

__all__ = ["BORES", "DONE", "JOB", "RECORD", "Field", "Group", "fields_of", "units_of"]


@dataclass(frozen=True)
class Field:
    """One question: the key its answer goes to, its label, what kind of answer, units or words to choose from.

    Kinds: text, note, number, quantity, choice, yes, date, tolerance, steel.
    """

    key: str
    label: str
    kind: str = "text"
    units: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    hint: str = ""
    width: float = 10.0

    @property
    def strict(self) -> bool:
        """Whether nothing but one of its words is an answer."""
        return self.kind in ("choice", "yes")


@dataclass(frozen=True)
class Group:
    """Questions that stand together, under one heading."""

    name: str
    fields: tuple[Field, ...]


def _listed(text: str) -> tuple[str, ...]:
    return tuple(text.split("; ")) if text else ()


def _field(row: dict[str, str]) -> Field:
    units, words = _listed(row["units"]), _listed(row["words"])
    return Field(row["key"], row["label"], row["kind"], units, words, hint=row["hint"], width=float(row["width"]))


def _groups(sheet: str) -> tuple[Group, ...]:
    """Return the questions of a sheet, group by group, in the order of the table."""
    text = resources.files("exports.intake").joinpath("questions.csv").read_text("utf-8")
    rows = [row for row in csv.DictReader(text.splitlines()) if row["sheet"] == sheet]
    grouped = itertools.groupby(rows, key=lambda row: row["group"])
    return tuple(Group(name, tuple(map(_field, held))) for name, held in grouped)


JOB, BORES = _groups("Job"), _groups("Bores")
RECORD, DONE = _groups("Record"), _groups("Done")  # of what happened: of the whole work, of a bore


def fields_of(groups: Sequence[Group]) -> Iterator[Field]:
    """Yield the questions of some groups."""
    return (one for group in groups for one in group.fields)


def units_of(field: Field, us: bool = False) -> str:
    """Return the unit that stands beside a question before anybody chose one; empty where it has none.

    Examples
    --------
    >>> units_of(BORES[1].fields[0]), units_of(BORES[1].fields[0], us=True)
    ('mm', 'in')
    """
    if not field.units:
        return ""
    return field.units[-1] if us else field.units[0]
