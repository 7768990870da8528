"""The documents that the estimator answers, of any type: tests take them apart and read them by keys of a list."""

from collections.abc import Sequence
from typing import Any

from estimator import buying as _buying
from estimator import compare as _compare
from estimator import estimate as _estimate
from estimator.book.pricebook import PriceBook

__all__ = ["compare", "estimate", "order"]


def estimate(document: Any, book: PriceBook) -> Any:
    """Return the estimate of a job document, in full."""
    return _estimate.estimate(document, book, "full")


def compare(document: Any, book: PriceBook) -> Any:
    """Return the comparison of a job document."""
    return _compare.compare(document, book)


def order(
    jobs: Sequence[Any], book: PriceBook, stock: Sequence[object] | None = None, service_level: Any = 0.95
) -> Any:
    """Return the order of several job documents."""
    return _buying.order(jobs, book, stock, service_level)
