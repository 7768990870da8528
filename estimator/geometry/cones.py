"""The least of a convex figure under cones: an interior-point method with a proven bound.

Minimise sum(square * x**2) + linear · x, where for every row of the cones the point (across · x - place) lies within
(side · x + room) of zero, and every row of the planes has slope · x >= floor. Barrier, path of centres and the dual
point that one Newton step gives: Boyd and Vandenberghe, Convex Optimization (2004), sec. 11.3 and 11.6; Nesterov and
Nemirovskii, Interior-Point Polynomial Algorithms (1994).
"""

import math
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from estimator.geometry.solve import away, dot, gram, solved, times

__all__ = ["Array", "Programme", "Solution", "least"]

Array = npt.NDArray[np.float64]

FIRST = 0.1  # of the figure: the gap that the walk starts with
CENTRED = 1e-3  # Newton decrement at which the last point counts as central; slacks are known to 1e-5 there
NEAR = 0.7  # decrement from which the path is followed further
PATIENCE, WIDER = 8, 30.0  # steps without reaching the path, and how much weight is then taken back
AWAY = 0.7  # of the way to the first bound that one stride goes
SHRINK = 0.995  # most of the barrier's weight that one stride takes away
INWARD = (1.0, -1.0, -1.0)  # side less what lies across
INSIDE = 0.5  # decrement below which the multipliers one step away are sure to lie inside their cones
MOST_STEPS = 150  # a line takes 30 to 60
LOG_TWO, FACTORS = math.log(2), 500  # so many mantissas of a half to one multiply to no less than 1e-151
LATE = 1e3  # times the last weight: from there on each step is proven
MOST_FINISHING = 12  # at the last weight, where rounding may keep a point from being central


@dataclass(frozen=True, eq=False)
class Programme:
    """A convex figure and its bounds; `span` is the room in which each unknown can move at most."""

    square: Array
    linear: Array
    span: Array
    side: Array
    room: Array
    across: Array
    place: Array
    slope: Array
    floor: Array

    def figure(self, x: Array) -> float:
        """Return the figure that is made least."""
        return dot(x, self.square * x + self.linear)

    def stack(self) -> tuple[Array, Array]:
        """Return the cone rows as one matrix [3 x rows, unknowns] and its constants: side, then across x and y."""
        return np.concatenate((self.side, *self.across)), np.concatenate((self.room, *-self.place))

    def loosened(self, by: float) -> "Programme":
        """Return the programme with its last unknown, what every rule gives, raised by so much from the start."""
        return replace(self, room=self.room + by * self.side[:, -1], floor=self.floor - by * self.slope[:, -1])

    def without_last(self, figure: Array) -> "Programme":
        """Return the programme without its last unknown, with other weights of the squares and nothing linear."""
        return replace(
            self,
            square=figure,
            linear=np.zeros(len(figure)),
            span=self.span[:-1],
            side=self.side[:, :-1],
            across=self.across[:, :, :-1],
            slope=self.slope[:, :-1],
        )


@dataclass(frozen=True, eq=False)
class Solution:
    """Where the figure is least, the proven bound below it, and the pull of every cone and plane (multipliers)."""

    x: Array
    value: float
    bound: float
    cones: Array
    planes: Array
    steps: int


@dataclass(eq=False)
class _Walk:
    """One point on the way: distances to all bounds, Newton's step there."""

    programme: Programme
    rows: Array
    constants: Array
    x: Array

    def __post_init__(self) -> None:
        """Note which unknowns move each of the three: side, across x, across y; the others' columns are empty."""
        parts = np.split(self.rows, 3)
        self.parts = [(used := np.flatnonzero(one.any(axis=0)), one[:, used]) for one in parts]

    def _bent(self, twice: Array) -> Array:
        """Return how the cones bend the barrier besides along their inward slopes."""
        found = np.zeros((len(self.x), len(self.x)))
        for sign, (used, part) in zip(INWARD, self.parts, strict=True):
            found[np.ix_(used, used)] += gram(part, -sign * twice)
        return found

    def _through(self, vector: Array) -> Array:
        """Return what the cones' rows make of a vector of unknowns [3, rows]."""
        return np.stack([times(part, vector[used]) for used, part in self.parts])

    def look(self, weight: float) -> bool:
        """Set slacks, gradient and Newton's step of figure / weight + barrier; return whether there is one."""
        p, count = self.programme, len(self.programme.room)
        self.cone = self._through(self.x) + self.constants.reshape(3, count)
        across = away(self.cone[1], self.cone[2])
        self.depth = (self.cone[0] - across) * (self.cone[0] + across)
        self.slack = times(p.slope, self.x) - p.floor
        if not (self.depth.min() > 0 and self.slack.min(initial=1.0) > 0):
            return False
        inward = np.zeros((count, len(self.x)))
        for sign, cone, (used, part) in zip(INWARD, self.cone, self.parts, strict=True):
            inward[:, used] += part * (sign * cone)[:, None]
        twice = 2.0 / self.depth
        pull = (2 * p.square * self.x + p.linear) / weight
        self.gradient = pull - times(inward.T, twice) - times(p.slope.T, 1 / self.slack)
        hessian = gram(inward, twice**2) + self._bent(twice) + gram(p.slope, 1 / self.slack**2)
        hessian[np.diag_indices(len(self.x))] += 2 * p.square / weight
        scale = 1 / np.sqrt(hessian.diagonal())
        both = scale[:, None] * np.stack((self.gradient, pull), axis=1)
        found = solved(hessian * np.outer(scale, scale), both)
        if found is None:  # so near a bound that rounding hides the other directions
            return False
        self.step, self.stride = (-scale[:, None] * found).T
        self.decrement = math.sqrt(max(0.0, -dot(self.gradient, self.step)))
        return True

    def better(self, best: "Solution", weight: float, steps: int, prove: bool) -> "Solution":
        """Return the point reached, with the highest bound proven so far; an early proof only stops the hopeless."""
        best = replace(best, x=self.x, value=self.programme.figure(self.x), steps=steps)
        if not prove or self.decrement >= INSIDE:
            return best
        bound, cones, planes = self.prove(weight)
        return replace(best, bound=bound, cones=cones, planes=planes) if bound > best.bound else best

    def _along(self, step: Array) -> tuple[Array, Array, Array, float]:
        """Return how the slacks change along a step, first and second order, and how far the first bound lies."""
        along = self._through(step)
        turn = self.cone[0] * along[0] - self.cone[1] * along[1] - self.cone[2] * along[2]
        bow = along[0] ** 2 - along[1] ** 2 - along[2] ** 2
        rise = times(self.programme.slope, step)
        return turn, bow, rise, _furthest(self.depth, turn, bow, self.slack, rise)

    def move(self, weight: float) -> None:
        """Go along Newton's step, short of every bound and downhill."""
        p = self.programme
        turn, bow, rise, furthest = self._along(self.step)
        size = min(1.0, 0.98 * furthest)
        bend = dot(p.square, self.step**2) / weight
        pull = dot(2 * p.square * self.x + p.linear, self.step) / weight
        fall = dot(self.gradient, self.step)
        for _ in range(40):
            ratio = 1 + size * (2 * turn + size * bow) / self.depth
            grown = size * (pull + size * bend)
            if ratio.min() > 0 and grown - _logs(ratio) - _logs(1 + size * rise / self.slack) <= (
                0.01 * size * fall + 1e-9
            ):
                break
            size /= 2
        self.x = self.x + size * self.step

    def follow(self, weight: float, lowest: float) -> float:
        """Follow the path of centres as far as its tangent stays inside, and return the weight reached."""
        step = self.step + self.stride
        size = min(SHRINK, 1 - lowest / weight, AWAY * self._along(step)[3])
        self.x = self.x + size * step
        return max(lowest, weight * (1 - size))

    def prove(self, weight: float) -> tuple[float, Array, Array]:
        """Return a bound no feasible point can go below, and the multipliers of cones and planes that prove it.

        The multipliers are those one Newton step away, held inside their cones, so that the Lagrangian is a bound
        whatever the rounding; what is left of its slope is paid for over the whole span.
        """
        p = self.programme
        along = self._through(self.step)
        sign = np.array(INWARD)[:, None]
        turn = (self.cone * sign * along).sum(axis=0)
        pulls = 2 * weight / self.depth * sign * (self.cone + along - 2 * turn / self.depth * self.cone)
        pulls[0] = np.maximum(pulls[0], away(pulls[1], pulls[2]))
        planes = np.maximum(0.0, weight / self.slack * (1 - times(p.slope, self.step) / self.slack))
        x = self.x + self.step
        met = dot(pulls.ravel(), self._through(x).ravel() + self.constants) + dot(planes, times(p.slope, x) - p.floor)
        left = 2 * p.square * x + p.linear - times(self.rows.T, pulls.ravel()) - times(p.slope.T, planes)
        return p.figure(x) - met - dot(np.abs(left), p.span), pulls[0], planes


def _logs(ratios: Array) -> float:
    """Return the sum of the logarithms of ratios: one logarithm of mantissas, the powers of two counted apart."""
    parts, powers = np.frexp(ratios)
    total = float(powers.sum()) * LOG_TWO
    for at in range(0, len(parts), FACTORS):
        total += math.log(float(np.prod(parts[at : at + FACTORS])))
    return total


def _furthest(depth: Array, turn: Array, bow: Array, slack: Array, rise: Array) -> float:
    """Return how far along the step the first bound lies."""
    inside = turn**2 - depth * bow
    below = np.where(inside >= 0, np.sqrt(np.maximum(inside, 0.0)) - turn, 0.0)
    cones = np.divide(depth, below, out=np.full_like(depth, np.inf), where=below > 0)
    planes = np.divide(slack, -rise, out=np.full_like(slack, np.inf), where=rise < 0)
    return float(min(cones.min(initial=np.inf), planes.min(initial=np.inf)))


def least(
    programme: Programme, start: Array, gap: float, enough: float = -np.inf, hopeless: float = np.inf
) -> Solution:
    """Return the least figure and a bound that proves it.

    Parameters
    ----------
    programme
        What is made least, and its bounds.
    start
        A point strictly inside all bounds.
    gap
        Distance of figure and bound to stop at, in the figure's own unit.
    enough
        Stop as soon as the figure is below this.
    hopeless
        Stop as soon as the bound is above this.
    """
    walk = _Walk(programme, *programme.stack(), start)
    share = 2 * len(programme.room) + len(programme.floor)  # the barrier's parameter: gap = weight * share when central
    lowest = 0.5 * gap / share
    weight = max(FIRST * abs(programme.figure(start)) / share, lowest)
    best = Solution(
        start, programme.figure(start), -np.inf, np.zeros(len(programme.room)), np.zeros(len(programme.floor)), 0
    )
    finishing = stuck = 0
    for steps in range(1, MOST_STEPS + 1):
        if not walk.look(weight):
            break
        best = walk.better(best, weight, steps, hopeless < np.inf or weight <= LATE * lowest)
        finishing += weight <= lowest
        done = finishing > 0 and (walk.decrement < CENTRED or finishing > MOST_FINISHING)
        if done or best.value < enough or best.bound > hopeless:
            break
        if walk.decrement < NEAR and not finishing:
            weight, stuck = walk.follow(weight, lowest), 0
        else:
            stuck += 1
            if stuck > PATIENCE and not finishing:  # far from the path, which is wider at more weight
                weight, stuck = weight * WIDER, 0
                walk.look(weight)
            walk.move(weight)
    return best
