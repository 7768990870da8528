"""What a steel's certificate changes, what it does not, and its faults; brackets are warmed as the bore is."""

from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.errors import DocumentError, JobRefusedError
from estimator.estimate import estimate
from tests.jobs import bore, job, quick

BOOK = read_pricebook()
PAPER = {"source": "works certificate 3.1, heat 77", "C": 0.14, "Si": 0.3, "Mn": 1.2}


def _found(**changes: Any) -> Any:
    return estimate(job(quick(90.0, 90.4, **changes)), BOOK)


def test_a_certificate_beats_the_table() -> None:
    plain, own = (_found(certificate=paper)["bores"][0]["heat"] for paper in (None, PAPER))
    assert own["carbon_equivalent"] < plain["carbon_equivalent"]
    assert own["preheat_C"] < plain["preheat_C"]
    assert own["certificate"] == PAPER["source"]
    # IIW: .14 + 1.2/6, and what the certificate leaves out stays as the table has it: Cr .05/5, (Ni .05 + Cu .10)/15
    assert own["carbon_equivalent"] == pytest.approx(0.14 + 0.2 + 0.01 + 0.01, abs=1e-9)


def test_a_certificate_that_is_not_of_the_grade_is_told() -> None:
    found = _found(certificate={**PAPER, "C": 0.29})
    (told,) = (one["text"] for one in found["warnings"] if one["code"] == "certificate")
    assert "0.29 % C, more than S355J2 allows" in told


def test_an_open_composition_is_planned_with_a_certificate() -> None:
    with pytest.raises(JobRefusedError, match="analysis"):
        _found(material="GE300")
    assert _found(material="GE300", certificate=PAPER)["bores"][0]["heat"]["certificate"]


def test_a_certificate_does_not_make_iron_weldable() -> None:
    with pytest.raises(JobRefusedError, match="cast iron"):
        _found(material="EN-GJL-250", certificate=PAPER)


def test_a_certificate_says_how_the_part_was_tempered() -> None:
    paper = {**PAPER, "C": 0.41, "Cr": 1.0, "Mo": 0.2, "tempered_at": "620 degC"}
    assert _found(material="42CrMo4", certificate=paper)["bores"][0]["heat"]["temper_to_C"] == pytest.approx(590.0)


def test_sulphur_of_free_machining_steel_is_refused() -> None:
    with pytest.raises(JobRefusedError, match="free-machining"):
        _found(certificate={**PAPER, "S": 0.2})
    with pytest.raises(JobRefusedError, match="free-machining"):
        _found(material={"C": 0.1, "Mn": 1.0, "S": 0.25})


WRONG = [
    ({"C": 0.2}, "source"),
    ({"source": "x"}, "certificate.C"),
    ({**PAPER, "C": "0.2 %"}, "certificate.C"),
    ({**PAPER, "X": 1.0}, "certificate.X"),
    ({**PAPER, "tempered_at": "900 degC"}, "certificate.tempered_at"),
]


@pytest.mark.parametrize(("paper", "where"), WRONG)
def test_a_wrong_certificate_is_a_fault_at_its_key(paper: Any, where: str) -> None:
    with pytest.raises(DocumentError) as found:
        estimate(job(bore(certificate=paper)), BOOK)
    assert any(where in fault.path for fault in found.value.faults)


def test_a_certificate_beside_a_composition_is_a_fault() -> None:
    with pytest.raises(DocumentError, match="beside a named steel"):
        estimate(job(bore(material={"C": 0.2}, certificate=PAPER)), BOOK)


def test_brackets_are_warmed_like_the_bore() -> None:
    advice = _found(material="4140")["bores"][0]["heat"]["advice"]
    assert any(one.startswith("brackets welded on for the bar: 3") for one in advice)
