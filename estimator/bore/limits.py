"""Limits of a finished hole: ISO 286 classes from the published tables, or limits as given."""

import functools
import re
from typing import NamedTuple

from estimator.errors import UnknownEntryError
from estimator.formula import formula, leaf
from estimator.job.readings import Limits
from estimator.tables import raw
from estimator.units import factor, on_rescale

__all__ = ["Deviations", "check_hole_class", "deviations", "finish_size", "grade_of", "hole_class", "middle_of"]

LETTERS = ("D", "E", "F", "G", "H", "JS", "K", "M", "N", "P", "R", "S")
FINEST, COARSEST = 5, 12
CLASS = re.compile(r"([A-Z]{1,2})([0-9]{1,2})")
GRADES = "ISO 286-1:2010 Tables 1 to 3"


class Deviations(NamedTuple):
    """Lower and upper deviation of a hole from its nominal diameter. [m]"""

    lower: float
    upper: float


def check_hole_class(name: str, nominal: float | None) -> None:
    """Raise `ValueError` with the cure unless the name is a hole class defined at that size."""
    try:
        hole_class(name, 0.05 * factor("m") if nominal is None else nominal)
    except UnknownEntryError as error:
        raise ValueError(f"{error}; write a hole class such as H8, or limits") from None


def _step(table: str, nominal: float, letter: str = "") -> dict[str, str]:
    """Return the row of the step that holds the size (over ... up to and including)."""
    millimetre = factor("mm")
    for row in raw(table):
        if row.get("letter", letter) != letter:
            continue
        if (
            float(row["over [mm]"]) * millimetre * (1 + 1e-12)
            < nominal
            <= float(row["up_to [mm]"]) * millimetre * (1 + 1e-12)
        ):
            return row
    raise UnknownEntryError("ISO 286 step of sizes", f"{nominal / millimetre:g} mm", ["3 to 500 mm"])


@functools.lru_cache(maxsize=4096)
def _limits(name: str, nominal: float) -> Deviations:
    match = CLASS.fullmatch(name)
    known = [f"{letter}{grade}" for letter in LETTERS for grade in (6, 7, 8, 9)]
    if match is None or match[1] not in LETTERS or not FINEST <= int(match[2]) <= COARSEST:
        raise UnknownEntryError("ISO 286 hole class (D to S, grades 5 to 12)", name, known)
    letter, grade, micron = match[1], int(match[2]), factor("um")
    grades = _step("tolerance_grades", nominal)
    width = float(grades[f"IT{grade} [um]"])
    row = _step("hole_deviations", nominal, letter)
    base = float(row["deviation [um]"] or 0)
    if row["rule"] == "symmetric":
        return Deviations(-width / 2 * micron, width / 2 * micron)
    if row["rule"] == "lower":
        return Deviations(base * micron, (base + width) * micron)
    upper = _upper(row, grades, letter, grade, base)
    if upper is None:
        raise UnknownEntryError("ISO 286 hole class", name, [f"{letter}{row['delta_up_to']}"])
    return Deviations((upper - width) * micron, upper * micron)


on_rescale(_limits.cache_clear)


def _upper(row: dict[str, str], grades: dict[str, str], letter: str, grade: int, base: float) -> float | None:
    """Return the upper deviation in micrometres by the delta rule and its published exceptions."""
    for special in raw("hole_exceptions"):
        same = special["letter"] == letter and int(special["grade"]) == grade
        if (
            same
            and float(special["over [mm]"]) <= float(row["over [mm]"])
            and float(row["up_to [mm]"]) <= float(special["up_to [mm]"])
        ):
            return float(special["upper [um]"])
    if grade <= int(row["delta_up_to"]):
        return base + float(grades[f"IT{grade} [um]"]) - float(grades[f"IT{grade - 1} [um]"])
    above = row["deviation_above [um]"]
    return float(above) if above else None


def hole_class(name: str, nominal: float) -> Deviations:
    """Return the deviations of an ISO 286 hole class at a nominal diameter. [m]

    Raises
    ------
    UnknownEntryError
        If the class or the size is not in the tables.
    """
    return _limits(name, nominal)


def grade_of(width: float, nominal: float) -> int:
    """Return the tightest grade of ISO 286 that is no tighter than a tolerance; the ends of the table beyond them."""
    row, wide = _step("tolerance_grades", nominal), width / factor("um") * (1 + 1e-9)
    fits = [grade for grade in range(FINEST, COARSEST + 1) if float(row[f"IT{grade} [um]"]) >= wide * (1 - 2e-9)]
    return fits[0] if fits else COARSEST


def deviations(tolerance: str | Limits, nominal: float) -> Deviations:
    """Return the deviations of the finished hole, from its class or as given. [m]"""
    if not isinstance(tolerance, str):
        return Deviations(tolerance.lower, tolerance.upper)
    found = hole_class(tolerance, nominal)
    text = f"deviation of {tolerance} at this size"
    return Deviations(
        *(leaf(value, "fact", "deviation", text, source=GRADES, mark="published", unit="m") for value in found)
    )


@formula("finish_size", "ISO 286-1: a limit of size is the nominal size plus its deviation", unit="m")
def finish_size(nominal_diameter: float, deviation: float) -> float:
    """Limit of the finished diameter. [m]"""
    return nominal_diameter + deviation


@formula("middle_diameter", "definition: the middle of the limits", "computed", unit="m")
def middle_of(finish_min: float, finish_max: float) -> float:
    """Middle of the finish limits. [m]"""
    return (finish_min + finish_max) / 2
