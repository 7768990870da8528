"""The words and units of the estimate document: one row a quantity, in `tables/nomenclature.csv`.

`key` is the document's key, `unit` the unit its number is in, `us` the unit the page for people uses with
`--units us`, `places` the decimals that page prints.
"""

import csv
import functools
from importlib import resources
from typing import NamedTuple

from estimator.errors import UnknownEntryError

__all__ = ["Quantity", "quantities", "quantity"]


class Quantity(NamedTuple):
    """One quantity: document key, unit there, unit in US customary pages, decimals, meaning."""

    key: str
    unit: str
    us: str
    places: int
    meaning: str


@functools.cache
def quantities() -> dict[str, Quantity]:
    """Return every quantity by its document key."""
    text = resources.files("estimator.tables").joinpath("nomenclature.csv").read_text("utf-8")
    rows = csv.DictReader(text.splitlines())
    return {
        r["key"]: Quantity(r["key"], r["unit"], r["us"] or r["unit"], int(r["places"] or 0), r["meaning"]) for r in rows
    }


def quantity(key: str) -> Quantity:
    """Return the quantity of a document key; raise `UnknownEntryError` where there is none."""
    try:
        return quantities()[key]
    except KeyError:
        raise UnknownEntryError("quantity", key, quantities()) from None
