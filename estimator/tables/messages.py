"""What is said: a code with its figures; words, grade and who decides stand in `messages.csv`, by language.

Nothing decides by the words. A template names its figures in braces, with the unit they are told in: `{wall:mm}`. In
`{wall:mm vs least}` a figure that reads like another once both are rounded is told as just over or just under it.
"""

import functools
import string
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal, Union

from estimator.errors import Fault
from estimator.strict import validated
from estimator.tables import raw
from estimator.tables.row import Row
from estimator.units import deci

__all__ = [
    "Grade",
    "Message",
    "Said",
    "about",
    "fault",
    "grade_of",
    "of_the_office",
    "say",
    "text_of",
    "texts_of",
    "who_decides",
    "words",
]

Grade = Literal["stop", "approve", "check", "know"]
Figure = Union[str, int, float, "Message", tuple["Figure", ...]]
USUAL = "en"
SIGNIFICANT = 2  # digits that a small figure keeps
PLACES = {
    "mm": 2,
    "mm2": 1,
    "um": 1,
    "mm/s": 1,
    "m/s": 1,
    "kJ/mm": 2,
    "kW": 1,
    "h": 1,
    "mass%": 3,
    "": 3,
}  # others: none
SYMBOL = {
    "": "",
    "HV": "",
    "deg": "\u00b0",
    "degC": " \u00b0C",
    "um": " \u00b5m",
    "mm2": " mm\u00b2",
    "mass%": " %",
    "+%": " %",
    "day": " d",
}
SHARES, SIGNED = ("%", "+%"), "+%"
PLAIN = ("", "deg", "HV", "mass%", "times")  # places on the clock, scales and counts: no units of the SI


@dataclass(frozen=True, slots=True)
class Message:
    """One thing said: its code, its figures (SI numbers, names, further messages) and the place it is about."""

    code: str
    figures: tuple[tuple[str, Figure], ...] = ()
    path: str = ""


class Said(Row):
    """How a code is said in a language: its grade (none: not a warning), who decides, the template, why it is so.

    `seen_by` office: only for those who see what a job costs us; without, for everybody.
    """

    code: str
    grade: Grade | None = None
    who: str = ""
    language: str
    text: str
    why: str = ""
    seen_by: Literal["office"] | None = None


def say(code: str, /, **figures: Figure) -> Message:
    """Return a message of a code with its figures."""
    return Message(code, tuple(figures.items()))


def about(path: str, message: Message) -> Message:
    """Return a message about a place; where it names one already, about that place within."""
    return replace(message, path=f"{path}.{message.path}" if message.path else path)


@functools.cache
def words() -> Mapping[tuple[str, str], Said]:
    """Return the rows of the table by code and language."""
    rows = [validated(Said, {key: cell for key, cell in row.items() if cell}, {}) for row in raw("messages")]
    return {(row.code, row.language): row for row in rows}


DECIMAL = say("decimal_sign")  # the one code that is looked up here and told by nobody


def _row(code: str, language: str) -> Said:
    rows = words()
    return rows.get((code, language)) or rows[code, USUAL]


@functools.cache
def of_the_office() -> frozenset[str]:
    """Return the codes that only those are told who see what a job costs us."""
    return frozenset(code for (code, _), row in words().items() if row.seen_by == "office")


def grade_of(message: Message) -> Grade:
    """Return how grave a message is; one without a grade is to be known."""
    return _row(message.code, USUAL).grade or "know"


def who_decides(message: Message, language: str = USUAL) -> str:
    """Return who decides on what a message says; empty where nobody is named."""
    named = dict(message.figures).get("who")
    return named if isinstance(named, str) else _row(message.code, language).who


def fault(path: str, message: Message) -> Fault:
    """Return a fault at a path of the document, told by the table."""
    return Fault(path, text_of(message), message.code)


def texts_of(messages: "tuple[Message, ...] | list[Message]", language: str = USUAL) -> list[str]:
    """Return the texts of several messages."""
    return [text_of(one, language) for one in messages]


def text_of(message: Message, language: str = USUAL) -> str:
    """Return a message in words; in English where the table has no row in a language."""
    row = _row(message.code, language)
    figures = {"who": row.who, **dict(message.figures)}
    return "".join(_parts(row.text, figures, language))


@functools.lru_cache(maxsize=1024)
def _parsed(template: str) -> tuple[tuple[str, str | None, str], ...]:
    return tuple((plain, name, spec or "") for plain, name, spec, _ in string.Formatter().parse(template))


def _parts(template: str, figures: Mapping[str, Figure], language: str) -> Iterator[str]:
    for plain, name, spec in _parsed(template):
        yield plain
        if name is not None:
            unit = "".join(_parts(spec, figures, language)) if "{" in spec else spec
            yield _told(figures[name], unit, figures, language)


def _told(figure: Figure, spec: str, figures: Mapping[str, Figure], language: str) -> str:
    """Return one figure as its place in a template asks for it."""
    if isinstance(figure, Message):
        return text_of(figure, language)
    if isinstance(figure, tuple):
        return (", " if spec == "," else "; ").join(_told(one, "", figures, language) for one in figure)
    if isinstance(figure, str):
        return figure
    symbol, _, other = spec.partition(" vs ")
    text, limit = _in_words(figure, symbol, language), figures.get(other, "")
    if not isinstance(limit, int | float) or figure == limit or text != _in_words(limit, symbol, language):
        return text
    return text_of(say("just_over" if figure > limit else "just_under", limit=text), language)


def _in_words(value: float, symbol: str, language: str) -> str:
    """Return a number with its unit, its decimal sign as the language writes it."""
    text = _number(value, symbol)
    return text if language == USUAL else text.replace(".", _row(DECIMAL.code, language).text)


def _number(value: float, symbol: str) -> str:
    """Return a number with its unit: rounded to the unit's places, two digits at the least, nothing after the last."""
    number = _in_unit(value, symbol)
    exact = Decimal(repr(float(number)))
    places = max(PLACES.get(symbol, 0), SIGNIFICANT - 1 - exact.adjusted() if exact else 0)
    rounded = exact.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP) + 0
    text = f"{rounded:+f}" if symbol == SIGNED else f"{rounded:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f"{text}{SYMBOL.get(symbol, f' {symbol}')}"


def _in_unit(value: float, symbol: str) -> float:
    if symbol in SHARES:
        return 100 * value
    return value if symbol in PLAIN else deci(value, symbol)
