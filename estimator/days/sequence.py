"""In which order a crew does its tasks: dispatched by rule in many ways, held against a bound."""

import itertools
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from estimator.days.tasks import Task
from estimator.days.yard import Yard, least_time

__all__ = ["LARGE", "Order", "Turn", "ordered"]

LARGE = 60  # tasks; of a larger job few ways to dispatch are tried
HUGE = 400  # tasks; no more than the plain rules are tried
NEAR = 1e-9  # relative: as short as the bound
MOST_LINES = 3  # of which all orders are tried for one machine
PARTS = 2.0**40  # of the time of all tasks together
TRIES, FEW_TRIES, SWAY = 60, 4, 0.35  # orders tried with their urgencies disturbed by that share
PATIENCE = (0.0, 0.15, 0.4, 1.0)  # of a mean task: how long to wait for a more urgent one


@dataclass(frozen=True)
class Turn:
    """One task in its turn: who does it (none for a wait), and the machine its line is set up with."""

    task: int
    people: tuple[int, ...]
    machine: int | None


@dataclass(frozen=True)
class Order:
    """Tasks in the order of their starts; `length`: the time that takes, `bound`: no order takes less. [s]"""

    turns: tuple[Turn, ...]
    length: float
    bound: float


class _State:
    """A yard part of the way through: when everybody and everything is free, what is done."""

    def __init__(self, yard: Yard) -> None:
        self.yard = yard
        self.ends: dict[int, float] = {}
        self.open = {n: len(task.after) for n, task in enumerate(yard.tasks)}
        self.ready = [n for n, count in self.open.items() if not count]
        self.free = [0.0] * yard.people
        self.place: list[str | None] = [None] * yard.people
        self.bars: dict[str, float] = {}
        self.machines = [0.0] * yard.machines
        self.holds: dict[str, int] = {}
        self.turns: list[Turn] = []

    def start(self, number: int) -> float | None:
        """Return when a task can start; None while every machine is on another line."""
        task = self.yard.tasks[number]
        start = max((self.ends[n] for n in task.after), default=0.0)
        if task.hands:
            start = max(start, sorted(self.free)[task.hands - 1])
        if task.bar:
            start = max(start, self.bars.get(task.bar, 0.0))
        if task.takes:
            idle = [free for n, free in enumerate(self.machines) if n not in self.holds.values()]
            return max(start, min(idle)) if idle else None
        return start

    def do(self, number: int) -> None:
        """Let a task be done next."""
        start = self.start(number)
        assert start is not None  # asked for before
        task = self.yard.tasks[number]
        end = start + self.yard.durations[number]
        able = sorted(
            (n for n, free in enumerate(self.free) if free <= start),
            key=lambda n: (self.place[n] != task.line, -self.free[n], n),
        )
        people = tuple(sorted(able[: task.hands]))
        for one in people:
            self.free[one], self.place[one] = end, task.line
        if task.bar:
            self.bars[task.bar] = end
        if task.takes:
            idle = [n for n in range(len(self.machines)) if n not in self.holds.values() and self.machines[n] <= start]
            self.holds[task.takes] = idle[0]
        machine = self.holds.get(task.line or "")
        if task.frees:
            self.machines[self.holds.pop(task.frees)] = end
        self.ends[number] = end
        self.ready.remove(number)
        self.turns.append(Turn(number, people, machine if task.bar or task.takes else None))
        for after in self.yard.later[number]:
            self.open[after] -= 1
            if not self.open[after]:
                self.ready.append(after)

    def able(self) -> list[tuple[float, int]]:
        """Return the tasks that can be done next, each with its start; waits need nobody and come at once."""
        found = [(start, n) for n in self.ready if (start := self.start(n)) is not None]
        waits = [one for one in found if not self.yard.tasks[one[1]].hands and not self.yard.tasks[one[1]].bar]
        return waits[:1] or found


def _dispatched(yard: Yard, urgency: Sequence[float], patience: float, loyal: bool) -> tuple[float, list[Turn]]:
    """Return the order in which the most urgent goes first among the tasks that can start now, or soon.

    `loyal`: a line that is set up comes before one that is not.
    """
    state = _State(yard)

    def first(one: tuple[float, int]) -> tuple[bool, float, float, int]:
        start, number = one
        return loyal and yard.tasks[number].line in state.holds, urgency[number], -start, -number

    while state.ready:
        able = state.able()
        soon = min(start for start, _ in able) + patience
        state.do(max((one for one in able if one[0] <= soon), key=first)[1])
    return max(state.ends.values(), default=0.0), state.turns


def ordered(yard: Yard) -> Order:
    """Return the shortest order found, and a time that none can beat.

    They are dispatched in whole parts of the job's time, so that ties are ties in whatever unit time is counted.
    """
    part = sum(yard.durations) / PARTS or 1.0
    whole = [float(round(one / part)) for one in yard.durations]
    tried = [_ordered(Yard(tasks, whole, yard.people, yard.machines)) for tasks in _one_after_the_other(yard)]
    best = min(tried, key=lambda one: one.length)
    bound = min(one.bound for one in tried) if len(tried) > 1 else best.bound
    state = _State(yard)
    for turn in best.turns:
        state.do(turn.task)
    length = max(state.ends.values(), default=0.0)
    return Order(tuple(state.turns), length, min(bound * part, length))


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


def _ordered(yard: Yard) -> Order:
    """Return the best of many dispatched orders, until the bound is reached."""
    bound, small = least_time(yard), len(yard.tasks) <= LARGE
    best: tuple[float, list[Turn]] | None = None
    for urgency, patience, loyal in _manners(yard, small):
        found = _dispatched(yard, urgency, patience, loyal)
        if best is None or found[0] < best[0] * (1 - NEAR):
            best = found
        if best[0] <= bound * (1 + NEAR):
            break
    assert best is not None  # there is one manner at the least
    return Order(tuple(best[1]), best[0], bound)


def _manners(yard: Yard, small: bool) -> Iterator[tuple[Sequence[float], float, bool]]:
    """Yield ways to dispatch: urgency, patience, loyalty; as they are, then disturbed, the same ones every time."""
    busy = [d for d, task in zip(yard.durations, yard.tasks, strict=True) if task.hands]
    mean = sum(busy) / max(1, len(busy))
    for patience, loyal in itertools.product(PATIENCE if small else PATIENCE[:1], (False, True)):
        yield yard.urgency, float(round(patience * mean)), loyal
    if len(yard.tasks) > HUGE:
        return
    dice = random.Random(len(yard.tasks))  # a die of our own: the same job is ordered the same way
    for number in range(TRIES if small else FEW_TRIES):
        urgency = [float(round(one * dice.uniform(1 - SWAY, 1 + SWAY))) for one in yard.urgency]
        yield urgency, float(round(dice.choice(PATIENCE) * mean)), number % 3 == 0
