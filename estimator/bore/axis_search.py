"""The search for the axis of a line: the bores and rules as cones, a way in, the least figure, the proof.

Unknowns are the axis at the middle of the readings, its tilt over the line and the clean-up radius of every bore, all
over the largest bore's radius, so that tilt and shift weigh alike. All is convex but the least side of a centre
distance, which comes in as planes.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from estimator.bore.axis_line import Array, Axis, Datum, Ring, Rule, give_of
from estimator.geometry.cones import Programme, Solution, least
from estimator.geometry.hull import outermost
from estimator.geometry.solve import away, norm, times

__all__ = ["Found", "Line", "Plane", "line_of", "solve"]

GAP = 2e-9  # of the mean square radius: about 1e-8 of a usual volume
BARRED_GAP = 1e-6  # the same where no axis exists
LOOSE_GAP = 1e-9  # of the largest bore, in what a rule has to give
ROOM = 1e-4  # of the loosening: what the axis of least loosening is moved within, to need less deposit
MARGIN = 0.01  # of the largest bore: how far inside its bounds a search starts
THIN = 1e-3  # the same between a bore's wear and its wall: with less left, the wall gives way at first
STEEPEST = 0.05  # against the original line: the distance across is the distance from the axis to a thousandth
PULLS = 1e-5  # share of all pull from which a rule counts as holding the axis


@dataclass(frozen=True, eq=False)
class Line:
    """A line of bores in its own scale: lengths over `size`, places from 0 to 1 between its ends, about `origin`.

    `middle`: ends of the line through the original centres [2 ends, x and y]. `ring`, `at`, `points`: number of the
    bore, place and position [rows, 2] of every surface point that can decide. `pivot`: place amid these points.
    `reach`: how far the axis may lie from the middle at its ends; further is outside all bores and rules.
    """

    rings: tuple[Ring, ...]
    rules: tuple[Rule, ...]
    size: float
    origin: Array
    start: float
    length: float
    middle: Array
    ring: npt.NDArray[np.intp]
    at: Array
    points: Array
    pivot: float
    reach: float

    def axis(self, ends: Array) -> Axis:
        """Return the axis through the scaled ends [4]. [m, m, -, -]"""
        first, last = ends[:2] * self.size + self.origin, ends[2:4] * self.size + self.origin
        tilt = (last - first) / self.length
        x0, y0, sx, sy = (*map(float, first - tilt * self.start), *map(float, tilt))
        return x0, y0, sx, sy

    def ends(self, axis: Axis) -> Array:
        """Return the scaled ends [4] of an axis."""
        at = np.array([[axis[0] + axis[2] * z, axis[1] + axis[3] * z] for z in (self.start, self.start + self.length)])
        return ((at - self.origin) / self.size).ravel()

    def place(self, z: float) -> float:
        """Return a place along the line, 0 at its start and 1 at its end."""
        return (z - self.start) / self.length

    def centre(self, rule: Rule) -> Array:
        """Return the scaled centre of a rule."""
        return (np.array([rule.x, rule.y]) - self.origin) / self.size

    def within(self) -> list[Rule]:
        """Return the rules that keep the axis within a limit, all but least distances."""
        return [rule for rule in self.rules if not rule.least]

    def give(self) -> float:
        """Return half of what may pass as kept, scaled: the other half is for rounding."""
        return give_of(self.rings) / self.size / 2


@dataclass(frozen=True, eq=False)
class Plane:
    """The axis at a place keeps normal · c >= floor, scaled."""

    name: str
    at: float
    normal: Array
    floor: float


@dataclass(frozen=True, eq=False)
class Found:
    """What a search found: scaled ends [4], mean square radius with the proven bound below it, the rules that pull.

    `loosening`: what every rule has to give for an axis to exist, scaled, with the proven bound `forbidden` below it.
    """

    ends: Array
    value: float
    bound: float
    binding: tuple[str, ...]
    loosening: float = 0.0
    forbidden: float = 0.0


def line_of(rings: Sequence[Ring], datums: Sequence[Datum], rules: Sequence[Rule], middle: Axis) -> Line:
    """Return the line in its own scale; `middle` is the axis through the original centres. [m, m, -, -]"""
    spans: list[Ring | Datum] = [*rings, *datums]
    faces = [face for item in spans for face in (item.start, item.start + item.length)]
    start, length, size = min(faces), max(faces) - min(faces), max(ring.least_radius for ring in rings)
    origin = np.array(rings[0].original)
    kept = [outermost(ring.x, ring.y, ring.z) for ring in rings]
    number = np.repeat(np.arange(len(rings)), [len(one) for one in kept])
    x, y, z = (np.concatenate([getattr(r, w)[k] for r, k in zip(rings, kept, strict=True)]) for w in "xyz")
    at, points = (z - start) / length, (np.stack((x, y), axis=1) - origin) / size
    pivot = float(at[0] + (at - at[0]).mean())  # exactly the place of a single section
    line = Line(
        rings=tuple(rings),
        rules=tuple(rules),
        size=size,
        origin=origin,
        start=start,
        length=length,
        middle=np.zeros((2, 2)),
        ring=number,
        at=at,
        points=points,
        pivot=pivot,
        reach=0.0,
    )
    line = replace(line, middle=line.ends(middle).reshape(2, 2))
    return replace(line, reach=_reach(line))


def _reach(line: Line) -> float:
    widest = float(away(*(line.points[:, None, :] - line.middle[None]).T).max())
    centres = [line.centre(rule) - end for rule in line.rules if "distance" not in rule.name for end in line.middle]
    return 2 * max(widest, 1.0) + max((norm(centre) for centre in centres), default=0.0)


def _across(at: Array, pivot: float, count: int) -> Array:
    """Return the rows that take the axis at places `at`, across x and y [2, rows, unknowns]."""
    rows = np.zeros((2, len(at), count))
    for way in (0, 1):
        rows[way, :, way], rows[way, :, 2 + way] = 1.0, at - pivot
    return rows


def _turned(ends: Array, pivot: float) -> Array:
    """Return the axis at the pivot and its tilt [4] from its ends [4]."""
    return np.concatenate(((1 - pivot) * ends[:2] + pivot * ends[2:], ends[2:] - ends[:2]))


def _ends(x: Array, pivot: float) -> Array:
    """Return the ends [4] from the axis at the pivot and its tilt, the first unknowns."""
    return np.concatenate((x[:2] - pivot * x[2:4], x[:2] + (1 - pivot) * x[2:4]))


def _programme(line: Line, planes: Sequence[Plane]) -> Programme:
    """Return the loosening programme: unknowns the axis, all radii, and what every rule gives."""
    rings, inside = len(line.rings), line.within()
    count, first, own = 4 + rings + 1, len(line.at), np.arange(rings)
    cap = 4 * line.reach
    places = np.concatenate((line.at, [line.place(rule.z) for rule in inside], [0.0, 1.0, 1.0]))
    about = np.concatenate((line.middle, line.middle[1:] - line.middle[:1]))
    centres = np.concatenate((line.points, *[line.centre(rule)[None] for rule in inside], about))
    side, room = np.zeros((len(places), count)), np.full(len(places), line.reach)
    room[-1] = STEEPEST * line.length / line.size
    side[np.arange(first), 4 + line.ring] = 1.0
    room[:first] = -np.array([ring.allowance for ring in line.rings])[line.ring] / line.size
    for row, rule in enumerate(inside, first):
        side[row, -1], room[row] = 1.0, rule.limit / line.size + line.give()
        if rule.takes is not None:
            side[row, 4 + rule.takes] = -1.0
    slope, floor = np.zeros((len(planes) + 2 * rings, count)), np.full(len(planes) + 2 * rings, -cap)
    for row, plane in enumerate(planes):
        slope[row, :4] = np.concatenate((plane.normal, (plane.at - line.pivot) * plane.normal))
        slope[row, -1], floor[row] = 1.0, plane.floor - line.give()
    slope[len(planes) + own, 4 + own], slope[len(planes) + rings + own, 4 + own] = 1.0, -1.0
    floor[len(planes) : len(planes) + rings] = [ring.least_radius / line.size for ring in line.rings]
    linear, span = np.zeros(count), np.full(count, 2 * cap)
    linear[-1] = 1.0
    across = _across(places, line.pivot, count)
    across[:, -1, :2] = 0.0  # the last row is the tilt itself
    across[[0, 1], -1, [2, 3]] = 1.0
    return Programme(
        square=np.zeros(count),
        linear=linear,
        span=span,
        side=side,
        room=room,
        across=across,
        place=centres.T,
        slope=slope,
        floor=floor,
    )


def _inside(programme: Programme, line: Line, ends: Array) -> Array:
    """Return the point of given ends with radii and loosening that clear every bound, if barely the loosening."""
    rings = len(line.rings)
    x = np.concatenate((_turned(ends, line.pivot), np.zeros(rings + 1)))
    reach = away(*(times(programme.across, x) - programme.place)) - programme.room
    for index, one in enumerate(line.rings, 4):
        own, walls = programme.side[:, index] > 0, programme.side[:, index] < 0
        x[index] = max(one.least_radius / line.size, float(reach[own].max()))
        left = float(-reach[walls].max(initial=-np.inf)) - x[index]
        x[index] += min(MARGIN, left / 2) if left > THIN else MARGIN
    short = (reach - times(programme.side, x))[programme.side[:, -1] > 0]
    low = (programme.floor - times(programme.slope, x))[programme.slope[:, -1] > 0]
    x[-1] = max(short.max(initial=-np.inf), low.max(initial=-np.inf))
    return x


def _enter(line: Line, programme: Programme, ends: Array, barred: float) -> tuple[Array, Solution | None]:
    """Return a point inside all rules, else the least loosening under which there is one, with its proof."""
    start = _inside(programme, line, ends)
    if start[-1] < 0:
        return start, None
    start[-1] += MARGIN + 0.1 * start[-1]
    found = least(programme, start, LOOSE_GAP, enough=0.0, hopeless=barred)
    return found.x, None if found.value < 0 else found


def _weights(line: Line) -> Array:
    """Return the weight of each ring's squared radius: its share of the length; nothing for the axis."""
    lengths = np.array([ring.length for ring in line.rings])
    return np.concatenate((np.zeros(4), lengths / lengths.sum()))


def _pulling(line: Line, planes: Sequence[Plane], found: Solution) -> tuple[str, ...]:
    """Return the names of the rules that pull at the axis, in their order."""
    first, inside = len(line.at), line.within()
    pulls = [*found.cones[first : first + len(inside)], *found.planes[: len(planes)]]
    names = [rule.name for rule in inside] + [plane.name for plane in planes]
    enough = PULLS * (found.cones.sum() + found.planes.sum())
    return tuple(dict.fromkeys(name for name, pull in zip(names, pulls, strict=True) if pull > enough))


def solve(line: Line, planes: Sequence[Plane], ends: Array, hopeless: float = np.inf, barred: float = np.inf) -> Found:
    """Return the axis of least mean square radius, or the one of least loosening where rules and planes allow none.

    Parameters
    ----------
    line
        The bores and their rules; least distances are left out.
    planes
        What stands for least distances.
    ends
        Scaled ends to start from. [4]
    hopeless
        Stop as soon as the bound lies above this mean square radius.
    barred
        Stop as soon as the least loosening is sure to lie above this.
    """
    programme = _programme(line, planes)
    start, loose = _enter(line, programme, ends, barred)
    if loose is None:
        found = least(programme.without_last(_weights(line)), start[:-1], GAP, hopeless=hopeless)
        return Found(_ends(found.x, line.pivot), found.value, found.bound, _pulling(line, planes, found))
    found, binding = loose, _pulling(line, planes, loose)
    if loose.bound <= barred:
        room = ROOM * loose.value + line.give()
        start[4:-1] += room / 3
        freed = programme.loosened(loose.value + room).without_last(_weights(line))
        found = least(freed, start[:-1], BARRED_GAP)
    return Found(_ends(found.x, line.pivot), found.value, found.bound, binding, loose.value, loose.bound)
