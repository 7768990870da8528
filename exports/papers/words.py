"""The words of papers by language, and numbers, money and dates as that language writes them.

A language is a set of rows: here for what papers print themselves, in the tables of the estimator for what a plan says.
"""

import datetime
from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal

from babel.dates import format_date
from babel.numbers import format_decimal

from exports.papers.languages import USUAL, texts

__all__ = ["KEPT", "Words", "words_in"]

KEPT = "\u00a0"  # an amount and its currency are never parted


class Words:
    """The words of one language."""

    def __init__(self, language: str, texts: Mapping[str, str]) -> None:
        """Take the rows of a language; it has a row for every code."""
        self.language, self._texts, self.locale = language, texts, texts["locale"]

    def __call__(self, code: str, /, **figures: str) -> str:
        """Return the text of a code with its figures, which are never read as anything but text."""
        return self._texts[code].format_map(figures)

    def number(self, value: float | Decimal, places: int = 0, least: int | None = None) -> str:
        """Return a number, rounded half up, with so many decimals; `least`: so many are kept where they are zeros."""
        exact = Decimal(str(value)).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP) + 0
        kept = places if least is None else least
        pattern = "#,##0" + (f".{'0' * kept}{'#' * (places - kept)}" if places else "")
        return str(format_decimal(exact, format=pattern, locale=self.locale))

    def amount(self, text: str) -> str:
        """Return an amount of the document, with as many places as stand there."""
        return self.number(Decimal(text), len(text.partition(".")[2]))

    def money(self, text: str, currency: str) -> str:
        """Return an amount of the document with its currency."""
        return f"{self.amount(text)}{KEPT}{currency}"

    def percent(self, fraction: float) -> str:
        """Return a fraction in percent with the decimals that it has."""
        return self.number(100 * Decimal(str(fraction)), 4, 0)

    def date(self, day: datetime.date) -> str:
        """Return a date in full."""
        return str(format_date(day, "long", locale=self.locale))

    def worded(self, texts: Mapping[str, str] | None) -> str:
        """Return the shop's own text: of this language, else the one told for all, else in English, else any."""
        found = texts or {}
        named = next((found[key] for key in (self.language, "", USUAL) if key in found), None)
        return named if named is not None else next(iter(found.values()), "")


def words_in(language: str) -> Words:
    """Return the words of a language; raise `KeyError` for one that has no rows."""
    return Words(language, {**texts()[USUAL], **texts()[language]})
