"""The sheet of the six cases of where a plate ends: each with its words, those of the job's bores marked."""

from typing import Any

import pytest

from estimator.tables import raw
from exports.pictures.job import pictures
from exports.pictures.plate_ends import Used, plate_ends, used_of
from tests.exports.pictures.pictures_read import read

CASES = {row["name"]: row["plainly"] for row in raw("plate_ends")}


def _estimate(**plate: Any) -> Any:
    whole = {"ends": "lug", "plate_reach_mm": 150.0, "assumed": False, **plate}
    return {"reference": "T-1", "bores": [{"name": "A", "plate": whole}]}


def test_each_case_stands_there_once_with_its_words() -> None:
    drawn = read(plate_ends())
    for name, plainly in CASES.items():
        texts = [element.text or "" for element in drawn.part(name, "text")]
        assert texts.count(name) == 1
        assert plainly in " ".join(texts)
    assert set(CASES) <= {group.get("data-part") for group in drawn.every("g")}


@pytest.mark.parametrize("name", CASES)
def test_a_case_has_its_free_edges_and_its_reach(name: str) -> None:
    drawn = read(plate_ends())
    bold = [path for path in drawn.part(name, "path") if path.get("stroke") != "none"]
    assert len(bold) == {"none": 0, "strip": 2}.get(name, 1)
    said = [element.text for element in drawn.part(name, "text")]
    assert ("reach" in said) is (name != "none")
    assert ("neck" in said) is (name == "lug")


def test_nothing_is_drawn_beside_the_sheet_and_it_needs_nothing_else() -> None:
    text = plate_ends([Used(name, "a bore with a name that is far too long for its cell") for name in CASES])
    drawn = read(text)
    wide, high = (float(part) for part in (drawn.root.get("viewBox") or "").split()[2:])
    assert wide == 180 and high < 270
    for element in drawn.every("text"):
        assert 0 <= float(element.get("x") or -1) <= wide and 0 <= float(element.get("y") or -1) <= high
    for path in drawn.every("path"):
        numbers = [
            float(part) for part in (path.get("d") or "").replace("M", " ").replace("L", " ").strip("Z ").split()
        ]
        assert all(0 <= x <= wide for x in numbers[::2]) and all(0 <= y <= high for y in numbers[1::2])
    assert text.count("http") == 1
    assert plate_ends() == plate_ends()


def test_a_bores_case_is_marked_with_its_reach() -> None:
    assert used_of(_estimate()) == [Used("lug", "A, reach 150 mm")]
    assert used_of(_estimate(ends="none", plate_reach_mm=None, assumed=True)) == [Used("none", "A (assumed)")]
    drawn = read(plate_ends(used_of(_estimate())))
    assert "bore A, reach 150 mm" in [element.text for element in drawn.part("lug", "text")]
    frames = {name: drawn.part(name, "rect")[0].get("stroke-width") for name in CASES}
    assert [name for name, width in frames.items() if width == "0.7"] == ["lug"]


def test_an_older_document_has_no_such_sheet() -> None:
    assert used_of({"bores": [{"name": "A"}]}) == []  # pyrefly: ignore[bad-typed-dict-key] # as an older program wrote it
    assert pictures({"reference": "T", "bores": []}) == ([], [])  # pyrefly: ignore[bad-typed-dict-key] # the same
