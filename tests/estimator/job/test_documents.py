"""Wrong documents: every fault in one go, each at its path and with its cure. Right ones: all that is allowed."""

import json
from typing import Any

import pytest

from estimator.book.pricebook import builtin_document, read_pricebook
from estimator.errors import DocumentError
from estimator.estimate import read_job
from estimator.strict import parse
from tests.jobs import bore, changed, job
from tests.raw import estimate

BOOK = read_pricebook()


def faults(document: Any) -> dict[str, str]:
    """Return the faults of a job document by path."""
    with pytest.raises(DocumentError) as caught:
        estimate(document, BOOK)
    return {fault.path: fault.message for fault in caught.value.faults}


WRONG = [
    # path, value, what the fault must say
    ("bores.0.length", 70, '"120 mm"'),
    ("bores.0.length", "70", "has no unit"),
    ("bores.0.length", "70 kg", "is a mass where a length is due"),
    ("bores.0.length", "2*45 mm", "not a number with a unit"),
    ("bores.0.length", "NaN mm", "not a number with a unit"),
    ("bores.0.length", "Infinity mm", "not a number with a unit"),
    ("bores.0.length", "1e999 mm", "too large"),
    ("bores.0.length", "70,5 mm", "a decimal point"),
    ("bores.0.length", "-70 mm", "above zero"),
    ("bores.0.length", "0 mm", "above zero"),
    ("bores.0.length", True, "a length needs a unit"),
    ("bores.0.length", None, "a length needs a unit"),
    ("bores.0.length", "70 smoots", "no known unit"),
    ("bores.0.material", "S355J", "S355J2"),
    ("bores.0.material", 7, "name of a steel"),
    ("bores.0.material", {"Mn": 1.0}, "must give carbon"),
    ("bores.0.material", {"C": 0.2, "Xx": 1.0}, "unknown element"),
    ("bores.0.tolerance", "h8", "H8"),
    ("bores.0.tolerance", "K9", "K8"),
    ("bores.0.tolerance", "H4", "H7"),
    ("bores.0.tolerance", {"lower": "0.05 mm", "upper": "0 mm"}, "lower must be below upper"),
    ("bores.0.axis", "tilted", "horizontal"),
    ("bores.0.outside_diameter", "80 mm", "larger than nominal_diameter"),
    ("bores.0.nominal_diameter", "600 mm", "500 mm at most"),
    ("bores.0.nominal_diameter", "2 mm", "3 mm at least"),
    ("bores.0.length", "1e300 m", "too large"),
    ("bores.0.length", "10 m", "3 m at most"),
    ("bores.0.plate_thickness", "10 m", "300 mm at most"),
    ("bores.0.tolerance", {"lower": "-20 mm", "upper": "20 mm"}, "far off the nominal"),
    ("bores.0.cleanup_diameter", "500 mm", "times the nominal"),
    ("bores.0.readings.values.0.0", 929, "times the nominal"),
    ("bores.0.readings.values.1.2", 9.17, "a decimal-point error"),
    ("bores.0.readings.unit", "in", "millimetres taken for inches"),
    ("bores.0.readings.temperature", "500 degC", "120 degC at most"),
    ("site", {"ambient": "-273 degC"}, "-60 degC at least"),
    ("site", {"distance": "1e12 km"}, "20000 km at most"),
    ("bores.0.sector", {"from": 90, "to": 90}, "the same place"),
    ("bores.0.sector", {"from": 0, "until": 90}, "unknown key"),
    ("bores.0.faces", [{"outer_diameter": "80 mm", "depth": "3 mm"}], "larger than nominal_diameter"),
    ("bores.0.grooves", [{"diameter": "98 mm", "width": "6 mm", "at": "66 mm"}], "beyond the bore's length"),
    ("bores.0.keyways", [{"width": "60 mm", "depth": "5 mm", "clock": 0}], "more than half"),
    ("bores.0.grease_holes", [{"diameter": "8 mm", "clock": 0, "at": "71 mm"}], "beyond the bore's length"),
    ("bores.0.walls", {"clock": [0, 90], "thickness": ["30 mm"]}, "1 for 2 clock positions"),
    ("bores.0.steps", [{"nominal_diameter": "110 mm", "length": "12 mm"}], "readings"),
    ("bores.0.pocket", {"from": 0, "to": 90}, "needs radii or points"),
    ("bores.0.readings.values.1.2", None, '"missing": "allowed"'),
    ("bores.0.readings.values.1.2", [], "list of 1 to 50"),
    ("bores.0.readings.values.1.2", 90.2 * 25.4, "inches"),
    ("bores.0.readings.values.1.2", 90.2 / 25.4, "inches taken for millimetres"),
    ("bores.0.options", {"wire": "ER70S"}, ""),
    ("bores.0.options", {"layers": 2.0}, ""),
    ("bores.0.readings.kind", "caliper", "diameter"),
    ("bores.0.readings.values.1.2", "90 kg", "is a mass"),
    ("bores.0.readings.clock", [0, 45, 90, 180], "0 again"),
    ("bores.0.readings.clock", [0, 45, 90, 200], "0 to 180"),
    ("bores.0.readings.clock", [0, 45, 90], "4 readings for 3"),
    ("bores.0.readings.depth", [10, 10, 60], "two depths are the same"),
    ("bores.0.readings.depth", [10, 35, 99], "beyond the bore's length"),
    ("bores.0.readings.unit", "kg", "no unit of length"),
    ("reference", "", "must not be empty"),
    ("currency", "USD", "not the price book's currency 'EUR'"),
    ("site", {"distance": "85 km", "acess": "open"}, 'did you mean "access"'),
    ("economics", {"discount_rate": -0.1, "hours_per_year": 1800}, "must be a fraction from 0 to 1"),
    ("economics", {"discount_rate": 8, "hours_per_year": 1800}, 'write for instance 0.08 or "8 %"'),
    ("economics", {"discount_rate": 1, "hours_per_year": 1800}, "below 1"),
    ("economics", {"discount_rate": 0.1, "hours_per_year": 0}, "greater than 0"),
]


@pytest.mark.parametrize(("path", "value", "said"), WRONG, ids=[f"{n}-{w[0]}" for n, w in enumerate(WRONG)])
def test_a_wrong_key_is_named_with_its_cure(path: str, value: Any, said: str) -> None:
    document = changed(job(), path, value)
    found = faults(document)
    parent = path.rpartition(".")[0]
    near = [where for where in found if where.startswith(parent) or path.startswith(where)]
    assert near, found
    assert any(said in found[where] for where in near), found
    assert all("\n" not in message and message for message in found.values())


def test_every_fault_comes_in_one_go() -> None:
    document = job(bore(length=70, axis="tilted", lenght="70 mm"), bore(material="nosteel"), refrence="x")
    found = faults(document)
    assert {"bores.0.length", "bores.0.axis", "bores.0.lenght", "bores.1.material", "bores.1.name", "refrence"} <= set(
        found
    )
    assert 'did you mean "length"' in found["bores.0.lenght"]
    assert 'did you mean "reference"' in found["refrence"]


def test_what_is_missing_is_named() -> None:
    found = faults({"bores": [{"name": "A"}]})
    assert {"reference", "bores.0.nominal_diameter", "bores.0.length", "bores.0.material"} <= set(found)
    assert "give readings, or worn_diameter" in faults(job(bore(readings=None)))["bores.0.readings"]
    assert "not both" in faults(job(bore(worn_diameter="93 mm")))["bores.0.readings"]


TEXTS = [
    ("{", "not JSON"),
    ("[]", "an object is due"),
    ("{}", "reference: is missing"),
    ("[]", "an object"),
    ('{"reference": NaN}', "NaN"),
    ('{"reference": 1e999}', "too large"),
    ('{"reference": "a", "reference": "b"}', "twice"),
    ('{"a": ' + "[" * 100_000 + "]" * 100_000 + "}", "nested"),
    ('{"a": ' + "[" * 60 + "]" * 60 + "}", "nested"),
    ('{"a": ' + "9" * 5000 + "}", "too many digits"),
    ('{"reference": "\\ud800"}', "half a character"),
    (b"\xff\xfe{}", "UTF-8"),
    (b"{" + b" " * (2 * 1024 * 1024) + b"}", "larger than 2 MB"),
]


@pytest.mark.parametrize(("text", "said"), TEXTS, ids=range(len(TEXTS)))
def test_a_text_that_is_no_document_says_why(text: str | bytes, said: str) -> None:
    with pytest.raises(DocumentError) as caught:
        estimate(text, BOOK)
    assert said in str(caught.value)


def test_a_byte_order_mark_is_allowed() -> None:
    text = json.dumps(job())
    assert estimate(b"\xef\xbb\xbf" + text.encode(), BOOK) == estimate(text, BOOK)


def test_numbers_of_a_table_share_the_unit_said_once() -> None:
    with_unit = job()
    spelled = changed(with_unit, "bores.0.readings.unit", "mm")
    readings = with_unit["bores"][0]["readings"]
    spelled["bores"][0]["readings"] = {
        "kind": "diameter",
        "clock": readings["clock"],
        "depth": [f"{d} mm" for d in readings["depth"]],
        "values": [[f"{v} mm" for v in row] for row in readings["values"]],
    }
    before, after = estimate(with_unit, BOOK), estimate(spelled, BOOK)
    before.pop("input_sha256"), after.pop("input_sha256")
    assert before == after


def test_too_many_bores_or_readings_are_refused() -> None:
    assert "200" in faults(job(*(bore(name=f"B{n}") for n in range(201))))["bores"]
    many = bore(length="300 mm")
    many["readings"] = {**many["readings"], "depth": list(range(300)), "values": [[91.0] * 4] * 300}
    assert "10000" in faults(job(*({**many, "name": f"B{n}"} for n in range(9))))["bores"]


def test_one_line_has_one_axis() -> None:
    found = faults(job(bore(line="one"), bore(name="B", line="one", axis="vertical")))
    assert "one axis" in found["bores.1.axis"]


def test_all_that_the_contract_allows_is_read() -> None:
    document = job(
        bore(cleanup_diameter="97.4 mm", cleanup_allowance="0.5 mm", machining_allowance="1.5 mm", position="0 mm"),
        currency="EUR",
        title="Boom foot pivot",
        customer={"name": "x"},
        equipment={"description": "y", "hours": 9400},
        site={"distance": "85 km", "access": "restricted", "ambient": "12 degC", "wind": "2 m/s"},
    )
    assert estimate(document, BOOK)["bores"][0]["sizes"]["cleanup_mm"] == 97.4


BOOKS: list[tuple[Any, str, str]] = [
    ({"rates": {"labour_on_site": "58"}}, "rates.labour_on_site", "EUR/h"),
    ({"rates": {"labour_on_site": "58.00 USD/h"}}, "rates.labour_on_site", "not the book's currency"),
    ({"rates": {"labor": "58.00 EUR/h"}}, "rates.labor", "did you mean"),
    ({"margin": 1.0}, "margin", "0.95"),
    ({"markup": 0.3}, "", "margin"),
    ({"carried": {"wires": {"G3Si1 1.0 mm": None, "E71T-1 0.045 in": None}}}, "carried.wires", "is empty"),
    ({"shift_length": "25 h"}, "shift_length", "24 h at most"),
    ({"equipment": {"drive_power": "0.001 W"}}, "equipment.drive_power", "100 W at least"),
    ({"tables": {"constants": {"tip_life": {"value": "0 h"}}}}, "tables.constants.tip_life.value", "above zero"),
    ({"tables": {"steels": {"S355J2": {"C": -1.0}}}}, "tables.steels.S355J2.C", "greater than or equal to 0"),
    ({"consumables": {"energy": "0.0000001 EUR/kWh"}}, "consumables.energy", "six decimals"),
    ({"currency": "EUX"}, "currency", "ISO 4217"),
    ({"carried": {"wires": {"G3Si1 1.1 mm": True}}}, "carried.wires.G3Si1 1.1 mm", "near"),
    ({"tables": {"wyres": {}}}, "tables.wyres", "wires"),
    ({"tables": {"wires": {"G3Si1 1.0 mm": {"diameter": 1.0}}}}, "tables.wires.G3Si1 1.0 mm.diameter", "unit"),
    ({"tables": {"wires": {"mine": {"kind": "solid"}}}}, "tables.wires.mine.diameter", "missing"),
    (
        {"tables": {"limits": {"comfortable for solid wire": {"hihg": "150 A"}}}},
        "tables.limits.comfortable for solid wire.hihg",
        "high",
    ),
]


@pytest.mark.parametrize(("patch", "path", "said"), BOOKS, ids=[b[1] or "both" for b in BOOKS])
def test_a_wrong_price_book_says_where(patch: Any, path: str, said: str) -> None:
    with pytest.raises(DocumentError) as caught:
        read_pricebook(patch)
    assert [f for f in caught.value.faults if f.path == path and said in f.message], caught.value.faults


def test_a_partial_book_lies_over_the_built_in_one() -> None:
    dear = read_pricebook({"rates": {"labour_on_site": "116.00 EUR/h"}, "margin": None, "markup": 0.1})
    before, after = estimate(job(), BOOK), estimate(job(), dear)
    assert float(after["cost"]["total"]) > float(before["cost"]["total"])
    assert before["pricebook"]["sha256"] != after["pricebook"]["sha256"]
    assert read_pricebook(builtin_document()).digest == BOOK.digest


def test_the_users_own_row_moves_the_plan() -> None:
    own = {"tables": {"limits": {"comfortable for solid wire": {"high": "150 A"}}}}
    plan = estimate(job(), read_pricebook(own))["bores"][0]["buildup"]
    assert plan["layers"][-1]["current_A"] == 150.0


def test_the_invented_book_says_so() -> None:
    found = estimate(job(), BOOK)
    assert found["pricebook"]["invented"] is True
    assert any("INVENTED" in line for line in found["assumptions"])
    assert "invented" in builtin_document()["note"]


def test_a_job_is_frozen() -> None:
    one = read_job(parse(json.dumps(job())), BOOK)
    with pytest.raises(Exception, match="frozen"):
        one.reference = "x"  # pyrefly: ignore[read-only] # that is what is tested
