"""The words and units of the estimate document: one row a quantity, in `tables/nomenclature.csv`.

`key` is the document's key, `unit` the unit its number is in, `us` the unit the page for people uses with
`--units us`, `places` the decimals that page prints, `least` the least place that the document's own number has:
computing noise lies below it, whatever the processor. `tables/arguments.csv` has one row a name that formulas take: a
name has one SI unit everywhere. Its `unit` is empty for a plain number; `currency`; `any` where the answer is in the
unit of what is given; `text` or `record` for what is no number.
"""

import csv
import functools
from decimal import Decimal
from importlib import resources
from typing import NamedTuple

from estimator.errors import UnknownEntryError

__all__ = ["Argument", "Quantity", "arguments", "quantities", "quantity"]


class Quantity(NamedTuple):
    """One quantity: document key, unit there, unit in US customary pages, decimals, least place, meaning."""

    key: str
    unit: str
    us: str
    places: int
    least: int
    meaning: str


class Argument(NamedTuple):
    """What a formula takes under a name: its SI unit, and what it is."""

    name: str
    unit: str
    meaning: str


@functools.cache
def arguments() -> dict[str, Argument]:
    """Return every name that formulas take, by itself."""
    text = resources.files("estimator").joinpath("tables/arguments.csv").read_text("utf-8")
    return {name: Argument(name, unit, meaning) for name, unit, meaning in [*csv.reader(text.splitlines())][1:]}


@functools.cache
def quantities() -> dict[str, Quantity]:
    """Return every quantity by its document key."""
    text = resources.files("estimator.tables").joinpath("nomenclature.csv").read_text("utf-8")
    rows = csv.DictReader(text.splitlines())
    return {r["key"]: _quantity(r) for r in rows}


def _quantity(row: dict[str, str]) -> Quantity:
    least = Decimal(row["least"]).adjusted()  # the power of ten
    return Quantity(row["key"], row["unit"], row["us"] or row["unit"], int(row["places"] or 0), least, row["meaning"])


def quantity(key: str) -> Quantity:
    """Return the quantity of a document key; raise `UnknownEntryError` where there is none."""
    try:
        return quantities()[key]
    except KeyError:
        raise UnknownEntryError("quantity", key, quantities()) from None
