"""Wire, gas, parts, hours and nights against published worksheets."""

from decimal import Decimal

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.days import schedule
from estimator.days import shifts as days
from estimator.estimate import estimate
from estimator.features import figures
from estimator.money import lines, recipe
from estimator.shop import gas, supplies, time
from tests.jobs import bore, job

POUND, FOOT = 0.45359237, 0.3048


def test_wire_from_efficiency_worked_definition() -> None:
    """ESAB filler-metal handbook p. 8-7: 3 lb deposited from 4 lb is 75 %."""
    assert supplies.wire_used(3 * POUND, 0.75, 0.0) == pytest.approx(4 * POUND, rel=1e-12)
    assert supplies.wire_used(1.0, 1.0, 0.04) == pytest.approx(1.04)


def test_gas_of_the_published_worksheet() -> None:
    """ESAB, Weld Metal Cost Worksheet: 40 ft3/h at 10.2 lb/h and 0.02 $/ft3 is 0.08 $/lb."""
    hours_per_pound = 1 / 10.2
    volume = gas.gas_used(40 * FOOT**3 / 3600, hours_per_pound * 3600, 0.0, 0.0)
    assert volume / FOOT**3 * 0.02 == pytest.approx(0.08, abs=0.005)


def test_a_cylinder_lasts_as_published() -> None:
    """336 ft3 at 30 cfh lasts 11.2 h (arithmetic on a gas catalogue's contents)."""
    assert gas.gas_used(30 * FOOT**3 / 3600, 11.2 * 3600, 0.0, 0.0) == pytest.approx(336 * FOOT**3, rel=1e-9)


def test_metric_job_by_hand() -> None:
    """4 kg at 2.5 kg/h, efficiency 0.94, 15 L/min: 4.255 kg of wire, 1440 L of gas (by hand, 2026-11)."""
    arc = 4 / 2.5 * 3600
    assert supplies.wire_used(4.0, 0.94, 0.0) == pytest.approx(4.255, abs=5e-4)
    assert gas.gas_used(15e-3 / 60, arc, 0.0, 0.0) == pytest.approx(1.440, abs=1e-9)


# ESAB power-source manual 0463 730 001 (2021) p. 24: 10 L/min per mm of solid wire, 12 of flux-cored. Modern Welding
# (2020) p. 214 Fig. 8-35: out of position 5 to 10 L/min more. ESAB filler-metal handbook p. 8-7: small flux-cored wire
# 35 ft3/h.
FLOWS = {"G3Si1 1.0 mm": 15.0, "G3Si1 1.2 mm": 17.0, "E71T-1 0.045 in": 35 * 28.3168 / 60}


@pytest.mark.parametrize("name", sorted(FLOWS))
def test_the_planned_flow_is_no_less_than_published(name: str) -> None:
    """The gas table says that its flow lies within the first two; the least of what is published is asked here."""
    document = job(bore(options={"wire": name, "gas": "Ar + 25 % CO2"}))
    book = read_pricebook({"carried": {"wires": {name: True}}})
    found = estimate(document, book)["bores"][0]["buildup"]["gas_flow_L_min"]
    assert found >= FLOWS[name] - 0.05


# ESAB, Weld Metal Cost Worksheet, process A (flux-cored) and B (stick): rate [$/h], deposit [lb/h], share of arc time,
# price [$/lb], efficiency, and $/lb of labour and of filler as printed.
WORKSHEET = [(45, 10.2, 0.45, 1.78, 0.87, 9.80, 2.05), (45, 5.4, 0.30, 0.85, 0.64, 27.78, 1.33)]


@pytest.mark.parametrize(("rate", "deposit", "share", "price", "efficiency", "labour", "filler"), WORKSHEET)
def test_the_published_cost_worksheet(  # a row of the sheet
    rate: float, deposit: float, share: float, price: float, efficiency: float, labour: float, filler: float
) -> None:
    """The engine counts the work beside the arc instead of a share of arc time; the worksheet's hours go in here."""
    hours = recipe.person_time(3600 / deposit / share, 1) / 3600
    assert hours * rate == pytest.approx(labour, abs=0.005)
    assert supplies.wire_used(1.0, efficiency, 0.0) * price == pytest.approx(filler, abs=0.005)


def test_a_metric_job_priced_by_hand() -> None:
    """4 kg at 2.5 kg/h, 35 % arc time, 85/h, 3.20/kg at 0.94, 15 L/min at 0.012/L: 419.47 (by hand, 2026-11).

    The engine prints hours to 0.01 before it multiplies, so half of that times the rate is open.
    """
    arc = 4 / 2.5 * 3600
    hours = lines.printed(recipe.person_time(arc / 0.35, 1), "h", "0.01")
    wire = lines.printed(supplies.wire_used(4.0, 0.94, 0.0), "kg", "0.001")
    litres = lines.printed(gas.gas_used(15e-3 / 60, arc, 0.0, 0.0), "L", "0.1")
    priced = zip((hours, wire, litres), ("85", "3.20", "0.012"), strict=True)
    total = sum(lines.amount_of(quantity, Decimal(price), "0.01") for quantity, price in priced)
    assert float(total) == pytest.approx(419.47, abs=0.005 * 85 + 0.01)


def test_wire_fed_in_a_time() -> None:
    """ESAB, MIG Welding Handbook: 300 in/min of 0.045 in at 2196 in/lb is 8.2 lb/h."""
    grams = POUND / (2196 * 0.0254)
    assert supplies.fed(300 * 0.0254 / 60, grams, 3600) / POUND == pytest.approx(8.2, abs=0.01)


def test_parts_wear_by_their_life() -> None:
    assert supplies.worn_parts(3600.0, 9000.0, 1.0) == pytest.approx(0.4)
    assert supplies.worn_parts(3600.0, 9000.0, 1.5) == pytest.approx(0.6)
    assert supplies.inserts_used(2.0, 2.0) == pytest.approx(1.0)


def test_energy_is_power_times_time() -> None:
    """Standard form kWh = V I t / (1000 eta): 18 V, 140 A, 1 h, 0.8 is 3.15 kWh (by hand; no published answer)."""
    assert supplies.arc_energy(18.0, 140.0, 3600.0, 0.8) / 3.6e6 == pytest.approx(3.15)
    assert supplies.drive_energy(1100.0, 3600.0) / 3.6e6 == pytest.approx(1.1)


def test_what_is_used_once_is_shared_by_arc_time() -> None:
    assert supplies.shared_by_arc(0.9, 20.0, 60.0) == pytest.approx(0.3)


def test_times_by_count_share_and_wait() -> None:
    assert figures.element_time(480.0, 3) == 1440.0
    assert time.shared_time(4500.0, 2) == 2250.0
    assert time.rework_allowance(0.2, 4500.0, 1800.0, 3) == pytest.approx(0.2 * (3 * 4500 + 1800))
    assert time.watch_left(3600.0, 3300.0) == 300.0
    assert time.watch_left(1800.0, 3300.0) == 0.0


def test_a_wait_serves_another_bore_less_the_way_there_and_back() -> None:
    """By hand: of 45 min of waiting, 25 are left beside two changes of 10 min; two bores' 20 min of welding fit in."""
    assert time.freed(2700.0, 600.0) == 1500.0
    assert time.freed(900.0, 600.0) == 0.0
    assert time.wait_saving(1500.0, 1200.0) == 1200.0
    assert time.wait_saving(1500.0, 3000.0) == 1500.0


def test_hours_on_site_and_on_the_road() -> None:
    hour = 3600.0
    assert schedule.travel_time(65e3, 65e3 / hour) == pytest.approx(2 * hour)
    assert schedule.labour_time(8 * hour, 2 * hour, 2) == pytest.approx(20 * hour)
    assert schedule.on_site_time(10.0, 4.0, 1.0, 3.0, 2.0) == 10.0
    assert recipe.person_time(3600.0, 2) == 7200.0
    assert recipe.there_and_back(85e3, 1) == 170e3
    assert recipe.there_and_back(85e3, 3) == 510e3
    assert schedule.all_trips(2 * hour, 3) == 6 * hour
    assert schedule.daily_work(300.0, 600.0, 3) == 2700.0
    assert schedule.standing_by(8 * hour, 2, 9.5 * hour) == pytest.approx(6.5 * hour)
    assert schedule.standing_by(8 * hour, 1, 8.1 * hour) == 0.0
    assert days.hot_until(900.0, 9 * hour, hour) == 8 * hour
    assert days.hot_until(0.0, hour, hour) == hour / 2
    assert schedule.done_beside(10.0, 4.0, 1.0, 11.0, 1.0) == 3.0
    assert schedule.done_beside(10.0, 4.0, 1.0, 16.0, 0.0) == 0.0
    assert recipe.person_nights(2, 2) == 4
