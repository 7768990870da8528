"""What is used up: wire, gas, tips, nozzles, inserts, energy."""

from dataclasses import dataclass

from estimator.cut.passes import CutPlan, pass_time
from estimator.formula import formula, summed
from estimator.inputs import Inputs
from estimator.tables import Tables
from estimator.weld.build import Build
from estimator.weld.plan import WeldPlan

__all__ = ["Supplies", "TestBead", "supplies_of", "test_bead"]


@dataclass(frozen=True)
class Supplies:
    """What one bore uses up. [SI; parts as expected numbers]"""

    wire: float
    gas: float
    tips: float
    nozzles: float
    inserts: float
    energy: float


@dataclass(frozen=True)
class TestBead:
    """What the test bead uses once a job. [kg, m³]"""

    __test__ = False
    wire: float
    gas: float


@formula(
    "wire", "efficiency is deposited over consumed mass (ESAB filler-metal handbook p. 8-7); losses besides", unit="kg"
)
def wire_used(deposit_mass: float, efficiency: float, wire_loss: float) -> float:
    """Wire consumed for a deposit, starts and tails included. [kg]"""
    return deposit_mass / efficiency * (1 + wire_loss)


@formula(
    "gas", "flow times arc time (ESAB, Weld Metal Cost Worksheet); losses before and after the arc besides", unit="m3"
)
def gas_used(flow: float, arc_time: float, gas_loss: float) -> float:
    """Gas used over an arc time. [m³ at 15 degC and 1 bar]"""
    return flow * arc_time * (1 + gas_loss)


@formula("wire", "definition: feed times mass per length times time", "computed", unit="kg")
def fed(wire_feed: float, linear_density: float, time: float) -> float:
    """Wire fed in a time. [kg]"""
    return wire_feed * linear_density * time


@formula("share", "what is used once a job is shared out by arc time", "computed")
def shared_by_arc(amount: float, arc_time: float, all_arc_time: float) -> float:
    """A bore's share of what is used once a job. [as the amount]"""
    return amount * arc_time / all_arc_time


@formula("worn_parts", "definition: arc time over life, shortened by the wire's wear factor", "computed")
def worn_parts(arc_time: float, life: float, wear_factor: float) -> float:
    """Expected number of tips or nozzles. [-]"""
    return arc_time / life * wear_factor


@formula("inserts", "definition: cutting time over the life of an edge and its edges", "computed")
def inserts_used(cutting_time: float, edge_life: float, edges: float) -> float:
    """Expected number of inserts. [-]"""
    return cutting_time / (edge_life * edges)


@formula("energy", "standard form: power over efficiency times time", "published", unit="J")
def arc_energy(voltage: float, current: float, time: float, source_efficiency: float) -> float:
    """Energy the power source draws for a layer. [J]"""
    return voltage * current * time / source_efficiency


@formula("energy", "definition: power times time", "computed", unit="J")
def drive_energy(power: float, time: float) -> float:
    """Energy a boring pass draws. [J]"""
    return power * time


def test_bead(plan: WeldPlan, built: Build, inputs: Inputs) -> TestBead:
    """Return what the test bead uses, at the settings of the first layer."""
    first = built.layers[0]
    gas = gas_used(plan.gas.flow, inputs.test_bead_arc, inputs.gas_loss)
    return TestBead(fed(first.wire_feed, built.linear_density, inputs.test_bead_arc), gas)


def supplies_of(  # one bore's plan and figures, and the job's
    weld: WeldPlan,
    cut: CutPlan,
    built: Build,
    cutting: float,
    length: float,
    once: TestBead,
    all_arc: float,
    facts: Tables,
    inputs: Inputs,
) -> Supplies:
    """Return what one bore uses up, with its share of what is used once a job."""
    arc, wear, source = built.arc_time, weld.wire.wear_factor, facts.constant("source_efficiency")
    wire = wire_used(built.deposit_mass, built.efficiency, inputs.wire_loss)
    gas = gas_used(weld.gas.flow, arc, inputs.gas_loss)
    drawn = [arc_energy(one.voltage, one.current, one.arc_time, source) for one in built.layers]
    for one in (*cut.before, *cut.between, *cut.after):
        drawn.append(drive_energy(one.power, pass_time(length, facts.constant("approach"), one.feed, one.turning)))
    return Supplies(
        summed("wire", "kg", wire, shared_by_arc(once.wire, arc, all_arc)),
        summed("gas", "m3", gas, shared_by_arc(once.gas, arc, all_arc)),
        worn_parts(arc, inputs.tip_life, wear),
        worn_parts(arc, inputs.nozzle_life, wear),
        inserts_used(cutting, inputs.edge_life, facts.constant("edges_per_insert")),
        summed("energy", "J", *drawn),
    )
