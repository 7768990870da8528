"""A price book turned into another currency by one rate with its date; counts and figures without money stay."""

import re
from decimal import ROUND_HALF_UP, Decimal
from typing import Annotated, Any

from pydantic import Field

from estimator.fields import Date, Document

__all__ = ["Converted", "in_currency"]

PRICE = re.compile(r"(-?[0-9]+(?:\.[0-9]+)?) ([A-Z]{3})(/\S+)?")
FINEST, LEAST_PLACES = Decimal("0.000001"), 2
ROUNDING = "rounding"


class Converted(Document):
    """By which rate the prices that are not one's own were turned: units of this currency for one of the built-in."""

    rate: Annotated[float, Field(strict=True, gt=0, le=1e7, allow_inf_nan=False)]
    on: Date


def in_currency(document: Any, currency: str, rate: float, places: int) -> Any:  # noqa: ANN401  # a document, of the same kind again
    """Return a price book in another currency, every price times a rate.

    Parameters
    ----------
    document
        The book as a document, or a part of it.
    currency
        The code of the other currency.
    rate
        Units of it for one of the document's own.
    places
        Decimals of its smallest coin.
    """
    if isinstance(document, dict):
        found = {key: in_currency(value, currency, rate, places) for key, value in document.items()}
        said = {"currency": currency} if "currency" in document else {}
        coin = {ROUNDING: f"{Decimal(1).scaleb(-places)} {currency}"} if ROUNDING in document else {}
        return {**found, **said, **coin}
    if isinstance(document, list):
        return [in_currency(one, currency, rate, places) for one in document]
    price = PRICE.fullmatch(document) if isinstance(document, str) else None
    if price is None:
        return document
    amount = Decimal(price[1]) * Decimal(repr(rate))
    if not price[3]:
        return f"{amount.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)} {currency}"
    return f"{_short(amount.quantize(FINEST, ROUND_HALF_UP))} {currency}{price[3]}"


def _short(amount: Decimal) -> str:
    """Return a rate without the zeros behind its second decimal."""
    whole, _, rest = f"{amount:f}".partition(".")
    return f"{whole}.{rest.rstrip('0').ljust(LEAST_PLACES, '0')}"
