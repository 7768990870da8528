"""Decide how a bore is welded: wire, gas, current, step, layers, rotation; with what held the choice back."""

from dataclasses import dataclass

from estimator.book.pricebook import PriceBook
from estimator.bore.survey import Survey
from estimator.either import whole_up
from estimator.errors import Fault
from estimator.formula import formula
from estimator.inputs import Inputs
from estimator.job.options import Aim, Ends, Turning
from estimator.tables import Tables
from estimator.tables.messages import Message, fault, say
from estimator.tables.rows import Gas, Limit, TimeStandard, Wire
from estimator.weld.cases import Candidate, Case, EndWay
from estimator.weld.search import Neighbour
from estimator.weld.shadow import Shadow
from estimator.weld.steel import Base
from estimator.weld.technique import Situation, bound

__all__ = [
    "PAST",
    "RINGS",
    "Alternative",
    "Beside",
    "Layer",
    "WeldPlan",
    "gas_for",
    "time_on",
    "wires_for",
    "with_dwells",
]

UPRIGHT = "vertical"
RINGS: Ends = "run-off rings"
PAST: Ends = "past the faces"


@dataclass(frozen=True)
class Layer:
    """One layer as decided: thickness laid, diameters it runs between, beads, turns, step, rotation, current. [SI]

    A bead is one turn, or in a sector the share of a turn that is built up: `turns` counts whole turns of path.
    `dwells`: whole turns without a step at each of its ends.
    """

    number: int
    laid: float
    thickness: float
    start: float
    end: float
    step: float
    beads: int
    turns: float
    rotation: Turning
    current: float
    dwells: int = 0

    @property
    def skimmed(self) -> bool:
        """Whether a cut takes the layer's crests off before the next one is laid."""
        return self.thickness < self.laid


@dataclass(frozen=True)
class Alternative:
    """Another plan that was weighed: what it sets, the time it takes in the search, and what speaks against it."""

    name: str
    wire: str
    gas: str
    current: float
    layers: int
    time: float
    remark: Message


@dataclass(frozen=True)
class Beside:
    """What was weighed beside a plan: other wires and settings, efficient plans, neighbours, what limits cost."""

    alternatives: tuple[Alternative, ...]
    frontier: tuple[Candidate, ...]
    neighbours: tuple[Neighbour, ...]
    shadows: tuple[Shadow, ...] = ()


@dataclass(frozen=True)
class WeldPlan:
    """How one bore is welded; `beside`: what was weighed beside it, where that was asked for.

    `weighed`: the plan as the search has it; `others`: what it would be asked with the other wires on the van.
    """

    wire: Wire
    gas: Gas
    layers: tuple[Layer, ...]
    first_current: float | None
    way: EndWay
    slag_each_layer: bool
    limits: tuple[Message, ...]
    warnings: tuple[Message, ...]
    time: float
    arc_time: float
    aim: Aim = "cost"
    odds: float = 0.0
    beside: Beside | None = None
    weighed: Candidate | None = None
    others: tuple[Case, ...] = ()

    @property
    def rings(self) -> bool:
        """Whether the ends are laid on run-off rings."""
        return self.way.name == RINGS

    @property
    def turns_over(self) -> float:
        """Turns laid beyond the bore's length at both ends together."""
        return self.way.turns_over


@formula("build", "geometry: half the difference of two diameters", "computed", unit="m")
def build_of(cleanup: float, weld: float) -> float:
    """Thickness a side that is built up. [m]"""
    return (cleanup - weld) / 2


@formula("layer_thickness", "what is laid less what is skimmed off", "computed", unit="m")
def left_thickness(laid: float, skim: float) -> float:
    """Thickness of a layer that is left. [m]"""
    return laid - skim


@formula("end_diameter", "geometry", "computed", unit="m")
def layer_end(start: float, thickness: float) -> float:
    """Diameter a layer ends at. [m]"""
    return start - 2 * thickness


@formula("turns", "whole turns over the bore's length and the run-over", "computed")
def whole_turns(length: float, step: float, run_over: float) -> int:
    """Turns of one layer. [-]"""
    return int(whole_up(length / step)) + int(run_over)


@formula("turns", "definition: a layer's turns and those without a step at both of its ends", "computed")
def with_dwells(beads: int, dwells: int) -> int:
    """Turns of a layer whose ends the arc dwells at. [-]"""
    return beads + 2 * dwells


@formula("turns", "geometry: each bead of a sector is a share of a turn", "computed")
def part_turns(beads: int, share: float) -> float:
    """Whole turns of path in the beads of one layer. [-]"""
    return beads * share


def duty_limit(book: PriceBook) -> Limit:
    """Return the current at full duty of the user's own equipment as a limit row."""
    return Limit(
        name=f"equipment {book.equipment.name}",
        quantity="current",
        kind="any",
        axis="any",
        wall="any",
        scope="must",
        high=book.equipment.current_at_full_duty,
        reason="the current your equipment gives at full duty",
        source="price book, equipment.current_at_full_duty",
        mark="",
    )


def wires_for(survey: Survey, book: PriceBook, path: str) -> tuple[list[Wire], list[Fault]]:
    """Return the wires on the van that may serve, the one mounted first, or why a pinned one may not."""
    pinned, carried = survey.bore.options.wire, list(book.carried.wires)
    if pinned is not None and pinned not in carried:
        return [], [fault(f"{path}.options.wire", say("not_on_van", name=pinned, carried=tuple(carried)))]
    names = [pinned] if pinned is not None else carried
    wires = [book.facts.row("wires", name, Wire) for name in names]
    if pinned is None:
        wires.sort(key=lambda wire: wire.kind != "solid")
    return wires, []


def gas_for(survey: Survey, wire: Wire, book: PriceBook, path: str) -> tuple[Gas | None, list[Message], list[Fault]]:
    """Return the gas on the van for a wire and axis, with warnings, or why there is none."""
    axis, pinned, carried = survey.bore.axis, survey.bore.options.gas, list(book.carried.gases)
    gases = [book.facts.row("gases", name, Gas) for name in carried]
    if pinned is not None and pinned not in carried:
        why = say("not_on_van", name=pinned, carried=tuple(carried))
        return None, [], [fault(f"{path}.options.gas", why)]
    fit = [gas for gas in gases if wire.kind in gas.wires.split("; ") and pinned in (None, gas.name)]
    if not fit:
        why = say("no_gas_fits", wire=wire.name, carried=tuple(carried))
        return None, [], [fault(f"{path}.options.gas", why)]
    preferred = [gas for gas in fit if gas.first_on == axis]
    chosen = (preferred or sorted(fit, key=lambda gas: bool(gas.caution)))[0]
    warnings = [say("gas_caution", gas=chosen.name, caution=chosen.caution)] if chosen.caution else []
    usual = [gas for gas in book.facts.rows("gases").values() if isinstance(gas, Gas) and gas.first_on == axis]
    if usual and chosen.first_on != axis and wire.kind in usual[0].wires:
        change = book.facts.row("times", "change_gas", TimeStandard).duration
        usually = {"gas": chosen.name, "usual": usual[0].name, "axis": axis, "why": usual[0].why}
        warnings.append(say("gas_pinned" if pinned else "gas_nearest", **usually, change=change))
    return chosen, warnings, []


def situation_of(survey: Survey, wire: Wire, base: Base, thin: bool, book: PriceBook) -> Situation:
    """Return what decides which limits hold for a bore with a wire."""
    carbon = bound(book.facts, "carbon", Situation("any", "any"), "comfort").high
    return Situation(wire.kind, survey.bore.axis, thin, carbon < base.C)


def turns_one_way(survey: Survey, book: PriceBook) -> bool:
    """Return whether all layers turn the same way: pinned so, or the equipment turns no other way."""
    return survey.bore.options.rotation == "one way" or not book.equipment.turns_both_ways


def skims(survey: Survey, book: PriceBook) -> bool:
    """Return whether a cut is needed between layers: laid one way on a horizontal axis."""
    return turns_one_way(survey, book) and survey.bore.axis != UPRIGHT


def time_on(facts: Tables, day: Inputs, *bases: str) -> float:
    """Return the time of all elements counted on some bases, whatever else holds. [s]"""
    if "always" not in facts.memo:
        rows = [row for row in facts.rows("times").values() if isinstance(row, TimeStandard) and row.when == "always"]
        facts.memo["always"] = [(row.basis, row.code) for row in rows]
    kept: list[tuple[str, str]] = facts.memo["always"]
    return sum((day.times[code] for basis, code in kept if basis in bases), 0.0)
