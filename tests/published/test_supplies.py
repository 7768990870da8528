"""Wire, gas, parts, hours and nights against published worksheets."""

import pytest

from estimator.money import bill
from estimator.shop import schedule, supplies, time

POUND, FOOT = 0.45359237, 0.3048


def test_wire_from_efficiency_worked_definition() -> None:
    """ESAB filler-metal handbook p. 8-7: 3 lb deposited from 4 lb is 75 %."""
    assert supplies.wire_used(3 * POUND, 0.75, 0.0) == pytest.approx(4 * POUND, rel=1e-12)
    assert supplies.wire_used(1.0, 1.0, 0.04) == pytest.approx(1.04)


def test_gas_of_the_published_worksheet() -> None:
    """ESAB, Weld Metal Cost Worksheet: 40 ft3/h at 10.2 lb/h and 0.02 $/ft3 is 0.08 $/lb."""
    hours_per_pound = 1 / 10.2
    volume = supplies.gas_used(40 * FOOT**3 / 3600, hours_per_pound * 3600, 0.0)
    assert volume / FOOT**3 * 0.02 == pytest.approx(0.08, abs=0.005)


def test_a_cylinder_lasts_as_published() -> None:
    """336 ft3 at 30 cfh lasts 11.2 h (arithmetic on a gas catalogue's contents)."""
    assert supplies.gas_used(30 * FOOT**3 / 3600, 11.2 * 3600, 0.0) == pytest.approx(336 * FOOT**3, rel=1e-9)


def test_metric_job_by_hand() -> None:
    """4 kg at 2.5 kg/h, efficiency 0.94, 15 L/min: 4.255 kg of wire, 1440 L of gas (by hand, 2026-11)."""
    arc = 4 / 2.5 * 3600
    assert supplies.wire_used(4.0, 0.94, 0.0) == pytest.approx(4.255, abs=5e-4)
    assert supplies.gas_used(15e-3 / 60, arc, 0.0) == pytest.approx(1.440, abs=1e-9)


def test_wire_fed_in_a_time() -> None:
    """ESAB, MIG Welding Handbook: 300 in/min of 0.045 in at 2196 in/lb is 8.2 lb/h."""
    grams = POUND / (2196 * 0.0254)
    assert supplies.fed(300 * 0.0254 / 60, grams, 3600) / POUND == pytest.approx(8.2, abs=0.01)


def test_parts_wear_by_their_life() -> None:
    assert supplies.worn_parts(3600.0, 9000.0, 1.0) == pytest.approx(0.4)
    assert supplies.worn_parts(3600.0, 9000.0, 1.5) == pytest.approx(0.6)
    assert supplies.inserts_used(50 * 60.0, 25 * 60.0, 2.0) == pytest.approx(1.0)


def test_energy_is_power_times_time() -> None:
    """Standard form kWh = V I t / (1000 eta): 18 V, 140 A, 1 h, 0.8 is 3.15 kWh (by hand; no published answer)."""
    assert supplies.arc_energy(18.0, 140.0, 3600.0, 0.8) / 3.6e6 == pytest.approx(3.15)
    assert supplies.drive_energy(1100.0, 3600.0) / 3.6e6 == pytest.approx(1.1)


def test_what_is_used_once_is_shared_by_arc_time() -> None:
    assert supplies.shared_by_arc(0.9, 20.0, 60.0) == pytest.approx(0.3)


def test_times_by_count_share_and_wait() -> None:
    assert time.element_time(480.0, 3) == 1440.0
    assert time.shared_time(4500.0, 2) == 2250.0
    assert time.watch_left(3600.0, 3300.0) == 300.0
    assert time.watch_left(1800.0, 3300.0) == 0.0
    assert time.used_wait(1800.0, 1500.0) == 1500.0
    assert time.used_wait(900.0, 1500.0) == 900.0


def test_nights_and_hours_from_door_to_door() -> None:
    """Whole shifts that hold the work, less one (definition): 12.3 h in shifts of 10 h is one night."""
    hour = 3600.0
    assert schedule.nights_away(9.9 * hour, 2.4 * hour, 10 * hour) == 1
    assert schedule.nights_away(7.6 * hour, 2.4 * hour, 10 * hour) == 0
    assert schedule.nights_away(30 * hour, 0.0, 10 * hour) == 2
    assert schedule.elapsed_time(9.9 * hour, 2.4 * hour, 1, 24 * hour, 10 * hour) == pytest.approx(26.3 * hour)
    assert schedule.travel_time(65e3, 65e3 / hour) == pytest.approx(2 * hour)
    assert schedule.labour_time(8 * hour, 2 * hour, 2) == pytest.approx(20 * hour)
    assert schedule.on_site_time(10.0, 4.0, 1.0, 3.0) == 12.0
    assert bill.person_time(3600.0, 2) == 7200.0
    assert bill.there_and_back(85e3) == 170e3
    assert bill.person_nights(2, 2) == 4
