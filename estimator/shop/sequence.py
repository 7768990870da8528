"""In which order a crew does its tasks: dispatched by rule, improved by search, held against bounds."""

import heapq
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from estimator.shop.tasks import Task

__all__ = ["Order", "Turn", "Yard", "least_time", "ordered", "tails_of"]

NODES = 400  # of the search: enough to prove the usual job, a fraction of a second at the worst
LARGE = 60  # tasks; a larger job is dispatched by rule only
NEAR = 1e-9  # relative: as short as the bound
PARTS = 2.0**32  # of the time of all tasks together
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


@dataclass
class Yard:
    """What there is to do and to do it with; durations in scalars. [s]"""

    tasks: Sequence[Task]
    durations: Sequence[float]
    people: int
    machines: int
    tails: list[float] = field(default_factory=list)
    urgency: list[float] = field(default_factory=list)
    later: list[list[int]] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Note what follows each task, and the longest way from its start to the end."""
        self.later = [[] for _ in self.tasks]
        for number, task in enumerate(self.tasks):
            for before in task.after:
                self.later[before].append(number)
        self.tails = tails_of(self.durations, self.later)
        self.urgency = [self._urgent(number) for number in range(len(self.tasks))]

    def _urgent(self, number: int) -> float:
        """Return how soon a task is wanted: bores are measured before a set-up, and once they are done."""
        task, own = self.tasks[number], self.tails[number]
        if task.code == "prepare":
            return max([own, *(self.tails[n] for n, one in enumerate(self.tasks) if one.takes == task.line)])
        return max(self.tails[n] for n in task.after) if task.code == "inspect" else own


def tails_of(durations: Sequence[float], later: Sequence[Sequence[int]]) -> list[float]:
    """Return the longest way from the start of each task to the end of the job, whatever is busy. [s]"""
    tails = [0.0] * len(durations)
    for number in reversed(range(len(durations))):
        tails[number] = durations[number] + max((tails[n] for n in later[number]), default=0.0)
    return tails


def _heads(yard: Yard) -> list[float]:
    heads = [0.0] * len(yard.tasks)
    for number, task in enumerate(yard.tasks):
        heads[number] = max((heads[n] + yard.durations[n] for n in task.after), default=0.0)
    return heads


def _one_server(work: Sequence[tuple[float, float, float]]) -> float:
    """Return the least time in which one server does jobs of (head, duration, tail), which it may break off.

    Jackson's preemptive rule: of the jobs that have come, always the one with the longest tail.
    """
    waiting: list[list[float]] = []
    now, longest, coming = 0.0, 0.0, sorted(work)
    at = 0
    while at < len(coming) or waiting:
        if not waiting:
            now = max(now, coming[at][0])
        while at < len(coming) and coming[at][0] <= now:
            heapq.heappush(waiting, [-coming[at][2], coming[at][1]])
            at += 1
        tail, left = waiting[0]
        upto = coming[at][0] if at < len(coming) else now + left
        if now + left <= upto:
            heapq.heappop(waiting)
            now += left
            longest = max(longest, now - tail)
        else:
            waiting[0][1], now = left - (upto - now), upto
    return longest


def least_time(yard: Yard) -> float:
    """Return a time that no order can beat: longest way, each line's bar as one server, the crew's work shared. [s]"""
    heads = _heads(yard)
    found = [max(head + tail for head, tail in zip(heads, yard.tails, strict=True))]
    jobs = [
        (heads[n], yard.durations[n], yard.tails[n] - yard.durations[n])
        for n, task in enumerate(yard.tasks)
        if task.hands
    ]
    if yard.people == 1:
        found.append(_one_server(jobs))
    elif jobs:
        whole = sum(one[1] for one in jobs) / yard.people
        found.append(min(one[0] for one in jobs) + whole + min(one[2] for one in jobs))
    for bar in {task.bar for task in yard.tasks if task.bar}:
        found.append(
            _one_server(
                [
                    (heads[n], yard.durations[n], yard.tails[n] - yard.durations[n])
                    for n, task in enumerate(yard.tasks)
                    if task.bar == bar
                ]
            )
        )
    return max(found)


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

    def copy(self) -> "_State":
        other = object.__new__(_State)
        other.yard = self.yard
        other.ends, other.open, other.ready = dict(self.ends), dict(self.open), list(self.ready)
        other.free, other.place, other.bars = list(self.free), list(self.place), dict(self.bars)
        other.machines, other.holds, other.turns = list(self.machines), dict(self.holds), list(self.turns)
        return other

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

    def least(self) -> float:
        """Return a time below which the rest cannot bring the end. [s]"""
        able = self.able()
        way = max((start + self.yard.tails[n] for start, n in able), default=0.0)
        left = sum(
            self.yard.durations[n] for n, task in enumerate(self.yard.tasks) if task.hands and n not in self.ends
        )
        return max(way, (sum(self.free) + left) / self.yard.people, max(self.ends.values(), default=0.0))


def _dispatched(yard: Yard, patience: float) -> tuple[float, list[Turn]]:
    """Return the order in which the longest way goes first among the tasks that can start now, or soon."""
    state = _State(yard)
    while state.ready:
        able = state.able()
        soon = min(start for start, _ in able) + patience
        _, number = max(
            (one for one in able if one[0] <= soon), key=lambda one: (yard.urgency[one[1]], -one[0], -one[1])
        )
        state.do(number)
    return max(state.ends.values(), default=0.0), state.turns


def _searched(yard: Yard, best: tuple[float, list[Turn]], bound: float) -> tuple[float, list[Turn]]:
    """Return the best order of a search in depth that gives up after so many steps."""
    stack, nodes = [_State(yard)], 0
    while stack and nodes < NODES and best[0] > bound * (1 + NEAR):
        state = stack.pop()
        nodes += 1
        if not state.ready:
            length = max(state.ends.values())
            best = (length, state.turns) if length < best[0] * (1 - NEAR) else best
            continue
        able = state.able()
        first = min(start + yard.durations[n] for start, n in able)
        branches = []
        for start, number in able:
            if start < first or yard.durations[number] <= 0:
                other = state.copy()
                other.do(number)
                branches.append((other.least(), -yard.tails[number], number, other))
        branches = [one for one in branches if one[0] < best[0] * (1 - NEAR)]
        stack += [one[3] for one in sorted(branches, key=lambda one: one[:3], reverse=True)]
    return best


def ordered(yard: Yard) -> Order:
    """Return the shortest order found, and a time that none can beat.

    The search reckons in whole parts of the job's time, so that ties are ties in whatever unit time is counted.
    """
    part = sum(yard.durations) / PARTS or 1.0
    found = _ordered(replace(yard, durations=[float(round(one / part)) for one in yard.durations]))
    return Order(found.turns, found.length * part, found.bound * part)


def _ordered(yard: Yard) -> Order:
    bound = least_time(yard)
    busy = [d for d, task in zip(yard.durations, yard.tasks, strict=True) if task.hands]
    mean = sum(busy) / max(1, len(busy))
    tries = PATIENCE if len(yard.tasks) <= LARGE else PATIENCE[:1]
    best: tuple[float, list[Turn]] | None = None
    for patience in tries:
        found = _dispatched(yard, patience * mean)
        if best is None or found[0] < best[0] * (1 - NEAR):
            best = found
        if best[0] <= bound * (1 + NEAR):
            break
    assert best is not None  # there is one try at the least
    if best[0] > bound * (1 + NEAR) and len(yard.tasks) <= LARGE:
        best = _searched(yard, best, bound)
    return Order(tuple(best[1]), best[0], bound)
