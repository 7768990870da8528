"""What a customer's letter says beside the figures: whom it is from, on which terms, and texts in every language.

Texts are chosen here by an allow-list: scope, what a customer must settle or approve, and cautions meant for them.
"""

import functools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import cast

from typing_extensions import TypedDict

from estimator.book.house import Terms
from estimator.book.pricebook import PriceBook
from estimator.document.texts import cautions_for, scope_rows
from estimator.fields import Price
from estimator.plans import Figures
from estimator.tables import builtin, raw
from estimator.tables.messages import Message, grade_of, of_the_office, say, text_of, who_decides, words
from estimator.tables.rows import Caution, Scope

__all__ = ["Letter", "languages", "letter_of"]

USUAL = "en"
OF_LETTERS = {"en": "en-x-letter"}  # a letter's own wording, where a text for the shop would read oddly
THEIRS = "the customer"
_Theirs = tuple[Message, tuple[str, ...]]  # a warning, and the bores that it is about


class Company(TypedDict):
    """Whom the letter is from."""

    name: str
    address: str | None
    phone: str | None
    email: str | None
    web: str | None
    registration: list[str]
    logo: str | None


class Charge(TypedDict):
    """A price for a unit that may still come to be charged."""

    price: str
    per: str


class TermsSaid(TypedDict):
    """On which terms, texts by language; a text told once stands under an empty one."""

    payment: dict[str, str] | None
    payment_days: int | None
    warranty: dict[str, str] | None
    standing_time: Charge | None
    more_wear: Charge | None
    more_wear_text: dict[str, str] | None
    tax_name: dict[str, str] | None
    invented: bool


class Told(TypedDict):
    """The texts of a letter in one language."""

    included: list[str]
    excluded: list[str]
    customer: list[str]
    subject_to: list[str]
    cautions: list[str]
    measure: list[str]


class Letter(TypedDict):
    """What a customer's letter says beside the figures of the document."""

    company: Company | None
    terms: TermsSaid
    texts: dict[str, Told]


def letter_of(figures: Figures, also: Sequence[Message], measure: Sequence[Message]) -> Letter:
    """Return what a letter says of a job.

    Parameters
    ----------
    figures
        The job as it was run.
    also
        Warnings beside those of its plan.
    measure
        What to measure before a budget price can become a quote.
    """
    plan = figures.plan
    warnings = _theirs((*plan.warnings, *also), [one.survey.bore.name for one in plan.bores])
    return {
        "company": _company(plan.book),
        "terms": _terms(plan.book.terms, plan.book),
        "texts": {language: _told(figures, warnings, measure, language) for language in languages()},
    }


def _company(book: PriceBook) -> Company | None:
    found = book.company
    if found is None:
        return None
    return {
        "name": found.name,
        "address": found.address,
        "phone": found.phone,
        "email": found.email,
        "web": found.web,
        "registration": list(found.registration),
        "logo": found.logo,
    }


def _terms(terms: Terms, book: PriceBook) -> TermsSaid:
    return {
        "payment": terms.payment,
        "payment_days": None if terms.payment_days is None else cast(int, book.number("terms", "payment_days")),
        "warranty": terms.warranty,
        "standing_time": _charge(terms.standing_time),
        "more_wear": _charge(terms.more_wear),
        "more_wear_text": terms.more_wear_text,
        "tax_name": terms.tax_name,
        "invented": any(book.is_invented(f"terms.{name}") for name in ("standing_time", "more_wear")),
    }


def _charge(price: Price | None) -> Charge | None:
    return None if price is None else {"price": f"{price.amount:f}", "per": price.per}


# ---------------------------------------------------------------- texts


def languages() -> tuple[str, ...]:
    """Return the languages that letters are written in: English, and each that rows were translated to."""
    return tuple(dict.fromkeys((USUAL, *(language for _, _, language in _translations()))))


@functools.cache
def _translations() -> Mapping[tuple[str, str, str], str]:
    """Return the texts of rows of other tables by table, code and language."""
    return {(row["table"], row["code"], row["language"]): row["text"] for row in raw("translations")}


def _in_language(table: str, code: str, text: str, usual: str, language: str) -> str:
    """Return a row's text in a language; one that the shop has changed stays as it is written."""
    return _translations().get((table, code, language), text) if text == usual else text


def _told(figures: Figures, warnings: list[_Theirs], measure: Sequence[Message], language: str) -> Told:
    plan, way = figures.plan, OF_LETTERS.get(language, language)
    found: Told = {"included": [], "excluded": [], "customer": [], "subject_to": [], "cautions": [], "measure": []}
    rows, done = scope_rows(plan, plan.book.facts, at_length=True)
    found["included"] += [text_of(one, way) for one in done]
    for row in rows:
        found[row.kind].append(_in_language("scope", row.code, row.text, _usual_scope(row.code), language))
    found["subject_to"] = [text_of(one, way) for one in _asked(warnings, way)]
    found["cautions"] = [
        _in_language("cautions", row.code, _short(row), _usual_caution(row.code), language)
        for row in cautions_for(plan, figures.schedule.arrangement.people)
        if row.customer == "yes"
    ]
    found["measure"] = [text_of(one, way) for one in measure]
    return found


def _short(row: Caution) -> str:
    return row.short or row.text


def _usual_scope(code: str) -> str:
    row = builtin("scope").get(code)
    return row.text if isinstance(row, Scope) else ""


def _usual_caution(code: str) -> str:
    row = builtin("cautions").get(code)
    return _short(row) if isinstance(row, Caution) else ""


def _is_theirs(message: Message) -> bool:
    """Return whether a warning concerns the customer: work waits for it, or it is theirs to decide."""
    grade = grade_of(message)
    return grade in ("stop", "approve") or (grade == "check" and words()[message.code, USUAL].who == THEIRS)


def _asked(warnings: list[_Theirs], language: str) -> list[Message]:
    """Return what is said of them, approvals by who decides, who is named once; in the language's words."""
    asked = dict[str, dict[tuple[str, ...], dict[str, Message]]]()
    for said, bores in warnings:
        if grade_of(said) == "approve":  # what reads alike of one bore is said once
            asked.setdefault(_who(said, language), {}).setdefault(bores, {})[text_of(said, language)] = said
    plain = [_of_bores((said,), bores) for said, bores in warnings if grade_of(said) != "approve"]
    return plain + [
        say("approval_by", who=who, what=tuple(_of_bores(tuple(said.values()), bores) for bores, said in each.items()))
        for who, each in asked.items()
    ]


def _who(message: Message, language: str) -> str:
    """Return who decides, in the words of a language; as the case names them where it has none."""
    row = words().get((message.code, language))
    return row.who if row is not None and row.who else who_decides(message)


def _theirs(warnings: Iterable[Message], names: Sequence[str]) -> list[_Theirs]:
    """Return the warnings that concern the customer, equal ones of several bores as one; `names` of the bores."""
    found = dict[Message, list[str]]()
    for one in warnings:
        if _is_theirs(one) and one.code not in of_the_office():
            bores = found.setdefault(replace(one, path=""), [])
            bores += [name for name in _bore_of(one, names) if name not in bores]
    return [(said, tuple(bores)) for said, bores in found.items()]


def _bore_of(message: Message, names: Sequence[str]) -> list[str]:
    """Return the name of the bore that a warning is about, none where it is about the job."""
    head, _, rest = message.path.partition(".")
    number = rest.partition(".")[0]
    return [names[int(number)]] if head == "bores" and number.isdigit() and int(number) < len(names) else []


def _of_bores(said: tuple[Message, ...], bores: tuple[str, ...]) -> Message:
    if not bores:
        return say("said_together", said=said)
    return say("of_bore", bore=bores[0], said=said) if len(bores) == 1 else say("of_bores", bores=bores, said=said)
