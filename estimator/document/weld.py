"""How a bore is built up, in the estimate document: wire, gas, layers, what else was weighed."""

from collections.abc import Sequence
from typing import Literal, NotRequired

from typing_extensions import TypedDict

from estimator.book.pricebook import PriceBook
from estimator.document.arc import Arc, Composition, arc_of, composition_of
from estimator.document.search import Search, search_of
from estimator.express import all_shown
from estimator.formula import choice
from estimator.inputs import Inputs
from estimator.plans import BoreFigures
from estimator.tables import Tables
from estimator.tables.messages import text_of, texts_of
from estimator.weld.build import FirstBead as Bead
from estimator.weld.build import LayerFigures, torch_turning, turn_time
from estimator.weld.plan import Alternative as Other

__all__ = ["Buildup", "buildup_of"]


class FirstBead(TypedDict):
    """Settings of the first bead, or of what follows it."""

    current_A: float
    voltage_V: NotRequired[float]
    wire_feed_m_min: float
    travel_mm_min: float
    turn_s: NotRequired[float]
    torch_rpm: NotRequired[float]


class Layer(TypedDict):
    """One layer; settings are means over arc time."""

    number: int
    thickness_mm: float
    laid_thickness_mm: float
    start_diameter_mm: float
    end_diameter_mm: float
    step_mm: float
    turns: float
    beads: int
    rotation: Literal["clockwise", "counter-clockwise"]
    current_A: float
    voltage_V: float
    wire_feed_m_min: float
    travel_mm_min: float
    turn_s: NotRequired[float]
    torch_rpm: NotRequired[float]
    heat_input_kJ_mm: float
    volume_mm3: float
    arc_time_min: float
    bead_width_mm: float
    bead_height_mm: float
    overlap: float
    valley_mm: float
    composition: Composition
    dilution: float
    first_bead: NotRequired[FirstBead]
    after_first: NotRequired[FirstBead]


class Alternative(TypedDict):
    """Another plan that was weighed."""

    name: str
    wire: str
    gas: str
    layers: int
    current_A: float
    saved_min: float
    remark: str


class Metal(TypedDict):
    """Wire, gas and metal of a bore."""

    wire: str
    wire_kind: str
    gas: str
    gas_symbol: str
    gas_reason: str
    slag: str
    wire_g_m: float
    density_kg_m3: float
    deposition_efficiency: float
    feed_scatter: float
    voltage_scatter_V: float
    gas_flow_L_min: float
    required_volume_mm3: float
    deposit_volume_mm3: float
    deposit_mass_kg: float
    deposition_rate_kg_h: float
    arc_time_min: float


class Buildup(Metal, Arc, Search):
    """How a bore is built up."""

    limits: list[str]
    layers: list[Layer]
    alternatives: NotRequired[list[Alternative]]


SEARCHED = "as the search found it"
SAVED = "time of the plan less time of this one, arc and work between layers, both as the search computed them"


def buildup_of(one: BoreFigures, book: PriceBook, inputs: Inputs) -> Buildup:
    """Return how a bore is built up."""
    weld = one.plan.weld
    others = _alternatives(weld.time, weld.beside.alternatives) if weld.beside else []
    found: Buildup = {
        **_metal(one),
        **arc_of(one, book, inputs),
        **search_of(weld),
        "limits": texts_of(weld.limits),
        "layers": [_layer(layer, one, book.facts) for layer in one.build.layers],
        "alternatives": others,
    }
    if weld.beside is None:
        del found["alternatives"]
    return found


def _metal(one: BoreFigures) -> Metal:
    weld, built = one.plan.weld, one.build
    return all_shown(
        Metal(
            wire=weld.wire.name,
            wire_kind=weld.wire.kind,
            gas=weld.gas.name,
            gas_symbol=weld.gas.symbol,
            gas_reason=weld.gas.why,
            slag=_slag(one),
            wire_g_m=built.linear_density,
            density_kg_m3=weld.wire.deposit_density,
            deposition_efficiency=built.efficiency,
            feed_scatter=weld.wire.feed_scatter,
            voltage_scatter_V=weld.wire.voltage_scatter,
            gas_flow_L_min=one.supplies.flow,
            required_volume_mm3=built.required_volume,
            deposit_volume_mm3=built.deposit_volume,
            deposit_mass_kg=built.deposit_mass,
            deposition_rate_kg_h=built.deposition_rate,
            arc_time_min=built.arc_time,
        )
    )


def _alternatives(time: float, others: Sequence[Other]) -> list[Alternative]:
    """Return the other plans that were weighed, beside one that takes that time. [s]"""
    return [
        all_shown(
            Alternative(
                name=other.name,
                wire=other.wire,
                gas=other.gas,
                layers=choice(other.layers, "layers", SEARCHED),
                current_A=choice(other.current, "current", SEARCHED, unit="A"),
                saved_min=choice(time - other.time, "saved", SAVED, unit="s"),
                remark=text_of(other.remark),
            )
        )
        for other in others
    ]


def _slag(one: BoreFigures) -> str:
    if one.plan.weld.wire.slag == "no":
        return "none"
    return "chip and brush each layer" if one.plan.weld.slag_each_layer else "left to the end"


def _layer(layer: LayerFigures, one: BoreFigures, facts: Tables) -> Layer:
    plan = layer.layer
    made, share = composition_of(plan.number, one.plan.base, one.plan.weld.wire, facts)
    found = all_shown(
        Layer(
            number=choice(plan.number, "number", "layers are numbered as they are laid"),
            thickness_mm=plan.thickness,
            laid_thickness_mm=plan.laid,
            start_diameter_mm=plan.start,
            end_diameter_mm=plan.end,
            step_mm=plan.step,
            turns=plan.turns,
            beads=plan.beads,
            current_A=layer.current,
            voltage_V=layer.voltage,
            wire_feed_m_min=layer.wire_feed,
            travel_mm_min=layer.travel_speed,
            turn_s=turn_time(layer.middle, layer.travel_speed),
            torch_rpm=torch_turning(layer.middle, layer.travel_speed),
            heat_input_kJ_mm=layer.heat_input,
            volume_mm3=layer.volume,
            arc_time_min=layer.arc_time,
            bead_width_mm=layer.bead_width,
            bead_height_mm=layer.bead_height,
            overlap=layer.overlap,
            valley_mm=layer.valley,
            rotation=plan.rotation,
            composition=made,
            dilution=share,
        )
    )
    if layer.first_bead is not None:
        found["first_bead"] = _settings(layer.first_bead)
    if layer.after_first is not None:
        found["after_first"] = _settings(layer.after_first)
    return found


def _settings(bead: Bead) -> FirstBead:
    return all_shown(
        FirstBead(
            current_A=bead.current,
            voltage_V=bead.voltage,
            wire_feed_m_min=bead.wire_feed,
            travel_mm_min=bead.travel_speed,
            turn_s=turn_time(bead.middle, bead.travel_speed),
            torch_rpm=torch_turning(bead.middle, bead.travel_speed),
        )
    )
