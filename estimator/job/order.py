"""Who asks, for which machine, and what is sold beside the repair: customer, machine, extras, read strictly."""

from typing import Annotated, Self

from pydantic import Field, field_validator, model_validator

from estimator.errors import AtError
from estimator.fields import Document, Fraction, Money, Name, Note, Price, Text
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
    """Something sold beside the repair, a bush, a pin, a crack test: at a price of its own, or at cost and margin.

    `tax`: the rate it is taxed at, where that is not the price book's.
    """

    text: Name
    quantity: Annotated[float, Field(strict=True, gt=0, le=MOST_SOLD, allow_inf_nan=False)] = 1.0
    unit: Name = "each"
    price: Money | None = None
    cost: Money | None = None
    tax: Fraction | None = None
    _currency = field_validator("price", "cost")(in_the_books_currency)

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        if self.price is None and self.cost is None:
            raise AtError("price", "is missing; or give cost, on which the margin is laid")
        if self.price is not None and self.cost is not None:
            raise AtError("cost", "is given beside price; keep one of the two")
        return self

    @property
    def paid(self) -> Price:
        """What one costs or is sold for."""
        found = self.price or self.cost
        assert found is not None  # one of the two, as read
        return found
