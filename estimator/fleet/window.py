"""Which bores one shutdown takes: the most loss avoided within a budget and hours of the crew, with what is proved.

A knapsack with two limits, by branch and bound. The bound holds both limits together, weighed against each other as is
best at the root (a surrogate constraint), and lets the last bore be taken in part.

References
----------
Kellerer, Pferschy, Pisinger, Knapsack Problems (2004), chapters 2 and 9 (read in part; formulas are our own).
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import NamedTuple

from typing_extensions import TypedDict

__all__ = ["Chosen", "Item", "Named", "Window", "choose"]

MOST_NODES = 400_000  # that are looked at before the gap is told instead
WEIGHTS = 33  # ways to weigh the two limits against each other that are tried
SLACK = 1e-9  # relative: what is within a limit but for the digits of a double


class Item(NamedTuple):
    """What a bore brings and takes: loss avoided and price in money, hours of the crew."""

    value: float
    price: float
    hours: float


class Named(TypedDict):
    """A bore of a machine."""

    machine: str
    bore: str


class Window(TypedDict):
    """What is chosen for one shutdown. `proven_gap`: share by which another choice could be better at most."""

    chosen: list[Named]
    price: str
    crew_h: float
    loss_avoided: str
    proven_gap: float


@dataclass(frozen=True)
class Chosen:
    """Which items are taken, by their places, and how much better another choice could be at most."""

    places: tuple[int, ...]
    gap: float


class _Search:
    """One search: items in the order of what they bring for what they take, dearest last."""

    def __init__(self, items: Sequence[tuple[int, Item]], weights: Sequence[float], room: float) -> None:
        order = sorted(range(len(items)), key=lambda one: items[one][1].value / max(weights[one], SLACK), reverse=True)
        self.items = [items[one] for one in order]
        self.weights = [weights[one] for one in order]
        self.room = room
        self.taken = [0.0, *accumulate(self.weights)]
        self.brought = [0.0, *accumulate(item.value for _, item in self.items)]

    def bound(self, start: int, room: float) -> float:
        """Return the most that the items from a place on can bring, the last of them taken in part."""
        end = bisect_right(self.taken, self.taken[start] + room) - 1
        whole = self.brought[end] - self.brought[start]
        if end >= len(self.items):
            return whole
        left = self.taken[start] + room - self.taken[end]
        return whole + self.items[end][1].value * max(0.0, left) / max(self.weights[end], SLACK)

    def best(self, budget: float, hours: float) -> tuple[float, tuple[int, ...], float]:
        """Return value and places of the best choice found, and the bound of what was not looked at."""
        found, chosen, missed = 0.0, tuple[int, ...](), 0.0
        stack = [(0, 0.0, budget, hours, self.room, tuple[int, ...]())]
        nodes = 0
        while stack:
            at, value, money, time, room, taken = stack.pop()
            if value > found:
                found, chosen = value, taken
            if at == len(self.items):
                continue
            most = value + self.bound(at, room)
            if most <= found * (1 + SLACK):
                continue
            nodes += 1
            if nodes > MOST_NODES:
                missed = max(missed, most)
                continue
            place, item = self.items[at]
            stack.append((at + 1, value, money, time, room, taken))
            if item.price <= money + SLACK * budget and item.hours <= time + SLACK * hours:
                left = (money - item.price, time - item.hours, room - self.weights[at])
                stack.append((at + 1, value + item.value, *left, (*taken, place)))
        return found, chosen, missed


def _weighings(items: Sequence[tuple[int, Item]], budget: float, hours: float) -> list[_Search]:
    """Return a search for each way to weigh the two limits against each other."""

    def of(share: float) -> _Search:
        weights = [share * item.price / (budget or 1) + (1 - share) * item.hours / (hours or 1) for _, item in items]
        return _Search(items, weights, share * (budget > 0) + (1 - share) * (hours > 0))

    return [of(step / (WEIGHTS - 1)) for step in range(WEIGHTS)]


def _settled(tried: Sequence[_Search], least: float) -> tuple[set[int], set[int]]:
    """Return the places that every choice worth more than `least` takes, and those that none does.

    By what a bound loses where an item is forced the other way (its reduced cost).
    """
    taken, left = set[int](), set[int]()
    for one in tried:
        whole = one.bound(0, one.room)
        end = min(bisect_right(one.taken, one.room) - 1, len(one.items) - 1)
        ratio = one.items[end][1].value / max(one.weights[end], SLACK) if one.taken[-1] > one.room else 0.0
        for at, (place, item) in enumerate(one.items):
            if whole - abs(item.value - one.weights[at] * ratio) < least * (1 - SLACK) and at != end:
                (taken if at < end else left).add(place)
    return taken, left


def _solved(able: list[tuple[int, Item]], money: float, time: float) -> Chosen:
    """Return the best choice of items that each fit: a first search, then one among those that it leaves open."""
    tried = _weighings(able, money, time)
    first = min(tried, key=lambda one: one.bound(0, one.room))
    found, chosen, missed = first.best(money, time)
    if missed:
        taken, left = _settled(tried, found)
        rest = [one for one in able if one[0] not in taken | left]
        sure = [item for place, item in able if place in taken]
        money, time = money - sum(item.price for item in sure), time - sum(item.hours for item in sure)
        if rest and min(money, time) >= 0 and len(rest) < len(able):
            base = sum(item.value for item in sure)
            again = min(_weighings(rest, money, time), key=lambda one: one.bound(0, one.room))
            more, others, beyond = again.best(money, time)
            missed = min(missed, base + beyond if beyond else 0.0)
            if base + more > found:
                found, chosen = base + more, (*taken, *others)
    return Chosen(tuple(sorted(chosen)), max(0.0, missed / found - 1) if found > 0 else float(missed > 0))


def choose(items: Sequence[Item], budget: float | None, hours: float | None) -> Chosen:
    """Return which items bring most within a budget and hours of the crew; None is no limit.

    Parameters
    ----------
    items
        What each bore brings and takes. [currency, h]
    budget
        The most that all may cost. [currency]
    hours
        The most that all may take of the crew. [h]
    """
    money = sum(item.price for item in items) if budget is None else budget
    time = sum(item.hours for item in items) if hours is None else hours
    able = [
        (place, item)
        for place, item in enumerate(items)
        if item.value > 0 and item.price <= money * (1 + SLACK) and item.hours <= time * (1 + SLACK)
    ]
    if not able:
        return Chosen((), 0.0)
    return _solved(able, money, time)
