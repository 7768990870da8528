"""Packs to buy: the cheapest mix of the sizes an item comes in, found exactly."""

import math
from decimal import Decimal
from typing import NamedTuple

from estimator.either import whole_up

__all__ = ["Pack", "cheapest_mix"]

MOST_STEPS = 1_000_000
ROUND_OFF = 1e-6  # of the smallest amount of the currency
Best = tuple[int, tuple[int, ...]]


class Pack(NamedTuple):
    """A size that an item comes in: what is printed on it, what of it can be used, its price in smallest amounts."""

    size: float
    usable: float
    cost: int
    price: Decimal
    article: str


class _Search:
    """Branch and bound over the packs, dearest by unit last; the bound fills the rest with the next unit cost."""

    def __init__(self, packs: list[Pack]) -> None:
        self.packs, self.steps = packs, 0
        self.best: Best | None = None

    def run(self, at: int, rest: float, cost: int, taken: tuple[int, ...]) -> None:
        """Try every number of the pack at a place that can still beat the best mix found."""
        pack = self.packs[at]
        most = max(0, int(whole_up(rest / pack.usable)))
        if at == len(self.packs) - 1:
            self._keep(cost + most * pack.cost, (*taken, most))
            return
        following = self.packs[at + 1]
        for number in range(most, -1, -1):
            self.steps += 1
            if self.steps > MOST_STEPS:
                return  # the best mix found stands: it covers the need, and what is left to try saves next to nothing
            left, spent = rest - number * pack.usable, cost + number * pack.cost
            least = spent + max(0.0, left) * following.cost / following.usable
            if self.best is not None and math.ceil(least - ROUND_OFF) >= self.best[0]:
                if number < most:
                    return  # fewer of the cheaper pack only cost more
                continue
            if left <= rest * 1e-9:
                self._keep(spent, (*taken, number, *(0,) * (len(self.packs) - at - 1)))
            else:
                self.run(at + 1, left, spent, (*taken, number))

    def _keep(self, cost: int, numbers: tuple[int, ...]) -> None:
        if self.best is None or (cost, sum(numbers)) < (self.best[0], sum(self.best[1])):
            self.best = (cost, numbers)


def cheapest_mix(need: float, packs: list[Pack]) -> list[tuple[Pack, int]]:
    """Return how many of each pack cover a need at the least cost; packs of which none is taken are left out.

    Exact: every mix that could be cheaper is tried (branch and bound, Land and Doig, Econometrica 28 (1960) 497), up to
    a million steps; sizes so many and so alike in price that this does not do get the best mix found by then.
    """
    if need <= 0:
        return []
    ranked = sorted(packs, key=lambda pack: (pack.cost / pack.usable, -pack.usable))
    search = _Search(ranked)
    search.run(0, need, 0, ())
    assert search.best is not None  # the last pack alone covers any need
    return [(pack, number) for pack, number in zip(ranked, search.best[1], strict=True) if number]
