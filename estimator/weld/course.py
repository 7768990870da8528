"""The course of a bore's heat: preheat, layer after layer with its waits, cooling. No choices; scalars or arrays."""

from dataclasses import dataclass, replace

from estimator.formula import difference, leaf, summed
from estimator.inputs import Inputs
from estimator.tables import Tables
from estimator.weld import heat
from estimator.weld.around import cooling_ring, welding_ring
from estimator.weld.build import Build, LayerFigures
from estimator.weld.cold import pass_rate
from estimator.weld.preheat import HeatPlan

__all__ = ["HeatFigures", "LayerHeat", "heat_of"]


@dataclass(frozen=True)
class LayerHeat:
    """How warm the bore is before and after one layer, and the wait in it. [SI]

    `keeping`: mean power of a burner that keeps the preheat while it is laid; `bead`: beads laid before the first
    pause; `stops`: pauses over which the wait is shared; `between`: heat of the burner that keeps the preheat while
    the layer before it is cleaned.
    """

    start: float
    end: float
    keeping: float
    wait: float
    bead: int
    stops: int
    between: float


@dataclass(frozen=True)
class HeatFigures:
    """What the heat asks for. [SI]"""

    preheat_time: float
    interpass_wait: float
    cooldown: float
    heat: float
    layers: tuple[LayerHeat, ...]


def heat_of(
    plan: HeatPlan,
    built: Build,
    gaps: tuple[float, ...],
    after: float,
    facts: Tables,
    inputs: Inputs,
    late: float | None = None,
    last_pass: float | None = None,
) -> HeatFigures:
    """Return preheating, layers, waits and cooling of one bore.

    Parameters
    ----------
    plan, built
        What was decided about a bore's heat, and its layers.
    gaps, after
        Work between each two layers, and after the last before it is left to cool. [s]
    facts, inputs
        Tables and the day.
    late
        Arc time of what is welded after the last layer at its settings: faces, grooves. [s]
    last_pass
        Time of the finishing pass; None where there is none. [s]
    """
    ring = welding_ring(plan.boss, plan.interpass_max, facts, inputs)
    start = difference(plan.preheat, plan.ambient)
    flame = heat.all_burners(inputs.burner_power, plan.burners)
    burnt = heat.preheat_time(ring, start, flame)
    warmth = heat.flamed(ring, flame, burnt)
    share, brought, layers = facts.constant("arc_heat_share"), [], list[LayerHeat]()
    power = leaf(0.0, "given", "power", "no arc yet", unit="W")
    between = leaf(0.0, "given", "heat", "nothing is cleaned before the first layer", unit="J")
    for number, layer in enumerate(built.layers):
        if number:
            warmth, keeping = _kept(heat.cooled(warmth, gaps[number - 1]), gaps[number - 1], start)
            between = heat.heat_in(keeping, gaps[number - 1])
        power = heat.arc_power(layer.voltage, layer.current, share)
        brought.append(heat.heat_in(power, layer.arc_time))
        warmth, found = _layer(warmth, power, layer, start, plan, facts)
        layers.append(replace(found, between=between))
    held = [one.wait for one in layers]
    if late is not None:
        warmth, wait = _late(warmth, power, late, plan)
        held.append(wait)
        brought.append(heat.heat_in(power, late))
    cool = _cooled(warmth, plan, after, last_pass, facts, inputs)
    waits = summed("interpass_wait", "s", *held)
    return HeatFigures(burnt, waits, cool, summed("heat", "J", *brought), tuple(layers))


def _cooled(
    warmth: heat.Warmth, plan: HeatPlan, after: float, last_pass: float | None, facts: Tables, inputs: Inputs
) -> float:
    """Return the time until the bore is cold enough for its finish cut, and cools no quicker than that allows. [s]"""
    cold = difference(plan.cold.temperature, plan.ambient)
    ring = cooling_ring(plan.boss, heat.bore_rise(warmth), cold, facts, inputs, covered=plan.slow)
    left = heat.cooling(warmth, ring)
    left = heat.cooled(left, after)
    cool = heat.cooldown(left, cold)
    if last_pass is None:
        return cool
    return heat.both_kept(cool, heat.settled(left, pass_rate(plan.cold.fall, last_pass)))


def _late(before: heat.Warmth, power: float, arc_time: float, plan: HeatPlan) -> tuple[heat.Warmth, float]:
    """Return the warmth after what is welded last, and the wait in it. [s]"""
    allowed = difference(plan.interpass_max, plan.ambient)
    free = heat.free_time(before, power, arc_time, allowed)
    left = difference(arc_time, free)
    full = heat.welded(before, power, free)
    held = heat.held_time(full, power, left, allowed)
    return heat.held(full, power, left, held), difference(held, left)


def _kept(warmth: heat.Warmth, time: float, least: float) -> tuple[heat.Warmth, float]:
    """Return the warmth with the burner that keeps the preheat over the time just gone, and the burner's power. [W]"""
    power = heat.keeping_power(warmth, time, least)
    return heat.kept(warmth, power, time), power


def _layer(
    before: heat.Warmth, power: float, layer: LayerFigures, least: float, plan: HeatPlan, facts: Tables
) -> tuple[heat.Warmth, LayerHeat]:
    """Return the warmth after a layer, and what it asks for: free until the bore's limit, then held there."""
    allowed = difference(plan.interpass_max, plan.ambient)
    free = heat.free_time(before, power, layer.arc_time, allowed)
    left = difference(layer.arc_time, free)
    full = heat.welded(before, power, free)
    held = heat.held_time(full, power, left, allowed)
    lasting = summed("layer_time", "s", free, held)
    after, keeping = _kept(heat.held(full, power, left, held), lasting, least)
    wait = difference(held, left)
    bead = heat.bead_reached(layer.layer.beads, free, layer.arc_time)
    stops = heat.stops_for(wait, facts.constant("longest_stop"))
    found = heat.bore_temperature(plan.ambient, before), heat.bore_temperature(plan.ambient, after)
    return after, LayerHeat(*found, keeping, wait, bead, stops, between=0.0)
