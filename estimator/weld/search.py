"""The search for layer plans: the best of every case by its aim, what held it back, the efficient ones beside it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from estimator.formula import unrecorded
from estimator.tables import Tables
from estimator.tables.messages import Message, say
from estimator.weld.cases import Candidate, Case, aim_of
from estimator.weld.grid import TIE, Array, Grid, Mask, Plans, Worths
from estimator.weld.technique import BOUNDED

__all__ = ["NOTHING", "Found", "best_of", "broken_at", "outside_of", "search"]

EDGE = 1e-6  # relative: a plan that near to the end of a window stands at it
AIMS = ("cost", "hours", "heat")
WEIGHTS = tuple((a, b, 4 - a - b) for a in range(5) for b in range(5 - a))  # of cost, hours and heat


@dataclass(frozen=True)
class Neighbour:
    """A plan one step of the grid away: the limits it breaks, else how much worse its aim is."""

    plan: Candidate
    broken: tuple[Message, ...]
    worse: float


@dataclass(frozen=True)
class Found:
    """What the search found for one case: the best plan by its aim, the quickest, the efficient ones, what held it.

    `calm`: whether the best lies within every comfortable window; `outside`: the comfortable windows it leaves;
    `broken`: where no plan is allowed, the limits that the least bad one breaks; `values`: the bounded quantities of
    the best; `beside`: the plans one step away; `comfortable`: whether any plan lies within every comfortable
    window.
    """

    best: Candidate | None = None
    quick: Candidate | None = None
    frontier: tuple[Candidate, ...] = ()
    outside: tuple[Message, ...] = ()
    held: tuple[Message, ...] = ()
    quick_held: tuple[Message, ...] = ()
    broken: tuple[tuple[str, Message], ...] = ()
    values: Mapping[str, float] = field(default_factory=dict)
    beside: tuple[Neighbour, ...] = ()
    comfortable: bool = False

    @property
    def calm(self) -> bool:
        """Whether the best plan lies within every comfortable window."""
        return self.best is not None and not self.outside


NOTHING = Found()


@dataclass(frozen=True)
class _Look:
    """Plans of a grid with what they are worth; those that break one limit as well, `allowed`: which break none."""

    grid: Grid
    plans: Plans
    worths: Worths
    allowed: Mask

    def best(self, by: str) -> int | None:
        """Return which allowed plan is best by an aim, or by its time."""
        one = self.plans.only(self.allowed)
        found = self.grid.best(one, self._by(by)[self.allowed])
        return None if found is None else int(np.flatnonzero(self.allowed)[found])

    def _by(self, by: str) -> Array:
        return self.worths.time if by == "time" else self.worths.by(by)

    def candidate(self, number: int) -> Candidate:
        """Return one of the plans."""
        return self.grid.candidate(self.plans, self.worths, number)

    def held(self, number: int, by: str) -> tuple[Message, ...]:
        """Return each limit that must be kept without which a better plan would be allowed, and the top of the current.

        `number`: of the plan, `by`: the aim it is best by, or its time.
        """
        held, values, weighed = list[Message](), self.grid.values(self.plans, number), self._by(by)
        aim = float(weighed[number])
        for place, name in enumerate(BOUNDED):
            bound, value = self.grid.case.windows["must"][name], values[name]
            if name == "current" and bound.high_row and value >= bound.high * (1 - TIE):
                held.append(bound.reached(top=True))
            elif np.min(weighed, initial=np.inf, where=self.plans.broken == 1 << place) < aim - EDGE * abs(aim):
                held.append(bound.held(value))
        return tuple(held)


def _look(case: Case, facts: Tables, spare: int) -> _Look:
    """Return the plans of a case that break no more limits than that."""
    grid = Grid(case, facts)
    plans = grid.plans(spare)
    return _Look(grid, plans, grid.worths(plans), plans.broken == 0)


def search(cases: Sequence[Case], facts: Tables, *, beside: bool = True) -> list[Found]:
    """Return the best plans of every case: a coarse grid, then one close about the best of it.

    `beside`: whether the quickest, the efficient plans and the neighbours are asked for as well.
    """
    with unrecorded():
        return [_searched(case, facts, beside) for case in cases]


def best_of(case: Case, facts: Tables) -> Candidate | None:
    """Return the best plan of a case alone, as `search` finds it."""
    near: Candidate | None = None
    for one in (case, None):
        look = _look(one or replace(case, near=near), facts, 0)
        place = look.best(case.aim)
        near = None if place is None else look.candidate(place)
        if near is None:
            return None
    return near


def _searched(case: Case, facts: Tables, beside: bool) -> Found:
    """Return what the search finds for one case."""
    coarse = _look(case, facts, int(beside))
    place = coarse.best(case.aim)
    if place is None:
        return _none(coarse.grid)
    fine = _look(replace(case, near=coarse.candidate(place)), facts, 1)
    found = _found(fine, comfortable=coarse.grid.easy(coarse.plans))
    return _with_beside(found, coarse, fine) if beside else found


def _none(grid: Grid) -> Found:
    """Return that no plan is allowed, with the limits that the least bad one breaks."""
    every = grid.plans(len(BOUNDED))
    return replace(NOTHING, broken=broken_at(grid, every, int(np.argmin(np.bitwise_count(every.broken)))))


def _found(fine: _Look, *, comfortable: bool) -> Found:
    """Return the best plan of the close grid, which holds the coarse one's, and what held it."""
    aim = fine.grid.case.aim
    number = fine.best(aim)
    assert number is not None  # the coarse grid's best plan stands in this one too
    values = fine.grid.values(fine.plans, number)
    return replace(
        NOTHING,
        best=fine.candidate(number),
        outside=outside_of(fine.grid.case, values),
        held=fine.held(number, aim) + _edges(fine.grid.case, values),
        values=values,
        comfortable=comfortable,
    )


def _with_beside(found: Found, coarse: _Look, fine: _Look) -> Found:
    """Return what was found with the quickest plan, the efficient ones and the neighbours."""
    quickest, number = coarse.best("time"), fine.best(fine.grid.case.aim)
    assert quickest is not None  # where a plan is best by one aim, one is by any
    assert number is not None  # the same
    return replace(
        found,
        quick=coarse.candidate(quickest),
        quick_held=coarse.held(quickest, "time"),
        frontier=_frontier(coarse),
        beside=_neighbours(fine, number),
    )


def _neighbours(fine: _Look, number: int) -> tuple[Neighbour, ...]:
    """Return the plans one step of the grid away, each with why it was not taken."""
    grid, best = fine.grid, fine.candidate(number)
    place, aim = grid.place(fine.plans, number), grid.case.aim
    steps = [(axis, place[axis] + by) for axis in range(len(place)) for by in (-1, 1)]
    here = [(*place[:axis], at, *place[axis + 1 :]) for axis, at in steps if 0 <= at < grid.shape[axis]]
    if not here:
        return ()
    plans = grid.at([(i, j, k) for i, j, k in here])
    worths = grid.worths(plans)
    told = []
    for n in range(len(here)):
        one, broken = grid.candidate(plans, worths, n), broken_at(grid, plans, n)
        told.append(Neighbour(one, tuple(why for _, why in broken), aim_of(one, aim) - aim_of(best, aim)))
    return tuple(told)


def outside_of(case: Case, values: dict[str, float]) -> tuple[Message, ...]:
    """Return the comfortable windows that a plan's bounded quantities leave."""
    windows = case.windows["comfort"]
    return tuple(windows[name].why_not(value) for name, value in values.items() if not windows[name].holds(value))


def _edges(case: Case, values: dict[str, float]) -> tuple[Message, ...]:
    """Return the ends of comfortable windows that a plan stands at: beyond them the odds of rework grow."""
    said: list[Message] = []
    for name, value in values.items():
        calm, must = case.windows["comfort"][name], case.windows["must"][name]
        if calm.high_row and calm.high < must.high and abs(value - calm.high) <= EDGE * calm.high:
            said.append(calm.reached(top=True))
        elif calm.low_row and calm.low > must.low and abs(value - calm.low) <= EDGE * calm.low:
            said.append(calm.reached(top=False))
    return tuple(said)


def _frontier(coarse: _Look) -> tuple[Candidate, ...]:
    """Return plans that are best for some weighing of cost, hours and heat: none of them is beaten in all three."""
    aims = [coarse.worths.by(name)[coarse.allowed] for name in AIMS]
    least = [float(aim.min()) for aim in aims]
    scaled: list[Array] = [aim / low if low > 0 else aim for aim, low in zip(aims, least, strict=True)]
    found: dict[int, None] = {}
    for weights in WEIGHTS:
        whole = sum(max(weight, 1e-6) * aim for weight, aim in zip(weights, scaled, strict=True))
        found[int(np.argmin(whole))] = None
    numbers = np.flatnonzero(coarse.allowed)[list(found)].tolist()
    return tuple(sorted(map(coarse.candidate, numbers), key=lambda plan: plan.cost))


def broken_at(grid: Grid, plans: Plans, number: int) -> tuple[tuple[str, Message], ...]:
    """Return each limit that one of some plans breaks, by its quantity, with the reason."""
    windows, said = grid.case.windows["must"], list[tuple[str, Message]]()
    bits, values = int(plans.broken[number]), grid.values(plans, number)
    for place, name in enumerate(BOUNDED):
        if bits >> place & 1:
            value, what = values[name], windows[name].what
            if name == "travel_speed" and windows[name].holds(value):
                value, what = float(plans.first_travel[number]), say("first_travel")
            said.append((name, windows[name].why_not(value, what)))
    return tuple(said)
