"""What is used up: wire and gas as they are bought, wear parts by life and by rule, sundries, energy."""

import functools
from collections.abc import Mapping
from dataclasses import dataclass, field

from estimator.book.calibration import by_shop
from estimator.book.pricebook import PriceBook
from estimator.cut.life import EdgeUse, use_of
from estimator.cut.passes import CutPlan, pass_time
from estimator.features.figures import FeatureFigures
from estimator.formula import choice, formula, summed
from estimator.inputs import Inputs
from estimator.shop import gas, sundries
from estimator.shop.time import BoreTime, Counts
from estimator.tables import Tables
from estimator.weld.build import Build
from estimator.weld.course import HeatFigures
from estimator.weld.plan import WeldPlan

__all__ = ["SHOWN", "Supplies", "Work", "supplies_of", "test_bead"]


@dataclass(frozen=True)
class Supplies:
    """What one bore uses up, and the flow of gas it is welded with. [SI; parts as expected numbers]"""

    wire: float
    gas: float
    tips: float
    nozzles: float
    inserts: float
    energy: float
    liners: float
    discs: float
    brackets: float
    anti_spatter: float
    burner_gas: float
    fuel: float
    planned_tips: float
    planned_nozzles: float
    planned_inserts: float
    planned_liners: float
    starts: float
    flow: float
    edges: EdgeUse


SHOWN = {  # field: document key, SI unit
    "wire": ("wire_kg", "kg"),
    "gas": ("gas_L", "m3"),
    "tips": ("tips", ""),
    "nozzles": ("nozzles", ""),
    "inserts": ("inserts", ""),
    "energy": ("energy_kWh", "J"),
    "liners": ("liners", ""),
    "discs": ("discs", ""),
    "brackets": ("brackets", ""),
    "anti_spatter": ("anti_spatter_L", "m3"),
    "burner_gas": ("burner_gas_kg", "kg"),
    "fuel": ("fuel_L", "m3"),
    "planned_tips": ("planned_tips", ""),
    "planned_nozzles": ("planned_nozzles", ""),
    "planned_inserts": ("planned_inserts", ""),
    "planned_liners": ("planned_liners", ""),
    "starts": ("arc_starts", ""),
}


@dataclass(frozen=True)
class Work:
    """What one bore's supplies follow from: its plans and the figures that are known before."""

    weld: WeldPlan
    cut: CutPlan
    counts: Counts
    built: Build
    time: BoreTime
    length: float
    burners: int
    warmth: HeatFigures
    features: tuple[FeatureFigures, ...]
    clamped: bool = False
    bearings: int = 2
    factors: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class TestBead:
    """What the test bead uses once a job, heel and residual gas besides. [kg, m³, -]"""

    __test__ = False
    wire: float
    gas: float
    starts: float


@formula(
    "wire", "efficiency is deposited over consumed mass (ESAB filler-metal handbook p. 8-7); losses besides", unit="kg"
)
def wire_used(deposit_mass: float, efficiency: float, wire_loss: float) -> float:
    """Wire consumed for a deposit, starts and tails included. [kg]"""
    return deposit_mass / efficiency * (1 + wire_loss)


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


@formula("inserts", "definition: edges used over the edges of an insert", "computed")
def inserts_used(edges: float, edges_per_insert: float) -> float:
    """Expected number of inserts. [-]"""
    return edges / edges_per_insert


@formula("energy", "standard form: power over efficiency times time", "published", unit="J")
def arc_energy(voltage: float, current: float, time: float, source_efficiency: float) -> float:
    """Energy the power source draws for a layer. [J]"""
    return voltage * current * time / source_efficiency


@formula("energy", "definition: power times time", "computed", unit="J")
def drive_energy(power: float, time: float) -> float:
    """Energy a boring pass draws. [J]"""
    return power * time


def test_bead(plan: WeldPlan, built: Build, facts: Tables, inputs: Inputs) -> TestBead:
    """Return what the test bead takes off the spool and out of the cylinder, at the settings of the first layer."""
    first, arc = built.layers[0], inputs.test_bead_arc
    one = choice(1, "starts", "the test bead is one start")
    wire = fed(first.wire_feed, built.linear_density, arc)
    return TestBead(wire, gas.gas_of(gas.flow_of(plan, facts, inputs), arc, one, None, facts, inputs), one)


def _energy(work: Work, facts: Tables) -> float:
    """Return the electricity of one bore. [J]"""
    source, approach = facts.constant("source_efficiency"), facts.constant("approach")
    drawn = [arc_energy(one.voltage, one.current, one.arc_time, source) for one in work.built.layers]
    for one in (*work.cut.before, *work.cut.between, *work.cut.after):
        drawn.append(drive_energy(one.power, pass_time(work.length, approach, one.feed, one.turning)))
    last = work.built.layers[-1]  # a fill runs at the settings of the last layer
    for feature in work.features:
        drawn.append(arc_energy(last.voltage, last.current, feature.arc_time, source))
        passes = (*feature.feature.before, *feature.feature.after)
        drawn += [drive_energy(each.one.power, time) for each, time in zip(passes, feature.cutting, strict=True)]
    return summed("energy", "J", *drawn)


def _welded(work: Work, inputs: Inputs) -> tuple[float, float, float]:
    """Return arc time, arc starts and mass laid in one bore, its features included. [s, -, kg]"""
    starts = [gas.starts_of(work.weld, work.built, inputs)]
    for one in work.features:
        fill = choice(1, "layers", "a feature is filled in one go")
        starts.append(gas.arc_starts(fill, one.arc_time, inputs.arc_between_stops))
    return (
        summed("arc_time", "s", work.built.arc_time, *(one.arc_time for one in work.features)),
        summed("starts", "", *starts),
        summed("deposit_mass", "kg", work.built.deposit_mass, *(one.mass for one in work.features)),
    )


def _edges(work: Work, inputs: Inputs) -> EdgeUse:
    """Return what edges the passes of a bore use up, those over its features after its own."""
    cut, features = work.cut, [one.feature for one in work.features]
    passes = [*cut.before, *cut.between, *cut.after]
    passes += [each.one for feature in features for each in (*feature.before, *feature.after)]
    times = [*work.time.pass_times, *(time for one in work.features for time in one.cutting)]
    return use_of([one.work.life for one in passes], times, inputs.edge_life)


def _worn(name: str, planned: float, chance: float) -> float:
    """Return the expected number of a part: what is changed by rule and what wears out by chance."""
    return summed(name, "", planned, chance)


def supplies_of(work: Work, once: TestBead, all_arc: float, book: PriceBook, inputs: Inputs) -> Supplies:
    """Return what one bore uses up, with its share of what is used once a job."""
    facts, weld, built, wear = book.facts, work.weld, work.built, work.weld.wire.wear_factor
    arc, own, mass = _welded(work, inputs)

    shared = functools.partial(shared_by_arc, arc_time=built.arc_time, all_arc_time=all_arc)
    share, flow = shared(once.starts), gas.flow_of(weld, facts, inputs)
    starts = summed("starts", "", own, share)
    on_spool, in_cylinder = gas.left_of(weld, book)
    laid = wire_used(mass, built.efficiency, inputs.wire_loss)
    stubs = gas.clipped(starts, facts.constant("start_stub"), built.linear_density)
    off_spool = summed("wire", "kg", laid, stubs, shared(once.wire))
    out = summed("gas", "m3", gas.gas_of(flow, arc, own, work.time.weld, facts, inputs), shared(once.gas))
    line = choice(work.counts.line_bores, "line_bores", "bores that share the line's set-up")
    energy, used = _energy(work, facts), _edges(work, inputs)
    ruled = {
        part: sundries.planned_of(part, len(weld.layers), work.counts.line_bores, share, facts)
        for part in ("tip", "nozzle", "insert", "liner")
    }
    held = sundries.brackets_on(work.clamped, work.bearings, facts)
    return Supplies(
        wire=by_shop(gas.bought(off_spool, on_spool), "wire", work.factors),
        gas=by_shop(gas.bought(out, in_cylinder), "gas", work.factors),
        tips=_worn("tips", ruled["tip"], worn_parts(arc, inputs.tip_life, wear)),
        nozzles=_worn("nozzles", ruled["nozzle"], worn_parts(arc, inputs.nozzle_life, wear)),
        inserts=_worn("inserts", ruled["insert"], inserts_used(used.total, facts.constant("edges_per_insert"))),
        energy=energy,
        liners=_worn("liners", ruled["liner"], sundries.liners_used(off_spool, facts.constant("liner_life"), wear)),
        discs=sundries.discs_used(
            starts, facts.constant("starts_per_disc"), held, facts.constant("brackets_per_disc"), line
        ),
        brackets=sundries.brackets_used(held, facts.constant("bracket_uses"), line),
        anti_spatter=sundries.sprayed(starts, facts.constant("anti_spatter_start")),
        burner_gas=sundries.burner_gas_of(work.counts, work.burners, work.warmth, built, facts, inputs),
        fuel=sundries.fuel_of(work.time, energy, book),
        planned_tips=ruled["tip"],
        planned_nozzles=ruled["nozzle"],
        planned_inserts=ruled["insert"],
        planned_liners=ruled["liner"],
        starts=starts,
        edges=used,
        flow=flow,
    )
