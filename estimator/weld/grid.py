"""All plans of all bores at once: one broadcast grid over cases, current, whole turns and whole layers.

A case is one bore with one wire. What a choice of the grid leads to is computed again, in scalars, by the formulas, and
the two must agree.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from estimator.either import whole_up
from estimator.tables import Tables
from estimator.weld.arc import (
    arc_voltage,
    aspect_of,
    bead_area,
    bead_width,
    deposit_rate,
    heat_input,
    linear_density,
    wire_feed,
)
from estimator.weld.cases import Candidate, Case
from estimator.weld.technique import BOUNDED

__all__ = ["AIMS", "Array", "Bits", "Grid", "Mask", "Place"]

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]
Bits = npt.NDArray[np.uint8]
Place = tuple[int, int, int]
TURN_CHOICES, LAYER_CHOICES, CURRENT_CHOICES = 14, 3, 24
CLOSER = 16  # steps of the raster below a plan that a finer search looks at
FINER = 10  # steps of a finer search in one of the first
THICKER = (0, 1, 2, 5, 10, 20, 35, 60)  # steps of the raster above the thinnest layer that builds enough
CHOSEN = ("current", "step", "layers", "layer_thickness")
TIE = 1e-9  # relative: plans this near are equal, and the order of ties decides
AIMS = ("cost", "hours", "heat")


def _currents(case: Case, spacing: float) -> list[float]:
    if case.ask.current is not None:
        return [case.ask.current]
    must = case.windows["must"]["current"]
    low, high = max(case.wire.current_low, must.low), min(case.wire.current_high, must.high)
    if low > high:
        return [low]
    if case.near is not None:
        fine = [case.near.current + spacing * n / FINER for n in range(-FINER, FINER + 1)]
        return [amps for amps in fine if low * (1 - TIE) <= amps <= high * (1 + TIE)]
    count = min(int((high - low) / spacing * (1 + 1e-9)), CURRENT_CHOICES - 2)
    comfort = case.windows["comfort"]["current"]
    ends = [end for end in (comfort.low, comfort.high) if low <= end <= high]
    return _apart(sorted([*(low + spacing * n for n in range(count + 1)), high, *ends]))


def _apart(values: list[float]) -> list[float]:
    """Return rising values, of those that are the same to rounding only the last."""
    return [one for one, after in zip(values, [*values[1:], np.inf], strict=True) if after - one > TIE * one]


def _turns(case: Case) -> list[tuple[float, float]]:
    """Return whole turns over the bore's length, each with the step that it makes."""
    ask, steps = case.ask, case.windows["must"]["step"]
    if ask.step is not None:
        return [(float(whole_up(ask.length / ask.step)), ask.step)]
    fewest = max(1, int(whole_up(ask.length / steps.high)))
    most = max(fewest, int(ask.length / steps.low * (1 + 1e-9)))
    count = min(TURN_CHOICES, most - fewest + 1)
    reach = -(-(most - fewest) // max(1, count - 1))
    if case.near is not None:
        turns = int(whole_up(ask.length / case.near.step))
        about = range(max(fewest, turns - reach), min(most, turns + reach) + 1)
        return [(float(turns), ask.length / turns) for turns in about]
    chosen = {round(fewest + (most - fewest) * n / max(1, count - 1)) for n in range(count)}
    return [(float(turns), ask.length / turns) for turns in sorted(chosen)]


def _layers(case: Case, spacing: float) -> list[tuple[float, float]]:
    """Return numbers of layers with the thickness each is laid: round thicknesses that build enough.

    The thicknesses lie on one raster for all bores. What serves a deeper bore then serves a shallower one, so that
    more wear never comes out quicker.
    """
    ask, thickness = case.ask, case.windows["must"]["layer_thickness"]
    if ask.thickness is not None:
        return [(float(ask.layers or 1), ask.thickness)]
    fewest = max(1, int(case.windows["must"]["layers"].low), int(whole_up(ask.build / thickness.high)))
    counts = [fewest + n for n in range(LAYER_CHOICES)] if ask.layers is None else [ask.layers]
    pairs = []
    for count in counts:
        least = (ask.build + ask.skim * (count - 1)) / count
        steps = int(whole_up(max(least, thickness.low) / spacing))
        if case.near is not None:
            if count == case.near.layers:
                fine = [case.near.thickness - spacing * n for n in range(-CLOSER // 2, CLOSER)]
                pairs += [(float(count), each) for each in fine if each >= steps * spacing * (1 - TIE)]
            continue
        calm = case.windows["comfort"]["layer_thickness"]
        ends = [end for end in (calm.low, calm.high) if end >= steps * spacing]
        pairs += [(float(count), each) for each in [*((steps + n) * spacing for n in THICKER), *ends]]
    return pairs


def _padded(rows: list[list[float]]) -> Array:
    """Return rows of several lengths as one array; the last entry stands again where a row is short."""
    longest = max(map(len, rows))
    return np.array([row + row[-1:] * (longest - len(row)) for row in rows])


def _column(values: list[float]) -> Array:
    return np.array(values, dtype=float)[:, None, None, None]


class Grid:
    """All plans of all cases: axes case x current x turns x layers of a thickness."""

    def __init__(self, cases: Sequence[Case], facts: Tables) -> None:
        """Compute every plan at once."""
        self.cases = tuple(cases)
        spacing, self.run_over = facts.constant("grid_current"), self._asked("run_over")
        amps = _padded([_currents(case, spacing) for case in cases])[:, :, None, None]
        pairs = [_turns(case) for case in cases]
        self.turns = _padded([[turns for turns, _ in row] for row in pairs])[:, None, :, None]
        steps = _padded([[step for _, step in row] for row in pairs])[:, None, :, None]
        laid = [_layers(case, facts.constant("grid_thickness")) for case in cases]
        layers = _padded([[count for count, _ in row] for row in laid])[:, None, None, :]
        thickness = _padded([[each for _, each in row] for row in laid])[:, None, None, :]
        self.values: dict[str, Array] = {
            "current": amps,
            "step": steps,
            "layers": layers,
            "layer_thickness": thickness,
        }
        self._lay(facts)

    def _wire(self, name: str) -> Array:
        return _column([getattr(case.wire, name) for case in self.cases])

    def _asked(self, name: str) -> Array:
        return _column([getattr(case.ask, name) for case in self.cases])

    def _aspect(self, facts: Tables) -> Any:  # noqa: ANN401  # the formulas take arrays too
        return _column([aspect_of(case.wire, facts) for case in self.cases])

    def _lay(self, facts: Tables) -> None:
        """Fill in what each choice of current, step and layers leads to."""
        amps, steps, layers = self.values["current"], self.values["step"], self.values["layers"]
        linear, squared = self._wire("feed_linear"), self._wire("feed_squared")
        thickness, skim = self.values["layer_thickness"], self._asked("skim")
        feed = wire_feed(amps, linear, squared)  # type: ignore[arg-type] # the formulas take arrays too
        grams = _column([linear_density(case.wire) for case in self.cases])
        rate = deposit_rate(feed, grams, self._wire("efficiency"), self._wire("deposit_density"))  # type: ignore[arg-type] # formulas take arrays too
        area = bead_area(thickness, steps)  # type: ignore[arg-type] # formulas take arrays too
        travel: Array = np.asarray(rate / area)
        volts = arc_voltage(amps, self._wire("voltage_base"), self._wire("voltage_slope"))  # type: ignore[arg-type] # formulas take arrays too
        first = _column([case.ask.current or np.inf if case.first is None else case.first for case in self.cases])
        cooler = np.minimum(amps, first)
        self.first_travel: Array = np.asarray(travel * wire_feed(cooler, linear, squared) / feed)  # type: ignore[arg-type] # formulas take arrays too
        cleanup, built = self._asked("cleanup"), ((thickness - skim) * (layers**2 - 1) + thickness) / layers
        beads, share = layers * (self.turns + self.run_over), self._asked("share")
        path = beads * share * (np.pi * (cleanup - built))
        once = share * np.pi * (cleanup - np.where(layers > 1, thickness - skim, thickness))
        self.arc_time: Array = path / travel + once * (1 / self.first_travel - 1 / travel)
        self.time: Array = self.arc_time + self._asked("gap_time") * (layers - 1) + self._asked("bead_loss") * beads
        self.values |= {
            "travel_speed": travel,
            "bead_area": np.asarray(area),
            "step_ratio": np.asarray(steps / bead_width(area, self._aspect(facts))),
            "heat_input": np.asarray(heat_input(volts, amps, travel, facts.constant("arc_heat_share"))),  # type: ignore[arg-type] # formulas take arrays too
        }
        mass = path * area * self._wire("deposit_density") / self._wire("efficiency")
        self._weigh(mass, self.values["heat_input"] * travel * self.arc_time)

    def _weigh(self, wire_mass: Array, heat: Array) -> None:
        """Fill in what each plan is worth: expected hours, cost and heat, with the odds of rework."""
        time, wire, gas, odds, rework = (self._worth(name) for name in ("time", "wire", "gas", "odds", "rework"))
        excess = sum((self._excess(name) for name in BOUNDED), np.zeros((1, 1, 1, 1)))
        self.odds: Array = np.minimum(odds * excess, 1.0)
        again = self.odds * (rework * self.values["layers"] + self.arc_time)
        self.aims: dict[str, Array] = {
            "hours": self.time + again,
            "cost": time * (self.time + again) + wire * wire_mass + gas * self._worth("flow") * self.arc_time,
            "heat": heat * (1 + self.odds),
        }

    def _worth(self, name: str) -> Array:
        return _column([getattr(case.worth, name) for case in self.cases])

    def _excess(self, name: str) -> Array:
        """Return how far each plan lies between the comfortable window and what must be kept, as a share."""
        value, found = self.values[name], np.zeros((1, 1, 1, 1))
        for end, sign in (("low", -1.0), ("high", 1.0)):
            calm = _column([getattr(case.windows["comfort"][name], end) for case in self.cases])
            must = _column([getattr(case.windows["must"][name], end) for case in self.cases])
            if np.array_equal(calm, must):
                continue
            room = np.where(calm == must, np.inf, np.abs(must - calm))
            found = (
                found
                + np.where(calm == must, 0.0, np.maximum(0.0, sign * (value - np.where(calm == must, 0.0, calm))))
                / room
            )
        return found

    def broken(self, scope: str) -> Bits:
        """Return which windows of a scope each plan breaks, one bit a quantity in the order of `BOUNDED`."""
        bits: Bits = np.zeros((1, 1, 1, 1), dtype=np.uint8)
        for place, name in enumerate(BOUNDED):
            low = _column([case.windows[scope][name].least for case in self.cases])
            high = _column([case.windows[scope][name].most for case in self.cases])
            outside = (self.values[name] < low) | (self.values[name] > high)
            if name == "travel_speed":
                outside |= self.first_travel < low
            bits = bits | (outside.view(np.uint8) << np.uint8(place))
        return np.broadcast_to(bits, self.time.shape)

    def aim(self, case: int) -> Array:
        """Return what a case's plans are chosen by."""
        return self.aims[self.cases[case].aim][case]

    @staticmethod
    def freed(bits: Bits, by: Array) -> dict[str, float]:
        """Return, for each bounded quantity, the least of what plans are chosen by among those that break it alone."""
        aim = np.broadcast_to(by, bits.shape)
        return {name: float(np.where(bits == 1 << place, aim, np.inf).min()) for place, name in enumerate(BOUNDED)}

    def best(self, case: int, allowed: Mask, by: Array | None = None) -> Place | None:
        """Return the place of the best allowed plan; ties: fewer layers, then less current, then a longer step."""
        aim = np.where(allowed, self.aim(case) if by is None else by, np.inf)
        least = aim.min()
        if not np.isfinite(least):
            return None
        near = np.argwhere(aim <= least + TIE * abs(least))
        amps, steps, layers, _ = (self.values[name][case] for name in CHOSEN)
        i, j, k = min(near.tolist(), key=lambda at: (layers[0, 0, at[2]], amps[at[0], 0, 0], -steps[0, at[1], 0]))
        return i, j, k

    def at(self, case: int, place: Place) -> Candidate:
        """Return the plan at a place of a case's grid."""
        i, j, k = place
        amps, steps, layers, laid = (self.values[name][case] for name in CHOSEN)
        hours, cost, heat, odds = (
            float(np.broadcast_to(values[case], self.time[case].shape)[place])
            for values in (
                self.aims["hours"],
                self.aims["cost"],
                self.aims["heat"],
                np.broadcast_to(self.odds, self.time.shape),
            )
        )
        return Candidate(
            current=float(amps[i, 0, 0]),
            step=float(steps[0, j, 0]),
            layers=int(layers[0, 0, k]),
            thickness=float(laid[0, 0, k]),
            turns=int(self.turns[case, 0, j, 0] + self.run_over[case, 0, 0, 0]),
            arc_time=float(self.arc_time[case, i, j, k]),
            time=float(self.time[case, i, j, k]),
            hours=hours,
            cost=cost,
            heat=heat,
            odds=odds,
        )

    def value(self, name: str, case: int, place: Place) -> float:
        """Return a bounded quantity of the plan at a place of a case's grid."""
        return float(np.broadcast_to(self.values[name][case], self.time[case].shape)[place])
