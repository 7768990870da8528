"""How far a shop lies from the book in one element: partial pooling of its jobs with what shops usually are.

A job's logarithm of recorded over estimated scatters by its own chance about the shop's; the shop's scatters about the
book's nought. Few jobs leave a shop near the book, many bring it to itself. Groups (a crew, a wire) scatter about their
shop in the same way, by as much as their own records show (empirical Bayes).

References
----------
Efron and Morris, Scientific American 236/5 (1977) 119: shrinkage; DerSimonian and Laird, Controlled Clinical Trials 7
(1986) 177: scatter between groups by moments; Aitchison and Brown, The Lognormal Distribution (1957), 2.3: the mean of
a lognormal lies half its variance above its middle.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from operator import mul

import numpy as np

from estimator.learn.series import Array, Codes, Series
from estimator.learn.student import t_quantile
from estimator.tables.rows import Learning

__all__ = ["ALL", "Effect", "Shrunk", "between", "effects_of", "shrunk", "shrunk_groups"]

ALL = "all"
DEGREES = 5.0  # what the book's scatter counts for against the shop's own
SIDE = 0.975  # upper end of a 95 % band
ALARM, ALARM_OF_GROUPS = 0.02, 0.01  # chance that anything is told of a shop that is as the book says
FEWEST_OF_GROUP = 3  # jobs
LEAST = 1e-9  # of a variance


@dataclass(frozen=True)
class Shrunk:
    """A mean drawn towards its prior: logarithm, standard uncertainty, degrees of freedom, scatter of a job."""

    mean: float
    doubt: float
    degrees: float
    scatter: float
    jobs: int

    @property
    def size(self) -> float:
        """How many standard uncertainties it lies off nought."""
        return abs(self.mean) / self.doubt

    def stands_out(self, chance: float) -> bool:
        """Return whether it differs from nought by more than chance would bring about as rarely as that."""
        return self.size > t_quantile(1 - chance / 2, self.degrees)


@dataclass(frozen=True)
class Effect:
    """How far a group of jobs lies from the book in one element: ratio, its 95 % band, scatter of a job's logarithm."""

    element: str
    group: str
    jobs: int
    ratio: float
    low: float
    high: float
    scatter: float


def shrunk(logs: Array, prior: Learning) -> Shrunk:
    """Return the mean of a shop's logarithms, drawn towards nought; that of a ratio's mean, not of its middle."""
    count, whole = len(logs), float(logs.sum())
    own = max(0.0, float(logs @ logs) - whole**2 / count)
    degrees = DEGREES + count - 1
    variance = (DEGREES * prior.scatter**2 + own) / degrees
    mean = whole / count + variance / 2
    weight = prior.shops**2 / (prior.shops**2 + variance / count)
    return Shrunk(weight * mean, prior.shops * math.sqrt(1 - weight), degrees, math.sqrt(variance), count)


def between(means: Sequence[float], variances: Sequence[float]) -> float:
    """Return the variance between groups of those means, each known with a variance, by moments; none below nought."""
    weights = [1 / one for one in variances]
    whole = sum(weights)
    middle = sum(map(mul, weights, means)) / whole
    over = sum(weight * (mean - middle) ** 2 for weight, mean in zip(weights, means, strict=True)) - (len(means) - 1)
    return max(0.0, over / (whole - sum(one**2 for one in weights) / whole))


def shrunk_groups(means: Sequence[float], variances: Sequence[float]) -> list[tuple[float, float]]:
    """Return groups' deviations from their common mean, drawn towards it, and the variance of each."""
    wide = between(means, variances)
    weights = [1 / (one + wide) for one in variances]
    middle = sum(map(mul, weights, means)) / sum(weights)
    shares = [wide / (wide + one) for one in variances]
    return [
        (share * (mean - middle), share * one + (1 - share) ** 2 / sum(weights))
        for share, mean, one in zip(shares, means, variances, strict=True)
    ]


def effects_of(
    series: Mapping[str, Series], priors: Mapping[str, Learning], since: Mapping[str, int], until: int
) -> list[Effect]:
    """Return what stands out among the jobs before a place in time.

    Parameters
    ----------
    series
        What jobs took, by element.
    priors
        How far shops lie from the book and their jobs scatter, by element.
    since
        The first job that counts, by element; all count where none is named.
    until
        The first job that does not count.
    """
    spans = {name: _span(one, since.get(name, 0), until) for name, one in series.items()}
    spans = {name: span for name, span in spans.items() if span[1] > span[0]}
    tried = sum(len(names) for one in spans for names, _ in series[one].labels.values())
    found: list[Effect] = []
    for name, (first, last) in spans.items():
        one, prior = series[name], priors[name]
        whole = shrunk(one.logs[first:last], prior)
        told = whole.stands_out(ALARM / len(spans))
        if told:
            found.append(_effect(name, ALL, whole, 0.0))
        if one.labels:
            cells = np.searchsorted(one.job, [one.jobs[first], one.jobs[last - 1] + 1])
            span = slice(int(cells[0]), int(cells[1]))
            found += _of_groups(name, one, span, whole if told else None, ALARM_OF_GROUPS / tried)
    return found


def _span(one: Series, first: int, until: int) -> tuple[int, int]:
    return int(np.searchsorted(one.jobs, first)), int(np.searchsorted(one.jobs, until))


def _effect(element: str, group: str, shop: Shrunk, more: float) -> Effect:
    """Return an effect; `more`: what is added to the logarithm."""
    mean, reach = shop.mean + more, t_quantile(SIDE, shop.degrees) * shop.doubt
    ratio, low, high = (math.exp(mean + side * reach) for side in (0, -1, 1))
    return Effect(element, group, shop.jobs, ratio=ratio, low=low, high=high, scatter=shop.scatter)


def _of_groups(element: str, one: Series, span: slice, whole: Shrunk | None, chance: float) -> Iterator[Effect]:
    """Yield the groups that stand out, kind by kind, the plainest first; what one kind tells is no longer another's."""
    logs = one.cell_logs[span].copy()
    left = {kind: (names, codes[span]) for kind, (names, codes) in one.labels.items()}
    while left:
        tried = {kind: _kind(*each, logs) for kind, each in left.items()}
        kind = max(
            tried, key=lambda name: max((abs(each.mean) / each.doubt for each in tried[name].values()), default=0)
        )
        standing = {number: group for number, group in tried[kind].items() if group.stands_out(chance)}
        if not standing:
            return
        names, codes = left.pop(kind)
        for number, group in standing.items():
            yield _effect(element, f"{kind}: {names[number - 1]}", group, whole.mean if whole else 0.0)
            logs[codes == number] -= group.mean


def _kind(names: Sequence[str], codes: Codes, logs: Array) -> dict[int, Shrunk]:
    """Return how far each group of one kind lies from the others' mean, by its number."""
    size = len(names) + 1
    counts, sums, squares = (np.bincount(codes, weights, size).tolist() for weights in (None, logs, logs**2))
    held = [number for number in range(1, size) if counts[number] >= FEWEST_OF_GROUP]
    if len(held) < 2:  # noqa: PLR2004  # one alone has nobody to differ from
        return {}
    degrees = sum(counts[number] - 1 for number in held)
    within = sum(squares[number] - sums[number] ** 2 / counts[number] for number in held) / degrees
    variance = max(within, LEAST)
    found = shrunk_groups([sums[n] / counts[n] for n in held], [variance / counts[n] for n in held])
    return {
        number: Shrunk(mean, math.sqrt(max(doubt, LEAST)), degrees, math.sqrt(variance), int(counts[number]))
        for number, (mean, doubt) in zip(held, found, strict=True)
    }
