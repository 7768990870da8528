"""Whom a quote comes from and on which terms; what classes of customers pay less."""

import re
from typing import Annotated

from pydantic import Field, PlainValidator, WithJsonSchema

from estimator.book.logo import Logo
from estimator.fields import Date, Discount, Document, Fraction, Name, Note, PerWear, Rate, Text
from estimator.signs import note_in

__all__ = ["Company", "CustomerClass", "Escalation", "Margin", "Markup", "Taxes", "Terms"]

LANGUAGE = re.compile(r"[a-z]{2,3}")
MOST_LINES, MOST_LANGUAGES, MOST_DAYS = 8, 20, 365
Margin = Annotated[float, Field(strict=True, ge=0, le=0.95)]
Markup = Annotated[float, Field(strict=True, ge=0, le=20)]


def _worded(value: object) -> dict[str, str]:
    """Return a text by language; one that is told once holds for all, under no language."""
    if isinstance(value, str):
        return {"": note_in(value)}
    if not isinstance(value, dict) or not value or len(value) > MOST_LANGUAGES:
        raise ValueError('a text is due, or texts by language: {"en": "...", "de": "..."}')
    odd = next((key for key in value if not isinstance(key, str) or not LANGUAGE.fullmatch(key)), None)
    if odd is not None:
        raise ValueError(f'{str(odd)[:20]!r} is no language; write for instance "en" or "de"')
    return {key: note_in(text) for key, text in value.items()}


_TEXT = {"type": "string", "maxLength": 2000}
_BY_LANGUAGE = {"type": "object", "additionalProperties": _TEXT}
Worded = Annotated[dict[str, str], PlainValidator(_worded), WithJsonSchema({"anyOf": [_TEXT, _BY_LANGUAGE]})]


class Company(Document):
    """Whom a quote comes from, as its letter shows it; `registration`: lines of register, tax number, bank."""

    name: Name
    address: Note | None = None
    phone: Text | None = None
    email: Text | None = None
    web: Text | None = None
    registration: Annotated[tuple[Text, ...], Field(max_length=MOST_LINES)] = ()
    logo: Logo | None = None


class Terms(Document):
    """On which terms a quote is made; `more_wear`: a millimetre more of wear a side, in one bore.

    `payment_days`: from an invoice to the day it is due.
    """

    payment: Worded | None = None
    payment_days: Annotated[int, Field(strict=True, ge=0, le=MOST_DAYS)] | None = None
    warranty: Worded | None = None
    standing_time: Rate | None = None
    more_wear: PerWear | None = None
    more_wear_text: Worded | None = None
    tax_name: Worded | None = None


class CustomerClass(Document):
    """What a class of customers pays less, or at which margin or markup; a job's own discount goes before its."""

    discount: Discount = 0.0
    margin: Margin | None = None
    markup: Markup | None = None


class Escalation(Document):
    """By how much costs rise a year, and the day on which the book's prices were right; a job's start says how long."""

    fraction: Fraction
    since: Date


class Taxes(Document):
    """Rates of tax of parts of the price where they are not the usual one."""

    bore: Fraction | None = None
    once: Fraction | None = None
    travel: Fraction | None = None
    call_out: Fraction | None = None
    extra: Fraction | None = None

    def differ(self) -> bool:
        """Return whether a part has a rate of its own."""
        return any(getattr(self, name) is not None for name in type(self).model_fields)
