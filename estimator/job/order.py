"""Who asks, for which machine, and what is sold beside the repair: customer, machine, extras, read strictly."""

from typing import Annotated

from pydantic import Field, field_validator

from estimator.fields import Document, Money, Name, Note, Text
from estimator.job.economics import in_the_books_currency

__all__ = ["Customer", "Equipment", "Extra"]

MOST_SOLD = 100_000


class Customer(Document):
    """Who asked; `class`: the name of a class of customers in the price book."""

    name: Text
    address: Note | None = None
    contact: Text | None = None
    phone: Text | None = None
    email: Text | None = None
    customer_class: Annotated[Name | None, Field(alias="class")] = None


class Equipment(Document):
    """The machine the part belongs to."""

    description: Text
    hours: Annotated[float, Field(strict=True, ge=0, allow_inf_nan=False)] | None = None


class Extra(Document):
    """Something sold beside the repair at a price of its own: a bush, a pin, a crack test; no margin is laid on it."""

    text: Name
    quantity: Annotated[float, Field(strict=True, gt=0, le=MOST_SOLD, allow_inf_nan=False)] = 1.0
    unit: Name = "each"
    price: Money
    _currency = field_validator("price")(in_the_books_currency)
