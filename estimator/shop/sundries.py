"""What is used up beside wire, gas and wear parts: liner, discs, brackets, burner gas, fuel; rules of the house."""

from estimator.book.pricebook import PriceBook
from estimator.formula import choice, formula, leaf, summed
from estimator.inputs import Inputs
from estimator.shop.standards import line_elements
from estimator.shop.time import BoreTime, Counts
from estimator.tables import Tables
from estimator.tables.rows import Change
from estimator.weld.build import Build
from estimator.weld.course import HeatFigures
from estimator.weld.heat import all_burners, heat_in

__all__ = [
    "brackets_of",
    "brackets_on",
    "brackets_used",
    "burner_gas_used",
    "by_rule",
    "discs_used",
    "fuel_used",
    "liners_used",
    "planned_of",
    "sprayed",
]

DEFINED = "definition: use over life"


@formula("liners", DEFINED, "computed")
def liners_used(wire_mass: float, liner_life: float, wear_factor: float) -> float:
    """Expected number of torch liners. [-]"""
    return wire_mass / liner_life * wear_factor


@formula("anti_spatter", "definition: use at one start times starts", "computed", unit="m3")
def sprayed(starts: float, anti_spatter_start: float) -> float:
    """Anti-spatter used. [m³]"""
    return starts * anti_spatter_start


@formula("brackets", "definition: brackets of a line over the times each is used, shared among its bores", "computed")
def brackets_used(brackets_on: float, bracket_uses: float, line_bores: int) -> float:
    """Expected number of brackets. [-]"""
    return brackets_on / bracket_uses / line_bores


@formula("brackets_on", "definition: bearings that hold the bar of a line times the brackets of one", "computed")
def brackets_of(bearings: int, brackets_per_bearing: float) -> float:
    """Brackets that hold the bar of a line. [-]"""
    return bearings * brackets_per_bearing


def brackets_on(clamped: bool, bearings: int, facts: Tables) -> float:
    """Return how many brackets are welded on for the bar of a line; none where its mounts are clamped. [-]"""
    if clamped:
        return leaf(0.0, "given", "mounts", "the mounts are clamped: no bracket is welded on")
    return brackets_of(bearings, facts.constant("brackets_per_bearing"))


@formula("discs", DEFINED, "computed")
def discs_used(
    starts: float, starts_per_disc: float, brackets_on: float, brackets_per_disc: float, line_bores: int
) -> float:
    """Expected number of grinding discs: starts dressed, brackets taken off. [-]"""
    return starts / starts_per_disc + brackets_on / brackets_per_disc / line_bores


@formula("burner_gas", "heat over heating value and the share that enters the boss", "computed", unit="kg")
def burner_gas_used(heat: float, propane_heat: float, burner_share: float) -> float:
    """Burner gas for the preheat. [kg]"""
    return heat / (propane_heat * burner_share)


@formula("fuel", "running hours times idle use, and fuel for the energy drawn", "computed", unit="m3")
def fuel_used(running: float, idle: float, energy: float, per_energy: float) -> float:
    """Fuel of the generator. [m³]"""
    return running * idle + energy * per_energy


@formula("planned", "definition: count of the rule times how often it applies", "computed")
def by_rule(count: float, times: float) -> float:
    """Parts changed by a rule of the house. [-]"""
    return count * times


def _applies(row: Change, layers: int, line_bores: int, share: float) -> float:
    """Return how often a rule applies to this bore; what is once a job is shared by arc time."""
    if row.basis == "job":
        return share
    times = {"bore": 1.0, "layer": float(layers), "line": 1.0 / line_bores}[row.basis]
    return choice(times, "times", f"{row.meaning}: counted per {row.basis}")


def planned_of(part: str, layers: int, line_bores: int, share: float, facts: Tables) -> float:
    """Return the parts of one kind that this bore changes by rule; `share` is its share of the job. [-]"""
    rows = [row for row in facts.every("changes", Change) if row.part == part and row.count > 0]
    found = [by_rule(row.count, _applies(row, layers, line_bores, share)) for row in rows]
    if not found:
        return leaf(0.0, "fact", f"planned_{part}s", "no rule of the house changes this part (table of changes)")
    return summed(f"planned_{part}s", "", *found)


def burner_gas_of(
    counts: Counts, burners: int, warmth: HeatFigures, built: Build, facts: Tables, inputs: Inputs
) -> float:
    """Return the burner gas of a bore, to preheat it and to keep it warm; none where no preheat is due. [kg]"""
    if not counts.preheated:
        return leaf(0.0, "fact", "burner_gas", "no preheat is due", unit="kg")
    heat = [heat_in(all_burners(inputs.burner_power, burners), warmth.preheat_time)]
    for one, layer in zip(warmth.layers, built.layers, strict=True):
        heat.append(heat_in(one.keeping, summed("layer_time", "s", layer.arc_time, one.wait)))
        heat.append(one.between)
    heat += _at_brackets(counts, facts, inputs)
    return burner_gas_used(summed("heat", "J", *heat), facts.constant("propane_heat"), facts.constant("burner_share"))


@formula("heat", "definition: power times time, shared among the bores of a line", "computed", unit="J")
def bracket_heat(burner: float, time: float, line_bores: int) -> float:
    """Heat of the burner that warms the places of a line's brackets, one bore's share. [J]"""
    return burner * time / line_bores


def _at_brackets(counts: Counts, facts: Tables, inputs: Inputs) -> list[float]:
    """Return what warming the places of brackets takes of the burner; nothing where none is warmed. [J]"""
    found = [one.time for one in line_elements(counts, facts, inputs) if one.code == "bracket_heat"]
    bores = choice(counts.line_bores, "line_bores", "bores that share the line's set-up")
    return [bracket_heat(inputs.burner_power, time, bores) for time in found]


def fuel_of(time: BoreTime, energy: float, book: PriceBook) -> float:
    """Return the fuel of a bore; none where the equipment takes its power from the mains. [m³]"""
    if book.equipment.generator is None:
        return leaf(0.0, "fact", "fuel", "power comes from the mains (price book: equipment.generator)", unit="m3")
    running = summed("running", "s", time.precut, time.weld, time.finish)
    idle = book.number("equipment.generator.idle")
    return fuel_used(running, idle, energy, book.number("equipment.generator.per_energy"))
