"""The built-in price book as a document, in its own currency or turned into another one by a rate."""

import functools
from importlib import resources
from typing import Any

from estimator.book.currency import in_currency
from estimator.strict import parse
from estimator.tables import raw

__all__ = ["builtin_document", "demo_for", "minor_units"]

HIGHEST_RATE = 1e7  # units of a currency for one of the built-in book's


@functools.cache
def minor_units() -> dict[str, int]:
    """Return the decimals of every ISO 4217 currency."""
    return {row["code"]: int(row["minor_units"]) for row in raw("currencies")}


@functools.cache
def _builtin_text() -> str:
    return resources.files("estimator.book").joinpath("pricebook.json").read_text("utf-8")


def builtin_document() -> dict[str, Any]:
    """Return the built-in price book as a document to copy and change; its figures are invented."""
    return parse(_builtin_text())


@functools.lru_cache(maxsize=16)
def _turned(currency: str, rate: float) -> dict[str, Any]:
    """Return the built-in book in another currency, for reading only."""
    return dict(in_currency(builtin_document(), currency, rate, minor_units()[currency]))


def demo_for(document: dict[str, Any]) -> dict[str, Any]:
    """Return the built-in book in the currency of another, where that says by which rate; else as it is."""
    currency, by = document.get("currency"), document.get("converted")
    rate = by.get("rate") if isinstance(by, dict) else None
    known = isinstance(currency, str) and currency in minor_units()
    usable = isinstance(rate, int | float) and not isinstance(rate, bool) and 0 < rate < HIGHEST_RATE
    return _turned(str(currency), float(rate)) if known and usable and rate is not None else builtin_document()
