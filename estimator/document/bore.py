"""One bore of the estimate document: wear, sizes, build-up, heat, machining, consumption, time."""

from collections.abc import Mapping
from typing import Any

from estimator.book.pricebook import PriceBook
from estimator.document.arc import arc_of, composition_of
from estimator.document.card import card_of
from estimator.document.cut import machining_of
from estimator.document.features import features_of
from estimator.document.search import search_of
from estimator.document.setup import setup_of
from estimator.document.wear import RADIAL, readings_of, sizes_of, typed, wear_of
from estimator.express import all_shown as _all
from estimator.express import shown
from estimator.formula import choice, rewrap
from estimator.job.job import Sector
from estimator.road import BoreFigures
from estimator.shop.supplies import SHOWN
from estimator.tables import Tables
from estimator.weld.build import FirstBead, LayerFigures
from estimator.weld.course import LayerHeat

__all__ = ["bore_of", "supplies_shown"]


def _first_bead(layer: LayerFigures) -> dict[str, Any]:
    beads = {"first_bead": layer.first_bead, "after_first": layer.after_first}
    return {name: _settings(bead) for name, bead in beads.items() if bead is not None}


def _settings(bead: FirstBead) -> dict[str, Any]:
    return _all({"current_A": bead.current, "wire_feed_m_min": bead.wire_feed, "travel_mm_min": bead.travel_speed})


def _layer(layer: LayerFigures, one: BoreFigures, facts: Tables) -> dict[str, Any]:
    plan = layer.layer
    keys = {
        "number": _numbered(plan.number),
        "thickness_mm": plan.thickness,
        "laid_thickness_mm": plan.laid,
        "start_diameter_mm": plan.start,
        "end_diameter_mm": plan.end,
        "step_mm": plan.step,
        "turns": plan.turns,
        "beads": plan.beads,
        "current_A": layer.current,
        "voltage_V": layer.voltage,
        "wire_feed_m_min": layer.wire_feed,
        "travel_mm_min": layer.travel_speed,
        "heat_input_kJ_mm": layer.heat_input,
        "volume_mm3": layer.volume,
        "arc_time_min": layer.arc_time,
        "bead_width_mm": layer.bead_width,
        "bead_height_mm": layer.bead_height,
        "overlap": layer.overlap,
        "valley_mm": layer.valley,
    }
    made = composition_of(plan.number, one.plan.base, one.plan.weld.wire, facts)
    return {**_all(keys), "rotation": plan.rotation, **made, **_first_bead(layer)}


def _buildup(one: BoreFigures, book: PriceBook) -> dict[str, Any]:
    weld, built = one.plan.weld, one.build
    return {
        "wire": weld.wire.name,
        "wire_kind": weld.wire.kind,
        "gas": weld.gas.name,
        "gas_symbol": weld.gas.symbol,
        "gas_reason": weld.gas.why,
        "slag": _slag(one),
        **_all(
            {
                "wire_g_m": built.linear_density,
                "density_kg_m3": weld.wire.deposit_density,
                "deposition_efficiency": built.efficiency,
                "feed_scatter": weld.wire.feed_scatter,
                "voltage_scatter_V": weld.wire.voltage_scatter,
                "gas_flow_L_min": one.supplies.flow,
                "required_volume_mm3": built.required_volume,
                "deposit_volume_mm3": built.deposit_volume,
                "deposit_mass_kg": built.deposit_mass,
                "deposition_rate_kg_h": built.deposition_rate,
                "arc_time_min": built.arc_time,
            }
        ),
        **arc_of(one, book),
        **search_of(weld),
        "limits": list(weld.limits),
        "layers": [_layer(layer, one, book.facts) for layer in built.layers],
        "alternatives": [
            {
                "name": other.name,
                "wire": other.wire,
                "gas": other.gas,
                "layers": choice(other.layers, "layers", "as the search found it"),
                "current_A": shown("current_A", choice(other.current, "current", "as the search found it", unit="A")),
                "saved_min": shown("saved_min", choice(weld.time - other.time, "saved", SAVED, unit="s")),
                "remark": other.remark,
            }
            for other in weld.alternatives
        ],
    }


SAVED = "time of the plan less time of this one, arc and work between layers, both as the search computed them"


def _slag(one: BoreFigures) -> str:
    if one.plan.weld.wire.slag == "no":
        return "none"
    return "chip and brush each layer" if one.plan.weld.slag_each_layer else "left to the end"


def _heat(one: BoreFigures) -> dict[str, Any]:
    plan, heat = one.plan.heat, one.heat
    none = choice(0.0, "preheat", "none is due: the computed preheat is below the part's own temperature or 20 degC")
    preheat = shown("preheat_C", plan.preheat) if plan.due else rewrap(0.0, none)
    keys = {
        "carbon_equivalent": plan.carbon_equivalent,
        "cet": plan.cet,
        "pcm": plan.pcm,
        "interpass_max_C": plan.interpass_max,
        "interpass_wait_min": heat.interpass_wait,
        "cooldown_min": heat.cooldown,
        "finish_cut_max_C": plan.finish_temperature,
        "wait_saving_min": one.wait_saving,
        "boss_kg": plan.mass,
        "burner_min": heat.preheat_time,
        "burners": plan.burners,
    }
    risk = _risk(one)
    course = {"course": [_warm(layer, number) for number, layer in enumerate(heat.layers, 1)]}
    waits = {"waits": [_wait(one, number) for number, layer in enumerate(heat.layers, 1) if layer.wait > 0]}
    said = {"preheat_C": preheat, "machinable": plan.machinable, "advice": list(plan.advice)}
    return {**_all(keys), **course, **waits, **risk, **said}


def _risk(one: BoreFigures) -> dict[str, Any]:
    """Return preheat by the published table, hardness with its odds and remedy, and where it may be tempered."""
    plan, risk, temper = one.plan.heat, one.plan.heat.risk, one.plan.heat.risk.tempering
    keys = {
        "hardness_layer": risk.layer,
        "hardness_first_HV": risk.first,
        "hardness_last_HV": risk.last,
        "hardness_limit_HV": risk.limit,
        "hardness_scatter_HV": risk.scatter,
        "too_hard_odds": risk.odds,
        "ac1_C": temper.ac1,
    }
    perhaps = {
        "preheat_table_C": plan.table.preheat,
        "haz_hardness_HV": risk.edge,
        "temper_from_C": temper.low,
        "temper_to_C": temper.high,
        "remedy_min": None if one.remedy is None else one.remedy.time,
    }
    found = {key: None if value is None else shown(key, value) for key, value in perhaps.items()}
    said = {"preheat_table": plan.table.said, "haz_said": risk.edge_said, "temper": temper.said}
    return {**_all(keys), **found, **said, "certificate": one.plan.base.certificate or None}


def _numbered(number: int) -> int:
    return choice(number, "number", "layers are numbered as they are laid")


def _warm(layer: LayerHeat, number: int) -> dict[str, Any]:
    return {"layer": _numbered(number), **_all({"start_C": layer.start, "end_C": layer.end, "keep_kW": layer.keeping})}


def _wait(one: BoreFigures, number: int) -> dict[str, Any]:
    """Return where a layer's wait comes: after which bead, at what temperature, in how many stops."""
    layer, limit = one.heat.layers[number - 1], one.plan.heat.interpass_max
    keys = {"after_bead": layer.bead, "from_C": limit, "wait_min": layer.wait, "stops": layer.stops}
    return {"layer": _numbered(number), **_all(keys)}


def _time(one: BoreFigures) -> dict[str, Any]:
    time = one.time
    return _all(
        {
            "setup_min": time.setup,
            "precut_min": time.precut,
            "preheat_min": time.preheat,
            "weld_min": time.weld,
            "cooldown_min": time.cooldown,
            "finish_min": time.finish,
            "inspection_min": time.inspection,
            "teardown_min": time.teardown,
            "total_min": time.total,
        }
    )


def supplies_shown(used: Mapping[str, float]) -> dict[str, Any]:
    """Return what is used up under the document's keys; `used` by the field's name. [SI]"""
    return _all({key: used[name] for name, (key, _) in SHOWN.items()})


def _given(one: BoreFigures) -> dict[str, Any]:
    """Return what was asked and read, so that pages need nothing but the estimate document."""
    bore, heat = one.plan.survey.bore, one.plan.heat
    tolerance = bore.tolerance if isinstance(bore.tolerance, str) else "limits as given"
    keys = {"nominal_diameter_mm": bore.nominal_diameter, "length_mm": bore.length}
    own = {"plate_thickness_mm": heat.plate, "outside_diameter_mm": heat.outside}
    return {
        **_all({**keys, **own}),
        "outside_given": bore.outside_diameter is not None,
        "tolerance": tolerance,
        "material": one.plan.base.name,
        "axis": bore.axis,
        "line": bore.line,
        "wear": None if bore.readings is not None and bore.readings.kind in RADIAL else bore.wear,
        "part_of": bore.part_of,
        "clock_sector": _sector(bore.sector),
        "clock_pocket": _sector(bore.pocket),
        "cut_already": bore.cleanup_diameter is not None,
        "readings": readings_of(one.plan.survey),
    }


def _sector(sector: Sector | None) -> dict[str, Any] | None:
    """Return a part of the clock as it was typed."""
    if sector is None:
        return None
    return {"from": typed(sector.start, "from"), "to": typed(sector.end, "to")}


def bore_of(one: BoreFigures, book: PriceBook) -> dict[str, Any]:
    """Return one bore of the estimate document."""
    return {
        "name": one.plan.survey.bore.name,
        "given": _given(one),
        "budget": one.plan.survey.budget,
        "wear": wear_of(one.plan.survey),
        "sizes": sizes_of(one.plan.survey),
        "buildup": _buildup(one, book),
        "heat": _heat(one),
        "machining": machining_of(one, book),
        "consumption": supplies_shown({name: getattr(one.supplies, name) for name in SHOWN}),
        "time": _time(one),
        "features": features_of(one),
        "card": card_of(one, book.facts),
        "setup": setup_of(one),
    }
