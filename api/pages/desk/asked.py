"""What the page of a call asks: the questions of the intake sheet, those of a call first, and what holds unsaid."""

from typing import NamedTuple

from exports.format import Units
from exports.intake.fields import BORES, JOB, Field, Group, fields_of, units_of

__all__ = ["ASKED", "BORE_KEYS", "FIRST", "FIRST_OF_BORE", "MOST_ROWS", "NEEDED", "Input", "further", "usual_of"]

MOST_ROWS = 40  # bores of one form; a job of more is sent as a document
FIRST = ("customer.name", "equipment.description", "site.distance", "reference")
FIRST_OF_BORE = ("name", "nominal_diameter", "worn_diameter", "length", "tolerance", "material")
NEEDED = ("nominal_diameter", "worn_diameter", "length")
NOT_ASKED = ("line",)  # said by naming another bore on the same pin
UNKNOWN = "unknown"
USUAL = {
    "site.access": "open", "site.distance": "0", "site.wind": "none", "tolerance": "H8", "axis": "horizontal",
    "wear": "one-sided", "mounts": "welded", "blind": "no", "plate.ends": "one side, assumed",
    "outside_diameter": "not known", "plate_thickness": "not known", "currency": "as in the price book",
    "condition.cracks": UNKNOWN, "condition.welded_before": UNKNOWN, "condition.hardened": UNKNOWN,
    "condition.coated": UNKNOWN, "condition.bush": UNKNOWN, "condition.duty": UNKNOWN,
}  # fmt: skip
AMBIENT = {"metric": "20", "us": "68"}
ASKED: dict[str, Field] = {one.key: one for one in fields_of(JOB)}
BORE_KEYS: dict[str, Field] = {one.key: one for one in fields_of(BORES) if one.key not in NOT_ASKED}


class Input(NamedTuple):
    """One field of the form: its name, what stands in it, what holds where it is empty, what is wrong with it."""

    name: str
    field: Field
    unit: str
    value: str
    usual: str
    fault: str = ""
    kept: bool = False  # what the document says cannot stand in a field; it stays as it is


def usual_of(field: Field, units: Units) -> str:
    """Return what holds for a question that nobody answers; empty where nothing does."""
    return AMBIENT[units] if field.key == "site.ambient" else USUAL.get(field.key, "")


def further(groups: tuple[Group, ...], first: tuple[str, ...]) -> list[Group]:
    """Return the groups of questions that a call does not begin with."""
    found = [
        Group(one.name, tuple(field for field in one.fields if field.key not in (*first, *NOT_ASKED))) for one in groups
    ]
    return [one for one in found if one.fields]


def unit_beside(field: Field, units: Units) -> str:
    """Return the unit that stands beside a field."""
    return units_of(field, us=units == "us")
