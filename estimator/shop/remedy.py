"""What it takes to save a deposit too hard to bore: one more layer, and tempering where that is not enough."""

from dataclasses import dataclass

from estimator.bore.survey import Survey
from estimator.formula import choice, difference, formula, summed
from estimator.inputs import Inputs
from estimator.shop.sundries import burner_gas_used
from estimator.shop.supplies import Supplies
from estimator.tables import Tables
from estimator.tables.rows import TimeStandard
from estimator.weld.around import welding_ring
from estimator.weld.build import Build
from estimator.weld.heat import all_burners, heat_in, preheat_time
from estimator.weld.preheat import HeatPlan, whole_wall

__all__ = ["Remedy", "remedy_of"]

PRACTICE = "one more layer may save it, else it is tempered: common practice, no source; the odds from memory"


@dataclass(frozen=True)
class Remedy:
    """Expected time and supplies of saving one deposit that is too hard. [SI]"""

    time: float
    burner_gas: float
    wire: float
    gas: float


@formula("share", "definition: a layer's share of the whole", "computed")
def of_one_layer(whole: float, layers: int) -> float:
    """Share of one layer in what all layers take."""
    return whole / layers


@formula("hold_time", "one hour per inch (25 mm) of wall, and not under the least of the table", "published", unit="s")
def hold_time(wall: float, hold: float, for_wall: float, least_hold: float) -> float:
    """Time at the tempering temperature. [s]"""
    return max(hold * wall / for_wall, least_hold)


@formula("expected", PRACTICE, "from memory")
def expected(layer: float, further: float, layer_saves: float) -> float:
    """Expected amount: one more layer in any case, the rest where that does not save it."""
    return layer + (1 - layer_saves) * further


@formula("expected", PRACTICE, "from memory")
def where_not_saved(further: float, layer_saves: float) -> float:
    """Expected amount of what is only done where one more layer does not save it."""
    return (1 - layer_saves) * further


def remedy_of(
    survey: Survey, plan: HeatPlan, built: Build, used: Supplies, facts: Tables, inputs: Inputs
) -> Remedy | None:
    """Return what saving a bore's deposit takes, where its odds are priced; scalars or arrays.

    Parameters
    ----------
    survey, plan, built, used
        The bore, what was decided about its heat, its layers and what they use up.
    facts, inputs
        Tables and the day.
    """
    if not plan.risk.priced:
        return None
    saves, layers = facts.constant("layer_saves"), choice(len(built.layers), "layers", "layers of the plan")
    arc, wire, gas = (of_one_layer(whole, layers) for whole in (built.arc_time, used.wire, used.gas))
    rows = [row for row in facts.every("times", TimeStandard) if row.basis == "gap" or row.code == "skim_change"]
    layer = summed("layer_time", "s", *(inputs.times[row.code] for row in rows), arc)
    if plan.risk.tempering.high is None:  # cut out and laid again
        again = summed("again", "s", facts.constant("rework_time"), built.arc_time)
        more = ((layer, again), (wire, used.wire), (gas, used.gas))
        time, metal, shield = (expected(one, further, saves) for one, further in more)
        return Remedy(time, 0.0 * built.arc_time, metal, shield)
    ring = welding_ring(plan.boss, plan.risk.tempering.high, facts, inputs)
    flame = all_burners(inputs.burner_power, plan.temper_burners)
    warming = preheat_time(ring, difference(plan.risk.tempering.high, plan.ambient), flame)
    wall = whole_wall(plan.outside, survey.bore.nominal_diameter)
    held = hold_time(wall, *(facts.constant(f"temper_{name}") for name in ("hold", "hold_wall", "hold_least")))
    temper = summed("temper_time", "s", inputs.times["heat_boss"], warming, held)
    heat = where_not_saved(heat_in(flame, summed("burning", "s", warming, held)), saves)
    burnt = burner_gas_used(heat, facts.constant("propane_heat"), facts.constant("burner_share"))
    return Remedy(expected(layer, temper, saves), burnt, wire, gas)
