"""What formulas take: each name has one row with its SI unit and meaning, and `help` tells it."""

import inspect
import pydoc
from collections import Counter
from typing import Any

import pint
import pytest

from estimator.nomenclature import arguments
from estimator.tables import raw
from tests.published.test_sources import FORMULAS

REGISTRY: Any = pint.UnitRegistry()
TAKEN = {name for formula in FORMULAS.values() for name in inspect.signature(formula).parameters}
NO_UNIT = {"", "any", "currency", "record", "text"}
CALENDAR = {"h", "year", "1/year"}  # costs count hours and years as people do


def test_each_name_that_a_formula_takes_has_one_row_and_no_other_name_has_one() -> None:
    assert set(arguments()) == TAKEN
    assert max(Counter(row["name"] for row in raw("arguments")).values()) == 1


@pytest.mark.parametrize("unit", sorted({row.unit for row in arguments().values()} - NO_UNIT - CALENDAR))
def test_each_unit_is_coherent_si(unit: str) -> None:
    assert REGISTRY.Quantity(1.0, unit).to_base_units().magnitude == pytest.approx(1.0, rel=1e-15)


def test_each_argument_says_what_it_is() -> None:
    assert all(row.meaning for row in arguments().values())


@pytest.mark.parametrize("name", sorted(FORMULAS))
def test_help_tells_the_unit_of_each_argument_and_the_source(name: str) -> None:
    formula = FORMULAS[name]
    told = pydoc.plain(pydoc.render_doc(formula))
    assert "References" in told
    for one in inspect.signature(formula).parameters:
        assert one in told.partition("Parameters")[2], one
