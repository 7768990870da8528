"""What one shutdown may take: a budget in the book's currency, and hours of the crew."""

from decimal import Decimal
from typing import Any

from pydantic import field_validator

from estimator.book.pricebook import PriceBook
from estimator.fields import Document, Money, Standing
from estimator.job.economics import in_the_books_currency
from estimator.strict import validated

__all__ = ["limits_of"]


class Limits(Document):
    """Budget and hours as they are typed."""

    budget: Money | None = None
    crew_hours: Standing | None = None
    _currency = field_validator("budget")(in_the_books_currency)


def limits_of(budget: Any, crew_hours: Any, book: PriceBook) -> tuple[Decimal | None, float | None]:  # noqa: ANN401  # as it came
    """Return the budget and the hours of the crew, each None where it is not said; raise `DocumentError` for both.

    [currency, s]
    """
    found = validated(Limits, {"budget": budget, "crew_hours": crew_hours}, {"currency": book.currency})
    return None if found.budget is None else Decimal(found.budget.amount), found.crew_hours
