"""Shielding gas and wire as they are bought: what flows, what each start takes, what leaks, what stays in the pack."""

import math

from estimator.book.pricebook import PriceBook
from estimator.either import smaller
from estimator.formula import choice, formula, leaf, summed
from estimator.inputs import Inputs
from estimator.shop.gas_cylinder import left_in_cylinder, left_share
from estimator.tables import Tables
from estimator.tables.rows import Gas, Wire
from estimator.weld.arc import linear_density
from estimator.weld.build import Build
from estimator.weld.plan import WeldPlan

__all__ = [
    "arc_starts",
    "bought",
    "clipped",
    "flow_for",
    "flow_of",
    "gas_leaked",
    "gas_of",
    "gas_surged",
    "gas_used",
    "heel_of",
    "left_of",
    "set_flow",
]


@formula("starts", "definition: one a layer, and one after each stop to clean the nozzle", "computed")
def arc_starts(layers: int, arc_time: float, arc_between_stops: float) -> float:
    """Expected arc starts of a bore. [-]"""
    return layers + arc_time / arc_between_stops


@formula("wire", "definition: length times mass per length, at each start", "computed", unit="kg")
def clipped(starts: float, start_stub: float, linear_density: float) -> float:
    """Wire clipped off before arc starts. [kg]"""
    return starts * start_stub * linear_density


@formula(
    "flow", "more for cored wire and in a draught, never beyond what pulls air in", "common practice, no source", "m3/s"
)
def set_flow(
    flow: float, more: float, draught_flow: float, wind: float, draught_wind: float, most_flow: float
) -> float:
    """Flow of shielding gas to set. [m³/s]"""
    return smaller(flow + more + draught_flow * wind / draught_wind, most_flow)


@formula(
    "gas",
    "flow times arc time (ESAB, Weld Metal Cost Worksheet), and before and after the arc at each start",
    unit="m3",
)
def gas_used(flow: float, arc_time: float, starts: float, purge_time: float) -> float:
    """Gas that flows over an arc time. [m³ at 15 degC and 1 bar]"""
    return flow * (arc_time + starts * purge_time)


@formula("gas", "hose volume times the pressure that builds up in it, over that of the standard state", unit="m3")
def gas_surged(
    starts: float, hose_bore: float, hose_length: float, hose_pressure: float, standard_pressure: float
) -> float:
    """Gas that bursts out of the hose at arc starts. [m³ at 15 degC and 1 bar]"""
    return starts * math.pi / 4 * hose_bore**2 * hose_length * hose_pressure / standard_pressure


@formula("gas", "definition: flow times time", "computed", unit="m3")
def gas_leaked(leak_flow: float, open_time: float) -> float:
    """Gas that leaks while the cylinder is open. [m³ at 15 degC and 1 bar]"""
    return leak_flow * open_time


@formula("bought", "definition: what is used over the share of a pack that can be used", "computed")
def bought(used: float, left_share: float) -> float:
    """What must be bought for a use, with the rest that stays in packs. [as the use]"""
    return used / (1 - left_share)


def flow_of(plan: WeldPlan, facts: Tables, inputs: Inputs) -> float:
    """Return the flow of shielding gas to set for a bore's wire in the wind of the day. [m³/s]"""
    return flow_for(plan.wire, plan.gas, facts, inputs)


def flow_for(wire: Wire, shield: Gas, facts: Tables, inputs: Inputs) -> float:
    """Return the flow of a shielding gas to set for a wire in the wind of the day. [m³/s]"""
    more = facts.constant("flow_cored")
    if wire.kind == "solid":
        more = leaf(0.0, "fact", "flow_cored", "solid wire: the flow of the gas's row", unit="m^3 s^-1")
    draught = facts.constant("draught_flow"), inputs.wind, facts.constant("draught_wind")
    return set_flow(shield.flow, more, *draught, facts.constant("most_flow"))


def left_of(plan: WeldPlan, book: PriceBook) -> tuple[float, float]:
    """Return the shares that stay on a spool of the plan's wire and in a cylinder of its gas. [-]"""
    return heel_of(plan.wire, book), left_in_cylinder(plan.gas.name, book)


def heel_of(wire: Wire, book: PriceBook) -> float:
    """Return the share that stays on a spool of a wire. [-]"""
    name = wire.name
    pack = leaf(book.consumables.wires[name].pack, "price", "pack", f"price book: pack of {name}", unit="kg")
    one = choice(1, "spools", "one heel a spool")
    return left_share(clipped(one, book.facts.constant("heel_length"), linear_density(wire)), pack)


def gas_of(
    flow: float, arc_time: float, starts: float, open_time: float | None, facts: Tables, inputs: Inputs
) -> float:
    """Return the gas taken out of the cylinder: flow, surges and, where it stands open, leaks. [m³]"""
    hose = facts.constant("hose_bore"), facts.constant("hose_length"), facts.constant("hose_pressure")
    parts = [
        gas_used(flow, arc_time, starts, inputs.purge_time),
        gas_surged(starts, *hose, facts.constant("standard_pressure")),
    ]
    if open_time is not None:
        parts.append(gas_leaked(inputs.leak_flow, open_time))
    return summed("gas", "m3", *parts)


def starts_of(plan: WeldPlan, built: Build, inputs: Inputs) -> float:
    """Return the expected arc starts of a bore. [-]"""
    layers = choice(len(plan.layers), "layers", "layers of the plan")
    return arc_starts(layers, built.arc_time, inputs.arc_between_stops)
