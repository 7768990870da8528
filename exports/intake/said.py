"""What is typed into a cell becomes a value of the job document, and such a value what stands in a cell.

People type a decimal comma, a fraction of an inch, a number as text, a unit behind it. What a cell is written with
reads back as the very value it was written for; a value for which there is no such cell is not written into one.
"""

import contextlib
import datetime
import math
import re
from collections.abc import Callable
from typing import Any, NamedTuple

from estimator.signs import unfit
from estimator.strict import canonical
from estimator.units import UnitError, dimension_of, read, split
from exports.intake.fields import Field

__all__ = [
    "Content", "Odd", "as_cell", "as_said", "clock", "lone_number", "reading", "reading_cell", "survives", "tidy",
    "unit_said",
]  # fmt: skip

DIGITS, MOST, LONGEST = 15, 1e15, 2000
HOURS, DEGREES_AN_HOUR = 12, 30


class Odd(NamedTuple):
    """What a cell holds that is no value: a formula, an error, a time of day."""

    what: str


Content = str | int | float | bool | datetime.date | Odd | None
NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)")
FRACTION = re.compile(r"(?:[0-9]{1,4}[ -])?[0-9]{1,2}/(?:2|4|8|16|32|64)")
BOTH = re.compile(r"[+-]?[0-9]+(?:[.,][0-9]+){2,}")
LEADING = re.compile(r"([+-]?[0-9]*),([0-9]+)")
LIMITS = re.compile(r"(.+?)\s*(?: to |\.\.)\s*(.+)")
CLOCK = re.compile(r"([0-9]{1,2})\s*(?:o'?clock|h)", re.IGNORECASE)
SIGNS = str.maketrans({"\u00a0": " ", "\u202f": " ", "\u2212": "-", "\u2019": "'"})
HALVES = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
ESCAPED = re.compile(r"_x[0-9A-Fa-f]{4}_|x005F_")  # what a workbook takes for a sign written out


def tidy(text: str) -> str:
    """Return a text without blanks around it, its signs as they are typed."""
    text = text.translate(SIGNS)
    for sign, typed in HALVES.items():
        text = re.sub(
            rf"([0-9])?\s*{sign}", lambda found, typed=typed: f"{found[1]} {typed}" if found[1] else typed, text
        )
    return text.strip()


def _plain(content: Content, due: str) -> str | int | float:
    """Return a number or text; raise `ValueError` for what is neither."""
    if isinstance(content, Odd):
        raise ValueError(f"holds {content.what}; type {due}")
    if isinstance(content, bool) or content is None:
        raise ValueError(f"holds {str(content).upper()}; type {due}")
    if isinstance(content, datetime.date):
        raise ValueError(
            f"was taken for the date {content:%Y-%m-%d} by the spreadsheet; type {due} with its unit behind it"
        )
    if isinstance(content, str):
        return content
    if not (math.isfinite(content) and abs(content) < MOST):
        raise ValueError(f"is too large a number; type {due}")
    return content


def lone_number(text: str) -> int | float | None:
    """Return a number typed as text, with a point or a comma; None where it is no lone number.

    Examples
    --------
    >>> lone_number("90,8"), lone_number("90.0"), lone_number("3.5 in")
    (90.8, 90.0, None)
    """
    if BOTH.fullmatch(text):
        raise ValueError(f"{text[:40]!r} has two signs for the decimals; type 1234.5")
    if not NUMBER.fullmatch(text):
        return None
    pointed = text.replace(",", ".")
    return float(pointed) if "." in pointed else int(pointed)


def _quantity(content: Content, unit: str, dimension: str, example: str) -> str:
    """Return a text with a unit: the one typed behind the number, else that of the column."""
    found = _plain(content, f"a number such as {example}")
    text = tidy(found) if isinstance(found, str) else repr(found)
    if isinstance(found, int | float) or lone_number(text) is not None or FRACTION.fullmatch(text):
        if not unit:
            raise ValueError("has no unit: choose one in the unit cell, or type it behind the number")
        text = f"{text} {unit}"
    text = LEADING.sub(r"\1.\2", text, count=1)
    try:
        read(text, dimension)
    except UnitError as error:
        raise ValueError(str(error)) from None
    return text


def unit_said(content: Content, field: Field) -> str:
    """Return the unit in a unit cell, empty where there is none; raise `ValueError` where it does not fit."""
    if content is None:
        return ""
    found = content.strip() if isinstance(content, str) else ""
    with contextlib.suppress(UnitError):
        if found and dimension_of(found) == dimension_of(field.units[0]):
            return found
    raise ValueError(f"is no unit that fits here; choose {' or '.join(field.units)}")


def _text(content: Content) -> str:
    if isinstance(content, datetime.date):
        return f"{content:%Y-%m-%d}"
    found = _plain(content, "a text")
    return found.translate(SIGNS).strip() if isinstance(found, str) else repr(found)


def _number(content: Content) -> int | float:
    found = _plain(content, "a number")
    number = lone_number(tidy(found)) if isinstance(found, str) else found
    if number is None:
        raise ValueError(f"{str(found)[:40]!r} is no number; type digits alone, without a unit")
    return number


def _date(content: Content) -> str:
    if isinstance(content, int | float) and not isinstance(content, bool):
        raise ValueError("is no date; type year, month and day, for instance 2027-03-08")
    return _text(content)


def _word(content: Content, words: tuple[str, ...]) -> str:
    if isinstance(content, bool):  # a spreadsheet turns some words into its own truth
        content = "yes" if content else "no"
    found = _text(content)
    for word in words:
        if found.casefold() == word.casefold():
            return word
    raise ValueError(f"{found[:40]!r} is none of {', '.join(words)}; choose one from the list")


def _tolerance(content: Content, unit: str) -> str | dict[str, str]:
    """Return a hole class, or the lower and upper deviation."""
    text = tidy(_text(content))
    if found := LIMITS.fullmatch(text):
        pair = (_quantity(part, unit, "length", "0 to 0.054") for part in found.groups())
        return dict(zip(("lower", "upper"), pair, strict=True))
    return text


def as_said(content: Content, field: Field, unit: str = "") -> Any:  # noqa: ANN401  # a value of a document
    """Return what a cell says, as a job document has it; raise `ValueError` with the cure where it says nothing."""
    readers: dict[str, Callable[[], Any]] = {
        "quantity": lambda: _quantity(content, unit, dimension := dimension_of(field.units[0]), EXAMPLES[dimension]),
        "number": lambda: _number(content),
        "date": lambda: _date(content),
        "choice": lambda: _word(content, field.words),
        "yes": lambda: _word(content, field.words) == "yes",
        "tolerance": lambda: _tolerance(content, unit),
        "clock": lambda: clock(content),
    }
    return readers.get(field.kind, lambda: _text(content))()


EXAMPLES = {"length": "90.8", "temperature": "12", "speed": "2", "time": "34", "mass": "0.9"}


def reading(content: Content, unit: str) -> Any:  # noqa: ANN401  # a size, several, or none
    """Return one reading: a plain number in the unit of its grid, a text with its own, or several of one place."""
    if content is None:
        return None
    found = _plain(content, "the reading")
    if not isinstance(found, str):
        return found
    parts = [tidy(part) for part in found.split(";")]
    if len(parts) > 1:
        return [_one_reading(part, unit) for part in (parts if parts[-1] else parts[:-1])]
    return _one_reading(parts[0], unit)


def _one_reading(text: str, unit: str) -> str | int | float:
    number = lone_number(text)
    return _quantity(text, unit, "length", "90.8") if number is None else number


def clock(content: Content) -> int | float:
    """Return a place on the clock in degrees; "3 o'clock" is 90."""
    found = _plain(content, "degrees such as 90")
    if isinstance(found, str) and (hour := CLOCK.fullmatch(tidy(found))):
        return int(hour[1]) % HOURS * DEGREES_AN_HOUR
    return _number(found.rstrip("° ") if isinstance(found, str) else found)


# ---------------------------------------------------------------- and back into a cell


def survives(text: str) -> bool:
    """Return whether a text comes back from a cell as it went in."""
    odd = unfit(text) or ESCAPED.search(text) or "\r" in text
    return bool(text) and len(text) <= LONGEST and not odd and not re.search("[\ud800-\udfff\ufffe\uffff]", text)


def _cells(value: Any, unit: str) -> list[str | int | float]:  # noqa: ANN401  # a value of a document
    """Return what may be written for a value, what reads best first."""
    if isinstance(value, bool):
        return ["yes" if value else "no"]
    if isinstance(value, int | float):
        kept = abs(value) < MOST and float(f"{value:.{DIGITS}g}") == value
        kept = kept and (isinstance(value, int) or not value.is_integer())  # a workbook has one kind of number
        return [value, repr(value)] if kept else [repr(value)]
    if isinstance(value, dict) and set(value) == {"lower", "upper"}:
        return [f"{value['lower']} to {value['upper']}"]
    if not isinstance(value, str) or not survives(value):
        return []
    try:
        number, typed = split(value)
    except UnitError:
        return [value]
    alone = value.removesuffix(typed).strip() if typed == unit else ""
    return ([*_cells(int(number) if number.is_integer() else number, ""), alone] if alone else []) + [value]


def as_cell(value: Any, field: Field, unit: str = "") -> str | int | float | None:  # noqa: ANN401  # of a document
    """Return what is written into the cell of a value; None where no cell would read back as that value."""
    for cell in _cells(value, unit):
        try:
            if canonical(as_said(cell, field, unit)) == canonical(value):
                return cell
        except ValueError:
            continue
    return None


def reading_cell(value: Any) -> str | int | float | None:  # noqa: ANN401  # of a document
    """Return what is written into the cell of a reading; None where no cell would read back as that value."""
    cells = _cells(value, "")
    if isinstance(value, list):
        each = [reading_cell(one) for one in value]
        cells = (
            ["; ".join(str(one) for one in each) + ("" if len(each) > 1 else ";")] if each and None not in each else []
        )
    for cell in cells:
        try:
            if canonical(reading(cell, "")) == canonical(value):
                return cell
        except ValueError:
            continue
    return None
