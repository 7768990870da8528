"""Places of each currency: ISO 4217, not what Babel prints by custom."""

import csv
from importlib import resources

import iso4217
from babel.numbers import get_currency_precision

MARKS = {"published", "computed", "common practice, no source", "from memory"}
TEXT = resources.files("estimator.tables").joinpath("currencies.csv").read_text("utf-8")
ROWS = list(csv.DictReader(TEXT.splitlines()))
OURS = {row["code"]: int(row["minor_units"]) for row in ROWS}


def test_each_code_stands_once_and_says_where() -> None:
    assert len(OURS) == len(ROWS)
    assert [row["code"] for row in ROWS] == sorted(OURS)
    assert all(row["source"].strip() and row["mark"] in MARKS for row in ROWS)


def test_all_active_currencies_agree_with_list_one() -> None:
    """Metals, test and settlement codes have no minor unit ("N.A.") and are left out."""
    listed = {code: str(entry["CcyMnrUnts"]) for code, entry in iso4217.raw_table.items() if code}
    assert {code: int(units) for code, units in listed.items() if units != "N.A."} == OURS
    assert {code for code, units in listed.items() if units == "N.A."}.isdisjoint(OURS)


def test_places_as_the_standard_prints_them() -> None:
    """ISO 4217 List One: currencies whose minor unit is not a hundredth."""
    none = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"
    three = "BHD IQD JOD KWD LYD OMR TND"
    assert {code for code, places in OURS.items() if places == 0} == set(none.split())
    assert {code for code, places in OURS.items() if places == 3} == set(three.split())
    assert {code for code, places in OURS.items() if places == 4} == {"CLF", "UYW"}
    assert {OURS[code] for code in ("USD", "EUR", "GBP", "CHF", "HUF", "TWD", "IDR", "MRU", "MGA")} == {2}


def test_babel_is_no_source_of_places() -> None:
    """Babel follows custom (CLDR): no fils in Iraq, where the standard counts thousandths."""
    assert get_currency_precision("IQD") == 0
    assert OURS["IQD"] == 3
    differing = {code for code, places in OURS.items() if get_currency_precision(code) != places}
    assert "IQD" in differing
    assert differing.isdisjoint({"USD", "EUR", "GBP", "JPY", "KWD", "CAD", "AUD"})
