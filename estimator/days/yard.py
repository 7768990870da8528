"""What there is to do and to do it with, and the least time that it can take."""

import heapq
from collections.abc import Sequence
from dataclasses import dataclass, field

from estimator.days.tasks import Task

__all__ = ["Hold", "Yard", "holds_of", "least_time"]


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


def _servers(work: Sequence[tuple[float, float, float]], servers: int) -> float:
    """Return a time in which several servers cannot do less than jobs of (head, duration, tail).

    No server begins before the least heads or ends nearer than the least tails, one each, and all work is shared.
    """
    if servers == 1:
        return _one_server(work)
    heads, tails = (sum(sorted(one[part] for one in work)[:servers]) for part in (0, 2))
    return (heads + sum(one[1] for one in work) + tails) / servers if len(work) >= servers else 0.0


@dataclass(frozen=True)
class Hold:
    """A line's hold on a machine: the tasks that begin and end it, the least time, the way from each task to its end.

    That time is its longest way, or all work with its bar. [s]
    """

    line: str
    rig: int
    strip: int
    least: float
    ways: dict[int, float]


def holds_of(yard: Yard) -> list[Hold]:
    """Return each line's hold on a machine."""
    found, lines = [], dict[str, list[int]]()
    for number in yard.line_up:
        line = yard.tasks[number].line
        if line is not None:
            lines.setdefault(line, []).append(number)
    for line, numbers in lines.items():
        rig = next((n for n in numbers if yard.tasks[n].takes), None)
        strip = next((n for n in numbers if yard.tasks[n].frees), None)
        if rig is None or strip is None:
            continue
        bar, ways = sum(yard.durations[n] for n in numbers if yard.tasks[n].bar), _ways(yard, numbers, strip)
        found.append(Hold(line, rig, strip, max(ways[rig], yard.durations[rig] + bar), ways))
    return found


def _ways(yard: Yard, numbers: Sequence[int], last: int) -> dict[int, float]:
    """Return the longest way from the start of each task of a line to the end of its last one. [s]"""
    ways = {last: yard.durations[last]}
    for number in reversed(numbers):
        then = [ways[n] for n in yard.later[number] if n in ways]
        if then and number not in ways:
            ways[number] = yard.durations[number] + max(then)
    return ways


def least_time(yard: Yard) -> float:
    """Return a time that no order can beat: longest way; crew, bars and machines as servers of their own work. [s]"""
    heads = _heads(yard)
    found = [max(head + tail for head, tail in zip(heads, yard.tails, strict=True))]
    jobs = [(heads[n], d, yard.tails[n] - d) for n, d in enumerate(yard.durations)]
    found.append(_servers([jobs[n] for n, task in enumerate(yard.tasks) if task.hands], yard.people))
    bars: dict[str, list[tuple[float, float, float]]] = {}
    for task, job in zip(yard.tasks, jobs, strict=True):
        if task.bar:
            bars.setdefault(task.bar, []).append(job)
    found += [_one_server(work) for work in bars.values()]
    holds = holds_of(yard)
    held = [(heads[one.rig], one.least, yard.tails[one.strip] - yard.durations[one.strip]) for one in holds]
    return max(found + ([_servers(held, yard.machines)] if held else []))
