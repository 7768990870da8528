"""One figure explained, with an unknown key as a fault at the path where the key was said."""

from typing import Any

from estimator.book.pricebook import PriceBook
from estimator.errors import DocumentError, Fault, UnknownEntryError
from estimator.trust.explain import FIGURES, explain

__all__ = ["explained"]


def explained(document: bytes | dict[str, Any], book: PriceBook, key: str, *, at: str) -> dict[str, Any]:
    """Return how one figure of a job's estimate came about.

    Parameters
    ----------
    document
        The job document.
    book
        The price book.
    key
        Path of the figure in the estimate document.
    at
        Path of the fault where there is no such figure.

    Raises
    ------
    DocumentError, JobRefusedError
        As `estimator.estimate.estimate` does.
    """
    try:
        return explain(document, book, key)
    except UnknownEntryError as error:
        if error.table not in FIGURES:
            raise
        near = f"; near: {', '.join(error.near)}" if error.near else ""
        raise DocumentError([Fault(at, f"no such {error.table}{near}")]) from None
