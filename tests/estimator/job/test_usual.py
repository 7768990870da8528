"""What is typed in the wrong unit or with the point misplaced is asked about; what is usual is not."""

from pathlib import Path
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from exports.format import by_grade
from tests.jobs import bore, codes, job

BOOK = read_pricebook()
SAMPLES = sorted(Path("sample_jobs").glob("*.json"))
SLIPS: list[tuple[Any, str]] = [
    (job(site={"distance": "5 km", "ambient": "54 degC"}), "54 °C? air temperature, usually 45 °C at most"),
    (job(site={"distance": "5 km", "ambient": "-54 degC"}), "-54 °C? air temperature, usually -30 °C at least"),
    (job(site={"distance": "1900 km"}), "1900 km? distance to the site"),
    (job(bore(length="70 cm")), "bore A: 700 mm? length of the bore, usually 400 mm at most"),
    (job(bore(length="7 mm", readings=None, worn_diameter="93 mm")), "7 mm? length of the bore, usually 8 mm at least"),
    (job(bore(outside_diameter="1700 mm")), "1700 mm? outside diameter of the boss"),
    (job(bore(plate_thickness="300 mm")), "300 mm? thickness of the plate"),
    (job(equipment={"description": "loader", "hours": 940000}), "940000 h? machine hours"),
]


@pytest.mark.parametrize(("document", "said"), SLIPS)
def test_a_slip_of_unit_or_point_is_asked_about(document: Any, said: str) -> None:
    assert any(said in one for one in by_grade(estimate(document, BOOK), "check")), by_grade(estimate(document, BOOK))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_sample_is_usual(path: Path) -> None:
    assert not {"usual_high", "usual_low"} & set(codes(estimate(path.read_bytes(), BOOK)))


def test_the_range_is_a_row_that_a_house_may_widen() -> None:
    wide = read_pricebook({"tables": {"usual": {"length": {"high": "900 mm"}}}})
    assert "usual_high" not in codes(estimate(job(bore(length="70 cm")), wide))


def test_nothing_is_asked_about_what_was_not_typed() -> None:
    found = estimate(job(bore(outside_diameter=None), site={}), BOOK)
    assert not {"usual_high", "usual_low"} & set(codes(found))
