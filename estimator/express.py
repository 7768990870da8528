"""An SI figure becomes the number under a document key: its unit and its least place from the nomenclature.

This is the one place where a float of the estimate document gets its digits: ten at the most, none finer than its
quantity's least place, so that the last bits in which processors differ never show.
"""

import functools
from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal
from typing import TypeVar, cast

from estimator.formula import Why, is_recording, rewrap
from estimator.nomenclature import quantities
from estimator.units import on_rescale, unit

__all__ = ["all_shown", "digits", "money", "rate", "rounded", "shown"]

Part = TypeVar("Part", bound=Mapping[str, object])

DIGITS = 10  # significant ones of a figure
GUARD = 3  # places more, to which a figure is rounded first: what lies half-way but for noise then lies half-way
CLEAR = 0.001  # of a least place: what lies that far from half-way is rounded alike by any rule
HALF, MOST_PARTS = 0.5, 10.0**DIGITS
SCALES = {least: 10.0**-least for least in range(-DIGITS - GUARD, 1)}


def rounded(number: float | Decimal, least: int) -> float:
    """Return a number as `rounded_with_care` does; at once where it is plainly nearer to one place than to another."""
    scale = SCALES.get(least)
    if scale is not None and not isinstance(number, Decimal):
        place, parts = least, abs(number) * scale
        while parts >= MOST_PARTS and place < 0:
            place, parts = place + 1, parts / 10.0
        if parts < MOST_PARTS and abs(parts % 1.0 - HALF) > CLEAR:
            return round(float(number), -place) + 0.0
    return rounded_with_care(number, least)


def rounded_with_care(number: float | Decimal, least: int) -> float:
    """A number to its least place, a power of ten, and to ten digits; half-way up, never a minus zero."""
    near = Decimal(f"{number:.{max(0, GUARD - least)}f}")
    exact = Decimal(f"{number:.{DIGITS + GUARD}g}") if near.adjusted() - least >= DIGITS else near
    place = max(least, exact.adjusted() - DIGITS + 1) if exact else least
    return float(exact.quantize(Decimal(1).scaleb(place), ROUND_HALF_UP)) + 0.0


def _expressed(value: float, symbol: str, least: int) -> float:
    """Express an SI figure in the document's unit, at ten significant digits and no finer than its least place."""
    found = unit(symbol or "1")
    return rounded((value - found.offset) / found.factor, least)


@functools.lru_cache(maxsize=512)
def _way(key: str) -> tuple[str, float, float, int]:
    """Return a key's unit with the factor and zero point that lead to it, and its least place."""
    known = quantities()[key]
    found = unit(known.unit or "1")
    return known.unit, found.factor, found.offset, known.least


def shown(key: str, value: float) -> float:
    """Return an SI value as the number that stands under a document key."""
    symbol, factor, offset, least = _way(key)
    if isinstance(value, int) and not symbol:
        return rewrap(value + 0, value)
    if not is_recording():
        return rounded((value - offset) / factor, least)
    inputs = (("value", value), ("symbol", symbol), ("least", least))
    why = Why(
        kind="formula",
        name=key,
        text=_expressed.__doc__ or "",
        source="definition",
        mark="computed",
        unit=symbol,
        inputs=inputs,
        function=_expressed,
    )
    return rewrap(_expressed(value, symbol, least), why)


on_rescale(_way.cache_clear)


def all_shown(part: Part) -> Part:
    """Return a part of the document with its SI figures as the numbers under their keys; whatever else it has stays."""
    found, plain = dict[str, object](), not is_recording()
    for key, value in part.items():
        if isinstance(value, float) and plain:
            _, factor, offset, least = _way(key)
            found[key] = rounded((value - offset) / factor, least)
        else:
            found[key] = _expressed_where_due(key, value)
    return cast(Part, found)  # the same keys again, each with a value of the same type


def _expressed_where_due(key: str, value: object) -> object:
    """Return a figure as it stands under its key; a count whose key names no unit, and what is no figure, as it is."""
    if isinstance(value, float):
        return shown(key, value)
    if isinstance(value, int) and not isinstance(value, bool) and key in quantities():
        return shown(key, value)
    return value


def digits(key: str, value: float | Decimal) -> float:
    """Return a number that is in its document unit already, to its least place, its why kept."""
    least = _way(key)[3]
    if not is_recording():
        return rounded(value, least)
    inputs = (("number", value), ("least", least))
    why = Why(
        kind="formula",
        name="digits",
        text=rounded_with_care.__doc__ or "",
        source="definition",
        mark="computed",
        unit="",
        inputs=inputs,
        function=rounded_with_care,
    )
    return rewrap(rounded(value, least), why)


def money(value: Decimal, minor: str) -> str:
    """Return an amount with the places of its currency, as text; while recording, as the amount that knows why."""
    return _explained(value) if is_recording() else f"{value:.{len(minor.partition('.')[2])}f}"


def rate(value: Decimal) -> str:
    """Return a unit cost as text; while recording, as the price that knows why."""
    return _explained(value) if is_recording() else f"{value:f}"


def _explained(value: Decimal) -> str:
    return cast(str, value)  # stands where the document's text will; whoever records asks for the why alone
