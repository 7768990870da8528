"""An order of work dispatched task by task, on plain lists: who and what is free, what is done, what can start when.

It runs hundreds of times a job, so names of lines are numbers here, and what never changes is read off the tasks once.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.days.yard import Yard, holds_of

__all__ = ["Shop", "State", "Tries", "Turn"]

NONE = -1  # no line, no bar, no machine


@dataclass(frozen=True)
class Turn:
    """One task in its turn: who does it (none for a wait), and the machine its line is set up with.

    `keeps`: all that is busy with it, people, bar and machine.
    """

    task: int
    people: tuple[int, ...]
    machine: int | None
    keeps: tuple[object, ...]


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
        self.needs = [*zip(self.hands, self.bar, self.takes, strict=True)]
        self._hold(yard, numbers)
        self.work = sum(hands * long for hands, long in zip(self.hands, self.durations, strict=True))

    def _hold(self, yard: Yard, numbers: dict[str | None, int]) -> None:
        """Note how long each line holds a machine at the least, and the way from each of its tasks to its end."""
        holds = holds_of(yard)
        self.hold = [0.0] * self.lines
        self.to_strip = [0.0] * len(yard.tasks)
        self.after_strip = min((self.tails[one.strip] - self.durations[one.strip] for one in holds), default=0.0)
        for one in holds:
            self.hold[numbers[one.line]] = one.least
            for number, way in one.ways.items():
                self.to_strip[number] = way


class State:
    """A shop part of the way through: when everybody and everything is free, what is done, who did it."""

    def __init__(self, shop: Shop) -> None:
        """Begin with nothing done."""
        self.shop = shop
        self.heads = [0.0] * len(shop.waits)
        self.open = list(shop.waits)
        self.ready = [n for n, count in enumerate(shop.waits) if not count]
        self.free = [0.0] * shop.people
        self.all = tuple(range(shop.people))
        self.place = [NONE] * shop.people
        self.bars = [0.0] * shop.lines
        self.machines = [0.0] * shop.machines
        self.holds: dict[int, int] = {}
        self.end, self.left, self.unheld = 0.0, shop.work, sum(shop.hold)
        self.done: list[tuple[int, tuple[int, ...], int | None]] = []

    def able(self, wanted: Sequence[int] | None = None) -> list[tuple[float, int]]:
        """Return the tasks that can be done next, each with its start; a wait needs nobody and comes at once.

        A line is not set up while every machine is on another one. `wanted`: look at these alone.
        """
        heads, bars, found = self.heads, self.bars, list[tuple[float, int]]()
        needs, free = self.shop.needs, sorted(self.free)
        for number in self.ready if wanted is None else wanted:
            start, (hands, bar, takes) = heads[number], needs[number]
            if hands and free[hands - 1] > start:
                start = free[hands - 1]
            if bar >= 0 and bars[bar] > start:
                start = bars[bar]
            if takes >= 0:
                held = self.holds.values()
                idle = [one for n, one in enumerate(self.machines) if n not in held]
                if not idle:
                    continue
                start = max(start, min(idle))
            if not hands and bar < 0:
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
            self.unheld -= shop.hold[shop.takes[number]]
            self.holds[shop.takes[number]] = next(
                n for n, free in enumerate(self.machines) if free <= start and n not in held
            )
        machine = self.holds.get(line) if shop.bar[number] >= 0 or shop.takes[number] >= 0 else None
        if shop.frees[number] >= 0:
            self.machines[self.holds.pop(shop.frees[number])] = end
        self.ready.remove(number)
        self.done.append((number, people, machine))
        self.end, self.left = max(self.end, end), self.left - shop.hands[number] * shop.durations[number]
        heads, waits = self.heads, self.open
        for after in shop.later[number]:
            waits[after] -= 1
            heads[after] = max(heads[after], end)
            if not waits[after]:
                self.ready.append(after)

    def _people(self, hands: int, line: int, start: float) -> tuple[int, ...]:
        """Return who does a task: of those that are free first who is on its line, then who came free last."""
        if not hands:
            return ()
        if hands == len(self.free):
            return self.all
        able = [n for n, free in enumerate(self.free) if free <= start]
        if len(able) > hands:
            able.sort(key=lambda n: (self.place[n] != line, -self.free[n], n))
            able = sorted(able[:hands])
        return tuple(able)

    def turns(self) -> tuple[Turn, ...]:
        """Return what was done, in turn."""
        return tuple(Turn(n, people, machine, self._keeps(n, people, machine)) for n, people, machine in self.done)

    def _keeps(self, number: int, people: tuple[int, ...], machine: int | None) -> tuple[object, ...]:
        shop = self.shop
        sets = shop.takes[number] >= 0 or shop.frees[number] >= 0
        bar = (("bar", shop.bar[number]),) if shop.bar[number] >= 0 else ()
        return (*people, *bar, *((("machine", machine),) if sets else ()))

    def least(self, able: Sequence[tuple[float, int]]) -> float:
        """Return a time before which the job cannot end.

        For a longest way to the end; for the crew's own work; for the lines that have yet to hold a machine.
        """
        shop, tails, to_strip, line, holds = self.shop, self.shop.tails, self.shop.to_strip, self.shop.line, self.holds
        found = (sum(self.free) + self.left) / shop.people
        busy = self.machines.copy()
        if len(busy) == 1 and self.unheld:
            busy[0] = max(busy[0], min(self.free))
        for start, number in able:
            found = max(found, start + tails[number])
            if line[number] in holds:
                held = holds[line[number]]
                busy[held] = max(busy[held], start + to_strip[number])
        return max(found, (sum(busy) + self.unheld) / len(busy) + shop.after_strip)


class Branch:
    """What can be done next after some tasks, each with its start; and, as far as it was tried, what follows then.

    `run`: the tasks that came before for want of a choice; `held`: the lines that are set up; `least`: the job cannot
    end before; once nothing is left to do, when it ends.
    """

    __slots__ = ("able", "held", "least", "run", "then")

    def __init__(self, state: State) -> None:
        """Do what leaves no choice, and look at the shop as it stands then."""
        self.run: list[tuple[int, float]] = []
        able = state.able()
        while len(able) == 1:
            ((start, number),) = able
            state.do(number, start)
            self.run.append((number, start))
            able = state.able()
        self.able, self.held = able, frozenset(state.holds)
        self.least = state.least(able) if able else state.end
        self.then: dict[int, Branch] = {}


class Tries:
    """Orders of one shop: tries that begin alike are worked out once, and one that takes too long is given up."""

    def __init__(self, yard: Yard) -> None:
        """Begin with nothing tried."""
        self.shop = Shop(yard)
        self.root = Branch(State(self.shop))

    def dispatched(
        self, urgency: Sequence[float], patience: float, limit: float, *, loyal: bool
    ) -> tuple[float, list[int]] | None:
        """Return the order in which the most urgent goes first among the tasks that can start now, or soon.

        None where it takes as long as `limit` or longer; `loyal`: a line that is set up comes before one that is not.
        """
        here, state = self.root, None
        done, line = list(here.run), self.shop.line
        while here.able and here.least < limit:
            soon = min(here.able)[0] + patience
            near = [one for one in here.able if one[0] <= soon]
            if loyal and here.held:
                near = [one for one in near if line[one[1]] in here.held] or near
            start, number = near[0]
            if len(near) > 1:
                _, start, number = max((urgency[n], -start, -n) for start, n in near)
                start, number = -start, -number
            then = here.then.get(number)
            if then is None:
                state = state or _after(self.shop, done)
                state.do(number, start)
                then = here.then[number] = Branch(state)
            done += [(number, start), *then.run]
            here = then
        return None if here.least >= limit else (here.least, [number for number, _ in done])


def _after(shop: Shop, done: Sequence[tuple[int, float]]) -> State:
    """Return a shop after some tasks."""
    state = State(shop)
    for number, start in done:
        state.do(number, start)
    return state
