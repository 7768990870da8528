"""Numbers and money as a page prints them, in both systems of units."""

import random
import subprocess
import sys
from decimal import Decimal

import pytest
from babel.numbers import format_decimal

from exports.format import amount, clock_time, expected, headed, hours_said, in_percent, moved, number, shown
from exports.signs import NARROW, kept, plain, signs


@pytest.mark.parametrize(
    ("key", "value", "metric", "us"),
    [  # by hand, from 25.4 mm, 0.45359237 kg, 28.316846592 L, 1.609344 km
        ("cleanup_mm", 25.4, "25.40 mm", "1.0000 in"),
        ("finish_max_mm", 90.054, "90.054 mm", "3.54543 in"),
        ("wire_feed_m_min", 4.4619, "4.46 m/min", "176 ipm"),
        ("travel_mm_min", 353.8, "354 mm/min", "13.9 ipm"),
        ("gas_L", 1089.0634, "1,089 L", "38.5 ft³"),
        ("wire_kg", 1.0, "1.000 kg", "2.205 lb"),
        ("preheat_C", 100.0, "100 °C", "212 °F"),
        ("distance_km", 1.609344, "2 km", "1 mile"),
        ("setup_min", 22.5, "23 min", "23 min"),
        ("tips", 0.005, "0.01", "0.01"),
    ],
)
def test_a_figure_in_both_units(key: str, value: float, metric: str, us: str) -> None:
    assert (shown(key, value, "metric"), shown(key, value, "us")) == (metric, us)


def test_numbers_and_money_as_people_write_them() -> None:
    assert amount("1946.10", "EUR") == "1,946.10 EUR"
    assert amount("1235", "JPY") == "1,235 JPY"
    assert amount("12345678901234567.89", "EUR") == "12,345,678,901,234,567.89 EUR"  # more than a float holds
    assert number(-0.0, 0) == "0" and number(1234.5, 0) == "1,235"
    assert in_percent(0.2) == "20" and in_percent(0.0825) == "8.25" and in_percent(-0.3) == "-30"
    assert clock_time(44.6) == "45 min" and clock_time(635.4) == "10 h 35" and clock_time(59.5) == "1 h 00"


def test_a_difference_has_its_sign_and_hours_are_said_one_way() -> None:
    assert (moved("948.48", "EUR"), moved("-12.00", "EUR"), moved("0.00", "EUR")) == (
        "+948.48 EUR",
        "-12.00 EUR",
        "0.00 EUR",
    )
    assert hours_said(14.2) == "14 h 12" and hours_said(0.5) == "30 min"


@pytest.mark.parametrize(("current", "said"), [(115, "115 ±15"), (10, "10 ±5"), (150, "150 ±20")])
def test_a_scatter_is_said_to_five_amperes(current: float, said: str) -> None:
    assert expected(current, 0.15) == said


def test_signs_of_paper_and_of_a_plain_terminal() -> None:
    assert signs('preheat to 141 degC, give "12 degC"; +/- 0.04 mm, Ra 3.2 um') == (
        'preheat to 141 °C, give "12 degC"; ±0.04 mm, Ra 3.2 µm'
    )
    assert plain("Ø 90 mm ±0.1, 141 °C, A → B …") == "dia. 90 mm +/-0.1, 141 degC, A -> B ..."
    assert kept("13 h 03 for 1,805.14 EUR in 2 mm") == "13*h*03 for 1,805.14*EUR in 2*mm".replace("*", NARROW)


def test_what_formats_numbers_is_only_loaded_by_who_prints() -> None:
    asked = "import sys, exports.page.estimate; sys.exit('babel' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", asked], check=False).returncode == 0


@pytest.mark.parametrize("places", range(5))
def test_numbers_are_grouped_as_the_library_of_locales_does(places: int) -> None:
    dice = random.Random(places)
    pattern = "#,##0" + ("." + "0" * places if places else "")
    for _ in range(200):
        value = round(dice.choice((-1, 1)) * dice.lognormvariate(2, 4), places)
        assert number(value, places) == format_decimal(Decimal(str(value)) + 0, format=pattern, locale="en")


def test_approvals_stand_under_who_decides_who_is_named_once() -> None:
    graded = [
        ("stop", "S", "one"),
        ("approve", "A", "engineer"),
        ("approve", "B", "engineer"),
        ("approve", "C", "maker"),
    ]
    found = {"warnings": [{"grade": g, "code": "", "text": t, "path": "", "who_decides": w} for g, t, w in graded]}
    said = headed(found, ("STOP", "stop"), ("APPROVAL", "approve"), ("CHECK", "check"))
    assert said == [("STOP", ["S"]), ("APPROVAL by engineer", ["A", "B"]), ("APPROVAL by maker", ["C"])]
