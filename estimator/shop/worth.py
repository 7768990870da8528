"""What weighs in the choice of a weld: every line of the bill that hangs on it, per unit of what the search reckons in.

The figures are the bill's own: the same formulas for one kilogram, one start, one second of arc.
"""

from collections.abc import Sequence

from estimator.book.scale import Scale
from estimator.cut.life import use_of
from estimator.cut.passes import Pass, pass_time
from estimator.formula import unrecorded
from estimator.inputs import Inputs
from estimator.shop import gas, sundries
from estimator.shop.gas_cylinder import left_in_cylinder
from estimator.shop.standards import standards_in
from estimator.shop.supplies import inserts_used, wire_used, worn_parts
from estimator.tables import Tables
from estimator.tables.rows import Gas, Wire
from estimator.weld.arc import linear_density
from estimator.weld.cases import Passes, Worth

__all__ = ["counted", "cutting", "weld_worth"]


def weld_worth(wire: Wire, shield: Gas, scale: Scale, day: Inputs, passes: Passes | None = None) -> Worth:
    """Return what time, arc, starts, metal and heat weigh with a wire and its gas; the odds and work of rework.

    `passes`: what boring takes where layers come out far inside.
    """
    with unrecorded():
        return _worth(wire, shield, scale, day, passes)


def _worth(wire: Wire, shield: Gas, scale: Scale, day: Inputs, passes: Passes | None) -> Worth:
    facts, book, wear = scale.book.facts, scale.book, wire.wear_factor
    grams, lost = linear_density(wire), gas.heel_of(wire, book)
    metal = scale.of("consumables", "wires", wire.name, "price", unit="kg") / (1 - lost)
    air = scale.of("consumables", "gases", shield.name, "price", unit="L") / (1 - left_in_cylinder(shield.name, book))
    liner = scale.part("liner") * sundries.liners_used(1.0, facts.constant("liner_life"), wear)
    flow = gas.flow_for(wire, shield, facts, day)
    start = air * gas.gas_of(flow, 0.0, 1.0, None, facts, day)
    start += (metal + liner) * gas.clipped(1.0, facts.constant("start_stub"), grams)
    start += scale.part("disc") * sundries.discs_used(1.0, facts.constant("starts_per_disc"), 0.0, 1.0, 1)
    start += scale.of("consumables", "anti_spatter", "price", unit="L") * facts.constant("anti_spatter_start")
    arc = air * flow + start / day.arc_between_stops
    arc += scale.part("tip") * worn_parts(1.0, day.tip_life, wear)
    arc += scale.part("nozzle") * worn_parts(1.0, day.nozzle_life, wear)
    ruled = [
        scale.part(part) * (sundries.planned_of(part, 1, 1, 0.0, facts) - sundries.planned_of(part, 0, 1, 0.0, facts))
        for part in ("tip", "nozzle", "insert", "liner")
    ]
    used = wire_used(1.0, day.efficiency[wire.name], day.wire_loss)
    drawn = scale.energy / (facts.constant("source_efficiency") * facts.constant("arc_heat_share"))
    return Worth(
        time=scale.time + scale.running + air * day.leak_flow,
        arc=float(arc),
        layer=float(start + sum(ruled)),
        mass=float((metal + liner) * used),
        heat=drawn,
        odds=facts.plain_constant("rework_odds"),
        rework=facts.plain_constant("rework_time"),
        passes=passes,
    )


def counted(basis: str, here: frozenset[str], facts: Tables, day: Inputs, learnt: float = 1.0) -> float:
    """Return the time of all elements counted on a basis where those conditions hold. [s]"""
    rows = [one for one in standards_in(facts) if one.basis == basis and one.when in {"always", *here}]
    return sum((day.times[one.code] * (learnt if one.hand == "yes" else 1.0) for one in rows), 0.0)


def cutting(
    before: Sequence[Pass], after: Sequence[Pass], length: float, here: frozenset[str], scale: Scale, day: Inputs
) -> tuple[float, float]:
    """Return what passes before and after welding take [s], and what that weighs: time, edges, fuel or power."""
    facts = scale.book.facts
    approach, passes = facts.constant("approach"), [*before, *after]
    cut = [pass_time(length, approach, one.feed, one.turning) for one in passes]
    each = counted("pass", here, facts, day)
    time = sum(cut) + len(before) * (each + counted("precut pass", here, facts, day))
    time += len(after) * (each + counted("finish pass", here, facts, day))
    energy = sum(one.power * spent for one, spent in zip(passes, cut, strict=True))
    edges = use_of([one.work.life for one in passes], cut, day.edge_life).total if passes else 0.0
    inserts = scale.part("insert") * inserts_used(edges, facts.constant("edges_per_insert"))
    return time, time * (scale.time + scale.running) + energy * scale.energy + inserts
