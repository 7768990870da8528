"""Consequences of a weld plan: what each layer takes. No choices; scalars or arrays."""

import math
from dataclasses import dataclass

from estimator.bore.survey import Survey
from estimator.formula import formula, summed
from estimator.inputs import Inputs
from estimator.tables import Tables
from estimator.tables.rows import Wire
from estimator.weld import arc, bead
from estimator.weld.plan import Layer, WeldPlan

__all__ = ["Build", "LayerFigures", "build", "glimpse", "required_volume", "torch_turning", "turn_time"]

SUM = "definition: a sum over arc time"


@dataclass(frozen=True)
class FirstBead:
    """Settings of the cooler first bead, or of what follows it. [SI]"""

    current: float
    voltage: float
    wire_feed: float
    travel_speed: float
    arc_time: float
    middle: float


@dataclass(frozen=True)
class LayerFigures:
    """What one layer takes: settings as means over arc time. [SI]"""

    layer: Layer
    current: float
    voltage: float
    wire_feed: float
    travel_speed: float
    middle: float
    heat_input: float
    volume: float
    arc_time: float
    bead_width: float
    bead_height: float
    overlap: float
    valley: float
    end_shortfall: float
    first_bead: FirstBead | None
    after_first: FirstBead | None


@dataclass(frozen=True)
class Build:
    """What the build-up of one bore takes. [SI]"""

    layers: tuple[LayerFigures, ...]
    linear_density: float
    efficiency: float
    required_volume: float
    deposit_volume: float
    deposit_mass: float
    deposition_rate: float
    arc_time: float


@formula("required_volume", "geometry: ring between clean-up and weld bore", "computed", unit="m3")
def required_volume(cleanup: float, weld: float, length: float) -> float:
    """Volume between clean-up and weld bore over the bore's length. [m³]"""
    return math.pi / 4 * (cleanup**2 - weld**2) * length


@formula("required_volume", "geometry: the sector's share of the ring, run-outs included", "computed", unit="m3")
def of_sector(required_volume: float, share: float) -> float:
    """Volume to build up in a sector. [m³]"""
    return required_volume * share


@formula("mean_diameter", "geometry: middle of a layer", "computed", unit="m")
def layer_middle(start: float, thickness: float) -> float:
    """Diameter at the middle of a layer. [m]"""
    return start - thickness


@formula("volume", "conservation of metal: path times bead section", "computed", unit="m3")
def laid_volume(turns: float, mean_diameter: float, bead_area: float) -> float:
    """Volume that a layer's turns lay, ends run over included. [m³]"""
    return turns * math.pi * mean_diameter * bead_area


@formula("turn_time", "definition: path over speed", "computed", unit="s")
def turn_time(mean_diameter: float, travel_speed: float) -> float:
    """How long the torch takes for one whole turn. [s]"""
    return math.pi * mean_diameter / travel_speed


@formula("turning", "definition: speed over path", "computed", unit="1/s")
def torch_turning(mean_diameter: float, travel_speed: float) -> float:
    """How often the torch goes round in a time. [1/s]"""
    return travel_speed / (math.pi * mean_diameter)


@formula("mean", SUM, "computed")
def mean_over_arc(rest: float, rest_time: float, first: float, first_time: float) -> float:
    """Mean of a setting over arc time: the first bead and the rest of the layer. [SI]"""
    return (rest * rest_time + first * first_time) / (rest_time + first_time)


@formula("turns", "definition: all turns but those of the first bead", "computed")
def but_first(turns: float, beads: int) -> float:
    """Turns of a layer after its first bead. [-]"""
    return turns - turns / beads


@formula("turns", "definition: a layer's turns shared among its beads", "computed")
def of_one_bead(turns: float, beads: int) -> float:
    """Turns of one bead: one, or a sector's share of one. [-]"""
    return turns / beads


@formula("arc_time", SUM, "computed", unit="s")
def both(rest_time: float, first_time: float) -> float:
    """Arc time of the first bead and the rest of its layer. [s]"""
    return rest_time + first_time


@formula("travel_speed", "definition: path over time", "computed", unit="m/s")
def mean_travel(turns: float, mean_diameter: float, arc_time: float) -> float:
    """Mean travel speed of a layer. [m/s]"""
    return turns * math.pi * mean_diameter / arc_time


def _layer(layer: Layer, plan: WeldPlan, grams: float, efficiency: float, facts: Tables) -> LayerFigures:
    """Return what one layer takes; the first one of solid wire with its cooler first bead."""
    wire = plan.wire
    area = arc.bead_area(layer.laid, layer.step)
    feed = arc.wire_feed(layer.current, wire.feed_linear, wire.feed_squared)
    travel = arc.travel_for_area(arc.deposit_rate(feed, grams, efficiency, wire.deposit_density), area)
    middle, current = layer_middle(layer.start, layer.thickness), layer.current
    first = after = None
    time = arc.arc_time(layer.turns, middle, travel)
    if layer.number == 1:
        first = _first_bead(layer, plan, grams, efficiency, area, middle)
        rest = arc.arc_time(but_first(layer.turns, layer.beads), middle, travel)
        after = FirstBead(current, _volts(current, wire), feed, travel, rest, middle)
        feed = mean_over_arc(feed, rest, first.wire_feed, first.arc_time)
        current = mean_over_arc(current, rest, first.current, first.arc_time)
        time = both(rest, first.arc_time)
        travel = mean_travel(layer.turns, middle, time)
    volts = arc.arc_voltage(current, wire.voltage_base, wire.voltage_slope)
    heat_input = arc.heat_input(volts, current, travel, facts.constant("arc_heat_share"))
    width = arc.bead_width(area, arc.aspect_of(wire, facts))
    height, ratio = arc.bead_height(area, width), arc.step_ratio(layer.step, width)
    return LayerFigures(
        layer=layer,
        current=current,
        voltage=volts,
        wire_feed=feed,
        travel_speed=travel,
        middle=middle,
        heat_input=heat_input,
        volume=laid_volume(layer.turns, middle, area),
        arc_time=time,
        bead_width=width,
        bead_height=height,
        overlap=bead.overlap(ratio),
        valley=arc.valley(height, ratio),
        end_shortfall=_short(layer, height, width, plan.turns_over),
        first_bead=first,
        after_first=after,
    )


def _short(layer: Layer, height: float, width: float, turns_over: float) -> float:
    """Return what a layer is short of at the bore's face, dwell included. [m]"""
    short = bead.end_shortfall(layer.laid, height, width, layer.step, turns_over)
    return bead.after_dwell(short, bead.dwell_height(height)) if layer.dwells else short


def _first_bead(layer: Layer, plan: WeldPlan, grams: float, efficiency: float, area: float, middle: float) -> FirstBead:
    """Return the first bead: cooler where the wire's rule says so, of the same section at slower travel."""
    wire = plan.wire
    current = layer.current if plan.first_current is None else plan.first_current
    feed = arc.wire_feed(current, wire.feed_linear, wire.feed_squared)
    travel = arc.travel_for_area(arc.deposit_rate(feed, grams, efficiency, wire.deposit_density), area)
    time = arc.arc_time(of_one_bead(layer.turns, layer.beads), middle, travel)
    return FirstBead(current, _volts(current, wire), feed, travel, time, middle)


def _volts(current: float, wire: Wire) -> float:
    """Return the voltage to expect. [V]"""
    return arc.arc_voltage(current, wire.voltage_base, wire.voltage_slope)


@formula("deposition_rate", "definition: mass over arc time", "computed", unit="kg/s")
def rate_of(deposit_mass: float, arc_time: float) -> float:
    """Mass laid per arc time. [kg/s]"""
    return deposit_mass / arc_time


def glimpse(plan: WeldPlan, facts: Tables, inputs: Inputs) -> tuple[LayerFigures, ...]:
    """Return what each layer takes: heat and finish cut are planned for the last one, the ends for all."""
    grams, efficiency = arc.linear_density(plan.wire), inputs.efficiency[plan.wire.name]
    return tuple(_layer(layer, plan, grams, efficiency, facts) for layer in plan.layers)


def build(survey: Survey, plan: WeldPlan, facts: Tables, inputs: Inputs) -> Build:
    """Return what the build-up of one bore takes."""
    grams, efficiency = arc.linear_density(plan.wire), inputs.efficiency[plan.wire.name]
    layers = glimpse(plan, facts, inputs)
    volume = summed("deposit_volume", "m3", *(layer.volume for layer in layers))
    time = summed("arc_time", "s", *(layer.arc_time for layer in layers))
    mass = arc.mass_of(volume, plan.wire.deposit_density)
    need = required_volume(survey.sizes.cleanup, survey.sizes.weld, survey.bore.length)
    if survey.bore.sector is not None:
        need = of_sector(need, survey.share)
    return Build(
        layers=layers,
        linear_density=grams,
        efficiency=efficiency,
        required_volume=need,
        deposit_volume=volume,
        deposit_mass=mass,
        deposition_rate=rate_of(mass, time),
        arc_time=time,
    )
