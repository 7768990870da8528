"""Pint quantities pushed through the formulas: each answer has the dimension that its formula declares.

What an argument is measured in stands in the table of arguments, once by its name.
"""

import inspect
import re
from typing import Any

import pint
import pytest

from estimator.nomenclature import arguments
from tests.published.test_sources import FORMULAS

REGISTRY: Any = pint.UnitRegistry()

ONE_QUANTITY = "kg"  # stands for whatever is given where a formula takes "any" and answers in the same unit
ON_RINGS = (
    "bore_rise bore_temperature burners_for cooldown cooled cooling flamed free_time held held_time keeping_power kept "
    "preheat_time settled welded"
)
EXEMPT = {
    "weld.body.body_of": "answers the boss as rings, without units",
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
    "money.recipe.escalated": "takes years as a plain number",
}
MONEY = ("compare.", "buying.", "van.", "money.price.", "money.lines.", "money.parts.", "beside.variants.")
RATIOS = {"shop.gas_cylinder.left_share"}  # of two figures in one unit


@pytest.mark.parametrize("name", sorted(name for name in FORMULAS if name not in EXEMPT and not name.startswith(MONEY)))
def test_a_formula_answers_in_its_dimension(name: str) -> None:
    formula = FORMULAS[name]
    units = {one: arguments()[one].unit for one in inspect.signature(formula).parameters}
    assert not {"currency", "text", "record"} & set(units.values())
    declared = re.sub(r"\bm([234])\b", r"m**\1", formula.unit)  # pyrefly: ignore[missing-attribute] # set by the decorator
    if "any" in units.values():
        assert declared == ""
        declared = "" if name in RATIOS else ONE_QUANTITY
    given = {}
    for number, (one, unit) in enumerate(units.items()):
        size = 2.0 + 0.37 * number
        given[one] = REGISTRY.Quantity(size, ONE_QUANTITY if unit == "any" else unit) if unit else size
    wanted = REGISTRY.Quantity(1.0, declared or "dimensionless")
    assert REGISTRY.Quantity(formula(**given)).dimensionality == wanted.dimensionality


def test_exempt_formulas_exist_and_money_is_money() -> None:
    assert set(EXEMPT) <= set(FORMULAS)
    assert sum(name.startswith(MONEY) for name in FORMULAS) >= 8
