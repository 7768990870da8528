"""The documents that the estimator answers, of any type: tests take them apart and read them by keys of a list.

The same job is asked for by many tests: an estimate is kept, and each gets a copy of its own. A test that changes
tables or code, by `monkeypatch`, neither takes nor leaves one (tests/conftest.py).
"""

import json
import pickle
from collections.abc import Sequence
from typing import Any

from estimator import buying as _buying
from estimator import compare as _compare
from estimator import estimate as _estimate
from estimator.book.pricebook import PriceBook

__all__ = ["KEPT", "compare", "estimate", "order"]


class Kept:
    """Estimates by job and price book, packed; `on` while the tables and the code are as they stand in the tree."""

    def __init__(self) -> None:
        self.on = False
        self.made: dict[tuple[str, object], bytes] = {}


KEPT = Kept()
MOST = 400


def estimate(document: Any, book: PriceBook) -> Any:
    """Return the estimate of a job document, in full."""
    if not KEPT.on:
        return _estimate.estimate(document, book, "full")
    key = (json.dumps(document) if isinstance(document, dict) else str(document), book.mark)
    if key not in KEPT.made:
        if len(KEPT.made) >= MOST:
            KEPT.made.clear()
        KEPT.made[key] = pickle.dumps(_estimate.estimate(document, book, "full"))
    return pickle.loads(KEPT.made[key])


def compare(document: Any, book: PriceBook) -> Any:
    """Return the comparison of a job document."""
    return _compare.compare(document, book)


def order(
    jobs: Sequence[Any], book: PriceBook, stock: Sequence[object] | None = None, service_level: Any = 0.95
) -> Any:
    """Return the order of several job documents."""
    return _buying.order(jobs, book, stock, service_level)
