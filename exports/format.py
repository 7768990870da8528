"""Numbers, money and warnings as a page prints them: grouped as in English, in metric or US customary units.

The nomenclature's `places` are for the document's own unit. In US units a figure keeps about the same fineness:
`FINER` says how many decimals more (or fewer) the other unit gets, so that an inch shows two more than a millimetre.
"""

import functools
from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal
from typing import Any, Literal, NamedTuple, TypeVar, get_args

from estimator.document.old import warnings_in
from estimator.estimate import Estimate
from estimator.nomenclature import quantity
from estimator.tables import raw
from estimator.tables.messages import Grade
from estimator.units import deci, factor, unit
from exports.signs import sign_of

__all__ = [
    "Grade", "Told", "Units", "amount", "bare", "by_grade", "by_key", "clock_time", "counted", "expected", "field",
    "has", "hours_said", "in_percent", "is_demo", "label", "moved", "named_bores", "number", "perhaps",
    "roughness_said", "scatter_of", "share", "shown", "tax_percent", "taxed_at", "to_settle", "told", "turned",
]  # fmt: skip

Units = Literal["metric", "us"]
T = TypeVar("T")
GRADES: tuple[Grade, ...] = get_args(Grade)
AMPS = 5  # a scatter of some twenty amperes is not known to the ampere
FINER = {
    ("mm", "in"): 2,
    ("kJ/mm", "kJ/in"): -1,
    ("mm/min", "ipm"): 1,
    ("m/min", "ipm"): -2,
    ("L", "ft3"): 1,
    ("L", "gal"): 1,
    ("mm3", "in3"): 3,
}
MINUTES = 60


def _grouped(value: Decimal, places: int) -> str:
    """Return a number in English: for that alone the library of locales need not be started."""
    return f"{value:,.{max(places, 0)}f}"


def amount(text: str, currency: str) -> str:
    """Return an amount as it stands in the document, with its thousands marked: "1,946.10 EUR"."""
    return f"{_grouped(Decimal(text), len(text.partition('.')[2]))} {currency}".strip()


def moved(text: str, currency: str) -> str:
    """Return a difference of money with its sign: "+948.48 EUR", "-12.00 EUR"."""
    return f"{'+' if Decimal(text) > 0 else ''}{amount(text, currency)}"


def taxed_at(estimate: Any) -> list[tuple[float, str, str]]:  # noqa: ANN401  # a document of any age
    """Return each rate of tax with the part of the price before tax that it is on, and the tax."""
    price = estimate["price"]
    usual = {**price, "tax_fraction": estimate["pricebook"]["tax_fraction"]}
    return [(one["tax_fraction"], one["before_tax"], one["tax"]) for one in price.get("taxes") or [usual]]


def tax_percent(estimate: Any) -> str:  # noqa: ANN401  # the same
    """Return the rates of tax in percent: "20", or "20 and 7"."""
    return " and ".join(in_percent(fraction) for fraction, _, _ in taxed_at(estimate))


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
    if row.unit == "um":
        return roughness_said(value)
    places = row.places - fewer + FINER.get((row.unit, symbol), 0)
    return number(turned(key, value, units), places)


@functools.cache
def _roughnesses() -> dict[float, str]:
    """Return the micro-inches that the trade says for a roughness. [um]"""
    return {float(row["um"]): row["uin"] for row in raw("roughness_sizes")}


def roughness_said(value: float) -> str:
    """Return a roughness [um] in micro-inches: the trade's number, else two digits, the rest is not known."""
    known = _roughnesses().get(round(value, 3))
    if known is not None:
        return known
    inches = deci(value * factor("um"), "uin")
    return number(inches, 0) if inches < 100 else f"{10 * round(inches / 10):,d}"  # noqa: PLR2004  # two digits


def turned(key: str, value: float, units: Units) -> float:
    """Return a figure of the document in the page's units, not rounded."""
    row = quantity(key)
    if units != "us" or row.us == row.unit:
        return value
    if row.unit == "degC":  # as it is told in words: the whole degree is turned
        value = float(Decimal(str(value)).quantize(Decimal(1), ROUND_HALF_UP))
    ours = unit(row.unit)
    return deci(value * ours.factor + ours.offset, row.us)


def label(key: str, units: Units) -> str:
    """Return the unit a figure has on the page; empty for a plain number."""
    row = quantity(key)
    return sign_of(row.us if units == "us" else row.unit)


def shown(key: str, value: float, units: Units, fewer: int = 0) -> str:
    """Return a figure of the document with its unit, in the page's units."""
    return f"{bare(key, value, units, fewer)} {label(key, units)}".strip()


def scatter_of(current: float, share: float) -> float:
    """Return how far a current may lie off what is expected, to five amperes: nearer nobody knows it. [A]"""
    return float(max(AMPS, AMPS * round(current * share / AMPS)))


def expected(current: float, share: float) -> str:
    """Return the current to expect with its scatter: "115 ±15"."""
    return f"{bare('current_A', current, 'metric')} ±{number(scatter_of(current, share), 0)}"


def clock_time(minutes: float) -> str:
    """Return minutes as one says them: "10 h 35", "45 min"."""
    whole = int(Decimal(str(minutes)).quantize(Decimal(1), ROUND_HALF_UP))
    hours, rest = divmod(whole, MINUTES)
    return f"{number(hours, 0)} h {rest:02d}" if hours else f"{rest} min"


def hours_said(hours: float) -> str:
    """Return hours as one says them: "14 h 12"."""
    return clock_time(MINUTES * hours)


def counted(count: float, one: str, many: str = "") -> str:
    """Return a count with its noun in the right number: "1 night", "2 nights"."""
    return f"{number(count, 0)} {one if count == 1 else many or one + 's'}"


def share(part: Decimal, whole: Decimal) -> str:
    """Return a share in percent, one decimal."""
    hundredths = 100 * part / whole if whole else Decimal(0)
    return f"{_grouped(hundredths.quantize(Decimal('0.1'), ROUND_HALF_UP), 1)} %"


def in_percent(fraction: float) -> str:
    """Return a fraction in percent with all its decimals: "20", "8.25"."""
    return f"{(100 * Decimal(str(fraction))).normalize():f}"


def by_key(part: Mapping[str, object]) -> Mapping[str, Any]:
    """Return a part of a document to be read by keys that a table of columns names; the table knows what they hold."""
    return part


def has(part: Mapping[str, object], key: str) -> bool:
    """Return whether a document holds a key: one of an older program, or as a role may see it, may not."""
    return key in part


def perhaps(value: T) -> T | None:
    """Return a value that an older document may lack; its type says what is written today."""
    return value


def is_demo(estimate: Mapping[str, Any]) -> bool:
    """Return whether an invented price is in the sum; a document of before says so of its whole book."""
    return bool(estimate.get("demo", estimate["pricebook"]["invented"]))


def field(document: Mapping[str, object], *path: str) -> Any:  # noqa: ANN401  # a value of the document
    """Return a value of a document by its path, or None where it was left out."""
    here: Any = document
    for step in path:
        if not isinstance(here, dict) or step not in here:
            return None
        here = here[step]
    return here


class Told(NamedTuple):
    """A warning: how grave, what it says, of which bores."""

    grade: Grade
    text: str
    bores: tuple[str, ...]


def told(estimate: Mapping[str, Any]) -> list[Told]:
    """Return the warnings, equal ones of several bores as one, gravest first; of a document of any age."""
    found: dict[tuple[Grade, str], list[str]] = {}
    for one in warnings_in(estimate):
        bore = _bore_of(estimate, one["path"])
        bores = found.setdefault((one["grade"], one["text"]), [])
        bores += [bore] if bore and bore not in bores else []
    each = [Told(grade, said, tuple(bores)) for (grade, said), bores in found.items()]
    return sorted(each, key=lambda one: GRADES.index(one.grade))


def _bore_of(estimate: Mapping[str, Any], path: str) -> str:
    """Return the name of the bore that a warning is about; empty where it is about the job."""
    names = [one["name"] for one in estimate.get("bores", ())]
    where, _, rest = path.partition(".")
    number_at = rest.partition(".")[0]
    if where == "bores" and number_at.isdecimal() and int(number_at) < len(names):
        return str(names[int(number_at)])
    return ""


def named_bores(one: Told) -> str:
    """Return a warning with its bores before it: "bores A, B: cracks not checked"."""
    if not one.bores:
        return one.text
    return f"bore{'s' if len(one.bores) > 1 else ''} {', '.join(one.bores)}: {one.text}"


def by_grade(estimate: Mapping[str, Any], *grades: Grade) -> list[str]:
    """Return the warnings of some grades as texts, of all where none is named, each with its bores."""
    return [named_bores(one) for one in told(estimate) if not grades or one.grade in grades]


def to_settle(estimate: Estimate) -> list[str]:
    """Return the warnings that somebody must settle before work begins, gravest first: stops, then approvals."""
    return by_grade(estimate, "stop", "approve")
