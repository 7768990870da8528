"""The first screen answers first and fits one screen, whatever the job; every stop and approval stands on it."""

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from exports.format import Told, bare, told
from exports.page.estimate import FULL, page
from exports.page.first import limit_of
from tests.depth import seeds
from tests.golden.hold import document_of
from tests.jobs import bore, job, quick
from tests.raw import estimate

SAMPLES = sorted(Path("sample_jobs").glob("*.json"))
BOOK = read_pricebook()
WIDEST = 95  # columns
MONEY_KEYS = ("overhead", "margin", "contingency")


def _fits(found: Any) -> str:
    """Return the first screen, held to its lines and columns in both units."""
    for units in ("metric", "us"):
        text = page(found, units)
        assert len(text.splitlines()) <= 30 + 3 * len(found["bores"]) == limit_of(found)
        assert max(map(len, text.splitlines())) <= WIDEST
    return page(found)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_sample_fits_one_screen(path: Path) -> None:
    found = estimate(path.read_bytes(), BOOK)
    text = _fits(found)
    lines = text.splitlines()
    for one in found["bores"]:
        given = one["given"]
        figures = [f"{one['wear']['largest_diameter_mm']:.2f}", f"{one['sizes']['weld_mm']:.2f}"]
        figures += [
            f"{given['nominal_diameter_mm']:.2f}",
            bare("length_mm", given["length_mm"], "metric"),
            given["material"],
        ]
        assert any(line.startswith(one["name"]) and all(each in line for each in figures) for line in lines)
    assert not any(word in text for word in MONEY_KEYS)
    assert all(
        name in text for name in ("PRICE ", "TIME ", "STOP ", "APPROVE ", "CHECK ", "TAKE ", "CUSTOMER ", "SAFETY ")
    )


@pytest.mark.parametrize("block", seeds(4, 1))
def test_random_jobs_fit_one_screen(block: int) -> None:
    found = [document_of(f"random {n}") for n in range(10 * block, 10 * block + 10)]
    answered = [one for one in found if "refused" not in one]
    assert answered
    for one in answered:
        _seen(_fits(one), one)


def _seen(text: str, found: Any) -> None:
    """Hold that each stop and each approval stands on the page by its first words."""
    running = " ".join(text.split())
    for one in told(found):
        if one.grade in ("stop", "approve"):
            assert _first_words(one) in running, one


def _first_words(one: Told) -> str:
    return " ".join(one.text.split())[:10].rsplit(" ", 1)[0]


def _with(found: Any, warnings: list[Any]) -> Any:
    more = copy.deepcopy(found)
    more["warnings"] = warnings
    return more


@pytest.mark.parametrize("count", [0, 1, 5, 12])
@pytest.mark.parametrize("grade", ["stop", "approve", "check", "know"])
def test_many_warnings_keep_to_the_screen(grade: str, count: int) -> None:
    found = estimate(job(), BOOK)
    said = [
        {"grade": grade, "code": "x", "text": f"cause {n} " + "of this and that " * 12, "path": ""}
        for n in range(count)
    ]
    text = _fits(_with(found, said))
    running = " ".join(text.split())
    if grade in ("stop", "approve"):
        assert all(f"cause {n}" in running for n in range(count))
    if grade == "check" and count > 4:
        assert "--show basis" in text


def test_equal_warnings_of_several_bores_stand_once() -> None:
    found = estimate(job(bore(), bore(name="B"), bore(name="C")), BOOK)
    warnings = [{"grade": "stop", "code": "c", "text": "cracks not checked", "path": f"bores.{n}"} for n in range(3)]
    assert "A, B, C: cracks not checked" in _fits(_with(found, warnings))


def test_old_and_new_forms_of_warnings_read_alike() -> None:
    found = estimate(job(bore(condition={}), bore(name="B", condition={})), BOOK)
    names = {f"bores.{number}": f"bore {one['name']}: " for number, one in enumerate(found["bores"])}
    plain = [names.get(one["path"], "") + one["text"] for one in found["warnings"]]
    words = {"stop": "stop", "approve": "approve", "check": "mind", "know": "mind"}
    pairs = zip(found["warnings"], plain, strict=True)
    graded = [{"grade": words[one["grade"]], "text": text} for one, text in pairs]
    old = {**_with(found, plain), "warnings_graded": graded}
    grave = [one for one in told(found) if one.grade in ("stop", "approve")]
    before = [one._replace(who="") for one in grave]  # a text of before says itself who decides
    assert grave and [one for one in told(old) if one.grade in ("stop", "approve")] == before
    assert {one.text for one in told(_with(found, plain))} == {one.text for one in told(found)}


def test_long_words_of_a_user_keep_to_the_screen() -> None:
    document = job(bore(name="bore " + "x" * 60), bore(name="bore " + "x" * 59 + "y"), title="t " * 100)
    text = _fits(estimate(json.dumps(document).encode(), BOOK))
    assert "xy" in text


def test_with_parts_nothing_is_shortened() -> None:
    found = estimate(job(), BOOK)
    long = [f"word{n}" for n in range(120)]
    more = _with(
        found, [{"grade": grade, "code": "x", "text": " ".join(long), "path": ""} for grade in ("stop", "check")]
    )
    more["scope"]["customer"] = [f"thing{n} brought by the customer" for n in range(30)]
    for parts in (("plan",), ("cost",), FULL):
        running = " ".join(page(more, parts=parts).split())
        assert "…" not in running
        assert running.count(" ".join(long)) >= 2
        assert all(one in running for one in more["scope"]["customer"])


def test_a_check_stands_whole_where_there_is_room() -> None:
    text = " ".join(f"word{n}" for n in range(60))
    found = _with(estimate(job(), BOOK), [{"grade": "check", "code": "x", "text": text, "path": ""}])
    assert text in " ".join(page(found).split())


def test_checks_have_their_room_before_all_of_what_to_take_is_told() -> None:
    condition = {"cracks": "unknown", "coated": "yes"}
    far = {"distance": "2000 km", "ambient": "54 degC"}
    found = estimate(job(quick(90, 93, length="700 mm", condition=condition), site=far), BOOK)
    checks = [one for one in told(found) if one.grade == "check"]
    text = " ".join(_fits(found).split())
    assert len(checks) == 4
    assert all(_first_words(one) in text for one in checks[:3])
    assert "… 1 more under --show basis" in text
