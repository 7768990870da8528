"""The shop's own arc: pairs of current and wire feed off its own machine and one test bead calibrate a wire's row."""

import itertools
import math
from collections.abc import Mapping
from typing import Annotated

from pydantic import Field

from estimator.errors import Fault, nearest
from estimator.fields import Current, Document, Length, Speed
from estimator.tables import Tables
from estimator.tables.rows import Wire
from estimator.units import deci

__all__ = ["OwnArc", "calibrated", "fitted", "own_arc_faults", "section_share"]

WIDE = 1.5  # highest over lowest current of the pairs from which on they tell the law's bend and not its size alone
FAR = 2.0  # a feed this many times the charts', or that part of it, is a slip of unit or decimal point
NOISE = 0.05  # share by which an ammeter wavers: pairs nearer than that are one current
STRAY = 0.2  # share by which one pair may lie off the law through all
FLAT, TALL = 10.0, 1.0  # ends of width over height of a bead
SECTION = 1.6  # test bead's section over what the wire lays, or the other way round: beyond it a figure is wrong


class Pair(Document):
    """One reading off the shop's own machine: current while welding, and the feed that was timed."""

    current: Current
    feed: Speed


class Bead(Document):
    """One bead laid on scrap at one setting, and its size."""

    current: Current
    travel: Speed
    width: Length
    height: Length


class OwnArc(Document):
    """What one shop measured with one wire."""

    pairs: Annotated[tuple[Pair, ...], Field(min_length=3, max_length=50)]
    bead: Bead | None = None


def _one(pairs: tuple[Pair, ...], wire: Wire) -> tuple[float, float]:
    """Return the row's law times one factor, by least squares."""
    law = [wire.feed_linear * p.current + wire.feed_squared * p.current**2 for p in pairs]
    share = sum(v * p.feed for v, p in zip(law, pairs, strict=True)) / sum(v * v for v in law)
    return wire.feed_linear * share, wire.feed_squared * share


def fitted(pairs: tuple[Pair, ...], wire: Wire) -> tuple[float, float, int]:
    """Return the feed law (per ampere, per ampere squared) by least squares through pairs, and how many were fitted.

    Pairs that lie close together in current tell how large the law is, not how it bends: the row's bend is kept then.
    Neither part comes out below zero. [m/s/A, m/s/A²]
    """
    currents = [p.current for p in pairs]
    if max(currents) < WIDE * min(currents):
        return *_one(pairs, wire), 1
    two, three, four = (sum(i**power for i in currents) for power in (2, 3, 4))
    by_one, by_two = (sum(p.feed * p.current**power for p in pairs) for power in (1, 2))
    size = two * four - three**2
    linear, squared = (by_one * four - by_two * three) / size, (by_two * two - by_one * three) / size
    if squared < 0:
        return by_one / two, 0.0, 1
    return (0.0, by_two / four, 1) if linear < 0 else (linear, squared, 2)


def _off(pair: Pair, law: tuple[float, float]) -> float:
    return (law[0] * pair.current + law[1] * pair.current**2) / pair.feed - 1


def calibrated(wire: Wire, own: OwnArc, facts: Tables) -> Wire:
    """Return a wire's row as the shop's own readings have it; the rest of the row stays."""
    linear, squared, parts = fitted(own.pairs, wire)
    free = len(own.pairs) - parts
    rms = math.sqrt(sum(_off(pair, (linear, squared)) ** 2 for pair in own.pairs) / free)
    scatter = max(facts.plain_constant("coverage_factor") * rms, facts.plain_constant("own_arc_scatter"))
    source = f"least squares through {len(own.pairs)} pairs of the shop's own machine (price book, own_arc)"
    changes = {"feed_linear": linear, "feed_squared": squared, "feed_scatter": min(scatter, 1.0)}
    if own.bead is not None:
        changes["bead_aspect"] = own.bead.width / own.bead.height
        source += " and its test bead"
    return wire.model_copy(update={**changes, "source": f"{source}; else {wire.source}", "mark": "computed"})


def own_arc_faults(owns: Mapping[str, OwnArc], facts: Tables) -> list[Fault]:
    """Return what cannot be true of a shop's own arc, each at its key."""
    faults, known = list[Fault](), facts.rows("wires")
    for name, own in owns.items():
        wire, path = known.get(name), f"own_arc.{name}"
        if not isinstance(wire, Wire):
            near = ", ".join(nearest(name, known)) or ", ".join(sorted(known)[:3])
            faults.append(Fault(path, f"no such row in tables.wires; near: {near}"))
            continue
        found = _pair_faults(own, wire, path)
        faults += found or _bead_faults(own, wire, path)
    return faults


def _pair_faults(own: OwnArc, wire: Wire, path: str) -> list[Fault]:
    """Return which pairs cannot stand: far off the charts, out of order, or off the law through all of them."""
    faults = []
    for number, pair in enumerate(own.pairs):
        usual = wire.feed_linear * pair.current + wire.feed_squared * pair.current**2
        if not usual / FAR <= pair.feed <= usual * FAR:
            said = f"{_feed(pair.feed)} at {_amps(pair.current)} is {pair.feed / usual:.2g} times what charts print"
            faults.append(Fault(f"{path}.pairs.{number}.feed", f"{said}, {_feed(usual)}; check unit and decimal point"))
    places = sorted(range(len(own.pairs)), key=lambda n: (own.pairs[n].current, own.pairs[n].feed))
    for before, after in itertools.pairwise(places):
        one, other = own.pairs[before], own.pairs[after]
        if other.feed <= one.feed and other.current > one.current * (1 + NOISE):
            said = f"{_feed(other.feed)} is no more than at {_amps(one.current)}; the feed rises with the current"
            faults.append(Fault(f"{path}.pairs.{after}.feed", said))
    if max(p.current for p in own.pairs) <= (1 + NOISE) * min(p.current for p in own.pairs):
        faults.append(Fault(f"{path}.pairs", "all stand at one current; read the feed at three currents, well apart"))
    if faults:
        return faults
    linear, squared, _ = fitted(own.pairs, wire)
    worst = max(range(len(own.pairs)), key=lambda n: abs(_off(own.pairs[n], (linear, squared))))
    off = _off(own.pairs[worst], (linear, squared))
    if abs(off) <= STRAY:
        return []
    said = f"lies {abs(off):.0%} off the law through all pairs; read it again, at one tip distance and voltage"
    return [Fault(f"{path}.pairs.{worst}.feed", said)]


def _bead_faults(own: OwnArc, wire: Wire, path: str) -> list[Fault]:
    """Return why a test bead cannot stand: no bead has that shape, or its section is not what the wire lays."""
    if own.bead is None:
        return []
    shape, share = own.bead.width / own.bead.height, section_share(own, wire)
    if not TALL <= shape <= FLAT:
        said = f"is {shape:.2g} times as wide as high; a bead is {TALL:g} to {FLAT:g} times; check width and height"
        return [Fault(f"{path}.bead", said)]
    if not 1 / SECTION <= share <= SECTION:
        said = f"its section, 2/3 of width times height, is {share:.2g} times what the wire lays at that travel"
        return [Fault(f"{path}.bead", f"{said}; check current, travel, width and height")]
    return []


def section_share(own: OwnArc, wire: Wire) -> float:
    """Return a test bead's section, as a parabola, over what the wire lays at its current and travel. [-]"""
    assert own.bead is not None  # the caller asks of a bead that was laid
    linear, squared, _ = fitted(own.pairs, wire)
    grams = wire.linear_density or math.pi / 4 * wire.diameter**2 * wire.deposit_density
    feed = linear * own.bead.current + squared * own.bead.current**2
    laid = feed * grams * wire.efficiency / wire.deposit_density / own.bead.travel
    return 2 / 3 * own.bead.width * own.bead.height / laid


def _feed(value: float) -> str:
    return f"{deci(value, 'm/min'):.3g} m/min"


def _amps(value: float) -> str:
    return f"{deci(value, 'A'):.4g} A"
