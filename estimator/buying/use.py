"""What several jobs use, each estimated first."""

from collections.abc import Sequence
from typing import Any

from estimator.book.pricebook import PriceBook
from estimator.errors import DocumentError, Fault, JobRefusedError, OutOfRangeError
from estimator.estimate import estimate
from estimator.van.use import JobUse, use_of

__all__ = ["Document", "used_by"]

Document = dict[str, Any] | bytes | str


def used_by(jobs: Sequence[Document], book: PriceBook) -> list[JobUse]:
    """Return what each job uses; a document given more than once is estimated once.

    Raises
    ------
    DocumentError
        If a job is wrong; paths begin with `jobs.0` and the like.
    JobRefusedError
        If one of the jobs must not be welded.
    """
    found: list[JobUse] = []
    known: dict[int, JobUse] = {}
    wrong, refused = list[Fault](), list[Fault]()
    for number, job in enumerate(jobs):
        if (seen := known.get(id(job))) is not None:
            found.append(seen)
            continue
        try:
            found.append(known.setdefault(id(job), use_of(estimate(job, book))))
        except DocumentError as error:
            wrong += [fault.within(f"jobs.{number}") for fault in error.faults]
        except JobRefusedError as error:
            refused += [fault.within(f"jobs.{number}") for fault in error.faults]
        except OutOfRangeError as error:
            refused.append(Fault(f"jobs.{number}", f"no plan lies within the range of the formulas: {error}"))
    if wrong:
        raise DocumentError(wrong)
    if refused:
        raise JobRefusedError(refused)
    return found
