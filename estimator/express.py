"""An SI figure becomes the number under a document key: its unit from the nomenclature, 12 significant digits."""

import functools
from collections.abc import Mapping
from decimal import Decimal
from typing import TypeVar, cast

from estimator.formula import Why, is_recording, rewrap
from estimator.nomenclature import quantities
from estimator.units import deci, on_rescale, unit

__all__ = ["all_shown", "digits", "money", "rate", "shown"]

Part = TypeVar("Part", bound=Mapping[str, object])


def _expressed(value: float, symbol: str) -> float:
    """Express an SI figure in the document's unit, at 12 significant digits."""
    return deci(value, symbol) if symbol else float(f"{value:.12g}") + 0.0


@functools.lru_cache(maxsize=512)
def _way(key: str) -> tuple[str, float, float]:
    """Return a key's unit with the factor and zero point that lead to it."""
    symbol = quantities()[key].unit
    found = unit(symbol or "1")
    return symbol, found.factor, found.offset


def shown(key: str, value: float) -> float:
    """Return an SI value as the number that stands under a document key."""
    symbol, factor, offset = _way(key)
    if isinstance(value, int) and not symbol:
        return rewrap(value + 0, value)
    if not is_recording():
        return float(f"{(value - offset) / factor:.12g}") + 0.0
    inputs = (("value", value), ("symbol", symbol))
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
    return rewrap(_expressed(value, symbol), why)


on_rescale(_way.cache_clear)


def all_shown(part: Part) -> Part:
    """Return a part of the document with its SI figures as the numbers under their keys; whatever else it has stays."""
    found = {key: _expressed_where_due(key, value) for key, value in part.items()}
    return cast(Part, found)  # the same keys again, each with a value of the same type


def _expressed_where_due(key: str, value: object) -> object:
    """Return a figure as it stands under its key; a count whose key names no unit, and what is no figure, as it is."""
    if isinstance(value, float):
        return shown(key, value)
    if isinstance(value, int) and not isinstance(value, bool) and key in quantities():
        return shown(key, value)
    return value


def digits(value: float) -> float:
    """Return a number of the document at twelve significant digits, its why kept."""
    if not is_recording():
        return float(f"{value:.12g}") + 0.0
    inputs = (("value", value), ("symbol", ""))
    why = Why(
        kind="formula",
        name="digits",
        text=_expressed.__doc__ or "",
        source="definition",
        mark="computed",
        unit="",
        inputs=inputs,
        function=_expressed,
    )
    return rewrap(_expressed(value, ""), why)


def money(value: Decimal, minor: str) -> str:
    """Return an amount with the places of its currency, as text; while recording, as the amount that knows why."""
    return _explained(value) if is_recording() else f"{value:.{len(minor.partition('.')[2])}f}"


def rate(value: Decimal) -> str:
    """Return a unit cost as text; while recording, as the price that knows why."""
    return _explained(value) if is_recording() else f"{value:f}"


def _explained(value: Decimal) -> str:
    return cast(str, value)  # stands where the document's text will; whoever records asks for the why alone
