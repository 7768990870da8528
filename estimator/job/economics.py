"""What the fleet says of its ways out: repair, sleeve or a new part, read strictly, in SI."""

from typing import Annotated, Any

from pydantic import Field, ValidationInfo, field_validator

from estimator.fields import Document, Interest, Lead, Life, Money, Standing, rate_field

__all__ = ["Economics", "Way"]


def _in_the_books_currency(price: Any, info: ValidationInfo) -> Any:  # noqa: ANN401  # a price or nothing
    """Raise `ValueError` unless a price is in the price book's currency."""
    book = (info.context or {}).get("currency")
    if price is not None and book is not None and price.currency != book:
        raise ValueError(f"{price.currency} is not the price book's currency {book}")
    return price


class Way(Document):
    """One way out: what it costs where it is bought, how long it lasts, how long the machine stands."""

    price: Money | None = None
    life: Life | None = None
    downtime: Standing | None = None
    lead_time: Lead | None = None
    _currency = field_validator("price")(_in_the_books_currency)


class Economics(Document):
    """What the fleet needs to compare repair with sleeve and replacement."""

    discount_rate: Interest
    hours_per_year: Annotated[float, Field(strict=True, gt=0, le=8784, allow_inf_nan=False)]
    downtime_cost: rate_field("time", "h") | None = None  # pyrefly: ignore[invalid-annotation] # an annotation made by a function
    repair: Way | None = None
    sleeve: Way | None = None
    replace: Way | None = None
    _currency = field_validator("downtime_cost")(_in_the_books_currency)
