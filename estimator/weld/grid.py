"""All plans of a bore with one wire, on axes of current, whole turns and whole layers: limits first, figures after.

What hangs on the current alone, or on turns and layers alone, is computed once for each; a plan that breaks a limit is
dropped before it is weighed. What a choice leads to is computed again, in scalars, by the formulas, and the two must
agree.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from estimator.tables import Tables
from estimator.weld.arc import (
    arc_voltage,
    aspect_of,
    bead_area,
    bead_height,
    bead_width,
    deposit_rate,
    heat_input,
    linear_density,
    wire_feed,
)
from estimator.weld.axes import TIE, currents_of, layers_of, turns_of
from estimator.weld.cases import Candidate, Case, Passes
from estimator.weld.ends import Shapes, ends_of
from estimator.weld.technique import BOUNDED, Window

__all__ = ["TIE", "Array", "Grid", "Mask", "Place", "Plans", "Worths", "passes_over"]

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]
Bits = npt.NDArray[np.uint8]
Place = tuple[int, int, int]
Places = npt.NDArray[np.intp]
CRUMB = 1e-9  # of a pass: what is deeper by less is no more passes
BIT = {name: np.uint8(1 << place) for place, name in enumerate(BOUNDED)}


@dataclass(frozen=True)
class Plans:
    """Some plans of a grid: where each stands on its axes (the current; turns and layers as one), and how it runs.

    `broken`: which limits each breaks, one bit a quantity in the order of `BOUNDED`.
    """

    amps: Places
    pairs: Places
    broken: Bits
    travel: Array
    first_travel: Array
    heat_input: Array

    def only(self, which: Mask | Places) -> "Plans":
        """Return some of the plans."""
        return Plans(
            amps=self.amps[which],
            pairs=self.pairs[which],
            broken=self.broken[which],
            travel=self.travel[which],
            first_travel=self.first_travel[which],
            heat_input=self.heat_input[which],
        )


@dataclass(frozen=True)
class Worths:
    """What plans take and are worth: arc time, time with it, expected hours [s], cost, heat [J], odds of rework.

    `ways`: which way of laying the ends is the cheapest of those that clean up.
    """

    arc_time: Array
    time: Array
    hours: Array
    cost: Array
    heat: Array
    odds: Array
    ways: Places

    def by(self, aim: str) -> Array:
        """Return what plans are chosen by."""
        return {"cost": self.cost, "hours": self.hours, "heat": self.heat}[aim]


def passes_over(over: Array, one: Passes) -> Array:
    """Return how many more passes than usual boring takes for an overbuild a side. [m]"""
    counts = [np.ceil(depth / one.deepest - CRUMB) for depth in (one.usual - one.allowed + over, np.array(one.usual))]
    found: Array = np.maximum(counts[0] - counts[1], 0.0)
    return found


def _outside(value: Array, window: Window) -> Mask:
    found: Mask = (value < window.least) | (value > window.most)
    return found


class Grid:
    """The axes of one case, with what hangs on the current, and on turns and layers (as one flat axis)."""

    def __init__(self, case: Case, facts: Tables) -> None:
        """Lay out the axes."""
        ask, wire, self.case = case.ask, case.wire, case
        turns = turns_of(case)
        layers = layers_of(case, facts.constant("grid_thickness"))
        self.shape = (0, len(turns), len(layers))
        self._by_current(currents_of(case, facts.constant("grid_current")), float(facts.constant("arc_heat_share")))
        self.turns = np.repeat(np.array([float(one) for one, _ in turns]), len(layers))
        self.steps = np.repeat(np.array([float(step) for _, step in turns]), len(layers))
        self.layers = np.tile(np.array([float(count) for count, _ in layers]), len(turns))
        self.laid = np.tile(np.array([float(each) for _, each in layers]), len(turns))
        self.area: Array = np.asarray(bead_area(self.laid, self.steps))  # pyrefly: ignore[bad-argument-type] # formulas take arrays too
        width: Array = np.asarray(bead_width(self.area, float(aspect_of(wire, facts))))  # pyrefly: ignore[bad-argument-type] # formulas take arrays too
        self.ratio: Array = np.asarray(self.steps / width)
        skim, cleanup, share = float(ask.skim), float(ask.cleanup), float(ask.share)
        height: Array = np.asarray(bead_height(self.area, width))  # pyrefly: ignore[bad-argument-type] # formulas take arrays too
        self.ends = ends_of(ask, Shapes(self.turns, self.layers, self.laid, self.steps, width, height))
        self.clean: Mask = np.any([one.fits for one in self.ends], axis=0)
        self.once = share * np.pi * (cleanup - np.where(self.layers > 1, self.laid - skim, self.laid))

    def _by_current(self, currents: list[float], heat_share: float) -> None:
        """Note feed, rate and heat at each current."""
        case, wire = self.case, self.case.wire
        linear, squared = float(wire.feed_linear), float(wire.feed_squared)
        self.current: Array = np.array([float(one) for one in currents])
        self.shape = (len(currents), *self.shape[1:])
        self.feed: Array = np.asarray(wire_feed(self.current, linear, squared))  # pyrefly: ignore[bad-argument-type] # formulas take arrays too
        first = float(case.ask.current or np.inf) if case.first is None else float(case.first)
        self.first_feed: Array = np.asarray(wire_feed(np.minimum(self.current, first), linear, squared))  # pyrefly: ignore[bad-argument-type] # formulas take arrays too
        figures = float(linear_density(wire)), float(wire.efficiency), float(wire.deposit_density)
        self.rate: Array = np.asarray(deposit_rate(self.feed, *figures))  # pyrefly: ignore[bad-argument-type] # formulas take arrays too
        volts = arc_voltage(self.current, float(wire.voltage_base), float(wire.voltage_slope))  # pyrefly: ignore[bad-argument-type] # formulas take arrays too
        self.heat: Array = np.asarray(heat_input(volts, self.current, 1.0, heat_share))  # pyrefly: ignore[bad-argument-type] # formulas take arrays too

    def _flat(self, scope: str) -> tuple[Bits, Bits]:
        """Return which windows of a scope are broken by each current, and by each pair of turns and layers."""
        windows = self.case.windows[scope]
        own: Bits = _outside(self.current, windows["current"]) * BIT["current"]
        values = {"step": self.steps, "step_ratio": self.ratio, "layer_thickness": self.laid}
        values |= {"bead_area": self.area, "layers": self.layers}
        pairs: Bits = np.zeros(len(self.area), dtype=np.uint8)
        for name, value in values.items():
            pairs |= _outside(value, windows[name]) * BIT[name]
        if scope == "must":
            pairs |= ~self.clean * BIT["step_ratio"]  # ends that no way fills, or valleys: the beads lie too far apart
        return own, pairs

    def plans(self, spare: int, scope: str = "must") -> Plans:
        """Return the plans that break no more limits of a scope than that, in the order of the axes."""
        own, both = self._flat(scope)
        amps, pairs = (np.flatnonzero(np.bitwise_count(bits) <= spare) for bits in (own, both))
        whole = self._crossed(amps, pairs, own, both, scope)
        return whole.only(np.bitwise_count(whole.broken) <= spare)

    def at(self, places: Sequence[Place]) -> Plans:
        """Return the plans at some places on the axes, one after the other."""
        own, both = self._flat("must")
        amps, pairs = np.array([(i, j * self.shape[2] + k) for i, j, k in places]).T
        whole = self._crossed(amps, pairs, own, both, "must")
        return whole.only(np.arange(len(places)) * (len(places) + 1))  # each current with its own pair

    def _crossed(self, amps: Places, pairs: Places, own: Bits, both: Bits, scope: str) -> Plans:
        """Return the plans of some currents with some pairs, each with each."""
        travel = self.rate[amps, None] / self.area[None, pairs]
        first = travel * self.first_feed[amps, None] / self.feed[amps, None]
        heat = self.heat[amps, None] / travel
        windows = self.case.windows[scope]
        slow = _outside(travel, windows["travel_speed"]) | (first < windows["travel_speed"].least)
        bits: Bits = own[amps, None] | both[None, pairs] | slow * BIT["travel_speed"]
        bits |= _outside(heat, windows["heat_input"]) * BIT["heat_input"]
        return Plans(
            amps=np.repeat(amps, len(pairs)),
            pairs=np.tile(pairs, len(amps)),
            broken=bits.ravel(),
            travel=travel.ravel(),
            first_travel=first.ravel(),
            heat_input=heat.ravel(),
        )

    def easy(self, plans: Plans) -> bool:
        """Return whether any of some plans lies within every comfortable window."""
        own, both = self._flat("comfort")
        calm = plans.only((own[plans.amps] | both[plans.pairs]) == 0)
        windows = self.case.windows["comfort"]
        slow = _outside(calm.travel, windows["travel_speed"]) | (calm.first_travel < windows["travel_speed"].least)
        return not bool(np.all(slow | _outside(calm.heat_input, windows["heat_input"])))

    def worths(self, plans: Plans) -> Worths:
        """Return what plans take and are worth, with the odds of rework."""
        ask, wire, worth, pairs = self.case.ask, self.case.wire, self.case.worth, plans.pairs
        ways = self._ways(plans)
        path, beads = (self._of_ways(name, ways, pairs) for name in ("path", "beads"))
        layers, once = self.layers[pairs], np.array([float(one.way.time) for one in self.ends])[ways]
        arc_time = path / plans.travel + self.once[pairs] * (1 / plans.first_travel - 1 / plans.travel)
        time = arc_time + float(ask.gap_time) * (layers - 1) + float(ask.bead_loss) * beads + once + float(ask.once)
        mass = path * self.area[pairs] * float(wire.deposit_density)
        odds: Array = np.minimum(float(worth.odds) * self._excess(plans), 1.0)
        hours = time + odds * (float(worth.rework) * layers + arc_time)
        heat = plans.heat_input * plans.travel * arc_time
        cost = worth.time * hours + worth.mass * mass + worth.arc * arc_time + worth.layer * layers + worth.heat * heat
        if worth.passes is not None:
            more = self._passes(worth.passes)[pairs]
            hours, cost = hours + more * worth.passes.time, cost + more * worth.passes.worth
        return Worths(
            arc_time=arc_time, time=time, hours=hours, cost=cost, heat=heat * (1 + odds), odds=odds, ways=ways
        )

    def _passes(self, one: Passes) -> Array:
        """Return how many more passes boring takes for what turns and layers come out inside the weld bore."""
        ask = self.case.ask
        over = self.laid * self.layers - float(ask.skim) * (self.layers - 1) - float(ask.build)
        return passes_over(over, one)

    def _ways(self, plans: Plans) -> Places:
        """Return which way of laying the ends costs least, in time, wire and gas, of those that clean up."""
        plain, worth, wire = self.ends[0], self.case.worth, self.case.wire
        found: Places = np.zeros(len(plans.pairs), dtype=np.intp)
        due = np.flatnonzero((plain.dwells > 0)[plans.pairs])
        if len(self.ends) == 1 or not len(due):
            return found
        pairs, travel, costs = plans.pairs[due], plans.travel[due], []
        metre = (worth.time + worth.arc) / travel + worth.mass * float(wire.deposit_density) * self.area[pairs]
        metre = metre + worth.heat * plans.heat_input[due]
        for one in self.ends:
            lost = float(self.case.ask.bead_loss) * one.beads[pairs] + float(one.way.time)
            costs.append(np.where(one.fits[pairs], metre * one.path[pairs] + float(worth.time) * lost, np.inf))
        found[due] = np.argmin(costs, axis=0)
        return found

    def _of_ways(self, name: str, ways: Places, pairs: Places) -> Array:
        """Return what each plan's own way of laying the ends takes: its path or its beads."""
        value: Array = np.stack([getattr(one, name) for one in self.ends])[ways, pairs]
        return value

    def _excess(self, plans: Plans) -> Array:
        """Return how far plans lie between comfortable windows and what must be kept, as a share, all added up."""
        found = np.zeros(len(plans.travel))
        for name in BOUNDED:
            own: Array | None = None
            for end, sign in (("low", -1.0), ("high", 1.0)):
                calm, must = (float(getattr(self.case.windows[scope][name], end)) for scope in ("comfort", "must"))
                if calm != must:
                    part = np.maximum(0.0, sign * (self.value(name, plans) - calm)) / abs(must - calm)
                    own = part if own is None else own + part
            if own is not None:
                found = found + own
        return found

    def value(self, name: str, plans: Plans) -> Array:
        """Return a bounded quantity of plans."""
        if name == "current":
            return self.current[plans.amps]
        if name in ("travel_speed", "heat_input"):
            return plans.travel if name == "travel_speed" else plans.heat_input
        flat = {"step": self.steps, "step_ratio": self.ratio, "layer_thickness": self.laid}
        return {**flat, "bead_area": self.area, "layers": self.layers}[name][plans.pairs]

    def values(self, plans: Plans, number: int) -> dict[str, float]:
        """Return the bounded quantities of one of some plans."""
        return {name: float(self.value(name, plans)[number]) for name in BOUNDED}

    def place(self, plans: Plans, number: int) -> Place:
        """Return where one of some plans stands: number of current, of turns, of layers."""
        turns, layers = divmod(int(plans.pairs[number]), self.shape[2])
        return int(plans.amps[number]), turns, layers

    def best(self, plans: Plans, by: Array) -> int | None:
        """Return which of some plans is best; ties: fewer layers, then less current, then a longer step."""
        if not len(by):
            return None
        least = by.min()
        if not np.isfinite(least):
            return None
        near = np.flatnonzero(by <= least + TIE * abs(least))
        if len(near) == 1:
            return int(near[0])
        amps, pairs = plans.amps[near], plans.pairs[near]
        keys = zip(self.layers[pairs], self.current[amps], -self.steps[pairs], near.tolist(), strict=True)
        return min(keys, key=lambda one: one[:3])[3]

    def candidate(self, plans: Plans, worths: Worths, number: int) -> Candidate:
        """Return one of some plans, with what it is worth."""
        i, pair, ends = plans.amps[number], plans.pairs[number], self.ends[worths.ways[number]]
        return Candidate(
            current=float(self.current[i]),
            step=float(self.steps[pair]),
            layers=int(self.layers[pair]),
            thickness=float(self.laid[pair]),
            turns=int(self.turns[pair] + float(ends.way.turns_over)),
            arc_time=float(worths.arc_time[number]),
            time=float(worths.time[number]),
            hours=float(worths.hours[number]),
            cost=float(worths.cost[number]),
            heat=float(worths.heat[number]),
            odds=float(worths.odds[number]),
            dwells=int(ends.dwells[pair]),
            way=ends.way,
        )
