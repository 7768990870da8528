"""Sundries by hand: liner, anti-spatter, discs, brackets, burner gas against its heating value, fuel, rules."""

from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.shop import sundries
from tests.jobs import bore, job
from tests.raw import estimate

BOOK = read_pricebook()


def used(book: Any = BOOK, **changes: Any) -> dict[str, float]:
    """Return what a plain job uses up."""
    totals: dict[str, float] = estimate(job(bore(**changes), site={"ambient": "25 degC"}), book)["totals"]
    return totals


def test_burner_gas_by_its_heating_value() -> None:
    """Propane: 46.35 MJ/kg and 12.9 kWh/kg are both tabulated for the lower heating value; 30 % of it enters."""
    assert sundries.burner_gas_used(0.3 * 12.87 * 3.6e6, 46.35e6, 0.3) == pytest.approx(1.0, abs=5e-4)


def test_parts_by_hand() -> None:
    assert sundries.liners_used(6.0, 120.0, 1.5) == pytest.approx(0.075)
    assert sundries.sprayed(10.0, 4e-6) == pytest.approx(4e-5)
    assert sundries.brackets_used(2.0, 4.0, 2) == pytest.approx(0.25)
    assert sundries.discs_used(20.0, 40.0, 2.0, 4.0, 2) == pytest.approx(0.75)
    assert sundries.by_rule(2.0, 3.0) == 6.0


def test_fuel_of_a_generator_by_hand() -> None:
    """Two hours at 0.9 L/h and 3 kWh at 0.3 L/kWh: 2.7 L."""
    litre, hour, kwh = 1e-3, 3600.0, 3.6e6
    found = sundries.fuel_used(2 * hour, 0.9 * litre / hour, 3 * kwh, 0.3 * litre / kwh)
    assert found == pytest.approx(2.7 * litre)


def test_no_preheat_burns_no_gas_and_the_mains_burn_no_fuel() -> None:
    plain, hard = used(material={"C": 0.06, "Mn": 0.4}), used(material="42CrMo4", outside_diameter="200 mm")
    assert plain["burner_gas_kg"] == 0 < hard["burner_gas_kg"]
    mains = read_pricebook({"equipment": {"generator": None}})
    found = estimate(job(bore(material={"C": 0.06, "Mn": 0.4}), site={"ambient": "25 degC"}), mains)
    assert found["totals"]["fuel_L"] == 0
    codes = {line["code"] for line in found["cost"]["lines"]}
    assert "energy" in codes
    assert not codes & {"fuel", "burner-gas"}
    assert {"fuel", "discs", "brackets", "anti-spatter", "liners"} <= {
        line["code"] for line in estimate(job(), BOOK)["cost"]["lines"]
    }


RULES = [("bore", 2), ("layer", None), ("job", 1), ("line", 1)]


@pytest.mark.parametrize(("basis", "times"), RULES)
def test_a_rule_of_the_house_is_added_to_what_wears_out(basis: str, times: int | None) -> None:
    """Two bores of one line: a fresh tip each time, whatever wears out by chance besides."""
    row = {"part": "tip", "basis": basis, "count": 1.0, "meaning": "a fresh tip"}
    ruled = read_pricebook({"tables": {"changes": {"mine": row}}})
    document = job(bore(line="foot"), bore(name="B", line="foot"))
    before, after = estimate(document, BOOK), estimate(document, ruled)
    expected = sum(len(one["buildup"]["layers"]) for one in after["bores"]) if times is None else times
    assert after["totals"]["planned_tips"] == pytest.approx(expected)
    assert after["totals"]["tips"] - before["totals"]["tips"] == pytest.approx(expected)
