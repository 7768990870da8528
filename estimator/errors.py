"""Errors of the engine, each with its data as fields.

EstimatorError
├── DocumentError(ValueError)       a document is wrong: its faults, each with path and cure
│   └── LargeDocumentError          it is larger than it may be, as sent or unpacked
├── JobRefusedError(RuntimeError)   the job must not be welded, or no plan is possible: every reason
├── OutOfRangeError(ValueError)     a quantity lies outside the range its formula holds for
├── PointsError(ValueError)         measured points do not fix the circle or cylinder asked for
├── AtError(ValueError)             a key below the one being read is wrong (while reading)
├── UnknownEntryError(LookupError)  a table or a document has no entry of that name
└── PlanMismatchError(AssertionError)  search and scalar replay disagree: a defect of ours
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from difflib import get_close_matches

__all__ = [
    "LONGEST_NAME",
    "MOST_TOLD",
    "AtError",
    "DocumentError",
    "EstimatorError",
    "Fault",
    "JobRefusedError",
    "LargeDocumentError",
    "OutOfRangeError",
    "PlanMismatchError",
    "PointsError",
    "Rest",
    "UnknownEntryError",
    "few",
    "nearest",
    "require_range",
    "rest",
]


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with a document: where, what, what would be right; its code in the table of messages, if any.

    `addressed`: the message says in words where it is, so that a line for people does without the path.
    """

    path: str
    message: str
    code: str = field(default="", compare=False)
    addressed: bool = field(default=False, compare=False)

    def within(self, path: str) -> "Fault":
        """Return the fault of a part as a fault of the whole, at the part's path."""
        return replace(self, path=f"{path}.{self.path}".rstrip("."))

    def __str__(self) -> str:
        """Return the fault as one line."""
        return f"{self.path}: {self.message}" if self.path and not self.addressed else self.message


@dataclass(frozen=True, slots=True)
class Rest(Fault):
    """How many more things are wrong, which are not told one by one."""

    count: int = 0


MOST_TOLD = 100
LONGEST_PATH, LONGEST_MESSAGE = 400, 2000  # characters
LONGEST_NAME = 200  # characters of a name that near ones are looked for


def rest(count: int) -> Rest:
    """Return that so many more things are wrong."""
    return Rest("", f"and {count} more faults", count=count)


def few(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """Return the first hundred faults, and how many more there are."""
    told = list(faults)
    single = [fault for fault in told if not isinstance(fault, Rest)]
    more = max(0, len(single) - MOST_TOLD) + sum(fault.count for fault in told if isinstance(fault, Rest))
    first = tuple(_short(fault) for fault in single[:MOST_TOLD])
    return (*first, rest(more)) if more else first


def _short(fault: Fault) -> Fault:
    """Return a fault that quotes no more of a document than helps to find the place."""
    if len(fault.path) <= LONGEST_PATH and len(fault.message) <= LONGEST_MESSAGE:
        return fault
    return replace(fault, path=fault.path[:LONGEST_PATH], message=fault.message[:LONGEST_MESSAGE])


class EstimatorError(Exception):
    """Base of every error that the engine raises on purpose."""


class DocumentError(EstimatorError, ValueError):
    """A document is wrong; `faults` holds the first hundred of what was found, and how many more there are."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = few(faults)
        super().__init__("\n".join(map(str, self.faults)))


class LargeDocumentError(DocumentError):
    """A document is larger than it may be, as sent or unpacked."""


class JobRefusedError(EstimatorError, RuntimeError):
    """The job must not be welded as described, or no plan is possible; `faults` holds the reasons."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(map(str, self.faults)))


class OutOfRangeError(EstimatorError, ValueError):
    """A quantity lies outside the range its formula holds for."""

    def __init__(self, name: str, value: float, low: float, high: float) -> None:
        self.name, self.value, self.low, self.high = name, value, low, high
        super().__init__(f"{name} must be above {low:g} and up to {high:g}, got {value:g}")


class PointsError(EstimatorError, ValueError):
    """Measured points do not fix the shape asked for: too few, all in one place, in one line, or not numbers."""

    def __init__(self, shape: str, reason: str, cure: str) -> None:
        self.shape, self.reason, self.cure = shape, reason, cure
        super().__init__(f"{shape}: {reason}; {cure}")


class AtError(EstimatorError, ValueError):
    """A part of a document is wrong at a key below the one that found it; used while a document is read."""

    def __init__(self, path: str, message: str) -> None:
        self.path = path
        super().__init__(message)


class UnknownEntryError(EstimatorError, LookupError):
    """A table or a document has no entry of that name."""

    def __init__(self, table: str, name: str, known: Iterable[str]) -> None:
        self.table, self.name, self.near = table, name, nearest(name, known)
        super().__init__(f"no {table} named {name!r}; near: {', '.join(self.near) or 'none'}")


class PlanMismatchError(EstimatorError, AssertionError):
    """The search and its scalar replay disagree: a defect of ours, never the user's."""


def nearest(name: str, known: Iterable[str], count: int = 3) -> list[str]:
    """Return up to `count` known names that look like `name`, best first."""
    by_fold = {entry.casefold(): entry for entry in known}
    return [by_fold[fold] for fold in get_close_matches(name[:LONGEST_NAME].casefold(), by_fold, n=count, cutoff=0.5)]


def require_range(name: str, value: float, high: float, low: float = 0.0) -> None:
    """Raise `OutOfRangeError` unless low < value <= high; NaN never passes."""
    if not low < value <= high:
        raise OutOfRangeError(name, value, low, high)
