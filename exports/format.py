"""Numbers and money as a page prints them."""

from decimal import Decimal
from typing import Any, Literal

from estimator.nomenclature import quantity
from estimator.units import unit

__all__ = ["Units", "amount", "number", "shown"]

Units = Literal["metric", "us"]
FINER_INCH = 2  # an inch is coarse: two decimals more than the millimetre has
SAID = {"degC": "degC", "degF": "degF"}


def amount(text: str, currency: str) -> str:
    """Return an amount as it stands in the document, with its thousands marked: "EUR 1,946.10"."""
    from babel.numbers import format_decimal  # noqa: PLC0415  # its start-up is only paid by who prints a page

    places = len(text.partition(".")[2])
    pattern = "#,##0" + ("." + "0" * places if places else "")
    return f"{currency} {format_decimal(Decimal(text), format=pattern, locale='en')}"


def number(value: float, places: int) -> str:
    """Return a number with that many decimals and its thousands marked."""
    return f"{value:,.{places}f}"


def shown(key: str, value: float, units: Units, places: int | None = None) -> str:
    """Return a figure of the document with its unit, in the page's units."""
    row = quantity(key)
    symbol = row.us if units == "us" else row.unit
    digits = row.places if places is None else places
    if symbol == row.unit:
        return f"{number(value, digits)} {row.unit}".strip()
    ours, theirs = unit(row.unit), unit(symbol)
    converted = (value * ours.factor + ours.offset - theirs.offset) / theirs.factor
    return f"{number(converted, digits + (FINER_INCH if symbol == 'in' else 0))} {symbol}"


def share(part: Decimal, whole: Decimal) -> str:
    """Return a share in percent, one decimal."""
    return f"{100 * part / whole:.1f} %" if whole else "0.0 %"


def field(document: dict[str, Any], *path: str) -> Any:  # noqa: ANN401  # a value of the document
    """Return a value of a document by its path, or None where it was left out."""
    here: Any = document
    for step in path:
        if not isinstance(here, dict) or step not in here:
            return None
        here = here[step]
    return here
