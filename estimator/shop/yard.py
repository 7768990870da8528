"""What there is to do and to do it with, and the least time that it can take."""

import heapq
from collections.abc import Sequence
from dataclasses import dataclass, field

from estimator.shop.tasks import Task

__all__ = ["Yard", "least_time"]


@dataclass
class Yard:
    """What there is to do and to do it with; durations in scalars. [s]"""

    tasks: Sequence[Task]
    durations: Sequence[float]
    people: int
    machines: int
    tails: list[float] = field(default_factory=list)
    urgency: list[float] = field(default_factory=list)
    line_up: list[int] = field(default_factory=list)
    later: list[list[int]] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Note what follows each task, and the longest way from its start to the end."""
        self.later = [[] for _ in self.tasks]
        for number, task in enumerate(self.tasks):
            for before in task.after:
                self.later[before].append(number)
        self.line_up = _lined_up(self.tasks, self.later)
        self.tails = _tails(self.durations, self.later, self.line_up)
        self.urgency = [self._urgent(number) for number in range(len(self.tasks))]

    def _urgent(self, number: int) -> float:
        """Return how soon a task is wanted: bores are measured before a set-up, and once they are done."""
        task, own = self.tasks[number], self.tails[number]
        if task.code == "prepare":
            return max([own, *(self.tails[n] for n, one in enumerate(self.tasks) if one.takes == task.line)])
        return max(self.tails[n] for n in task.after) if task.code == "inspect" else own


def _lined_up(tasks: Sequence[Task], later: Sequence[Sequence[int]]) -> list[int]:
    """Return the tasks so that each stands behind all it waits for."""
    open_ones, found = [len(task.after) for task in tasks], [n for n, task in enumerate(tasks) if not task.after]
    for number in found:
        for after in later[number]:
            open_ones[after] -= 1
            if not open_ones[after]:
                found.append(after)
    return found


def _tails(durations: Sequence[float], later: Sequence[Sequence[int]], line_up: Sequence[int]) -> list[float]:
    """Return the longest way from the start of each task to the end of the job, whatever is busy. [s]"""
    tails = [0.0] * len(durations)
    for number in reversed(line_up):
        tails[number] = durations[number] + max((tails[n] for n in later[number]), default=0.0)
    return tails


def _heads(yard: Yard) -> list[float]:
    heads = [0.0] * len(yard.tasks)
    for number in yard.line_up:
        heads[number] = max((heads[n] + yard.durations[n] for n in yard.tasks[number].after), default=0.0)
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
