"""How many bearings hold the bar of a line: two outer ones, and one more where that pays or no bar does without it.

The places that a bearing may take are known (`span.bearings_of`). Two outer ones are what a crew usually rigs; one more
goes where it stiffens the bar most, and so on until it does not pay any more.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import reduce

from estimator.cut.span import SLACK, Block, Span, held

__all__ = ["Rigged", "Seat", "Weight", "Weights", "rigged"]

OUTER = 2  # bearings that a crew usually rigs
MOST_TRIED = 7  # places of one more bearing, those nearest to the middle between two others


@dataclass(frozen=True)
class Seat:
    """A bore as the bar passes it: its number in the job, its boss, and where it begins and ends along the line. [m]"""

    number: int
    block: Block
    start: float
    end: float


@dataclass(frozen=True)
class Weight:
    """What the boring of some bores comes to with the bar held in one way.

    `unreached`: bores that no bar reaches; `bent`: bores that come out wrong for a bar that bends; `cost`: in money;
    `light`: bores with a cut that is lighter for the bar's sake.
    """

    unreached: int = 0
    bent: int = 0
    cost: float = 0.0
    light: int = 0

    def __add__(self, other: "Weight") -> "Weight":
        return Weight(
            self.unreached + other.unreached,
            self.bent + other.bent,
            self.cost + other.cost,
            self.light + other.light,
        )

    def sound(self) -> bool:
        """Return whether every bore can be bored to size."""
        return not self.unreached and not self.bent

    def below(self, other: "Weight") -> bool:
        """Return whether this is the better way: fewer bores left wrong, then less cost."""
        here, there = (self.unreached, self.bent), (other.unreached, other.bent)
        return here < there or (here == there and self.cost < other.cost * (1 - SLACK))


@dataclass(frozen=True)
class Weights:
    """How ways to hold the bar are weighed: boring of a bore, how limber the bar is there (None: no bar), a bearing."""

    boring: Callable[[int, Span], Weight]
    limber: Callable[[int, Span], float | None]
    bearing: float


@dataclass(frozen=True)
class Rigged:
    """The places of the bearings of a line along it [m], and what each number of bearings that was tried comes to."""

    places: tuple[float, ...]
    tried: tuple[tuple[int, float], ...] = ()


@dataclass(frozen=True)
class _Stretch:
    """The bar from one bearing to the next, None: its free end; the bores on it, and where else a bearing could be."""

    near: float
    far: float | None
    seats: tuple[Seat, ...]
    left: tuple[float, ...]

    def spans(self) -> list[tuple[int, Span]]:
        """Return how the bar is held in each bore of the stretch."""
        ends = [self.near] if self.far is None else [self.near, self.far]
        return [(one.number, held(one.block, one.start, one.end, ends)[0]) for one in self.seats]

    def split(self, place: float) -> tuple["_Stretch", "_Stretch"]:
        """Return the two stretches that one more bearing makes of this one."""
        before, after = (tuple(x for x in self.seats if (x.block.end <= place) is side) for side in (True, False))
        low, high = (tuple(x for x in self.left if (x < place) is side and x != place) for side in (True, False))
        return _Stretch(self.near, place, before, low), _Stretch(place, self.far, after, high)


def rigged(places: Sequence[float], seats: Sequence[Seat], weights: Weights) -> Rigged:
    """Return where the bearings of a line stand.

    Parameters
    ----------
    places
        Where bearings may stand along the line, from the machine's side on. [m]
    seats
        The bores on the line.
    weights
        How ways to hold the bar are weighed.
    """
    if len(places) <= OUTER:
        return Rigged(tuple(places))
    now = _outer(places, seats)
    best, least = now, _whole(now, weights)
    tried = [(_count(now), least.cost)]
    weight = least
    while not weight.sound() or weight.light:  # else a stiffer bar saves nothing
        if (more := _stiffer(now, weights)) is None:
            break
        now, weight = more, _whole(more, weights)
        tried.append((_count(now), weight.cost))
        if weight.below(least):
            best, least = now, weight
        elif least.sound():
            break
    return Rigged(_places(best), tuple(tried))


def _outer(places: Sequence[float], seats: Sequence[Seat]) -> list[_Stretch]:
    """Return the bar of a line on its two outer bearings, with what stands out beyond the last one."""
    first, last = places[0], places[-1]
    between = tuple(one for one in seats if one.block.end <= last)
    beyond = tuple(one for one in seats if one.block.end > last)
    whole = _Stretch(first, last, between, tuple(places[1:-1]))
    return [whole, _Stretch(last, None, beyond, ())] if beyond else [whole]


def _places(stretches: Sequence[_Stretch]) -> tuple[float, ...]:
    """Return where bearings stand that hold the bar in a bore; others between undamaged bores come to nothing. [m]"""
    ends = (end for one in stretches if one.seats for end in (one.near, one.far))
    return tuple(dict.fromkeys(end for end in ends if end is not None))


def _count(stretches: Sequence[_Stretch]) -> int:
    return len(_places(stretches))


def _whole(stretches: Sequence[_Stretch], weights: Weights) -> Weight:
    """Return what a line comes to with its bar held in one way."""
    bores = [weights.boring(number, span) for one in stretches for number, span in one.spans()]
    return reduce(Weight.__add__, bores, Weight(cost=_count(stretches) * weights.bearing))


Held = tuple[float, float, float]  # what `_limber` answers


def _limber(stretches: Sequence[_Stretch], weights: Weights) -> Held:
    """Return how ill some stretches hold: bores that no bar reaches, bar over those [m], how limber in others [m/N]."""
    spans = [(span, weights.limber(number, span)) for one in stretches for number, span in one.spans()]
    far = [span.before + (span.after or 0.0) for span, limber in spans if limber is None]
    return float(len(far)), sum(far), sum(limber for _, limber in spans if limber is not None)


def _stiffer(stretches: Sequence[_Stretch], weights: Weights) -> list[_Stretch] | None:
    """Return the bar with one more bearing, where it stiffens the bar most; None where none stiffens it."""
    best, most = None, (0.0, 0.0, 0.0)
    for at, stretch in enumerate(stretches):
        if stretch.far is None:
            continue
        now, middle = _limber([stretch], weights), (stretch.near + stretch.far) / 2
        for place in sorted(stretch.left, key=lambda one: abs(one - middle))[:MOST_TRIED]:
            halves = stretch.split(place)
            gain = _gain(now, _limber(halves, weights))
            if _above(gain, most):
                best, most = [*stretches[:at], *halves, *stretches[at + 1 :]], gain
    return best


def _gain(now: Held, then: Held) -> Held:
    """Return how much better a bar is held, part by part; what rounds alike is no gain."""
    first, second, third = (
        0.0 if abs(one - other) <= SLACK * max(one, other) else one - other
        for one, other in zip(now, then, strict=True)
    )
    return first, second, third


def _above(gain: Held, most: Held) -> bool:
    """Return whether one gain is above another: by the first part in which they differ by more than rounding."""
    for one, other in zip(gain, most, strict=True):
        if abs(one - other) > SLACK * max(abs(one), abs(other)):
            return one > other
    return False
