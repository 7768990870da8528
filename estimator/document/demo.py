"""Whether an invented price is in the sum: every paper of such a document says that it is a demo."""

from estimator.book.pricebook import PriceBook
from estimator.money.bill import Bill

__all__ = ["is_demo"]

LEAST = "minimum_charge"


def is_demo(bill: Bill, book: PriceBook) -> bool:
    """Return whether a price of the built-in demo book is in the price of a job: in its lines, or its least charge."""
    if bill.price.listed == book.price(LEAST):
        return book.is_invented(LEAST)
    return any(book.is_invented(line.price_key) for line in bill.lines if line.price_key is not None and line.amount)
