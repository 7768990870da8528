"""How the boring bar is held where it cuts a bore, and from which side the torch comes.

A bar turns in bearings that stand beside the bores of its line: before the first face, in gaps that are wide enough,
beyond the last face where that side is open. Places are counted along the line, from the machine's side.
"""

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from estimator.formula import choice, difference, formula

__all__ = ["SLACK", "Block", "Room", "Span", "along", "bearings_of", "held", "worst_place"]

SLACK = 1e-9  # relative


@dataclass(frozen=True)
class Span:
    """Distances from the insert, at its worst place in the bore, to the bearings. [m]

    `before`: to the bearing on the machine's side; `after`: to the one on the far side, None where the bar is overhung.
    """

    before: float
    after: float | None


@dataclass(frozen=True)
class Block:
    """A boss on the line: where it begins and ends, and the room before and beyond it (None: not said). [m]"""

    start: float
    end: float
    machine: float | None = None
    far: float | None = None
    blind: bool = False


@dataclass(frozen=True)
class Room:
    """What a bearing and the drive take along the bar: usual distance from a face, own room, the drive's room. [m]"""

    stand: float
    bearing: float
    drive: float

    def stand_in(self, room: float | None) -> float | None:
        """Return how far from a face a bearing's middle stands in some room; None where there is too little. [m]"""
        if room is None:
            return self.stand
        return (
            None if room < self.bearing * (1 - SLACK) else min(self.stand, max(room, self.bearing) - self.bearing / 2)
        )


@formula(
    "insert", "beam tables: a load on two supports bends the bar by F a² b² / (3 E I l), most where a b is", unit="m"
)
def worst_place(bearing_before: float, bearing_after: float, start: float, end: float) -> float:
    """Place in the bore where a bar between two bearings gives way most: as near their middle as the bore is. [m]"""
    return min(max((bearing_before + bearing_after) / 2, start), end)


def _in_gap(gap: float, beyond: float | None, before: float | None, room: Room) -> list[float]:
    """Return where bearings stand in a gap, from its machine-side end: two, one that serves both bores, or none. [m]

    `beyond` and `before` are the free rooms in front of the two faces.
    """
    half, want = room.bearing / 2, room.stand
    left, right = (min(gap, gap if one is None else one) for one in (beyond, before))
    first = None if room.stand_in(left) is None else min(want, max(half, left - half))
    last = None if room.stand_in(right) is None else gap - min(want, max(half, right - half))
    if first is None or last is None:
        return [one for one in (first, last) if one is not None]
    if last - first >= room.bearing * (1 - SLACK):
        return [first, last]
    low, high = gap - right + half, left - half
    if low <= high * (1 + SLACK):
        return [min(max(gap / 2, low), max(low, high))]
    return [min(first, last, key=lambda one: abs(one - gap / 2))]


def bearings_of(blocks: Sequence[Block], room: Room) -> list[float]:
    """Return where the bearings of a line stand along it, blocks in their order from the machine's side. [m]"""
    first, last = blocks[0], blocks[-1]
    beside = room.stand_in(first.machine)
    found = [first.start - (room.stand if beside is None else beside)]
    end = first.end
    for one, other in itertools.pairwise(blocks):
        end = max(end, one.end)
        gap = max(0.0, other.start - end)
        found += [end + place for place in _in_gap(gap, one.far, other.machine, room)]
    beyond = None if last.blind else room.stand_in(last.far)
    return found if beyond is None else [*found, max(end, last.end) + beyond]


def held(block: Block, start: float, end: float, bearings: Iterable[float]) -> tuple[Span, float]:
    """Return how the bar is held in a bore from `start` to `end` along the line, within its block, and the insert. [m]

    The insert's place is that in the bore at which the bar gives way most.
    """
    places = list(bearings)
    near = max(place for place in places if place <= block.start)
    far = min((place for place in places if place >= block.end), default=None)
    one = along(near, "bearing", "nearest bearing on the machine's side of the bore")
    if far is None:
        tip = along(end, "insert", "an overhung bar gives way most at the far end of the bore")
        return Span(difference(tip, one), None), tip
    other = along(far, "bearing", "nearest bearing on the far side of the bore")
    ends = along(start, "start", "machine-side end of the bore"), along(end, "end", "far end of the bore")
    tip = worst_place(one, other, *ends)
    return Span(difference(tip, one), difference(other, tip)), tip


def along(place: float, name: str, reason: str) -> float:
    """Return a place along a line with the reason why it was taken. [m]"""
    return choice(place, name, f"{reason}, along the line from its machine-side end", unit="m")
