"""Would it have helped? Each job estimated with what the jobs before it had taught, in the order of time.

References
----------
Tashman, International Journal of Forecasting 16 (2000) 437: rolling origin; Gneiting and Raftery, Journal of the
American Statistical Association 102 (2007) 359: coverage, sharpness, pinball loss (there the quantile score).
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from estimator.learn.drift import Change, since_of
from estimator.learn.pooled import ALL, Effect, effects_of
from estimator.learn.series import HOURS, KINDS, Array, Series
from estimator.learn.student import t_below, t_quantile
from estimator.tables.rows import Learning

__all__ = ["Judged", "Test", "better", "factor_of", "judged", "pinball", "scored"]

FIRST, MOST = 5, 200  # jobs that must be there before one is judged; how many are judged, the newest
CHANCES = (0.1, 0.5, 0.9)
DEGREES, SCATTER, KEPT = 0.3, 0.1, 0.9  # of a job's hours in all, before any was seen; from memory
SURE = 0.05  # chance that "better" is claimed of what is none
FEWEST = 8  # jobs that are judged, for any claim


@dataclass(frozen=True)
class Judged:
    """One job: hours recorded over estimated by the book, by what was learnt before, and the ends of its 80 % band."""

    job: int
    before: float
    after: float
    low: float
    high: float

    @property
    def errors(self) -> tuple[float, float]:
        """How far the estimate lay from the record, by the book and as learnt, as a share of the estimate."""
        return abs(self.before - 1), abs(self.after - 1)


@dataclass(frozen=True)
class Test:
    """How good estimates were over all jobs that were judged; None where there were none."""

    __test__ = False
    jobs: int
    error_before: float | None
    error_after: float | None
    coverage_80: float | None
    sharpness: float | None
    pinball_before: float | None
    pinball_after: float | None
    better: bool


NOTHING = Test(0, None, None, None, None, pinball_before=None, pinball_after=None, better=False)


def factor_of(effects: Mapping[tuple[str, str], Effect], element: str, labels: Mapping[str, str]) -> float:
    """Return what an element of a job is multiplied with: its shop's ratio, by how its groups differ from that."""
    shop = effects.get((element, ALL))
    base = found = shop.ratio if shop else 1.0
    for kind in KINDS:
        own = effects.get((element, f"{kind}: {labels.get(kind, '')}"))
        found *= own.ratio / base if own else 1.0
    return found


def judged(
    series: Mapping[str, Series], priors: Mapping[str, Learning], changes: Mapping[str, Sequence[Change]]
) -> list[Judged]:
    """Return the jobs that have hours on record and jobs before them, judged in the order of time."""
    hours = {name: one for name, one in series.items() if name in HOURS}
    jobs = np.unique(np.concatenate([one.jobs for one in hours.values()])) if hours else np.array([], dtype=np.int64)
    found: list[Judged] = []
    past = [_job(int(job), hours, {}, []).before for job in jobs[-MOST - FIRST :][:FIRST]]  # by the book alone
    for job in jobs[FIRST:][-MOST:]:
        effects = effects_of(hours, priors, since_of(changes, int(job)), int(job))
        found.append(_job(int(job), hours, {(one.element, one.group): one for one in effects}, past))
        past.append(found[-1].after)
    return found


def _job(
    job: int, hours: Mapping[str, Series], effects: Mapping[tuple[str, str], Effect], past: Sequence[float]
) -> Judged:
    recorded = by_book = as_learnt = 0.0
    for name, one in hours.items():
        for at in range(*np.searchsorted(one.job, [job, job + 1])):
            labels = {kind: names[codes[at] - 1] for kind, (names, codes) in one.labels.items() if codes[at]}
            recorded, by_book = recorded + one.recorded[at], by_book + one.estimated[at]
            as_learnt += one.estimated[at] * factor_of(effects, name, labels)
    spread, degrees = _scatter(past)
    reach = t_quantile(CHANCES[-1], degrees) * spread
    low, high = (math.exp(-(spread**2) / 2 + side * reach) for side in (-1, 1))
    return Judged(job, recorded / by_book, recorded / as_learnt, low, high)


def _scatter(past: Sequence[float]) -> tuple[float, float]:
    """Return how far jobs have lain from what was foretold, as a logarithm, and the degrees of freedom of that.

    The latest tell most: an estimate that has learnt lies nearer than those before it.
    """
    weights = [KEPT**age for age in reversed(range(len(past)))]
    degrees = DEGREES + sum(weights)
    squares = DEGREES * SCATTER**2 + sum(one * math.log(ratio) ** 2 for one, ratio in zip(weights, past, strict=True))
    return math.sqrt(squares / degrees), round(degrees, 1)


def pinball(value: float, quantile: float, chance: float) -> float:
    """Return the loss of a quantile that was foretold: what lies beyond it counts by its chance. [as the value]"""
    return (value - quantile) * (chance if value >= quantile else chance - 1)


def better(before: Array, after: Array) -> bool:
    """Return whether errors are smaller than they were, job by job, by more than chance (paired, one-sided, 5 %)."""
    gain = before - after
    count = len(gain)
    if count < FEWEST or not np.any(gain):
        return False
    doubt = float(np.std(gain, ddof=1)) / math.sqrt(count)
    mean = float(np.mean(gain))
    return mean > 0 and (doubt == 0 or t_below(mean / doubt, count - 1) > 1 - SURE)


def scored(found: Sequence[Judged]) -> Test:
    """Return how good estimates were: mean errors, share inside the band, its width, pinball losses, the claim."""
    if not found:
        return NOTHING
    before, after = (np.array([one.errors[side] for one in found]) for side in (0, 1))
    inside = [one.low <= one.after <= one.high for one in found]
    losses = [
        np.mean([pinball(getattr(one, name), end, chance) for one in found for chance, end in _ends(one)])
        for name in ("before", "after")
    ]
    return Test(
        jobs=len(found),
        error_before=float(np.mean(before)),
        error_after=float(np.mean(after)),
        coverage_80=float(np.mean(inside)),
        sharpness=float(np.mean([one.high - one.low for one in found])),
        pinball_before=float(losses[0]),
        pinball_after=float(losses[1]),
        better=better(before, after),
    )


def _ends(one: Judged) -> Sequence[tuple[float, float]]:
    return tuple(zip(CHANCES, (one.low, 1.0, one.high), strict=True))
