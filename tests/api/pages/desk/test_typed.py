"""What is typed into the form of a call becomes a job document, and a document what stands in its fields."""

import json
from pathlib import Path
from typing import Any

import pytest

from api.pages.desk.asked import ASKED, BORE_KEYS, USUAL
from api.pages.desk.shown import KEPT, fields_of_document, form_view
from api.pages.desk.typed import at_path, typed
from estimator.book.pricebook import read_pricebook
from estimator.estimate import read_job
from exports.format import Units
from tests.api.service import SAMPLES

TWO = {
    "reference": "C-1", "customer.name": "Quarry", "site.distance": "85", "bores.0.nominal_diameter": "90",
    "bores.0.worn_diameter": "92,9", "bores.0.length": "70", "bores.0.material": "unknown",
    "bores.1.nominal_diameter": "3 1/2 in", "bores.1.worn_diameter": "93 mm", "bores.1.length": "7 cm",
    "bores.1.same": "A",
}  # fmt: skip


def test_it_is_taken_as_it_is_said() -> None:
    found = typed(TWO, None, "metric")
    assert (found.faults, found.missing) == ([], [])
    assert found.document["site"] == {"distance": "85 km"}
    one, two = found.document["bores"]
    assert (one["name"], one["worn_diameter"], one["material"]) == ("A", "92.9 mm", "unknown")
    assert (two["name"], two["nominal_diameter"], two["length"]) == ("B", "3 1/2 in", "7 cm")
    assert one["line"] == two["line"]
    read_job(found.document, read_pricebook())


def test_the_unit_beside_a_field_is_that_of_a_plain_number() -> None:
    found = typed({"bores.0.nominal_diameter": "3 1/2", "site.distance": "50"}, None, "us")
    assert found.document["bores"][0]["nominal_diameter"] == "3 1/2 in"
    assert found.document["site"] == {"distance": "50 mile"}


def test_what_is_wrong_or_missing_is_told_at_its_field_and_the_rest_is_taken() -> None:
    fields = TWO | {"bores.1.length": "70 kg", "bores.0.outside_diameter": "wide", "reference": ""}
    found = typed(fields, None, "metric")
    assert {one.path for one in found.faults} == {"bores.1.length", "bores.0.outside_diameter"}
    assert found.missing == ["reference"]
    ready = found.ready
    assert [bore["name"] for bore in ready.document["bores"]] == ["A"]
    read_job(ready.document, read_pricebook())


def test_a_row_without_sizes_is_no_bore_and_paths_lead_to_the_row_of_the_form() -> None:
    fields = {name.replace("bores.0", "bores.3"): text for name, text in TWO.items()} | {"bores.0.material": "C45"}
    found = typed(fields, None, "metric")
    assert found.rows == [1, 3]
    assert found.in_form("bores.1.length") == "bores.3.length"
    assert found.in_form("bores.7.length") == "bores.7.length"
    assert found.in_form("site.distance") == "site.distance"


@pytest.mark.parametrize("file", sorted(SAMPLES.glob("*.json")), ids=lambda file: file.stem)
@pytest.mark.parametrize("units", ["metric", "us"])
def test_a_job_opened_and_sent_again_stays_as_it_is(file: Path, units: Units) -> None:
    document: dict[str, Any] = json.loads(file.read_text("utf-8"))
    fields = {name: text for name, text in fields_of_document(document, units).items() if text != KEPT}
    found = typed(fields, document, units)
    assert (found.faults, found.missing) == ([], [])
    if "machine" in document:
        document["equipment"] = document.pop("machine")
    assert found.document == document


def test_an_emptied_field_takes_its_key_out() -> None:
    document = typed(TWO, None, "metric").document
    fields = fields_of_document(document, "metric") | {"site.distance": "", "bores.1.same": ""}
    found = typed(fields, document, "metric").document
    assert "site" not in found
    assert "line" not in found["bores"][1]


def test_what_is_shown_as_taken_is_what_the_program_takes() -> None:
    plain = typed({name: text for name, text in TWO.items() if ".1." not in name}, None, "metric").document
    whole = plain | {"site": {"distance": "85 km"}}
    first = read_job(whole, read_pricebook()).bores[0]
    assert (first.axis, first.wear, first.mounts, first.tolerance) == ("horizontal", "one-sided", "welded", "H8")
    said = {key: USUAL[key] for key in ("axis", "wear", "mounts", "tolerance")}
    assert said == {key: str(getattr(first, key)) for key in said}
    assert {USUAL[key] for key in BORE_KEYS if key.startswith("condition.")} == {"unknown"}
    assert USUAL.keys() <= ASKED.keys() | BORE_KEYS.keys()


def test_each_row_of_the_form_has_a_name_of_its_own() -> None:
    view = form_view({"bores.0.name": "B", "bores.1.name": "", "bores.2.name": ""}, {}, "metric", ["C45"])
    assert [row["title"] for row in view["rows"]] == ["B", "A", "C"]
    assert at_path({"a": {"b": 1}}, "a.b") == 1
    assert at_path({"a": 2}, "a.b") is None
