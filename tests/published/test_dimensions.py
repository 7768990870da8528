"""Pint quantities pushed through the formulas: each answer has the dimension that its formula declares.

What a parameter is measured in stands here once, by its name; where one name means two things, by formula as well.
"""

import inspect
from typing import Any

import pint
import pytest

from tests.published.test_sources import FORMULAS

REGISTRY: Any = pint.UnitRegistry()

UNITS = {
    "m": (
        "micrometre skin wear x y "
        "allowance approach assumed_wall bead_height bead_width bottom build chip_unit cleanup "
        "cleanup_allowance depth deviation diameter distance end farthest feed finish finish_max "
        "finish_min gauge_uncertainty inside laid largest layer_thickness least_radius least_weld length "
        "machining_allowance max_radial_wear mean_diameter nominal nominal_diameter original_x original_y "
        "outside outside_diameter place plate radius reading repeatability runout shift skim start step "
        "thickness thinnest_layer uncertainty wall weld weld_radius x0 y0 "
        "start_stub hose_bore hose_length"
    ),
    "m**2": "bead_area",
    "m**3": (
        "deposit_volume ground required_volume void_volume volume worn worn_volume water_volume full_volume "
        "standard_volume covolume anti_spatter_start"
    ),
    "s": (
        "again all_arc_time arc_time bores constant cooldown cover cutting_time day duration edge_life "
        "fire_watch first_time free_time freed inspection life longest_stop meanwhile on_site once "
        "other_work others rest_time rework_time set_torch shift_length spread_time target time travel "
        "used_waits wait weld_time "
        "arc_between_stops purge_time open_time running"
    ),
    "m/s": "cutting_speed wind draught_wind road_speed speed table_speed travel_speed wire_feed",
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
    "Pa": ("kc specific_force pressure gauge_pressure atmosphere critical_pressure standard_pressure hose_pressure "),
    "Pa*m**6": "attraction",
    "J/kg": "propane_heat",
    "m**3/J": "per_energy",
    "K": (
        "above allowed_rise ambient arc_rise end_rise excess hand_warm limit preheat preheat_rise "
        "residual room warmest "
        "temperature critical_temperature"
    ),
}
PLAIN = (
    "cosine sine "
    "access_factor base bead_aspect beads burners C cet count coverage_factor Cr Cu diluted dilution "
    "drive_efficiency edges efficiency heat_share hydrogen hydrogen_power interrupted_share "
    "layers line_bores measured Mn Mo Ni nights odds passes people plain rate_share rise run_over "
    "turn_slack turns_over own table "
    "sensitivity share Si sides slope source_efficiency step_ratio sx sy tilt turns V wear_factor wire "
    "wire_loss "
    "acentric co2_percent o2_percent interaction starts left_share starts_per_disc brackets_per_line "
    "brackets_per_disc bracket_uses burner_share times "
)
UNIT_OF = {name: unit for unit, names in UNITS.items() for name in names.split()}
ELSEWHERE = {
    ("weld.heat.mean_power", "time"): "s",
    ("features.shapes.pocket_filled", "skin"): "m**3",
    ("features.shapes.pocket_filled", "over"): "m**3",
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
    **{("weld.steel.cooling_time", name): "K" for name in ("start", "zero", "high", "low")},
    ("weld.steel.cooling_time", "constant"): "K*s*m/J",
    ("weld.steel.cooling_time", "slope"): "s*m/J",
    **{("weld.steel.kelvin_preheat", f"by_{name}"): "K" for name in ("cet", "thickness", "hydrogen")},
    **{("weld.steel.kelvin_preheat", f"by_{name}"): "K*m/J" for name in ("heat_cet", "heat")},
    ("weld.steel.kelvin_preheat", "thickness_scale"): "m",
    ("weld.steel.kelvin_preheat", "offset"): "K",
    ("weld.steel.hardness", "cooling_time"): "s",
    ("weld.steel.hardness", "one_second"): "s",
}
DECLARED_ELSEWHERE = {
    "shop.supplies.shared_by_arc": "kg",
    "shop.gas.bought": "kg",
    "formula.difference": "K",
    "weld.build.mean_over_arc": "A",
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
    declared = DECLARED_ELSEWHERE.get(name) or formula.unit.replace("m3", "m**3").replace("m2", "m**2")  # type: ignore[attr-defined] # set by the decorator
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
