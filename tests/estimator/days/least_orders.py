"""What no order of work beats, found without the engine: bounds by hand, and a mixed-integer model given to HiGHS.

All from the tasks of the estimate document; minutes. The model: people are alike, so that each task picks one (binary),
two tasks of one person or one bar go one after the other (binary, big M), and so do two lines on one machine.
"""

import itertools
from typing import Any

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

__all__ = ["is_there", "least_by_hand"]

BAR = {"clean-up", "to torch", "weld", "to bar", "finish", "strip"}
Task = dict[str, Any]
Row = dict[int, float]


def _ways(tasks: list[Task]) -> tuple[list[float], list[float]]:
    """Return the longest way before each task and after it."""
    heads, tails = [0.0] * len(tasks), [0.0] * len(tasks)
    order: list[int] = []
    while len(order) < len(tasks):
        order += [n for n, t in enumerate(tasks) if n not in order and all(a - 1 in order for a in t["after"])]
    for n in order:
        heads[n] = max((heads[a - 1] + tasks[a - 1]["duration_min"] for a in tasks[n]["after"]), default=0.0)
    for n in reversed(order):
        for a in tasks[n]["after"]:
            tails[a - 1] = max(tails[a - 1], tails[n] + tasks[n]["duration_min"])
    return heads, tails


def _one_by_one(jobs: list[tuple[float, float, float]]) -> float:
    """Return the least end of jobs (head, length, tail) done one at a time: for each two of a head and a tail.

    Carlier and Pinson (1989): of any jobs, least head + all lengths + least tail; the greatest of these is the bound.
    """
    found = 0.0
    for head in {one[0] for one in jobs}:
        for tail in {one[2] for one in jobs}:
            own = [one for one in jobs if one[0] >= head and one[2] >= tail]
            if own:
                found = max(found, min(o[0] for o in own) + sum(o[1] for o in own) + min(o[2] for o in own))
    return found


def _side_by_side(jobs: list[tuple[float, float, float]], people: int) -> float:
    """Return the least end of jobs (head, length, tail) shared by people who are alike.

    Carlier (1987), European Journal of Operational Research 29, 298-306: for any jobs, as many as people at the least,
    the mean of the least heads, one for each of them, all lengths, and the least tails.
    """
    found = 0.0
    for head in {one[0] for one in jobs}:
        for tail in {one[2] for one in jobs}:
            own = [one for one in jobs if one[0] >= head and one[2] >= tail]
            if len(own) >= people:
                first, last = sorted(o[0] for o in own)[:people], sorted(o[2] for o in own)[:people]
                found = max(found, (sum(first) + sum(o[1] for o in own) + sum(last)) / people)
    return found


def least_by_hand(tasks: list[Task], people: int, machines: int) -> float:
    """Return a time no order beats: longest way, each bar, the crew's work, the lines shared out to the machines."""
    heads, tails = _ways(tasks)
    of = [(h, t["duration_min"], q) for h, t, q in zip(heads, tasks, tails, strict=True)]
    found = [max(sum(one) for one in of)]
    found.append(_side_by_side([one for one, task in zip(of, tasks, strict=True) if task["people"]], people))
    lines = sorted({task["line"] for task in tasks if task["line"]})
    held = []
    for line in lines:
        rig, strip = (next(n for n, t in enumerate(tasks) if t["line"] == line and t["code"] == c) for c in END_TASKS)
        bar = [one for one, t in zip(of, tasks, strict=True) if t["line"] == line and t["code"] in BAR]
        found.append(_one_by_one([*bar, of[rig]]))
        strip_tail, rig_head = tails[strip], heads[rig]
        held.append((rig_head, _one_by_one([*bar, of[rig]]) - rig_head - strip_tail, strip_tail))
    shares = itertools.product(range(machines), repeat=len(lines))
    most = min(
        max(sum(h[1] for h, s in zip(held, share, strict=True) if s == m) for m in range(machines)) for share in shares
    )
    found.append(min(h[0] for h in held) + most + min(h[2] for h in held))
    return max(found)


END_TASKS = ("rig", "strip")


class _Model:
    """Rows of a mixed-integer model: starts of tasks, the end, and binaries; is there an order no longer than asked?"""

    def __init__(self, tasks: list[Task], latest: float) -> None:
        self.tasks, self.latest, self.count = tasks, latest, len(tasks)
        self.heads, self.tails = _ways(tasks)
        self.rows: list[tuple[Row, float]] = []

    def binary(self) -> int:
        self.count += 1
        return self.count - 1

    def at_least(self, row: Row, value: float) -> None:
        self.rows.append((row, value))

    def follows(self, first: int, then: int, when: int | None = None) -> None:
        """Let one task follow another, or where a binary is one."""
        long = self.tasks[first]["duration_min"]
        loose = max(0.0, self.latest - self.tails[first] - self.heads[then])
        row = {then: 1.0, first: -1.0}
        self.at_least(row if when is None else {**row, when: -loose}, long if when is None else long - loose)

    def answered(self, nodes: int) -> str:
        """Return "none" where HiGHS proves that there is no such order, "one" where it finds one, else "open"."""
        columns = [(n, c, v) for n, (row, _) in enumerate(self.rows) for c, v in row.items()]
        rows, cells, values = zip(*columns, strict=True)
        matrix = csr_array((values, (rows, cells)), shape=(len(self.rows), self.count))
        low, high = np.zeros(self.count), np.ones(self.count)
        for n, task in enumerate(self.tasks):
            low[n], high[n] = self.heads[n], self.latest - self.tails[n] - task["duration_min"]
        if np.any(high < low):
            return "none"
        found = milp(
            np.zeros(self.count),
            constraints=LinearConstraint(matrix, np.array([value for _, value in self.rows])),
            bounds=Bounds(low, high),
            integrality=np.arange(self.count) >= len(self.tasks),
            options={"node_limit": nodes},
        )
        return "one" if found.x is not None else "none" if found.status == INFEASIBLE else "open"


INFEASIBLE = 2  # as scipy.optimize.milp documents its status


def _before(tasks: list[Task]) -> list[set[int]]:
    before: list[set[int]] = [set() for _ in tasks]
    heads, _ = _ways(tasks)
    for n in sorted(range(len(tasks)), key=lambda n: (heads[n], len(tasks[n]["after"]) > 0, n)):
        for _ in range(2):
            before[n] |= {a - 1 for a in tasks[n]["after"]}
            before[n] |= {b for a in list(before[n]) for b in before[a]}
    return before


def is_there(tasks: list[Task], people: int, machines: int, length: float, nodes: int) -> str:
    """Say whether there is an order of work no longer than asked: "none" and "one" are proven, else "open"."""
    model, before = _Model(tasks, length), _before(tasks)
    for n, task in enumerate(tasks):
        for a in task["after"]:
            model.follows(a - 1, n)
    hands = [n for n, task in enumerate(tasks) if task["people"] and task["duration_min"] > 0]
    does = {(n, p): model.binary() for n in hands for p in range(people)} if people > 1 else {}
    for n in hands if people > 1 else []:
        model.at_least({does[n, p]: 1.0 for p in range(people)}, 1.0)
        model.at_least({does[n, p]: -1.0 for p in range(people)}, -1.0)
    for a, b in itertools.combinations(hands, 2):
        if a in before[b] or b in before[a]:
            continue
        one, other = model.binary(), model.binary()
        model.follows(a, b, one)
        model.follows(b, a, other)
        same_bar = tasks[a]["line"] == tasks[b]["line"] and {tasks[a]["code"], tasks[b]["code"]} <= BAR
        if same_bar or people == 1:
            model.at_least({one: 1.0, other: 1.0}, 1.0)
        for p in range(people) if people > 1 else []:
            model.at_least({one: 1.0, other: 1.0, does[a, p]: -1.0, does[b, p]: -1.0}, -1.0)
    _share_machines(model, machines)
    return model.answered(nodes)


def _share_machines(model: _Model, machines: int) -> None:
    """Let lines on one machine go one after the other, the next set up when the last is off."""
    tasks = model.tasks
    ends = {}
    for n, task in enumerate(tasks):
        if task["code"] in END_TASKS:
            ends[task["line"], task["code"]] = n
    lines = sorted({line for line, _ in ends})
    if len(lines) <= machines:
        return
    on = {(line, m): model.binary() for line in lines for m in range(machines)}
    for line in lines:
        model.at_least({on[line, m]: 1.0 for m in range(machines)}, 1.0)
    for a, b in itertools.combinations(lines, 2):
        one, other = model.binary(), model.binary()
        model.follows(ends[a, "strip"], ends[b, "rig"], one)
        model.follows(ends[b, "strip"], ends[a, "rig"], other)
        for m in range(machines):
            model.at_least({one: 1.0, other: 1.0, on[a, m]: -1.0, on[b, m]: -1.0}, -1.0)
