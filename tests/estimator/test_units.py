"""Units are read by a grammar of our own: bounded, never an expression to reckon out, and what fails is remembered."""

import pytest

from estimator import units
from estimator.units import UnitError, read, unit

HOSTILE = ["m**9**9**9", "m^9^9", "m99", "m9.m9", "m--1", "m/", "/m", "m//s", "m*-1", "m9/s-9/s-9", "1/1e9m", "_" * 41]


@pytest.mark.parametrize("symbol", HOSTILE)
def test_an_expression_is_no_unit_and_is_never_reckoned_out(symbol: str, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []
    monkeypatch.setattr(units, "_from_pint", asked.append)
    units._found.cache_clear()
    with pytest.raises(UnitError, match="is no known unit"):
        unit(symbol)
    units._found.cache_clear()
    assert all(units.NAME.fullmatch(name) for name in asked)


def test_a_fault_in_a_unit_is_remembered(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []
    monkeypatch.setattr(units, "_from_pint", asked.append)
    units._found.cache_clear()
    for _ in range(40):
        with pytest.raises(UnitError):
            unit("mmm")
    units._found.cache_clear()
    assert asked == ["mmm"]


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("2 ft3/min", "flow", 2 * 0.3048**3 / 60),
        ("2 ft^3/min", "flow", 2 * 0.3048**3 / 60),
        ("250 N·m", "torque", 250.0),
        ("7850 kg/m³", "density", 7850.0),
        ("1.5 furlong", "length", 1.5 * 201.168402337),  # US survey furlong, 660 survey feet of 1200/3937 m
        ("3 m s-1", "speed", 3.0),
        ("3 1/2 in", "length", 0.0889),
        ('3-1/2"', "length", 0.0889),
        ('3"', "length", 0.0762),
        ("7/8 in", "length", 0.022225),
        ("85 kms", "length", 85_000.0),
        ("120 1/min", "frequency", 2.0),
    ],
)
def test_products_powers_and_rare_names_are_read(text: str, dimension: str, value: float) -> None:
    assert read(text, dimension) == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(
    "text", ["3 5/2 in", "3 1/3 in", "3 1/2", "3 1/2 2*in", "1/0 in", "3 1/2/2 in", '3"*2', "2*45 mm"]
)
def test_a_fraction_is_one_of_a_rule_and_nothing_is_reckoned_out(text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []
    monkeypatch.setattr(units, "_from_pint", asked.append)
    units._found.cache_clear()
    with pytest.raises(UnitError):
        read(text, "length")
    units._found.cache_clear()
    assert all(units.NAME.fullmatch(name) for name in asked)
