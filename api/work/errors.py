"""Why a piece of work was not done, and how the engine's own faults come back from a worker as what they are.

WorkError              not done; asking again later may help
├── FullError          too much waits already
├── LateError          it took longer than it may
├── LargeError         it took more memory than it may
└── LostError          the process that did it ended, or the service is ending
DefectError            something of ours is wrong; its place is told, never its words, which may quote a document
"""

from typing import Any

from estimator.errors import DocumentError, Fault, JobRefusedError, LargeDocumentError, OutOfRangeError, Rest

__all__ = ["DefectError", "FullError", "LargeError", "LateError", "LostError", "WorkError", "packed", "raised"]

Packed = tuple[Any, ...]  # plain values only
FAULTS: dict[str, type[DocumentError | JobRefusedError]] = {
    kind.__name__: kind for kind in (DocumentError, LargeDocumentError, JobRefusedError)
}


class WorkError(Exception):
    """A piece of work was not done; `again` is after how many seconds it may be asked for again."""

    again = 2


class FullError(WorkError):
    """Too much work waits already."""

    again = 5


class LateError(WorkError):
    """The work took longer than it may."""

    again = 60


class LargeError(WorkError):
    """The work took more memory than it may."""

    again = 60


class LostError(WorkError):
    """The process that did the work is gone."""


class DefectError(Exception):
    """A defect of ours in a worker: what kind of error it was, and where it came up."""

    def __init__(self, kind: str, where: str) -> None:
        self.kind, self.where = kind, where
        super().__init__(f"{kind} at {where}")


def packed(error: Exception) -> Packed | None:
    """Return a fault of the engine as plain values; None for any other error."""
    if type(error).__name__ in FAULTS and isinstance(error, DocumentError | JobRefusedError):
        faults = [
            (one.path, one.message, one.code, one.addressed, one.count if isinstance(one, Rest) else None)
            for one in error.faults
        ]
        return type(error).__name__, faults
    if isinstance(error, OutOfRangeError):
        return OutOfRangeError.__name__, error.name, error.value, error.low, error.high
    return None


def raised(found: Packed) -> Exception:
    """Return the fault that was packed.

    Examples
    --------
    >>> raised(packed(DocumentError([Fault("bores", "is missing")])))
    DocumentError('bores: is missing')
    """
    kind, *rest = found
    if kind == OutOfRangeError.__name__:
        return OutOfRangeError(*rest)
    return FAULTS[kind]([_fault(*one) for one in rest[0]])


def _fault(path: str, message: str, code: str, addressed: bool, count: int | None) -> Fault:
    return Fault(path, message, code, addressed) if count is None else Rest(path, message, code, addressed, count)
