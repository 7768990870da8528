"""Ten questions make a price book; another currency takes one answer and one rate with its date."""

import re
from decimal import Decimal
from typing import Any

import pytest

from estimator.book.currency import in_currency
from estimator.book.pricebook import builtin_document, minor_units, read_pricebook
from estimator.book.questions import QUESTIONS, answer_fault, book_from, questions, usual_answers
from estimator.errors import DocumentError
from estimator.estimate import estimate
from tests.jobs import job

OWN = {
    "currency": "EUR", "wage": "71,50", "van": "25 EUR/h", "km": "0.91", "night": "110", "margin": "markup 30 %",
    "tax": "19", "overtime": "1.5 h at 30", "breaks": "30", "rig": "150 A, 40 mm to 300 mm",
}  # fmt: skip
SWISS = "CHF 0.9412 2026-11-30"


def faults(answers: Any) -> list[str]:
    with pytest.raises(DocumentError) as caught:
        book_from(answers)
    return [fault.path for fault in caught.value.faults]


def test_ten_are_asked_in_every_language_and_their_usual_answers_are_the_built_in_book() -> None:
    assert len(QUESTIONS) == len(questions()) == 10
    assert [one.code for one in questions(language="de")] == list(QUESTIONS)
    assert all(one.text != other.text for one, other in zip(questions(), questions(language="de"), strict=True))
    plain, asked = read_pricebook(), read_pricebook(book_from(usual_answers()))
    for path in ("margin", "tax", "overtime", "breaks"):
        assert asked.number(path) == plain.number(path)
    assert asked.equipment == plain.equipment and asked.travel == plain.travel


def test_answers_become_the_book_and_the_rest_is_known_to_be_invented() -> None:
    book = read_pricebook(book_from(OWN))
    assert [str(book.price("rates", name)) for name in ("labour_on_site", "labour_travel")] == ["71.50"] * 2
    assert (str(book.price("travel", "distance")), book.markup, book.margin, book.tax) == ("0.91", 0.3, None, 0.19)
    assert (book.breaks, book.overtime, book.equipment.smallest_bore) == (1800.0, 5400.0, pytest.approx(0.04))
    assert not book.is_invented("rates.labour_on_site") and book.is_invented("consumables.tip.price")
    found = estimate(job(), book, "full")
    assert found["demo"] is True and found["letter"]["company"] is None
    assert found["letter"]["terms"]["warranty"] is None  # nobody promises for the shop what it did not say


@pytest.mark.parametrize("answer", [SWISS, "JPY 163.2 2026-11-30", "KWD at 0.33 on 2026-11-30"])
def test_another_currency_is_one_answer_with_its_rate(answer: str) -> None:
    book = read_pricebook(book_from({"currency": answer}))
    code, rate = book.currency, Decimal(re.findall(r"[0-9.]+", answer)[0])
    assert abs(book.price("rates", "labour_on_site") - 58 * rate) < Decimal("0.00001")
    assert book.price("rounding") == Decimal(1).scaleb(-minor_units()[code])
    assert book.is_invented("rates.labour_on_site")
    found = estimate(job(), book, "price")
    assert found["price"]["currency"] == code and found["demo"] is True
    home = Decimal(estimate(job(), read_pricebook(), "price")["price"]["total"])
    assert abs(Decimal(found["price"]["total"]) / rate / home - 1) < Decimal("0.001")


def test_a_rate_alone_turns_a_book_and_without_one_a_single_fault_says_so() -> None:
    patch: Any = {"currency": "CHF", "converted": {"rate": 0.9412, "on": "2026-11-30"}}
    assert read_pricebook(patch).price("travel", "night") == Decimal("120.47")
    with pytest.raises(DocumentError) as caught:
        read_pricebook({"currency": "CHF"})
    (fault,) = caught.value.faults
    assert fault.path == "currency" and "converted" in fault.message


def test_what_is_no_price_stays_as_it_is() -> None:
    plain, turned = builtin_document(), in_currency(builtin_document(), "CHF", 1.0, 2)
    assert turned["terms"]["payment"] == plain["terms"]["payment"] and turned["crew"] == plain["crew"]
    assert turned["work_days"] == plain["work_days"] and turned["margin"] == plain["margin"]


WRONG = [
    ("currency", "CHF"), ("currency", "XXY"), ("currency", "CHF 0 2026-11-30"), ("currency", "CHF 0.9 30.11.2026"),
    ("wage", "x"), ("wage", "10 USD"), ("km", "-1"), ("margin", "100 %"), ("margin", "markup"), ("tax", "-"),
    ("overtime", "2 h"), ("overtime", "late"), ("breaks", "long"), ("rig", "175 A"), ("rig", "x, 1 mm to 2 mm"),
]  # fmt: skip


@pytest.mark.parametrize(("code", "text"), WRONG)
def test_a_wrong_answer_is_told_at_its_question(code: str, text: str) -> None:
    assert set(faults({code: text})) == {code}
    assert answer_fault(code, text)


def test_all_wrong_answers_are_told_together() -> None:
    assert faults({"nothing": "x", "wage": "x", "tax": 7}) == ["nothing", "wage", "tax"]
    assert answer_fault("wage", "58 CHF", SWISS) == "" and answer_fault("wage", "58 CHF")
