"""Ten questions that make a price book of the shop's own, and the book that answers make; for prompts and forms alike.

What is not asked stays as it is in the built-in book, turned into the shop's currency by one rate, and is known to be
invented price by price. An answer left empty is the built-in one.
"""

import re
from collections.abc import Callable, Mapping
from decimal import Decimal, InvalidOperation
from typing import Any, NamedTuple

from estimator.book.currency import in_currency
from estimator.book.pricebook import builtin_document, minor_units, read_pricebook
from estimator.errors import DocumentError, Fault, nearest
from estimator.tables.messages import Message, say, text_of

__all__ = ["QUESTIONS", "Question", "answer_fault", "book_from", "questions", "usual_answers"]

Patch = dict[str, Any]
HOME = "EUR"
CURRENCY = re.compile(r"([A-Z]{3})(?:\s+(?:at\s+)?([0-9.,]+)(?:\s+(?:on\s+)?([0-9]{4}-[0-9]{2}-[0-9]{2}))?)?")
NUMBER = re.compile(r"([0-9][0-9 ]*(?:[.,][0-9]+)?)\s*([A-Z]{3})?\s*(?:/\s*\S+)?")
MARGIN = re.compile(r"(margin|markup)?\s*(.+)")
OVERTIME = re.compile(r"([0-9.,]+ ?(?:h|min)?)(?:\s*(?:at|,|;)\s*(.+))?")
RIG = re.compile(r"\s*([^,;]+)[,;]\s*([^,;]+?)\s+to\s+([^,;]+)")
RATE_DUE = "say how much one EUR is in it and when, for instance: CHF 0.94 2026-11-30"


class Question(NamedTuple):
    """A question: its code, the words, an example of an answer, the answer that stands where none is given."""

    code: str
    text: str
    usual: str


def _wrong(code: str, said: str) -> DocumentError:
    return DocumentError([Fault(code, said)])


def _number(code: str, text: str, currency: str) -> Decimal:
    """Return the amount in an answer, written with a point or a comma."""
    found = NUMBER.fullmatch(text.strip())
    try:
        amount = Decimal(found[1].replace(" ", "").replace(",", ".")) if found else None
    except InvalidOperation:
        amount = None
    if found is None or amount is None:
        raise _wrong(code, f"{text.strip()[:40]!r} is no amount; write for instance 58 or 58.50")
    if found[2] not in (None, currency):
        raise _wrong(code, f"{found[2]} is not the book's currency {currency}")
    return amount


def _rated(path: tuple[str, ...], per: str, *also: tuple[str, ...]) -> Callable[[str, str, str], Patch]:
    """Return the reader of a price that stands at one path of the book, or at several."""

    def read(code: str, text: str, currency: str) -> Patch:
        price = f"{_number(code, text, currency)} {currency}{per}"
        found: Patch = {}
        for one in (path, *also):
            found = _laid(found, _at(one, price))
        return found

    return read


def _at(path: tuple[str, ...], value: object) -> Patch:
    return {path[0]: value if len(path) == 1 else _at(path[1:], value)}


def _currency(code: str, text: str, currency: str) -> Patch:  # noqa: ARG001  # as every reader
    found = CURRENCY.fullmatch(text.strip())
    if found is None or found[1] not in minor_units():
        near = ", ".join(nearest(text.strip()[:3].upper(), minor_units())) or "EUR, USD, GBP"
        raise _wrong(code, f"{text.strip()[:40]!r} is no currency; near: {near}")
    if found[1] == HOME:
        return {"currency": HOME}
    if found[2] is None or found[3] is None:
        raise _wrong(code, f"{found[1]} is not the currency of the built-in book: {RATE_DUE}")
    rate = float(_number(code, found[2], found[1]))
    return {"currency": found[1], "converted": {"rate": rate, "on": found[3]}}


def _margin(code: str, text: str, currency: str) -> Patch:  # noqa: ARG001  # as every reader
    found = MARGIN.fullmatch(text.strip())
    way, other = ("markup", "margin") if found is not None and found[1] == "markup" else ("margin", "markup")
    return {way: _share(code, found[2] if found else text), other: None}


def _share(code: str, text: str) -> float:
    """Return a share: "22 %" and 22 are 0.22, and so is 0.22."""
    plain = text.strip().removesuffix("%").strip().replace(",", ".")
    try:
        value = Decimal(plain)
    except InvalidOperation:
        raise _wrong(code, f"{text.strip()[:40]!r} is no share; write for instance 22 %") from None
    return float(value / 100 if value > 1 or "%" in text else value)


def _tax(code: str, text: str, currency: str) -> Patch:  # noqa: ARG001  # as every reader
    return {"tax": _share(code, text)}


def _overtime(code: str, text: str, currency: str) -> Patch:
    found = OVERTIME.fullmatch(text.strip())
    if found is None:
        raise _wrong(code, 'say how long a day and what an hour costs on top, for instance "2 h at 22"; or 0')
    hours = found[1].strip() if found[1].strip().endswith(("h", "min")) else f"{found[1].strip()} h"
    if Decimal(re.sub(r"[^0-9.]", "", hours.replace(",", ".")) or "0") == 0:
        return {"overtime": "0 h", "rates": {"labour_overtime": None}}
    if not found[2]:
        raise _wrong(code, 'say what an hour of it costs on top of the wage, for instance "2 h at 22"')
    return {"overtime": hours, **_rated(("rates", "labour_overtime"), "/h")(code, found[2], currency)}


def _breaks(code: str, text: str, currency: str) -> Patch:  # noqa: ARG001  # as every reader
    return {"breaks": f"{text.strip()} min" if text.strip().isdigit() else text.strip()}


def _rig(code: str, text: str, currency: str) -> Patch:  # noqa: ARG001  # as every reader
    found = RIG.fullmatch(text.strip())
    if found is None:
        raise _wrong(code, 'give current at full duty, smallest and largest bore: "175 A, 32 mm to 450 mm"')
    names = ("current_at_full_duty", "smallest_bore", "largest_bore")
    return {"equipment": dict(zip(names, (one.strip() for one in found.groups()), strict=True))}


READERS: dict[str, tuple[Callable[[str, str, str], Patch], Message]] = {
    "currency": (_currency, say("ask_currency")),
    "wage": (_rated(("rates", "labour_on_site"), "/h", ("rates", "labour_travel")), say("ask_wage")),
    "van": (_rated(("rates", "equipment"), "/h"), say("ask_van")),
    "km": (_rated(("travel", "distance"), "/km"), say("ask_km")),
    "night": (_rated(("travel", "night"), ""), say("ask_night")),
    "margin": (_margin, say("ask_margin")),
    "tax": (_tax, say("ask_tax")),
    "overtime": (_overtime, say("ask_overtime")),
    "breaks": (_breaks, say("ask_breaks")),
    "rig": (_rig, say("ask_rig")),
}
QUESTIONS = tuple(READERS)
NAME, NOTE = (
    "Own price book",
    "Ten answers of ours; each price beside them is still the built-in book's and invented.",
)
OURS: Patch = {"name": NAME, "note": NOTE, "invented": True, "company": None}
PLACES_OF = {  # where the answer to a question stands in the book
    "rates.labour_on": "wage", "rates.labour_travel": "wage", "rates.equipment": "van", "travel.distance": "km",
    "travel.night": "night", "margin": "margin", "markup": "margin", "tax": "tax", "overtime": "overtime",
    "rates.labour_overtime": "overtime", "breaks": "breaks", "equipment": "rig", "currency": "currency",
    "converted": "currency",
}  # fmt: skip


def usual_answers(currency: str = "") -> dict[str, str]:
    """Return the answers that stand where none is given; `currency`: what was answered to the first question."""
    book = _base(_currency("currency", currency or HOME, ""))
    rates, travel, rig = book["rates"], book["travel"], book["equipment"]
    span = f"{rig['smallest_bore']} to {rig['largest_bore']}"
    return {
        "currency": currency or HOME,
        "wage": rates["labour_on_site"],
        "van": rates["equipment"],
        "km": travel["distance"],
        "night": travel["night"],
        "margin": f"{100 * book['margin']:g} %",
        "tax": f"{100 * book['tax']:g} %",
        "overtime": f"{book['overtime']} at {rates['labour_overtime']}",
        "breaks": book["breaks"],
        "rig": f"{rig['current_at_full_duty']}, {span}",
    }


def questions(currency: str = "", language: str = "en") -> list[Question]:
    """Return the ten questions in order, in a language; `currency`: what was answered to the first one."""
    usual = usual_answers(currency)
    return [Question(code, text_of(said, language), usual[code]) for code, (_, said) in READERS.items()]


def _base(currency: Patch) -> Patch:
    """Return the built-in book in the currency that was answered."""
    document = builtin_document()
    if "converted" not in currency:
        return document
    code = currency["currency"]
    return {**in_currency(document, code, currency["converted"]["rate"], minor_units()[code])}


def answer_fault(code: str, text: str, currency: str = "") -> str:
    """Return what is wrong with one answer, empty where nothing is; `currency`: the answer to the first question."""
    try:
        book_from({code: text} | ({"currency": currency} if currency and code != "currency" else {}))
    except DocumentError as error:
        return error.faults[0].message
    return ""


def book_from(answers: Mapping[str, str]) -> Patch:
    """Return a whole price book of the shop's own as a document; raise `DocumentError` with a fault a wrong answer.

    Parameters
    ----------
    answers
        By the code of a question; what is not there, or empty, is answered as in the built-in book.
    """
    faults = [Fault(str(code)[:40], f"no such question; they are {', '.join(QUESTIONS)}") for code in answers
              if code not in READERS]  # fmt: skip
    first, patches = {"currency": HOME}, list[Patch]()
    for code, (read, _) in READERS.items():
        text = answers.get(code, "")
        if not isinstance(text, str):
            faults.append(Fault(code, "a text is due"))
        elif text.strip():
            try:
                patches.append(read(code, text, first["currency"]))
            except DocumentError as error:
                faults += error.faults
            first = patches[-1] if code == "currency" and patches else first
    if faults:
        raise DocumentError(faults)
    base = _base(first)
    found: Patch = {**base, **OURS, "terms": dict.fromkeys(base["terms"])}
    for patch in patches:
        found = _laid(found, patch)
    _must_hold(found)
    return found


def _laid(document: Patch, patch: Patch) -> Patch:
    """Return a document with a patch over it; a null stays, so that the built-in book's value does not come back."""
    inner = {
        key: _laid(document[key], value) if isinstance(value, dict) and isinstance(document.get(key), dict) else value
        for key, value in patch.items()
    }
    return {**document, **inner}


def _must_hold(book: Patch) -> None:
    """Raise `DocumentError` with the code of a question where its answer makes no book."""
    try:
        read_pricebook(book)
    except DocumentError as error:
        raise DocumentError([Fault(_asked(fault.path), fault.message) for fault in error.faults]) from None


def _asked(path: str) -> str:
    """Return the question that a path of the book was asked by, else the path."""
    return next((code for start, code in PLACES_OF.items() if path.startswith(start)), path)
