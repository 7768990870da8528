"""Pint quantities pushed through the formulas: each answer has the dimension that its formula declares.

What a parameter is measured in stands here once, by its name; where one name means two things, by formula as well.
"""

import inspect
import re
from typing import Any

import pint
import pytest

from tests.published.test_sources import FORMULAS

REGISTRY: Any = pint.UnitRegistry()

UNITS = {
    "m": (
        "allowance approach assumed_wall bead_height bead_width bottom build chip_unit cleanup "
        "cleanup_allowance depth deviation diameter distance end farthest feed finish finish_max "
        "finish_min for_wall gauge_uncertainty metre hose_bore hose_length inside laid largest layer_thickness "
        "least_radius least_weld length machining_allowance max_radial_wear mean_diameter micrometre "
        "nominal nominal_diameter original_x original_y outside outside_diameter place plate radius "
        "reading repeatability runout shift skim skin stand start start_stub step thickness thinnest_layer "
        "uncertainty wall wear weld weld_radius x x0 y y0 "
        "after before bearing_after bearing_before crests deflection found hollow meets nose overbuild "
        "reach roughness tool_room "
        "usual_depth usual_feed "
    ),
    "m**2": "bead_area",
    "m**4": "second_moment",
    "m/N": "compliance",
    "N": "force",
    "N*m": "torque",
    "m**3": (
        "anti_spatter_start covolume deposit_volume full_volume ground removed required_volume standard_volume "
        "void_volume volume water_volume worn worn_volume "
    ),
    "s": (
        "again all_arc_time arc_between_stops arc_time bores closes closing constant cooldown cover "
        "cutting_time daily day duration edge_life fire_watch first_time free_time freed inspection life longest_stop "
        "line_time meanwhile on_site once open_time opening opens order other_work others phase purge_time "
        "rest_time rework_time running set_torch "
        "shift_length spread_time target time travel used_waits wait weld_time work "
    ),
    "m/s": "cutting_speed wind draught_wind road_speed speed table_speed travel_speed usual_speed wire_feed",
    "m**3/s": "deposit_rate flow grinding_rate more draught_flow most_flow leak_flow idle",
    "1/s": "fastest slowest turning",
    "kg": "deposit_mass mass fill_mass molar_mass liner_life",
    "kg/m": "linear_density",
    "kg/m**3": "density",
    "A": "current",
    "V": "arc_voltage voltage voltage_base",
    "V/A": "voltage_slope",
    "m/s/A": "feed_linear",
    "m/s/A**2": "feed_squared",
    "W": "arc_power burner power",
    "J": "heat preheat_heat energy",
    "J/m": "heat_input",
    "J/K": "capacity gas_constant",
    "W/K": "conductance",
    "W/m/K": "conductivity",
    "W/m**2/K": "surface_loss",
    "J/kg/K": "specific_heat",
    "Pa": (
        "kc modulus specific_force pressure gauge_pressure atmosphere critical_pressure standard_pressure "
        "hose_pressure "
    ),
    "Pa*m**6": "attraction",
    "J/kg": "propane_heat",
    "m**3/J": "per_energy",
    "K": (
        "above ac1 allowed_rise ambient arc_rise band below critical_temperature end_rise excess "
        "hand_warm limit preheat preheat_rise residual room temper_to temperature tempered_at warmest "
    ),
}
PLAIN = (
    "access_factor acentric cold_factor days learning_rate learnt number site_factor spread technicians trips "
    "wind_factor B base bead_aspect beads bracket_uses brackets_per_disc brackets_per_line "
    "burner_share burners C cet co2_percent cosine count coverage coverage_factor Cr Cu diluted dilution "
    "drive_efficiency edges efficiency hardness heat_share hydrogen hydrogen_power interaction "
    "interrupted_share layer_saves layers left_share line_bores measured Mn Mo Ni nights o2_percent odds "
    "own passes people plain rate_share rise run_over scatter sensitivity share Si sides sine slope "
    "source_efficiency starts starts_per_disc step_ratio sx sy table tilt times turn_slack turns "
    "turns_over V wear_factor wire wire_loss "
    "a at_high at_low b chip_bulk deflection_share edges_per_insert high interrupted_life longest low n own_share "
    "per_vickers power_of radial_share ratio real_factor "
)
UNIT_OF = {name: unit for unit, names in UNITS.items() for name in names.split()}
ELSEWHERE = {
    ("weld.heat.mean_power", "time"): "s",
    ("features.ground.pocket_filled", "skin"): "m**3",
    ("features.ground.pocket_filled", "over"): "m**3",
    ("features.figures.fill_time", "deposition_rate"): "kg/s",
    ("shop.supplies.shared_by_arc", "amount"): "kg",
    ("shop.gas.bought", "used"): "kg",
    ("shop.sundries.liners_used", "wire"): "kg",
    **{("shop.cylinder.left_share", name): "m**3" for name in ("left", "pack")},
    **{("shop.cylinder.mixed_attraction", name): "Pa*m**6" for name in ("argon", "carbon_dioxide", "oxygen")},
    **{("shop.cylinder.mixed_covolume", name): "m**3" for name in ("argon", "carbon_dioxide", "oxygen")},
    ("formula.difference", "value"): "K",
    ("formula.difference", "less"): "K",
    ("weld.build.mean_over_arc", "rest"): "A",
    ("weld.build.mean_over_arc", "first"): "A",
    ("weld.plan.layer_end", "thickness"): "m",
    ("shop.time.own_finish", "finish"): "s",
    **{("shop.standards.expected_time", name): "s" for name in ("low", "likely", "high")},
    **{("weld.steel.cooling_time", name): "K" for name in ("start", "zero", "high", "low")},
    ("weld.steel.cooling_time", "constant"): "K*s*m/J",
    ("weld.steel.cooling_time", "slope"): "s*m/J",
    **{("weld.steel.kelvin_preheat", f"by_{name}"): "K" for name in ("cet", "thickness", "hydrogen")},
    **{("weld.steel.kelvin_preheat", f"by_{name}"): "K*m/J" for name in ("heat_cet", "heat")},
    ("weld.steel.kelvin_preheat", "thickness_scale"): "m",
    ("weld.steel.kelvin_preheat", "offset"): "K",
    ("weld.steel.hardness", "cooling_time"): "s",
    ("weld.steel.hardness", "one_second"): "s",
    **{("weld.steel.ac1", name): "K" for name in ("base", "by_Mn", "by_Ni", "by_Si", "by_Cr")},
    **{("shop.remedy.expected", name): "s" for name in ("layer", "further")},
    ("shop.remedy.where_not_saved", "further"): "J",
    ("shop.remedy.of_one_layer", "whole"): "s",
    **{("shop.remedy.hold_time", name): "s" for name in ("hold", "least")},
    ("weld.risk.too_hard_odds", "limit"): "dimensionless",
    ("shop.schedule.standing_by", "work"): "s",
}
DECLARED_ELSEWHERE = {
    "shop.supplies.shared_by_arc": "kg",
    "shop.gas.bought": "kg",
    "formula.difference": "K",
    "weld.build.mean_over_arc": "A",
    "shop.remedy.expected": "s",
    "shop.remedy.where_not_saved": "J",
    "shop.remedy.of_one_layer": "s",
}
ON_RINGS = (
    "bore_temperature burners_for cooldown cooled flamed free_time held held_time keeping_power kept preheat_time "
    " welded "
)
EXEMPT = {
    "weld.ring.ring_of": "answers the boss as rings, without units",
    **dict.fromkeys((f"weld.heat.{name}" for name in ON_RINGS.split()), "takes the boss as rings, without units"),
    "bore.profile.void_volume": "takes a table of readings",
    "bore.axis_line.farthest_point": "takes the points of a bore",
    "bore.axis_line.axis_shift": "takes a tilt; Python's own hypotenuse",
    **dict.fromkeys(
        ("bore.form.size_of", "bore.form.offset_of", "bore.form.out_of_form", "bore.form.tilt_of"),
        "takes a fitted circle or cylinder",
    ),
    "bore.sector.ground_inside": "takes a table of readings",
    "bore.line.to_micrometre": "rounds up to whole numbers",
    "bore.sector.pocket_volume": "takes a table of readings",
    "bore.sector.with_runouts": "keeps within a bare one, the whole clock",
    "bore.gauge.volume_uncertainty": "takes a table of readings",
    "bore.profile.largest_diameter": "takes a table of readings",
    "bore.profile.smallest_diameter": "takes a table of readings",
    "bore.profile.out_of_round": "takes a table of readings",
    "bore.profile.taper": "takes a table of readings",
    "money.lines.printed": "turns a quantity into a decimal number",
    "money.lines._sum_of": "decimal money",
}
MONEY = ("compare.", "order.", "money.price.", "money.lines.", "variants.")


def _unit(name: str, parameter: str) -> str:
    return ELSEWHERE.get((name, parameter), UNIT_OF.get(parameter, ""))


@pytest.mark.parametrize("name", sorted(name for name in FORMULAS if name not in EXEMPT and not name.startswith(MONEY)))
def test_a_formula_answers_in_its_dimension(name: str) -> None:
    formula = FORMULAS[name]
    unit: str = formula.unit  # type: ignore[attr-defined] # set by the decorator
    declared = DECLARED_ELSEWHERE.get(name) or re.sub(r"\bm([234])\b", r"m**\1", unit)
    arguments = {}
    for number, parameter in enumerate(inspect.signature(formula).parameters):
        unit = _unit(name, parameter)
        assert unit or parameter in PLAIN.split(), f"say what {parameter} is measured in"
        size = 2.0 + 0.37 * number
        arguments[parameter] = REGISTRY.Quantity(size, unit) if unit else size
    answer = formula(**arguments)
    wanted = REGISTRY.Quantity(1.0, declared or "dimensionless")
    assert REGISTRY.Quantity(answer).dimensionality == wanted.dimensionality


def test_exempt_formulas_exist_and_money_is_money() -> None:
    assert set(EXEMPT) <= set(FORMULAS)
    assert sum(name.startswith(MONEY) for name in FORMULAS) >= 8
