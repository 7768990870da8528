"""In which order a crew does its tasks: dispatched by rule in many ways, held against a bound."""

import functools
import itertools
import math
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from estimator.days.dispatch import Shop, State, Tries, Turn
from estimator.days.tasks import Task
from estimator.days.yard import Yard, least_time

__all__ = ["LARGE", "Order", "ordered", "shorter"]

LARGE = 60  # tasks; of a larger job few ways to dispatch are tried
HUGE = 400  # tasks; no more than the plain rules are tried
NEAR = 1e-9  # relative: as short as the bound
MOST_LINES = 3  # of which all orders are tried for one machine
PARTS = 2.0**40  # of the time of all tasks together
TRIES, FEW_TRIES, SWAY = 60, 4, 0.35  # orders tried with their urgencies disturbed by that share
PATIENCE = (0.0, 0.15, 0.4, 1.0)  # of a mean task: how long to wait for a more urgent one


@dataclass(frozen=True)
class Order:
    """Tasks in the order of their starts; `length`: the time that takes, `bound`: no order takes less. [s]"""

    turns: tuple[Turn, ...]
    length: float
    bound: float


@dataclass(frozen=True)
class _Tried:
    """Numbers of tasks in their best order, how long it takes, and what no order beats; in parts of the job's time."""

    numbers: list[int]
    length: float
    bound: float


def ordered(yard: Yard) -> Order:
    """Return the shortest order found, and a time that none can beat."""
    found = shorter(yard, math.inf)
    assert found is not None  # any order is shorter than that
    return found


def shorter(yard: Yard, limit: float) -> Order | None:
    """Return the shortest order found and a time that none can beat, if it takes less than a limit. [s]

    They are dispatched in whole parts of the job's time, so that ties are ties in whatever unit time is counted.
    """
    part = sum(yard.durations) / PARTS or 1.0
    whole = [float(round(one / part)) for one in yard.durations]
    best, bound = _Tried([], limit / part, math.inf), math.inf
    for tasks in _one_after_the_other(yard):
        tried = _ordered(Yard(tasks, whole, yard.people, yard.machines), best.length)
        best, bound = tried if tried.numbers else best, min(bound, tried.bound)
    if not best.numbers:
        return None
    state = State(Shop(yard))
    for one in best.numbers:
        ((start, number),) = state.able((one,))
        state.do(number, start)
    return Order(state.turns(), state.end, min(bound * part, state.end))


def _one_after_the_other(yard: Yard) -> list[list[Task]]:
    """Return the tasks for each order in which one machine goes from line to line; as they are where that is not it."""
    takes = {task.takes: n for n, task in enumerate(yard.tasks) if task.takes}
    frees = {task.frees: n for n, task in enumerate(yard.tasks) if task.frees}
    if yard.machines > 1 or not 1 < len(takes) <= MOST_LINES:
        return [list(yard.tasks)]
    found = []
    for order in itertools.permutations(takes):
        tasks = list(yard.tasks)
        for before, line in itertools.pairwise(order):
            one = tasks[takes[line]]
            tasks[takes[line]] = replace(one, after=(*one.after, frees[before]))
        found.append(tasks)
    return found


def _ordered(yard: Yard, limit: float) -> _Tried:
    """Return the best of many dispatched orders, until the bound is reached; none that takes as long as a limit."""
    bound, small = least_time(yard), len(yard.tasks) <= LARGE
    length, numbers, cut = limit, list[int](), limit
    if bound >= limit:
        return _Tried(numbers, length, bound)
    tries = Tries(yard)
    for urgency, patience, loyal in _manners(yard, small):
        found = tries.dispatched(urgency, patience, cut, loyal=loyal)
        if found:
            length, numbers = found
            cut = length * (1 - NEAR)
        if length <= bound * (1 + NEAR):
            break
    return _Tried(numbers, length, bound)


def _manners(yard: Yard, small: bool) -> Iterator[tuple[Sequence[float], float, bool]]:
    """Yield ways to dispatch: urgency, patience, loyalty; as they are, then disturbed, the same ones every time."""
    busy = [d for d, task in zip(yard.durations, yard.tasks, strict=True) if task.hands]
    mean = sum(busy) / max(1, len(busy))
    for patience, loyal in itertools.product(PATIENCE if small else PATIENCE[:1], (False, True)):
        yield yard.urgency, float(round(patience * mean)), loyal
    if len(yard.tasks) > HUGE:
        return
    for number, (sways, patience) in enumerate(_sways(len(yard.tasks), TRIES if small else FEW_TRIES)):
        urgency = [float(round(one * sway)) for one, sway in zip(yard.urgency, sways, strict=True)]
        yield urgency, float(round(patience * mean)), number % 3 == 0


@functools.lru_cache(maxsize=64)
def _sways(tasks: int, tries: int) -> list[tuple[list[float], float]]:
    """Return by what each try disturbs the urgency of each task, and its patience."""
    dice = random.Random(tasks)  # a die of our own: the same job is ordered the same way
    return [([dice.uniform(1 - SWAY, 1 + SWAY) for _ in range(tasks)], dice.choice(PATIENCE)) for _ in range(tries)]
