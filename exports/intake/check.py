"""Whether a job that comes or goes as an intake sheet can be read: as it is, or as far as it is known yet."""

from collections.abc import Callable
from typing import Any

from estimator.book.pricebook import PriceBook
from estimator.bore.limits import check_hole_class
from estimator.bore.point_check import check_points
from estimator.job.job import read_job

__all__ = ["check_of", "partly"]

STAND_IN = {"name": "A", "nominal_diameter": "90 mm", "length": "70 mm"}


def check_of(book: PriceBook) -> Callable[[dict[str, Any]], object]:
    """Return what raises `DocumentError` for a job that cannot be read; its currency need not be the book's."""
    names = {key: known for key, known in book.context().items() if key != "currency"}
    context = {**names, "hole class": check_hole_class, "points": check_points}
    return lambda document: read_job(document, context).whole()


def partly(document: dict[str, Any]) -> dict[str, Any]:
    """Return a job with something plain for what is only found on site and still missing, to check the rest."""
    bores = document.get("bores", [STAND_IN])
    return {**document, "bores": [_measured(one) for one in bores] if isinstance(bores, list) else bores}


def _measured(bore: object) -> object:
    """Return a bore with a steel and a worn diameter, where it has none."""
    if not isinstance(bore, dict):
        return bore
    found = {"material": "unknown", **bore}
    if "readings" not in bore and "nominal_diameter" in bore:
        found.setdefault("worn_diameter", bore["nominal_diameter"])
    return found
