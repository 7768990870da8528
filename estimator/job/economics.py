"""What the fleet says of its ways out: repair, sleeve or a new part, read strictly, in SI."""

import re
from typing import Annotated, Any, Self

from pydantic import Discriminator, Field, Tag, ValidationInfo, field_validator, model_validator

from estimator.errors import AtError
from estimator.fields import Document, Interest, Lead, Life, Money, Standing, rate_field

__all__ = ["Economics", "Lives", "Way", "in_the_books_currency"]

YEARS = re.compile(r"([0-9]{1,9}(?:\.[0-9]{0,9})?) ?(years?|yrs?|a|months?)")
MONTHS, MOST_HOURS = 12, 8784


def in_the_books_currency(price: Any, info: ValidationInfo) -> Any:  # noqa: ANN401  # a price or nothing
    """Raise `ValueError` unless a price is in the price book's currency."""
    book = (info.context or {}).get("currency")
    if price is not None and book is not None and price.currency != book:
        raise ValueError(f"{price.currency} is not the price book's currency {book}")
    return price


class Lives(Document):
    """How long a way out lasts, as far as it is known: low, likely and high."""

    low: Life
    likely: Life
    high: Life

    @model_validator(mode="after")
    def _rise(self) -> Self:
        if not self.low <= self.likely <= self.high:
            raise ValueError("low, likely and high must rise")
        return self


Lasting = Annotated[
    Annotated[Life, Tag("<life>")] | Annotated[Lives, Tag("<lives>")],
    Discriminator(lambda value: "<lives>" if isinstance(value, dict | Lives) else "<life>"),
]


class Way(Document):
    """One way out: what it costs where it is bought, how long it lasts, how long the machine stands."""

    price: Money | None = None
    life: Lasting | None = None
    downtime: Standing | None = None
    lead_time: Lead | None = None
    salvage: Money | None = None
    _currency = field_validator("price", "salvage")(in_the_books_currency)

    @property
    def likely(self) -> float | None:
        """The life it is reckoned with. [s]"""
        return self.life.likely if isinstance(self.life, Lives) else self.life


WAYS = ("repair", "sleeve", "replace")


def _of_use(value: Any, hours_per_year: float) -> Any:  # noqa: ANN401  # a raw document
    """Return a life typed in years or months as the hours of use in them; whatever else as it is."""
    if isinstance(value, dict):
        return {key: _of_use(one, hours_per_year) for key, one in value.items()}
    found = YEARS.fullmatch(value.strip()[:40]) if isinstance(value, str) else None
    if found is None:
        return value
    return f"{float(found[1]) * hours_per_year / (MONTHS if found[2].startswith('m') else 1):.12g} h"


class Economics(Document):
    """What the fleet needs to compare repair with sleeve and replacement."""

    discount_rate: Interest
    hours_per_year: Annotated[float, Field(strict=True, gt=0, le=MOST_HOURS, allow_inf_nan=False)]
    downtime_cost: rate_field("time", "h") | None = None  # pyrefly: ignore[invalid-annotation] # an annotation made by a function
    inflation: Interest | None = None
    remaining_life: Life | None = None
    can_run: Annotated[bool, Field(strict=True)] | None = None
    failure_cost: Money | None = None
    repair: Way | None = None
    sleeve: Way | None = None
    replace: Way | None = None
    _currency = field_validator("downtime_cost", "failure_cost")(in_the_books_currency)

    @model_validator(mode="before")
    @classmethod
    def _years_of_use(cls, data: Any) -> Any:  # noqa: ANN401  # a raw document
        """A life in years is years of use: the hours that the machine runs in them."""
        hours = data.get("hours_per_year") if isinstance(data, dict) else None
        if isinstance(hours, bool) or not isinstance(hours, int | float) or not 0 < hours <= MOST_HOURS:
            return data
        said = {"remaining_life": _of_use(data["remaining_life"], hours)} if "remaining_life" in data else {}
        for name in WAYS:
            if isinstance(way := data.get(name), dict) and "life" in way:
                said[name] = {**way, "life": _of_use(way["life"], hours)}
        return {**data, **said}

    @model_validator(mode="after")
    def _as_long_as_it_runs(self) -> Self:
        if self.inflation and self.remaining_life is None:
            raise AtError("remaining_life", "is missing; later repairs grow dearer until the machine ends: say when")
        return self
