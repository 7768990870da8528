"""What the features of a bore use up besides: wire, gas, tips and nozzles by their arc time, energy."""

from collections.abc import Sequence
from dataclasses import replace

from estimator.features.figures import FeatureFigures
from estimator.formula import summed
from estimator.inputs import Inputs
from estimator.shop.supplies import Supplies, arc_energy, drive_energy, gas_used, wire_used, worn_parts
from estimator.tables import Tables
from estimator.weld.build import Build
from estimator.weld.plan import WeldPlan

__all__ = ["with_features"]


def with_features(
    used: Supplies, weld: WeldPlan, built: Build, features: Sequence[FeatureFigures], facts: Tables, inputs: Inputs
) -> Supplies:
    """Return what a bore uses up with what its features add; inserts follow from the cutting time, features included.

    A fill runs at the settings of the last layer.
    """
    if not features:
        return used
    mass = summed("deposit_mass", "kg", *(one.mass for one in features))
    arc = summed("arc_time", "s", *(one.arc_time for one in features))
    last, wear, source = built.layers[-1], weld.wire.wear_factor, facts.constant("source_efficiency")
    energy = [arc_energy(last.voltage, last.current, arc, source)]
    for one in features:
        passes = (*one.feature.before, *one.feature.after)
        energy += [drive_energy(each.one.power, time) for each, time in zip(passes, one.cutting, strict=True)]
    return replace(
        used,
        wire=summed("wire", "kg", used.wire, wire_used(mass, built.efficiency, inputs.wire_loss)),
        gas=summed("gas", "m3", used.gas, gas_used(weld.gas.flow, arc, inputs.gas_loss)),
        tips=summed("tips", "", used.tips, worn_parts(arc, inputs.tip_life, wear)),
        nozzles=summed("nozzles", "", used.nozzles, worn_parts(arc, inputs.nozzle_life, wear)),
        energy=summed("energy", "J", used.energy, *energy),
    )
