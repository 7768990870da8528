"""The least distance from another line's centre: not convex, so met by tangent planes and proven by sectors.

An axis outside a circle is found by planes: each end keeps beyond the tangent of the circle in its own direction,
which lies wholly in what is allowed; the tangents follow the axis until it gains no more (the convex-concave
procedure: Yuille and Rangarajan 2003). That is proven by branch and bound: in a sector of directions what is allowed
lies beyond the chord, so the convex problem beyond the chords of both ends is a bound for the sector; sectors are
split until the bound is near.
"""

import heapq
import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from estimator.bore.axis_line import Array, Rule
from estimator.bore.axis_search import GAP, Found, Line, Plane, solve
from estimator.geometry.solve import dot, first_most, norm

__all__ = ["search"]

ROUNDS = 30  # of tangent planes
NODES = 100  # pairs of sectors looked at before the proof is left as near as it came
NEAR = 5 * GAP  # of the mean square radius: as near as the proof goes, about 1e-7 of a usual volume

ALIKE = 1e-9  # of the largest bore: two that fall as short
BARRED_NEAR = 1e-4  # of the loosening, the same where no axis exists

Sector = tuple[float, float]


def search(line: Line) -> Found:
    """Return the axis of least deposit with its proof, or of least loosening where no axis exists."""
    found = solve(line, (), line.middle.ravel())
    least = [rule for rule in line.rules if rule.least and rule.limit > 0]
    if all(_kept(line, rule, found) for rule in least):
        return found
    best = min((_tangents(line, least, ends) for ends in (found.ends, line.middle.ravel())), key=_rank)
    return _proven(line, least, best)


def _rank(found: Found) -> tuple[float, float]:
    return found.loosening, found.value


def _at(line: Line, rule: Rule, ends: Array) -> Array:
    """Return the axis at the rule's place, seen from the rule's centre, scaled."""
    at = line.place(rule.z)
    away: Array = (1 - at) * ends[:2] + at * ends[2:] - line.centre(rule)
    return away


def _kept(line: Line, rule: Rule, found: Found) -> bool:
    least = rule.limit / line.size - found.loosening - line.give()
    return norm(_at(line, rule, found.ends)) >= least


def _plane(line: Line, rule: Rule, angle: float, away: float) -> Plane:
    """Return the plane that keeps the axis beyond a distance from the rule's centre in a direction."""
    normal = np.array([math.cos(angle), math.sin(angle)])
    return Plane(rule.name, line.place(rule.z), normal, away + dot(normal, line.centre(rule)))


def _angle(line: Line, rule: Rule, ends: Array) -> float:
    x, y = _at(line, rule, ends)
    return math.atan2(y, x)


def _tangents(line: Line, least: Sequence[Rule], ends: Array) -> Found:
    """Return the best axis that tangents following it lead to."""
    best: Found | None = None
    for _ in range(ROUNDS):
        planes = [_plane(line, rule, _angle(line, rule, ends), rule.limit / line.size) for rule in least]
        found = solve(line, planes, ends)
        if best is not None and not _gains(found, best):
            break
        best, ends = found, found.ends
    assert best is not None
    return best


def _gains(found: Found, best: Found) -> bool:
    """Say whether a round gained more than the search itself leaves open."""
    if found.loosening > 0 or best.loosening > 0:
        return found.loosening < best.loosening * (1 - 1e-6)
    return found.value < best.value - GAP


def _sectors(line: Line, rule: Rule) -> list[Sector]:
    """Return the directions in which the axis can lie from the rule's centre, no sector wider than a quarter turn."""
    at = line.place(rule.z)
    middle = (1 - at) * line.middle[0] + at * line.middle[1] - line.centre(rule)
    reach, away = line.reach, norm(middle)
    half = math.asin(reach / away) if reach < away else math.pi
    towards = math.atan2(middle[1], middle[0])
    edges = np.linspace(towards - half, towards + half, 1 + math.ceil(half / (math.pi / 4)))
    return [(float(one), float(two)) for one, two in itertools.pairwise(edges)]


def _fence(line: Line, rule: Rule, sector: Sector) -> Iterator[Plane]:
    """Yield the planes round what is allowed in a sector: beyond the chord, between the two sides."""
    one, two = sector
    half = (two - one) / 2
    yield _plane(line, rule, one + half, rule.limit / line.size * math.cos(half))
    yield _plane(line, rule, one + math.pi / 2, 0.0)
    yield _plane(line, rule, two - math.pi / 2, 0.0)


def _proven(line: Line, least: Sequence[Rule], best: Found) -> Found:
    """Return the best axis with a bound that holds in all sectors of directions, bettered where a sector has better.

    What is bounded is the deposit or, where the best axis known breaks rules, the loosening.
    """
    barred, order = best.loosening > 0, itertools.count()
    goal = best.loosening * (1 - BARRED_NEAR) if barred else best.value - NEAR
    stop = {"barred": goal} if barred else {"hopeless": goal, "barred": 0.0}
    queue: list[tuple[float, int, tuple[Sector, ...]]] = [
        (-np.inf, next(order), pair) for pair in itertools.product(*(_sectors(line, rule) for rule in least))
    ]
    closed = [best.loosening if barred else best.value]
    for looked in range(NODES):
        if not queue or queue[0][0] >= goal:
            break
        sectors = heapq.heappop(queue)[2]
        fences = [plane for rule, sector in zip(least, sectors, strict=True) for plane in _fence(line, rule, sector)]
        found = solve(line, fences, best.ends, **stop)
        bound = found.forbidden if barred else found.bound if found.loosening <= 0 else np.inf
        if bound >= goal:
            closed.append(bound)
            continue
        if looked % 8 == 0:  # now and then, see whether tangents from here lead somewhere better
            other = _tangents(line, least, found.ends)
            if _gains(other, best):
                return _proven(line, least, other)
        for pair in _split(line, least, sectors, found.ends):
            heapq.heappush(queue, (bound, next(order), pair))
    proven = min([*closed, *(item[0] for item in queue)])
    return replace(best, forbidden=max(0.0, proven)) if barred else replace(best, bound=proven)


def _split(line: Line, least: Sequence[Rule], sectors: tuple[Sector, ...], ends: Array) -> list[tuple[Sector, ...]]:
    """Return the sectors with the one split in two in which the axis falls shortest, in the axis's direction."""
    short = [rule.limit / line.size - norm(_at(line, rule, ends)) for rule in least]
    worst = first_most(np.array(short), ALIKE)
    one, two = sectors[worst]
    part = ((_angle(line, least[worst], ends) - one) % (2 * math.pi)) / (two - one)
    cut = one + (two - one) * min(0.95, max(0.05, part))
    return [(*sectors[:worst], half, *sectors[worst + 1 :]) for half in ((one, cut), (cut, two))]
