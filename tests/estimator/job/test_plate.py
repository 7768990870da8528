"""What a job says of the plate round a boss: six cases, a reach, a neck, one plate or two; faults with their cure."""

from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.errors import DocumentError
from estimator.estimate import read_job
from tests.jobs import bore, job
from tests.raw import estimate

BOOK = read_pricebook()

WRONG: list[tuple[dict[str, Any], str, str]] = [
    (
        {"plate": {"ends": "edge", "reach": "150 mm"}},
        "plate.ends",
        "'none', 'side', 'corner', 'strip', 'lug' or 'round'",
    ),
    (
        {"plate": {"ends": "lug"}},
        "plate.reach",
        'to the nearest free edge, for instance "150 mm"',
    ),
    ({"plate": {"reach": "150 mm"}}, "plate.ends", 'write "side", "corner", "strip", "lug" or "round"'),
    ({"plate": {"ends": "none", "reach": "150 mm"}}, "plate.reach", '"none" says that no edge is near'),
    ({"plate": {"ends": "side", "reach": "150 mm", "neck": "100 mm"}}, "plate.neck", 'write "ends": "lug"'),
    ({"plate": {"ends": "lug", "reach": "100 mm", "neck": "201 mm"}}, "plate.neck", "twice its reach"),
    ({"plate": {"ends": "lug", "reach": "84 mm"}}, "plate.reach", "ends within the boss"),
    ({"plate": {"ends": "lug", "reach": "44 mm"}, "outside_diameter": None}, "plate.reach", "ends within the bore"),
    ({"plate": {"thickness": "20 mm"}, "plate_thickness": "30 mm"}, "plate_thickness", "keep plate.thickness"),
    ({"plate": {"thickness": "400 mm"}}, "plate.thickness", "300 mm at most"),
    ({"plate": {"thickness": 30}}, "plate.thickness", '"30 mm"'),
    ({"plate": {"plates": 3}}, "plate.plates", "2"),
    ({"plate": {"plates": True}}, "plate.plates", "number"),
    ({"plate": {"ende": "lug"}}, "plate.ende", "ends"),
]


@pytest.mark.parametrize(("changes", "path", "said"), WRONG, ids=lambda one: str(one)[:40])
def test_a_wrong_plate_is_told_at_its_key_with_what_would_be_right(changes: Any, path: str, said: str) -> None:
    with pytest.raises(DocumentError) as caught:
        estimate(job(bore(**changes)), BOOK)
    told = {fault.path: fault.message for fault in caught.value.faults}
    assert said in told[f"bores.0.{path}"]


RIGHT: list[dict[str, Any]] = [
    {},
    {"thickness": "20 mm"},
    {"ends": "none"},
    {"ends": "side", "reach": "85 mm"},  # a boss that lies flush with the edge
    {"ends": "corner", "reach": "6 in"},
    {"ends": "strip", "reach": "150 mm", "plates": 2, "thickness": "20 mm"},
    {"ends": "lug", "reach": "150 mm", "neck": "160 mm"},
    {"ends": "round", "reach": "85 mm"},
]


@pytest.mark.parametrize("plate", RIGHT, ids=str)
def test_a_plate_is_read(plate: dict[str, Any]) -> None:
    assert estimate(job(bore(plate=plate)), BOOK)["bores"][0]["plate"]["assumed"] is ("ends" not in plate)


def test_a_thickness_may_be_said_either_way() -> None:
    old, new = bore(plate_thickness="22 mm"), bore(plate={"thickness": "22 mm"})
    both = bore(plate={"thickness": "22 mm"}, plate_thickness="22 mm")
    documents = [estimate(job(one), BOOK) for one in (old, new, both)]
    for one in documents:
        one.pop("input_sha256")
    assert documents[0] == documents[1] == documents[2]


def test_a_step_sits_in_the_plate_of_its_bore() -> None:
    step = {"nominal_diameter": "110 mm", "worn_diameter": "111.4 mm", "length": "12 mm", "wear": "even"}
    found = read_job(job(bore(plate={"ends": "lug", "reach": "150 mm"}, steps=[step])), BOOK)
    assert {one.plate.ends for one in found.bores if one.plate} == {"lug"}
