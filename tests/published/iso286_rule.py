"""The limits of a hole by the rules of ISO 286, worked from the rows of our tables apart from the engine."""

import csv
from importlib import resources

GRADES = range(4, 13)
STEPS = (3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500)
LETTERS = {"D", "E", "F", "G", "H", "JS", "K", "M", "N", "P", "R", "S"}

Limits = tuple[float, float]  # upper, lower [um]


def rows(table: str) -> list[dict[str, str]]:
    """Return the rows of a table as text."""
    text = resources.files("estimator.tables").joinpath(f"{table}.csv").read_text("utf-8")
    return list(csv.DictReader(text.splitlines()))


TOLERANCE_GRADES = rows("tolerance_grades")
DEVIATIONS = rows("hole_deviations")
EXCEPTIONS = rows("hole_exceptions")


def holding(found: list[dict[str, str]], size: float) -> dict[str, str]:
    """Return the one row whose step (over, up to and including) holds a size."""
    (row,) = [row for row in found if float(row["over [mm]"]) < size <= float(row["up_to [mm]"])]
    return row


def width(grade: int, size: float) -> float:
    """Return a standard tolerance [um]."""
    return float(holding(TOLERANCE_GRADES, size)[f"IT{grade} [um]"])


def by_rule(letter: str, grade: int, size: float) -> Limits:
    """Return the limits of a hole by the rule alone [um]."""
    row = holding([row for row in DEVIATIONS if row["letter"] == letter], size)
    tolerance = width(grade, size)
    if row["rule"] == "symmetric":
        return tolerance / 2, -tolerance / 2
    if row["rule"] == "lower":
        lower = float(row["deviation [um]"])
        return lower + tolerance, lower
    assert row["rule"] == "upper"
    if grade > int(row["delta_up_to"]):
        upper = float(row["deviation_above [um]"])
    else:
        upper = float(row["deviation [um]"]) + tolerance - width(grade - 1, size)
    return upper, upper - tolerance


def limits(letter: str, grade: int, size: float) -> Limits:
    """Return the limits of a hole, published exceptions included [um]."""
    for row in EXCEPTIONS:
        in_step = float(row["over [mm]"]) < size <= float(row["up_to [mm]"])
        if in_step and (row["letter"], int(row["grade"])) == (letter, grade):
            upper = float(row["upper [um]"])
            return upper, upper - width(grade, size)
    return by_rule(letter, grade, size)
