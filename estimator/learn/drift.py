"""Whether a shop has changed: a cumulative sum of its jobs that needs to know nothing beforehand.

References
----------
Hawkins, The Statistician 36 (1987) 299: each job against those before it, as Student's deviate turned normal, summed up
on either side; Page, Biometrika 41 (1954) 100.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from estimator.learn.series import HOURS, Array, Codes, Series
from estimator.learn.student import to_normal

__all__ = ["TOTAL", "Change", "changes_in", "changes_of", "cusum", "since_of", "whole_of"]

TOTAL = "total"  # all hours of a job together

ALLOWANCE, LIMIT = 0.5, 8.5  # standard deviations
FEWEST = 6  # jobs that are looked at before any is judged
WILDEST = 4.0  # standard deviations that one job counts at the most


@dataclass(frozen=True)
class Change:
    """A change: at which of the jobs it was noticed, and from which on it holds."""

    noticed: int
    since: int


def cusum(deviates: Array, allowance: float, limit: float) -> int | None:
    """Return at which deviate a two-sided cumulative sum passes its limit; None if it never does."""
    high = low = 0.0
    for place, one in enumerate(deviates):
        high, low = max(0.0, high + float(one) - allowance), max(0.0, low - float(one) - allowance)
        if max(high, low) > limit:
            return place
    return None


def changes_of(series: Mapping[str, Series]) -> dict[str, list[Change]]:
    """Return the changes of each element, and of all hours together, each by its places among the jobs."""
    found = {name: _placed(one.jobs, changes_in(one.logs)) for name, one in series.items()}
    if whole := whole_of(series):
        found[TOTAL] = _placed(whole.jobs, changes_in(whole.logs))
    return found


def whole_of(series: Mapping[str, Series]) -> Series | None:
    """Return all hours of each job together; None where no job has any on record."""
    hours = [one for name, one in series.items() if name in HOURS]
    if not hours:
        return None
    job, recorded, estimated = (
        np.concatenate([getattr(one, name) for one in hours]) for name in ("job", "recorded", "estimated")
    )
    return Series(job, recorded, estimated, {})


def _placed(jobs: Codes, changes: list[Change]) -> list[Change]:
    """Return changes by the numbers of the jobs, not by how many had a record."""
    return [Change(int(jobs[one.noticed]), int(jobs[one.since])) for one in changes]


def since_of(changes: Mapping[str, Sequence[Change]], until: int) -> dict[str, int]:
    """Return from which job on each element counts, by the changes that were noticed before a place in time."""
    known = {name: max((one.since for one in each if one.noticed < until), default=0) for name, each in changes.items()}
    whole = known.pop(TOTAL, 0)
    return {name: max(one, whole if name in HOURS else 0) for name, one in known.items()}


def changes_in(logs: Array) -> list[Change]:
    """Return the changes in a series of jobs, each noticed with the jobs up to it alone."""
    found: list[Change] = []
    start = 0
    while (change := _next(logs, start)) is not None:
        found.append(change)
        start = change.since
    return found


def _next(logs: Array, start: int) -> Change | None:
    """Return the next change after the one that begins at `start`; what came before that counts no more."""
    total = square = high = low = 0.0
    high_at = low_at = start + FEWEST
    for place in range(start, len(logs)):
        one, count = float(logs[place]), place - start
        if count >= FEWEST:
            spread = math.sqrt(max(square, 1e-9) / (count - 1))
            t = (one - total / count) / (spread * math.sqrt(1 + 1 / count))
            z = max(-WILDEST, min(WILDEST, to_normal(t, count - 1)))
            high, low = high + z - ALLOWANCE, low - z - ALLOWANCE
            high, high_at = (0.0, place + 1) if high <= 0 else (high, high_at)
            low, low_at = (0.0, place + 1) if low <= 0 else (low, low_at)
            if max(high, low) > LIMIT:
                return Change(place, high_at if high > low else low_at)
        if count:
            square += (one - total / count) ** 2 * count / (count + 1)
        total += one
    return None
