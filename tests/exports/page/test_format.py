"""Numbers and money as a page prints them, in both systems of units."""

import subprocess
import sys

import pytest

from exports.format import amount, clock_time, in_percent, number, shown


@pytest.mark.parametrize(
    ("key", "value", "metric", "us"),
    [  # by hand, from 25.4 mm, 0.45359237 kg, 28.316846592 L, 1.609344 km
        ("cleanup_mm", 25.4, "25.40 mm", "1.0000 in"),
        ("finish_max_mm", 90.054, "90.054 mm", "3.54543 in"),
        ("wire_feed_m_min", 4.4619, "4.46 m/min", "176 ipm"),
        ("travel_mm_min", 353.8, "354 mm/min", "13.9 ipm"),
        ("gas_L", 1089.0634, "1,089 L", "38.5 ft3"),
        ("wire_kg", 1.0, "1.000 kg", "2.205 lb"),
        ("preheat_C", 100.0, "100 degC", "212 degF"),
        ("distance_km", 1.609344, "2 km", "1 mile"),
        ("setup_min", 22.5, "23 min", "23 min"),
        ("tips", 0.005, "0.01", "0.01"),
    ],
)
def test_a_figure_in_both_units(key: str, value: float, metric: str, us: str) -> None:
    assert (shown(key, value, "metric"), shown(key, value, "us")) == (metric, us)


def test_numbers_and_money_as_people_write_them() -> None:
    assert amount("1946.10", "EUR") == "EUR 1,946.10"
    assert amount("1235", "JPY") == "JPY 1,235"
    assert amount("12345678901234567.89", "EUR") == "EUR 12,345,678,901,234,567.89"  # more than a float holds
    assert number(-0.0, 0) == "0" and number(1234.5, 0) == "1,235"
    assert in_percent(0.2) == "20" and in_percent(0.0825) == "8.25" and in_percent(-0.3) == "-30"
    assert clock_time(44.6) == "45 min" and clock_time(635.4) == "10 h 35 min" and clock_time(59.5) == "1 h 00 min"


def test_what_formats_numbers_is_only_loaded_by_who_prints() -> None:
    asked = "import sys, exports.page.estimate; sys.exit('babel' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", asked], check=False).returncode == 0
