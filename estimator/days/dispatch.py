"""An order of work dispatched task by task, on plain lists: who and what is free, what is done, what can start when.

It runs hundreds of times a job, so names of lines are numbers here, and what never changes is read off the tasks once.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.days.yard import Yard

__all__ = ["Shop", "State", "Turn", "dispatched"]

NONE = -1  # no line, no bar, no machine


@dataclass(frozen=True)
class Turn:
    """One task in its turn: who does it (none for a wait), and the machine its line is set up with."""

    task: int
    people: tuple[int, ...]
    machine: int | None


class Shop:
    """The tasks of a yard as lists, a place a task."""

    def __init__(self, yard: Yard) -> None:
        """Read them off the tasks of a yard."""
        tasks = yard.tasks
        names = dict.fromkeys(name for one in tasks for name in (one.line, one.bar, one.takes, one.frees) if name)
        numbers: dict[str | None, int] = {name: number for number, name in enumerate(names)}
        self.people, self.machines, self.lines = yard.people, yard.machines, len(names)
        self.durations, self.tails, self.later = list(yard.durations), yard.tails, yard.later
        self.waits = [len(one.after) for one in tasks]
        self.hands = [one.hands for one in tasks]
        self.line = [numbers.get(one.line, NONE) for one in tasks]
        self.bar = [numbers.get(one.bar, NONE) for one in tasks]
        self.takes = [numbers.get(one.takes, NONE) for one in tasks]
        self.frees = [numbers.get(one.frees, NONE) for one in tasks]
        self.work = sum(hands * long for hands, long in zip(self.hands, self.durations, strict=True))


class State:
    """A shop part of the way through: when everybody and everything is free, what is done, who did it."""

    def __init__(self, shop: Shop) -> None:
        """Begin with nothing done."""
        self.shop = shop
        self.heads = [0.0] * len(shop.waits)
        self.open = list(shop.waits)
        self.ready = [n for n, count in enumerate(shop.waits) if not count]
        self.free = [0.0] * shop.people
        self.place = [NONE] * shop.people
        self.bars = [0.0] * shop.lines
        self.machines = [0.0] * shop.machines
        self.holds: dict[int, int] = {}
        self.end, self.left = 0.0, shop.work
        self.turns: list[Turn] = []

    def able(self, wanted: Sequence[int] | None = None) -> list[tuple[float, int]]:
        """Return the tasks that can be done next, each with its start; a wait needs nobody and comes at once.

        A line is not set up while every machine is on another one. `wanted`: look at these alone.
        """
        shop, heads, bars, found = self.shop, self.heads, self.bars, list[tuple[float, int]]()
        hands, bar, takes, free = shop.hands, shop.bar, shop.takes, sorted(self.free)
        held = self.holds.values()
        idle = min((one for n, one in enumerate(self.machines) if n not in held), default=None)
        for number in self.ready if wanted is None else wanted:
            start = heads[number]
            if hands[number] and free[hands[number] - 1] > start:
                start = free[hands[number] - 1]
            if bar[number] >= 0 and bars[bar[number]] > start:
                start = bars[bar[number]]
            if takes[number] >= 0:
                if idle is None:
                    continue
                start = max(start, idle)
            if not hands[number] and bar[number] < 0:
                return [(start, number)]
            found.append((start, number))
        return found

    def do(self, number: int, start: float) -> None:
        """Let a task be done next."""
        shop, line = self.shop, self.shop.line[number]
        end = start + shop.durations[number]
        people = self._people(shop.hands[number], line, start)
        for one in people:
            self.free[one], self.place[one] = end, line
        if shop.bar[number] >= 0:
            self.bars[shop.bar[number]] = end
        if shop.takes[number] >= 0:
            held = self.holds.values()
            self.holds[shop.takes[number]] = next(
                n for n, free in enumerate(self.machines) if free <= start and n not in held
            )
        machine = self.holds.get(line) if shop.bar[number] >= 0 or shop.takes[number] >= 0 else None
        if shop.frees[number] >= 0:
            self.machines[self.holds.pop(shop.frees[number])] = end
        self.ready.remove(number)
        self.turns.append(Turn(number, people, machine))
        self.end, self.left = max(self.end, end), self.left - shop.hands[number] * shop.durations[number]
        for after in shop.later[number]:
            self.open[after] -= 1
            self.heads[after] = max(self.heads[after], end)
            if not self.open[after]:
                self.ready.append(after)

    def _people(self, hands: int, line: int, start: float) -> tuple[int, ...]:
        """Return who does a task: of those that are free first who is on its line, then who came free last."""
        if not hands:
            return ()
        able = [n for n, free in enumerate(self.free) if free <= start]
        if len(able) > hands:
            able.sort(key=lambda n: (self.place[n] != line, -self.free[n], n))
            able = sorted(able[:hands])
        return tuple(able)

    def hopeless(self, able: Sequence[tuple[float, int]], limit: float) -> bool:
        """Return whether the job cannot end before a limit: for the longest way to its end, or the crew's own work."""
        tails = self.shop.tails
        if sum(self.free) + self.left >= limit * len(self.free):
            return True
        return any(start + tails[number] >= limit for start, number in able)


def dispatched(
    shop: Shop, urgency: Sequence[float], patience: float, limit: float, *, loyal: bool
) -> tuple[float, list[Turn]] | None:
    """Return the order in which the most urgent goes first among the tasks that can start now, or soon.

    None where it takes as long as `limit` or longer; `loyal`: a line that is set up comes before one that is not.
    """
    state, lines = State(shop), shop.line
    while state.ready:
        able = state.able()
        if state.hopeless(able, limit):
            return None
        if len(able) > 1:
            soon = min(able)[0] + patience
            holds = state.holds if loyal else ()
            first = max((lines[n] in holds, urgency[n], -start, -n) for start, n in able if start <= soon)
            state.do(-first[3], -first[2])
        else:
            state.do(able[0][1], able[0][0])
    return state.end, state.turns
