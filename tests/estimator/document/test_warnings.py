"""Warnings by grade: what stops the work comes first; old documents are read as they always were."""

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from api.pages.view import estimate_view
from estimator.book.pricebook import read_pricebook
from estimator.document.old import band_of, warnings_in
from estimator.document.redact import redact
from estimator.estimate import estimate
from exports.format import by_grade, to_settle
from exports.page.estimate import page
from exports.sheets import basis, card, day, quote, weld
from tests.jobs import SOUND, bore, job, quick

BOOK = read_pricebook()
ORDER = ["stop", "approve", "check", "know"]
OLD: Any = json.loads(Path(__file__).with_name("old_quote.json").read_text("utf-8"))
GRAVE: list[tuple[Any, dict[str, str]]] = [
    (
        job(bore(condition={**SOUND, "cracks": "unknown", "coated": "yes", "bush": "yes", "duty": "lifting"})),
        {"cracks_unknown": "stop", "coated": "stop", "bush": "stop", "duty": "approve", "bracket_duty": "approve"},
    ),
    (job(bore(condition={})), {"cracks_unknown": "stop", "find_out": "check"}),
    (job(quick(90, 97, cleanup_diameter="96 mm")), {"not_cleaned": "stop"}),
    (job(bore(nominal_diameter="94 mm")), {"nominal": "stop"}),
    (job(site={"access": "confined", "wind": "9 m/s"}), {"confined": "stop", "wind": "stop", "no_distance": "check"}),
    (job(quick(90, 106, outside_diameter="220 mm")), {"wear_deep": "approve"}),
    (job(bore(certificate={"source": "works certificate", "C": 0.25, "Mn": 1.2})), {"certificate": "stop"}),
    (job(bore(material="42CrMo4")), {"steel_approval": "approve", "bracket_carbon": "approve"}),
]


@pytest.mark.parametrize(("document", "codes"), GRAVE)
def test_graver_ones_come_first_each_by_its_code(document: Any, codes: dict[str, str]) -> None:
    found = estimate(document, BOOK)["warnings"]
    grades = [ORDER.index(one["grade"]) for one in found]
    assert grades == sorted(grades)
    assert codes.items() <= {one["code"]: one["grade"] for one in found}.items()


def test_an_ordinary_sound_job_has_nothing_to_stop_or_approve() -> None:
    for condition in (SOUND, {"cracks": "no"}):
        found = estimate(job(bore(condition=condition, line="pin")), BOOK)
        assert by_grade(found, "stop", "approve") == []


def test_a_warning_says_what_it_is_about() -> None:
    found = estimate(job(bore(), bore(name="B", condition={}), site={"wind": "9 m/s"}), BOOK)
    by_code = {one["code"]: one for one in found["warnings"]}
    assert by_code["wind"]["path"] == "site.wind"
    assert by_code["cracks_unknown"]["path"] == "bores.1"
    assert f"bore B: {by_code['cracks_unknown']['text']}" in by_grade(found, "stop")


def test_page_and_quote_show_the_gravest_first() -> None:
    found = estimate(GRAVE[0][0], BOOK)
    text = " ".join(page(found, "metric", ["basis"]).split())
    places = [text.index(" ".join(one.split())) for one in by_grade(found)]
    assert places == sorted(places)
    assert to_settle(found)[0] in by_grade(found, "stop")
    assert to_settle(found) == by_grade(found, "stop", "approve")


def test_a_clamped_mount_gets_no_advice_on_brackets() -> None:
    hot = {"material": "C45"}
    advice = [
        estimate(job(bore(**hot, **mounts)), BOOK)["bores"][0]["heat"]["advice"]
        for mounts in ({}, {"mounts": "clamped"})
    ]
    assert len(advice[0]) == len(advice[1]) + 1
    assert not set(advice[1]) - set(advice[0])


def test_a_loss_is_never_told_to_the_customer() -> None:
    assert not [one for one in to_settle(OLD) if "below the cost" in one]
    losing = read_pricebook({"margin": 0.0, "rounding": "400 EUR", "minimum_charge": "0 EUR"})
    found = [estimate(job(bore(length=f"{length} mm")), losing) for length in range(60, 130, 6)]
    told = [one for one in found if "below_cost" in {each["code"] for each in one["warnings"]}]
    assert told
    for one in told:
        assert "below_cost" not in {each["code"] for each in redact(one, "fleet")["warnings"]}
        assert len(redact(one, "fleet")["warnings"]) == len(one["warnings"]) - 1


def test_an_old_document_still_says_what_it_said() -> None:
    assert [(one["grade"], one["path"]) for one in warnings_in(OLD)] == [
        ("stop", "bores.0"),
        ("stop", "bores.0"),
        ("approve", "bores.0"),
        ("approve", "bores.0"),
        ("check", "bores.0"),
        ("check", "bores.1"),
        ("check", ""),
    ]
    names = ["bore A: "] * 5 + ["bore B: ", ""]
    told = [name + one["text"] for name, one in zip(names, warnings_in(OLD), strict=True)]
    assert told == [one["text"] for one in OLD["warnings_graded"]]
    assert len(to_settle(OLD)) == 4
    kept = redact(OLD, "field")
    assert len(kept["warnings"]) == len(kept["warnings_graded"]) == len(OLD["warnings"]) - 1


def test_an_old_document_still_becomes_every_paper() -> None:
    text = " ".join(page(OLD, "metric", ["basis"]).split())
    assert all(" ".join(one["text"].split()) in text for one in warnings_in(OLD))
    first, second = card.sheets(OLD)
    assert "cracks not checked" in str(first.rows) and "cracks not checked" not in str(second.rows)
    for build in (basis.sheet, quote.sheet, weld.sheet):
        assert "cracks not checked" in str(build(OLD).rows)
    assert "cracks not checked" in str(day.sheets(OLD)[0].rows)
    view = estimate_view(OLD, "metric")
    assert [len(found) for *_, found in view["warnings"]] == [2, 2, 2]  # one and the same of two bores is told once


def test_a_document_without_grades_still_says_what_is_to_be_settled() -> None:
    older: Any = {key: value for key, value in OLD.items() if key != "warnings_graded"}
    assert any("lifting gear" in one for one in to_settle(older))
    assert "cracks not checked" in page(older, "metric", ["basis"])


def test_a_budget_price_of_any_age_says_between_which_prices_it_lies() -> None:
    """Ends once stood with tax under other keys; stored quotes still render as they were."""
    now: Any = estimate(job(quick(90, 93)), BOOK)
    budget = now["budget"]
    assert band_of(now) == (budget["low"], budget["high"], False)
    assert [Decimal(budget[key]) for key in ("low", "likely", "high")] == sorted(
        Decimal(budget[key]) for key in ("low", "likely", "high")
    )
    kept = {key: value for key, value in budget.items() if key not in ("low", "likely", "high")}
    old: Any = {**now, "budget": {**kept, "price_low": "700.00", "price_high": "1500.00"}}
    assert band_of(old) == ("700.00", "1500.00", True)
    assert band_of({}) is None
    told: list[tuple[Any, str]] = [(now, "before tax"), (old, "with tax")]
    for document, words in told:
        assert f"EUR {words}" in " ".join(page(document).split())
        assert words in estimate_view(document, "metric")["band"]
        assert any(words in str(cell.value) for row in quote.sheet(document).rows for cell in row.cells if cell.value)
