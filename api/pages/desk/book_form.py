"""The ten questions of a price book: what is asked, what stands in its fields, and the book that the answers make."""

import copy
import csv
import functools
from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from importlib import resources
from typing import Any, NamedTuple

from estimator.book.demo import same_at
from estimator.book.pricebook import PriceBook, builtin_document
from estimator.book.questions import QUESTIONS, book_from, questions
from estimator.errors import DocumentError, Fault
from exports.intake.said import lone_number, tidy

__all__ = ["PRICED", "Asked", "answered", "answered_new", "asked_new", "asked_of", "raised", "value_at"]

PERCENT = 100
LIKE = 0.1  # by how much a figure is raised to see what hangs on it
PRICED: dict[tuple[str, ...], str] = {  # which figure of the book an answer is
    ("rates", "labour_on_site"): "wage", ("rates", "equipment"): "van", ("travel", "distance"): "km",
    ("travel", "night"): "night", ("margin",): "margin",
}  # fmt: skip
Document = dict[str, Any]


class Asked(NamedTuple):
    """One question of a book: its key with names filled in, and what stands there."""

    key: tuple[str, ...]
    ask: str
    unit: str
    kind: str
    value: str
    demo: bool

    @property
    def name(self) -> str:
        """The name of its field."""
        return "/".join(self.key)


@functools.cache
def _rows() -> tuple[dict[str, str], ...]:
    text = resources.files("api.pages.desk").joinpath("book_questions.csv").read_text("utf-8")
    return tuple(csv.DictReader(text.splitlines()))


def asked_of(book: PriceBook) -> list[Asked]:
    """Return the questions of a book with what stands in it."""
    document = book.document
    usual = {"wire": next(iter(document["carried"]["wires"])), "gas": next(iter(document["carried"]["gases"]))}
    found = []
    for row in _rows():
        key = tuple(part.format(**usual) for part in row["key"].split("."))
        value = value_at(document, key)
        per = f"{book.currency}/{row['unit']}" if row["unit"] else book.currency
        demo = same_at(".".join(key), document, builtin_document())
        ask = row["ask"] + "".join(f" ({name})" for part, name in usual.items() if f"{{{part}}}" in row["key"])
        found.append(
            Asked(key, ask, "%" if row["kind"] == "share" else per, row["kind"], _shown(value, row["kind"]), demo)
        )
    return found


def asked_new(currency: str = "") -> list[Asked]:
    """Return the questions that make a new book, with the answers of the built-in one; `currency`: the first answer."""
    try:
        found = questions(currency)
    except DocumentError:  # no currency: said where the answers are read
        found = questions()
    return [Asked((one.code,), one.text, "", "answer", one.usual, demo=True) for one in found]


def answered_new(fields: Mapping[str, str]) -> tuple[Document, list[Fault]]:
    """Return the book that answers make, the built-in one where they are wrong; and what is wrong by field."""
    try:
        return book_from({code: fields.get(code, "") for code in QUESTIONS}), []
    except DocumentError as error:
        return {}, list(error.faults)


def value_at(document: Mapping[str, Any], key: tuple[str, ...]) -> Any:  # noqa: ANN401  # a value of a book
    """Return what stands at a key of a book; None where nothing does."""
    found: Any = document
    for part in key:
        found = found.get(part) if isinstance(found, Mapping) else None
    return found


def _shown(value: object, kind: str) -> str:
    if value is None:
        return ""
    if kind == "share":
        return f"{Decimal(str(value)) * PERCENT:f}".rstrip("0").rstrip(".") or "0"
    return str(value).partition(" ")[0]


def _laid(document: Document, key: tuple[str, ...], value: object) -> None:
    *above, last = key
    for part in above:
        document = document.setdefault(part, {})
    document[last] = value


def answered(base: Document, book: PriceBook, fields: Mapping[str, str]) -> tuple[Document, list[Fault]]:
    """Return a stored book with the answers laid over it, and what is wrong by field.

    Parameters
    ----------
    base
        The stored book, whole or partial, that the answers change.
    book
        The same as it is read: it says what is asked.
    fields
        What was sent.
    """
    document, faults = copy.deepcopy(base), list[Fault]()
    for one in asked_of(book):
        text = tidy(fields.get(one.name, one.value)).removesuffix("%").strip().removesuffix(one.unit).strip()
        try:
            number = lone_number(text)
            if number is None or number < 0:
                raise ValueError(f"type a number in {one.unit}, for instance {one.value}")
        except (ValueError, InvalidOperation) as error:
            faults.append(Fault(one.name, str(error)))
            continue
        _laid(document, one.key, _value(text.replace(",", "."), one))
    if value_at(document, ("margin",)) is not None:
        document["markup"] = None
    return document, faults


def _value(text: str, one: Asked) -> object:
    if one.kind == "share":
        return float(Decimal(text) / PERCENT)
    return f"{text} {one.unit}"


def raised(document: Document, one: Asked) -> Document:
    """Return a whole book with one figure a tenth higher."""
    changed = copy.deepcopy(document)
    value = value_at(document, one.key)
    if one.kind == "share":
        _laid(changed, one.key, round(float(value) * (1 + LIKE), 6))
    else:
        number, _, unit = str(value).partition(" ")
        _laid(changed, one.key, f"{(Decimal(number) * (1 + Decimal(str(LIKE)))).normalize():f} {unit}")
    return changed
