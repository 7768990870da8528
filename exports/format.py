"""Numbers and money as a page prints them: grouped as in English, in metric or US customary units.

The nomenclature's `places` are for the document's own unit. In US units a figure keeps about the same fineness:
`FINER` says how many decimals more (or fewer) the other unit gets, so that an inch shows two more than a millimetre.
"""

from decimal import ROUND_HALF_UP, Decimal
from typing import Any, Literal

from estimator.document.old import warnings_in
from estimator.document.warnings import Warned
from estimator.nomenclature import quantity
from estimator.units import deci, unit

__all__ = [
    "Units",
    "amount",
    "bare",
    "by_grade",
    "clock_time",
    "counted",
    "field",
    "in_percent",
    "is_settled_first",
    "label",
    "not_to_settle",
    "number",
    "share",
    "shown",
    "to_settle",
]

Units = Literal["metric", "us"]
FINER = {
    ("mm", "in"): 2,
    ("mm/min", "ipm"): 1,
    ("m/min", "ipm"): -2,
    ("L", "ft3"): 1,
    ("mm3", "in3"): 3,
}
MINUTES = 60


def _grouped(value: Decimal, places: int) -> str:
    from babel.numbers import format_decimal  # noqa: PLC0415  # its start-up is only paid by who prints a page

    pattern = "#,##0" + ("." + "0" * places if places > 0 else "")
    return format_decimal(value, format=pattern, locale="en")


def amount(text: str, currency: str) -> str:
    """Return an amount as it stands in the document, with its thousands marked: "EUR 1,946.10"."""
    return f"{currency} {_grouped(Decimal(text), len(text.partition('.')[2]))}"


def number(value: float, places: int) -> str:
    """Return a number with that many decimals, rounded half up as the document's own quantities are."""
    step = Decimal(1).scaleb(-max(places, 0))
    return _grouped(Decimal(str(value)).quantize(step, ROUND_HALF_UP) + Decimal(0), places)


def bare(key: str, value: float, units: Units, fewer: int = 0) -> str:
    """Return a figure of the document in the page's units, without the unit.

    Parameters
    ----------
    key
        The figure's key in the document; the nomenclature knows its unit and decimals.
    value
        What stands there.
    units
        The page's units.
    fewer
        Decimals to leave off.
    """
    row = quantity(key)
    symbol = row.us if units == "us" else row.unit
    if symbol == row.unit:
        return number(value, row.places - fewer)
    ours = unit(row.unit)
    places = row.places - fewer + FINER.get((row.unit, symbol), 0)
    return number(deci(value * ours.factor + ours.offset, symbol), places)


def label(key: str, units: Units) -> str:
    """Return the unit a figure has on the page; empty for a plain number."""
    row = quantity(key)
    return row.us if units == "us" else row.unit


def shown(key: str, value: float, units: Units, fewer: int = 0) -> str:
    """Return a figure of the document with its unit, in the page's units."""
    return f"{bare(key, value, units, fewer)} {label(key, units)}".strip()


def clock_time(minutes: float) -> str:
    """Return minutes as one says them: "10 h 35 min", "45 min"."""
    whole = int(Decimal(str(minutes)).quantize(Decimal(1), ROUND_HALF_UP))
    hours, rest = divmod(whole, MINUTES)
    return f"{number(hours, 0)} h {rest:02d} min" if hours else f"{rest} min"


def counted(count: int, one: str, many: str = "") -> str:
    """Return a count with its noun in the right number: "1 night", "2 nights"."""
    return f"{number(count, 0)} {one if count == 1 else many or one + 's'}"


def share(part: Decimal, whole: Decimal) -> str:
    """Return a share in percent, one decimal."""
    hundredths = 100 * part / whole if whole else Decimal(0)
    return f"{_grouped(hundredths.quantize(Decimal('0.1'), ROUND_HALF_UP), 1)} %"


def in_percent(fraction: float) -> str:
    """Return a fraction in percent with all its decimals: "20", "8.25"."""
    return f"{(100 * Decimal(str(fraction))).normalize():f}"


def field(document: dict[str, Any], *path: str) -> Any:  # noqa: ANN401  # a value of the document
    """Return a value of a document by its path, or None where it was left out."""
    here: Any = document
    for step in path:
        if not isinstance(here, dict) or step not in here:
            return None
        here = here[step]
    return here


def by_grade(estimate: dict[str, Any], *grades: str) -> list[str]:
    """Return the texts of a document's warnings of some grades, of all where none is named; gravest first."""
    return [one["text"] for one in warnings_in(estimate) if not grades or one["grade"] in grades]


def to_settle(estimate: dict[str, Any]) -> list[str]:
    """Return the warnings that somebody must settle before work begins: stops, approvals, what is to be found out."""
    return [one["text"] for one in warnings_in(estimate) if is_settled_first(one)]


def not_to_settle(estimate: dict[str, Any]) -> list[str]:
    """Return the other warnings."""
    return [one["text"] for one in warnings_in(estimate) if not is_settled_first(one)]


def is_settled_first(warning: Warned) -> bool:
    """Return whether somebody must settle a warning before work begins."""
    return warning["grade"] in ("stop", "approve") or warning["code"] == "find_out"
