"""The search for layer plans: one broadcast grid over cases, current, whole turns and whole layers, limits as masks.

A case is one bore with one wire. The search only chooses. What a choice leads to is computed again, in scalars, by the
formulas, and the two must agree.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from estimator.either import whole_up
from estimator.tables import Tables
from estimator.tables.rows import Wire
from estimator.weld.arc import arc_voltage, bead_area, bead_width, deposit_rate, heat_input, linear_density, wire_feed
from estimator.weld.technique import BOUNDED, Situation, Windows

__all__ = ["Ask", "Candidate", "Case", "Grid", "search"]

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]
Bits = npt.NDArray[np.uint8]
TURN_CHOICES, LAYER_CHOICES, THICKNESS_CHOICES, CURRENT_CHOICES = 7, 3, 6, 24
CHOSEN = ("current", "step", "layers", "layer_thickness")
TIE = 1e-9  # relative: plans this near in time are equal, and the order of ties decides


@dataclass(frozen=True)
class Ask:
    """What a plan must do: build up `build` a side over `length` from `cleanup`, with what the user pinned. [SI]

    `share`: share of the clock built up; `bead_loss`: time that each bead costs besides its arc.
    """

    build: float
    length: float
    cleanup: float
    skim: float
    gap_time: float
    current: float | None = None
    step: float | None = None
    layers: int | None = None
    share: float = 1.0
    bead_loss: float = 0.0


@dataclass(frozen=True)
class Case:
    """One bore with one wire: the ask, the wire, the windows that hold, the current of a cooler first bead."""

    ask: Ask
    wire: Wire
    windows: Windows
    first: float | None
    here: Situation


@dataclass(frozen=True)
class Candidate:
    """One plan of the grid: what to set, and the time that the search weighed."""

    current: float
    step: float
    layers: int
    thickness: float
    turns: int
    arc_time: float
    time: float


def _currents(case: Case, spacing: float) -> list[float]:
    if case.ask.current is not None:
        return [case.ask.current]
    must = case.windows["must"]["current"]
    low, high = max(case.wire.current_low, must.low), min(case.wire.current_high, must.high)
    if low > high:
        return [low]
    count = min(int((high - low) / spacing * (1 + 1e-9)), CURRENT_CHOICES - 2)
    comfort = case.windows["comfort"]["current"]
    ends = [end for end in (comfort.low, comfort.high) if low <= end <= high]
    return sorted({*(low + spacing * n for n in range(count + 1)), high, *ends})


def _turns(case: Case) -> list[tuple[float, float]]:
    """Return whole turns over the bore's length, each with the step that it makes."""
    ask, steps = case.ask, case.windows["must"]["step"]
    if ask.step is not None:
        return [(float(whole_up(ask.length / ask.step)), ask.step)]
    fewest = max(1, int(whole_up(ask.length / steps.high)))
    most = max(fewest, int(ask.length / steps.low * (1 + 1e-9)))
    count = min(TURN_CHOICES, most - fewest + 1)
    chosen = {round(fewest + (most - fewest) * n / max(1, count - 1)) for n in range(count)}
    return [(float(turns), ask.length / turns) for turns in sorted(chosen)]


def _layers(case: Case, spacing: float) -> list[tuple[float, float]]:
    """Return numbers of layers with the thickness each is laid: round thicknesses that build enough.

    The thicknesses lie on one raster for all bores. What serves a deeper bore then serves a shallower one, so that
    more wear never comes out quicker.
    """
    ask, thickness = case.ask, case.windows["must"]["layer_thickness"]
    fewest = max(1, int(case.windows["must"]["layers"].low), int(whole_up(ask.build / thickness.high)))
    counts = [fewest + n for n in range(LAYER_CHOICES)] if ask.layers is None else [ask.layers]
    pairs = []
    for count in counts:
        least = (ask.build + ask.skim * (count - 1)) / count
        steps = int(whole_up(max(least, thickness.low) / spacing))
        pairs += [(float(count), (steps + n) * spacing) for n in range(THICKNESS_CHOICES)]
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
        spacing, self.run_over = facts.constant("grid_current"), facts.constant("run_over_turns")
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
            "step_ratio": np.asarray(steps / bead_width(area, facts.constant("bead_aspect"))),
            "heat_input": np.asarray(heat_input(volts, amps, travel, facts.constant("arc_heat_share"))),  # type: ignore[arg-type] # formulas take arrays too
        }

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

    def freed(self, bits: Bits) -> dict[str, Array]:
        """Return, for each bounded quantity and case, the least time of the plans that break its window alone."""
        found = {}
        for place, name in enumerate(BOUNDED):
            found[name] = np.where(bits == 1 << place, self.time, np.inf).min(axis=(1, 2, 3))
        return found

    def best(self, case: int, allowed: Mask) -> Candidate | None:
        """Return the quickest allowed plan of a case; ties: fewer layers, then less current, then a longer step."""
        time = np.where(allowed, self.time[case], np.inf)
        least = time.min()
        if not np.isfinite(least):
            return None
        near = np.argwhere(time <= least * (1 + TIE))
        amps, steps, layers, laid = (self.values[name][case] for name in CHOSEN)
        i, j, k = min(near.tolist(), key=lambda at: (layers[0, 0, at[2]], amps[at[0], 0, 0], -steps[0, at[1], 0]))
        return Candidate(
            float(amps[i, 0, 0]),
            float(steps[0, j, 0]),
            int(layers[0, 0, k]),
            float(laid[0, 0, k]),
            int(self.turns[case, 0, j, 0] + self.run_over),
            float(self.arc_time[case, i, j, k]),
            float(self.time[case, i, j, k]),
        )


@dataclass(frozen=True)
class Found:
    """What the search found for one case: the sound plan, the pushed one, and what held each back.

    Where no plan is comfortable in all, `nearest` leaves the fewest windows of comfort and none that must be kept.
    """

    comfort: Candidate | None
    pushed: Candidate | None
    nearest: Candidate | None
    comfort_limits: tuple[str, ...]
    pushed_limits: tuple[str, ...]
    nearest_broken: tuple[tuple[str, str], ...]


def search(cases: Sequence[Case], facts: Tables) -> list[Found]:
    """Return the best plans of every case."""
    grid = Grid(cases, facts)
    comfort, must = grid.broken("comfort"), grid.broken("must")
    calmer, wider = grid.freed(comfort), grid.freed(must)
    found = []
    for number in range(len(cases)):
        allowed = must[number] == 0
        calm, quick = grid.best(number, comfort[number] == 0), grid.best(number, allowed)
        near = _nearest(grid, number, allowed, comfort[number]) if calm is None and quick is not None else None
        held = _held(grid, number, calmer, calm, "comfort"), _held(grid, number, wider, quick, "must")
        found.append(Found(calm, quick, near, *held, _reasons(grid, number, must[number]) if quick is None else ()))
    return found


def _nearest(grid: Grid, case: int, allowed: Mask, bits: Bits) -> Candidate | None:
    """Return the quickest allowed plan among those that leave the fewest windows of comfort."""
    left = np.where(allowed, np.bitwise_count(bits), len(BOUNDED) + 1)
    return grid.best(case, left == left.min())


def _held(grid: Grid, case: int, freed: dict[str, Array], plan: Candidate | None, scope: str) -> tuple[str, ...]:
    """Return each limit without which a quicker plan would be allowed, and the end of current the plan stands at."""
    if plan is None:
        return ()
    held = []
    for name in BOUNDED:
        bound = grid.cases[case].windows[scope][name]
        if name == "current" and bound.high_row and plan.current >= bound.high * (1 - TIE):
            held += bound.at_top()
        elif freed[name][case] < plan.time * (1 - 1e-6):
            held.append(f"{name.replace('_', ' ')}: {bound.said()}")
    return tuple(held)


def _reasons(grid: Grid, case: int, bits: Bits) -> tuple[tuple[str, str], ...]:
    """Return the limits that the least bad plan breaks, where none keeps them all."""
    at = np.unravel_index(int(np.argmin(np.bitwise_count(bits))), bits.shape)
    said = []
    for place, name in enumerate(BOUNDED):
        if int(bits[at]) >> place & 1:
            value = float(np.broadcast_to(grid.values[name][case], bits.shape)[at])
            window = grid.cases[case].windows["must"][name]
            said.append((name, f"{name.replace('_', ' ')}: {window.why_not(value)}"))
    return tuple(said)
