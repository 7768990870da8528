"""What recorded jobs have taught, in the estimate document: which calibration was used, and what it moved in a bore."""

from typing_extensions import TypedDict

from estimator.book.calibration import Calibration
from estimator.express import digits
from estimator.plans import BoreFigures
from estimator.strict import sha256

__all__ = ["Moved", "Used", "moved_of", "used_of"]


class Factor(TypedDict):
    """How many times the book's an element takes in a group of jobs, the 95 % band of that, and from how many jobs."""

    element: str
    group: str
    jobs: int
    ratio: float
    low: float
    high: float


class Used(TypedDict):
    """The calibration that an estimate used; `version` as the store counts it, None for one from a file."""

    version: int | None
    sha256: str
    jobs: int
    factors: list[Factor]


class Moved(TypedDict):
    """By how much an element of a bore was multiplied."""

    element: str
    factor: float


def used_of(calibration: Calibration) -> Used:
    """Return which calibration was used."""
    each = [one.model_dump() for one in calibration.factors]
    return {
        "version": calibration.version,
        "sha256": sha256(each),
        "jobs": calibration.jobs,
        "factors": [
            {
                "element": one.element,
                "group": one.group,
                "jobs": one.jobs,
                "ratio": digits("ratio", one.ratio),
                "low": digits("ratio", one.low),
                "high": digits("ratio", one.high),
            }
            for one in calibration.factors
        ],
    }


def moved_of(one: BoreFigures) -> list[Moved]:
    """Return what recorded jobs have moved in a bore."""
    return [{"element": name, "factor": digits("ratio", factor)} for name, factor in one.time.factors.items()]
