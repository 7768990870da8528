"""Every unit of the trade's table against pint, row by row; and texts read as the trade writes them."""

import csv
from importlib import resources
from typing import Any

import pint
import pytest

from estimator.units import UnitError, deci, read, unit

REGISTRY: Any = pint.UnitRegistry()
ROWS = list(csv.DictReader(resources.files("estimator.tables").joinpath("units.csv").read_text("utf-8").splitlines()))
BASES = {
    "metre": "[length]",
    "kilogram": "[mass]",
    "second": "[time]",
    "kelvin": "[temperature]",
    "ampere": "[current]",
}


@pytest.mark.parametrize("row", ROWS, ids=[row["symbol"] for row in ROWS])
def test_a_unit_is_pints(row: dict[str, str]) -> None:
    one = REGISTRY.Quantity(1.0, row["pint"]).to_base_units()
    zero = REGISTRY.Quantity(0.0, row["pint"]).to_base_units()
    assert float(one.magnitude - zero.magnitude) == pytest.approx(float(row["factor"]), rel=1e-12, abs=0)
    assert float(zero.magnitude) == pytest.approx(float(row["offset"] or 0), abs=1e-9)
    powers = {BASES[base]: int(row[base]) for base in BASES if row[base]}
    assert dict(one.dimensionality) == powers


@pytest.mark.parametrize("symbol", ["furlong", "yard", "fathom", "hectare/m", "stone"])
def test_any_other_unit_is_asked_of_pint(symbol: str) -> None:
    expected = REGISTRY.Quantity(1.0, symbol).to_base_units()
    assert unit(symbol).factor == pytest.approx(float(expected.magnitude), rel=1e-12)


READ = [
    ("3.5 in", "length", 0.0889),
    ("0.012 in", "length", 0.0003048),
    ("35 cfh", "flow", 35 * 0.3048**3 / 3600),
    ("240 ipm", "speed", 240 * 0.0254 / 60),
    ("2.5 h", "time", 9000.0),
    ("54 degF", "temperature", 285.3722222222),
    ("-5 degC", "temperature", 268.15),
    ("85km", "length", 85000.0),
    (" 1e3  mm ", "length", 1.0),
    ("5 mph", "speed", 2.2352),
]


@pytest.mark.parametrize(("text", "dimension", "value"), READ)
def test_a_text_reads_as_written(text: str, dimension: str, value: float) -> None:
    assert read(text, dimension) == pytest.approx(value, rel=1e-10)


@pytest.mark.parametrize("inches", [3.5, 2.75, 0.012, 3.602, 11.8125])
def test_inch_and_millimetre_read_the_same(inches: float) -> None:
    assert read(f"{inches} in", "length") == read(f"{inches * 25.4!r} mm", "length")


@pytest.mark.parametrize(
    "text", ["", "mm", "1 2 mm", "1 mm mm", "0x10 mm", "1_000 mm", "१ mm", "1 m²m", "1 pint**2", "1 " + "m" * 99]
)
def test_nonsense_is_refused(text: str) -> None:
    with pytest.raises(UnitError):
        read(text, "length")


def test_a_number_goes_out_in_twelve_digits() -> None:
    assert deci(0.1 + 0.2, "m") == 0.3
    assert str(deci(-0.0, "mm")) == "0.0"
    assert deci(293.15, "degC") == 20.0
