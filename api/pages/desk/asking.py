"""What to ask the caller next: each open question's likely answers priced, the one that moves the price most first."""

import copy
import csv
import functools
from collections.abc import Iterator
from decimal import Decimal
from importlib import resources
from typing import Any, NamedTuple

from api.filled import filled
from api.pages.desk.priced import ERRORS, read_form
from api.pages.desk.typed import Document, Typed, at_path
from api.work.tasks import book_of
from estimator.book.pricebook import PriceBook
from estimator.errors import DocumentError, JobRefusedError
from estimator.estimate import estimate
from estimator.units import UnitError, deci, read
from exports.format import amount

__all__ = ["Question", "ask_next", "moved_by", "questions"]

SHOWN = 5
MOST_BORES = 8  # a job of more takes longer than a caller waits
UNSURE = {"material"}  # keys that always stand there, and may say that nobody knows


class Question(NamedTuple):
    """One question, the key it fills, and answers worth trying."""

    key: str
    of_bores: bool
    ask: str
    tries: tuple[str, ...]


class Moved(NamedTuple):
    """What the answers to a question do to the price; `stops`: one of them and the job cannot be done as thought."""

    question: Question
    least: Decimal
    most: Decimal
    stops: bool

    @property
    def weight(self) -> tuple[bool, Decimal]:
        """How much hangs on it."""
        return self.stops, max(abs(self.least), abs(self.most))


@functools.cache
def questions() -> tuple[Question, ...]:
    """Return the questions, as the table has them."""
    text = resources.files("api.pages.desk").joinpath("next_questions.csv").read_text("utf-8")
    rows = csv.DictReader(text.splitlines())
    return tuple(Question(row["key"], row["of"] == "bore", row["ask"], tuple(row["tries"].split("; "))) for row in rows)


def _open(question: Question, document: Document) -> list[Document]:
    """Return the parts of a document in which a question is open."""
    parts = document["bores"] if question.of_bores else [document]
    if question.key == "worn_diameter":
        return [part for part in parts if "worn_diameter" in part]
    if question.key == "wear":
        return [part for part in parts if "wear" not in part and "readings" not in part]
    if question.key == "line":
        return parts if len(parts) > 1 and not any("line" in part for part in parts) else []
    return [
        part
        for part in parts
        if at_path(part, question.key) in ({None, "unknown"} if question.key in UNSURE else {None})
    ]


def _answer(part: Document, key: str, text: str) -> str:
    """Return an answer as the document takes it: one that begins with a sign or a factor hangs on the part."""
    if text[0] in "+-":
        size = read(part[key], "length") + read(text[1:], "length") * (1 if text[0] == "+" else -1)
        return f"{deci(size, 'mm'):.10g} mm"
    if text[0] == "x":
        return f"{deci(read(part['nominal_diameter'], 'length') * float(text[1:]), 'mm'):.10g} mm"
    return text


def _changed(question: Question, document: Document, text: str) -> Document:
    """Return the document with one answer wherever the question is open."""
    changed = copy.deepcopy(document)
    for part in _open(question, changed):
        *above, last = question.key.split(".")
        inner = part
        for name in above:
            inner = inner.setdefault(name, {})
        inner[last] = _answer(part, last, text)
    return changed


def moved_by(document: Document, book: PriceBook) -> Iterator[Moved]:
    """Yield what the answers to each open question do to the price before tax."""
    now = Decimal(estimate(document, book, "price")["price"]["before_tax"])
    for question in questions():
        if not _open(question, document):
            continue
        found, stops = [Decimal(0)], False
        for text in question.tries:
            try:
                found.append(
                    Decimal(estimate(_changed(question, document, text), book, "price")["price"]["before_tax"]) - now
                )
            except JobRefusedError:
                stops = True
            except (DocumentError, UnitError):
                continue  # an answer that does not fit this job is none
        yield Moved(question, min(found), max(found), stops)


def ask_next(form: str, book: str | None) -> str:
    """Return what to ask next, what moves the price most first."""
    found = read_form(form).ready
    if not found.rows or len(found.rows) > MOST_BORES:
        return ""
    try:
        moved = sorted(moved_by(found.document, book_of(book)), key=lambda one: one.weight, reverse=True)
    except ERRORS:
        return ""
    currency = book_of(book).currency
    asked = [_shown(one, found, currency) for one in moved if any(one.weight)]
    return filled("ask.html", None, "", asked=asked[:SHOWN])


def _shown(one: Moved, found: Typed, currency: str) -> dict[str, Any]:
    row = found.rows[0] if found.rows else 0
    key = "same" if one.question.key == "line" else one.question.key
    if one.question.key == "line" and len(found.rows) > 1:
        row = found.rows[1]
    elif one.question.of_bores:
        parts = _open(one.question, found.document)
        row = next(number for number, bore in zip(found.rows, found.document["bores"], strict=True) if bore in parts)
    least, most = (
        f"{'+' if value > 0 else '−' if value < 0 else '±'}{amount(f'{abs(value):.0f}', currency)}"
        for value in (one.least, one.most)
    )
    return {
        "ask": one.question.ask,
        "field": f"bores.{row}.{key}" if one.question.of_bores else key,
        "least": least, "most": most, "stops": one.stops,
    }  # fmt: skip
