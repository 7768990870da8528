"""The search for layer plans: the best of every case by its aim, what held it back, the efficient ones beside it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from estimator.tables import Tables
from estimator.tables.messages import Message, say
from estimator.weld.cases import Candidate, Case, aim_of
from estimator.weld.grid import AIMS, TIE, Array, Bits, Grid, Mask, Place
from estimator.weld.technique import BOUNDED

__all__ = ["Found", "broken_at", "outside_of", "search"]

EDGE = 1e-6  # relative: a plan that near to the end of a window stands at it
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

    best: Candidate | None
    quick: Candidate | None
    frontier: tuple[Candidate, ...]
    outside: tuple[Message, ...]
    held: tuple[Message, ...]
    quick_held: tuple[Message, ...]
    broken: tuple[tuple[str, Message], ...]
    values: dict[str, float]
    beside: tuple[Neighbour, ...]
    comfortable: bool = False

    @property
    def calm(self) -> bool:
        """Whether the best plan lies within every comfortable window."""
        return self.best is not None and not self.outside


@dataclass(frozen=True)
class _Coarse:
    """What the coarse grid tells of a case: its best plan, the quickest with what held it, and the efficient ones."""

    best: Candidate
    quick: Candidate
    quick_held: tuple[Message, ...]
    frontier: tuple[Candidate, ...]
    comfortable: bool


def search(cases: Sequence[Case], facts: Tables) -> list[Found]:
    """Return the best plans of every case: a coarse grid, then one close about the best of it."""
    grid = Grid(cases, facts)
    must, comfort = grid.broken("must"), grid.broken("comfort")
    coarse = [_coarse(grid, number, must[number], comfort[number]) for number in range(len(cases))]
    fine = Grid([replace(case, near=one.best) if one else case for case, one in zip(cases, coarse, strict=True)], facts)
    closer = fine.broken("must")
    return [
        _none(grid, number, must[number]) if one is None else _found(fine, number, closer[number], one)
        for number, one in enumerate(coarse)
    ]


def _none(grid: Grid, case: int, must: Bits) -> Found:
    """Return that no plan is allowed, with the limits that the least bad one breaks."""
    return Found(
        best=None,
        quick=None,
        frontier=(),
        outside=(),
        held=(),
        quick_held=(),
        broken=_reasons(grid, case, must),
        values={},
        beside=(),
    )


def _coarse(grid: Grid, case: int, must: Bits, comfort: Bits) -> _Coarse | None:
    """Return what the coarse grid tells of a case, or None where no plan is allowed."""
    allowed = must == 0
    place, quickest = grid.best(case, allowed), grid.best(case, allowed, grid.time[case])
    if place is None or quickest is None:
        return None
    quick = grid.at(case, quickest)
    pressed = _held(grid, case, grid.freed(must, grid.time[case]), quickest, quick.time)
    easy = bool((comfort == 0).any())
    return _Coarse(grid.at(case, place), quick, pressed, _frontier(grid, case, allowed), easy)


def _found(grid: Grid, case: int, must: Bits, coarse: _Coarse) -> Found:
    """Return the best plan of the close grid, which holds the coarse one's, and what held it."""
    place = grid.best(case, must == 0)
    assert place is not None  # the coarse grid's best plan stands in this one too
    best, values = grid.at(case, place), {name: grid.value(name, case, place) for name in BOUNDED}
    held = _held(grid, case, grid.freed(must, grid.aim(case)), place, aim_of(best, grid.cases[case].aim))
    held += _edges(grid, case, values)
    outside, beside = outside_of(grid, case, place), _neighbours(grid, case, must, place)
    told = coarse.quick, coarse.frontier, outside, held, coarse.quick_held
    return Found(best, *told, (), values, beside, coarse.comfortable)


def _neighbours(grid: Grid, case: int, must: Bits, place: Place) -> tuple[Neighbour, ...]:
    """Return the plans one step of the grid away, each with why it was not taken."""
    best, told = grid.at(case, place), dict[tuple[float, ...], Neighbour]()
    aim, shape = grid.cases[case].aim, grid.time[case].shape
    for axis in range(len(place)):
        for by in (-1, 1):
            here = (*place[:axis], place[axis] + by, *place[axis + 1 :])
            if not 0 <= here[axis] < shape[axis]:
                continue
            one = grid.at(case, (here[0], here[1], here[2]))
            key = (one.current, one.step, one.layers, one.thickness)
            if key == (best.current, best.step, best.layers, best.thickness):
                continue  # the grid's last entry stands again where a case has fewer
            broken = broken_at(grid, case, int(must[here]), (here[0], here[1], here[2]))
            told[key] = Neighbour(one, tuple(why for _, why in broken), aim_of(one, aim) - aim_of(best, aim))
    return tuple(told.values())


def outside_of(grid: Grid, case: int, place: Place) -> tuple[Message, ...]:
    """Return the comfortable windows that the plan at a place leaves."""
    windows = grid.cases[case].windows["comfort"]
    return tuple(
        windows[name].why_not(value)
        for name in BOUNDED
        if not windows[name].holds(value := grid.value(name, case, place))
    )


def _edges(grid: Grid, case: int, values: dict[str, float]) -> tuple[Message, ...]:
    """Return the ends of comfortable windows that a plan stands at: beyond them the odds of rework grow."""
    said: list[Message] = []
    for name, value in values.items():
        calm, must = grid.cases[case].windows["comfort"][name], grid.cases[case].windows["must"][name]
        if calm.high_row and calm.high < must.high and abs(value - calm.high) <= EDGE * calm.high:
            said.append(calm.reached(top=True))
        elif calm.low_row and calm.low > must.low and abs(value - calm.low) <= EDGE * calm.low:
            said.append(calm.reached(top=False))
    return tuple(said)


def _held(grid: Grid, case: int, freed: dict[str, float], place: Place, aim: float) -> tuple[Message, ...]:
    """Return each limit that must be kept without which a better plan would be allowed, and the top of the current."""
    held: list[Message] = []
    for name in BOUNDED:
        bound, value = grid.cases[case].windows["must"][name], grid.value(name, case, place)
        if name == "current" and bound.high_row and value >= bound.high * (1 - TIE):
            held.append(bound.reached(top=True))
        elif freed[name] < aim - EDGE * abs(aim):
            held.append(bound.held(value))
    return tuple(held)


def _frontier(grid: Grid, case: int, allowed: Mask) -> tuple[Candidate, ...]:
    """Return plans that are best for some weighing of cost, hours and heat: none of them is beaten in all three."""
    shape = grid.time[case].shape
    aims = [np.where(allowed, np.broadcast_to(grid.aims[name][case], shape), np.inf) for name in AIMS]
    least = [float(aim.min()) for aim in aims]
    scaled: list[Array] = [aim / low if low > 0 else aim for aim, low in zip(aims, least, strict=True)]
    found: dict[tuple[int, int, int], None] = {}
    for weights in WEIGHTS:
        whole = sum(max(weight, 1e-6) * aim for weight, aim in zip(weights, scaled, strict=True))
        i, j, k = np.unravel_index(int(np.argmin(whole)), shape)
        found[int(i), int(j), int(k)] = None
    return tuple(sorted((grid.at(case, place) for place in found), key=lambda plan: plan.cost))


def _reasons(grid: Grid, case: int, bits: Bits) -> tuple[tuple[str, Message], ...]:
    """Return the limits that the least bad plan breaks, where none keeps them all."""
    i, j, k = np.unravel_index(int(np.argmin(np.bitwise_count(bits))), bits.shape)
    return broken_at(grid, case, int(bits[i, j, k]), (int(i), int(j), int(k)))


def broken_at(grid: Grid, case: int, bits: int, place: Place) -> tuple[tuple[str, Message], ...]:
    """Return each limit that the plan at a place breaks, by its quantity, with the reason."""
    windows, said = grid.cases[case].windows["must"], list[tuple[str, Message]]()
    for number, name in enumerate(BOUNDED):
        if bits >> number & 1:
            value, what = grid.value(name, case, place), windows[name].what
            if name == "travel_speed" and windows[name].holds(value):
                value, what = float(grid.first_travel[case][place]), say("first_travel")
            said.append((name, windows[name].why_not(value, what)))
    return tuple(said)
