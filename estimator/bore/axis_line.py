"""What a line of bores is to the axis: its worn surfaces, its undamaged places, the rules the axis has to keep."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from estimator.formula import Why, formula, leaf, summed, why_of
from estimator.geometry.solve import away

__all__ = [
    "Axis",
    "AxisChoice",
    "CentreDistance",
    "Datum",
    "Ring",
    "Rule",
    "axis_shift",
    "breaches_of",
    "cleanup_radius",
    "farthest_point",
    "give_of",
    "measure",
    "ring_volume",
    "rules_of",
]

Array = npt.NDArray[np.float64]
Axis = tuple[float, float, float, float]
DEFINED = "definition in the project's estimate document"
GIVE = 1e-9  # of the line's largest bore: what two roundings of a length may differ by


@dataclass(frozen=True, eq=False)
class Ring:
    """A worn bore of the line. Lengths in m, in the frame of the line's wire.

    `x`, `y`, `z`: points of the worn surface. The bore is clean at the distance of its farthest point from the axis
    plus `allowance`, never below `least_radius`. `position_tolerance`: diameter of the zone about the original centre
    in which the axis stays over the whole length. `most_radius`: radius about the original centre that the wall
    allows; the clean-up radius plus the shift of the axis from that centre stays within it at both ends of the bore.
    """

    name: str
    start: float
    length: float
    x: Array
    y: Array
    z: Array
    least_radius: float
    weld_radius: float
    allowance: float
    original: tuple[float, float] = (0.0, 0.0)
    position_tolerance: float | None = None
    most_radius: float | None = None

    @property
    def why(self) -> Why:
        """Return where the points come from, for explanations."""
        return Why("given", "points", f"{self}, from its readings")

    def __str__(self) -> str:
        """Return what the points are, for explanations."""
        return f"{len(self.z)} points of the worn surface of bore {self.name}"


@dataclass(frozen=True)
class Datum:
    """An undamaged bore or counterbore: over its length the axis stays within half the tolerance of its centre. [m]"""

    name: str
    start: float
    length: float
    x: float
    y: float
    tolerance: float


@dataclass(frozen=True)
class CentreDistance:
    """Distance of the axis from another line's centre: nominal, plus or minus tolerance, at both ends of the bores. [m]

    Between the ends it can fall short by the square of the axis's turn about that centre times an eighth of the
    distance.
    """

    x: float
    y: float
    nominal: float
    tolerance: float


@dataclass(frozen=True)
class AxisChoice:
    """An axis x0 + sx z, y0 + sy z and what it costs. [m, m, -, -]

    `required_volume` [m3]; `radii` to clean up to [m]; `shifts`, the largest from the original centre over each bore's
    length [m]; `binding`, the rules that hold the axis where it is or, where no axis exists, that forbid one; `gap`,
    how far the figure (without an axis: the loosening) may at most lie above the best one, relative to it, NaN where
    the axis was given; `breaches`, the rules broken and by how much, worst first [m]; `loosening`, what every rule
    would have to give for an axis to exist [m].
    """

    x0: float
    y0: float
    sx: float
    sy: float
    required_volume: float
    radii: tuple[float, ...]
    shifts: tuple[float, ...]
    feasible: bool
    binding: tuple[str, ...] = ()
    gap: float = math.nan
    breaches: tuple[tuple[str, float], ...] = field(default=())
    loosening: float = 0.0


@dataclass(frozen=True)
class Rule:
    """At the place z the axis lies within `limit` of a centre; with `least`, no nearer than it.

    `takes`: number of the ring whose clean-up radius counts towards the limit, or None. [m]
    """

    name: str
    z: float
    x: float
    y: float
    limit: float
    takes: int | None = None
    least: bool = False


@formula("cleanup_radius", DEFINED, "computed", unit="m")
def cleanup_radius(least_radius: float, farthest: float, allowance: float) -> float:
    """Smallest radius about the axis that is clean all round: the farthest worn point plus the allowance. [m]"""
    return max(least_radius, farthest + allowance)


@formula("required_volume", "geometry of a ring", "computed", unit="m3")
def ring_volume(cleanup: float, weld_radius: float, length: float) -> float:
    """Volume between the clean-up bore and the weld bore, both about the axis. [m³]"""
    return math.pi * (cleanup**2 - weld_radius**2) * length


@formula("farthest", "geometry of a line", "computed", unit="m")
def farthest_point(ring: Ring, x0: float, y0: float, sx: float, sy: float) -> float:
    """Distance of the farthest worn point of a bore from the axis. [m]"""
    return float(away(ring.x - x0 - sx * ring.z, ring.y - y0 - sy * ring.z).max())


@formula("shift", "geometry of a line", "computed", unit="m")
def axis_shift(
    x0: float, y0: float, sx: float, sy: float, original_x: float, original_y: float, start: float, length: float
) -> float:
    """Largest shift of the axis from the original centre: at an end of the bore, the axis being straight. [m]"""
    ends = (start, start + length)
    return max(((x0 + sx * z - original_x) ** 2 + (y0 + sy * z - original_y) ** 2) ** 0.5 for z in ends)


def give_of(rings: Sequence[Ring]) -> float:
    """Return how far a rule may be passed before it counts as broken: a billionth of the largest bore. [m]"""
    return GIVE * max(ring.least_radius for ring in rings)


def rules_of(rings: Sequence[Ring], datums: Sequence[Datum], distance: CentreDistance | None) -> tuple[Rule, ...]:
    """Return every rule the axis has to keep, two a bore, datum or distance: the axis being straight, ends suffice."""
    rules = []
    for number, ring in enumerate(rings):
        for z in (ring.start, ring.start + ring.length):
            if ring.position_tolerance is not None:
                rules.append(Rule(f"position of bore {ring.name}", z, *ring.original, ring.position_tolerance / 2))
            if ring.most_radius is not None:
                rules.append(Rule(f"wall of bore {ring.name}", z, *ring.original, ring.most_radius, number))
    for datum in datums:
        for z in (datum.start, datum.start + datum.length):
            rules.append(Rule(f"datum {datum.name}", z, datum.x, datum.y, datum.tolerance / 2))
    if distance is not None:
        most, least = distance.nominal + distance.tolerance, distance.nominal - distance.tolerance
        for z in (min(ring.start for ring in rings), max(ring.start + ring.length for ring in rings)):
            rules.append(Rule("greatest centre distance", z, distance.x, distance.y, most))
            rules.append(Rule("least centre distance", z, distance.x, distance.y, least, least=True))
    return tuple(rules)


def breaches_of(
    rules: Sequence[Rule], radii: Sequence[float], axis: Axis, give: float
) -> tuple[tuple[str, float], ...]:
    """Return the rules an axis breaks by more than the give, each with the most it is broken by, worst first. [m]"""
    x0, y0, sx, sy = axis
    worst: dict[str, float] = {}
    for rule in rules:
        away = math.hypot(x0 + sx * rule.z - rule.x, y0 + sy * rule.z - rule.y)
        taken = 0.0 if rule.takes is None else radii[rule.takes]
        by = rule.limit - away if rule.least else away + taken - rule.limit
        if by > give:
            worst[rule.name] = max(by, worst.get(rule.name, by))
    return tuple(sorted(worst.items(), key=lambda item: -item[1]))


def measure(rings: Sequence[Ring], rules: Sequence[Rule], axis: Axis) -> AxisChoice:
    """Return what an axis costs and which rules it breaks."""
    radii, shifts, volumes = [], [], []
    for ring in rings:
        radii.append(cleanup_radius(ring.least_radius, farthest_point(ring, *axis), ring.allowance))
        shifts.append(axis_shift(*axis, *_original(ring), ring.start, ring.length))
        volumes.append(ring_volume(radii[-1], ring.weld_radius, ring.length))
    broken = breaches_of(rules, radii, axis, give_of(rings))
    total = summed("required_volume", "m3", *volumes)
    return AxisChoice(*axis, total, tuple(radii), tuple(shifts), not broken, breaches=broken)


def _original(ring: Ring) -> tuple[float, float]:
    """Return the original centre, which is the wire where the job says nothing."""
    x, y = (
        at if why_of(at) else leaf(at, "given", name, f"original centre of bore {ring.name} from the wire", unit="m")
        for name, at in zip(("original_x", "original_y"), ring.original, strict=True)
    )
    return x, y
