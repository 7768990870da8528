"""What may stand in a text, and how much is told of a document that is wrong in a great many places."""

import json
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.errors import MOST_TOLD, DocumentError, Fault, Rest, few, rest
from estimator.estimate import read_job
from estimator.strict import parse
from tests.jobs import bore, job

STEERS = [
    *(chr(code) for code in (*range(0x0A), *range(0x0B, 0x20), *range(0x7F, 0xA0))),
    *"\u180e\u200b\u2060\u2064\u206a\ufff9\U000e0041",
    *"\u061c\u200e\u200f\u2028\u2029\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff",
]


def faults_of(document: Any) -> list[Fault]:
    with pytest.raises(DocumentError) as found:
        read_job(document, read_pricebook())
    return list(found.value.faults)


@pytest.mark.parametrize("sign", STEERS, ids=lambda sign: f"{ord(sign):04X}")
@pytest.mark.parametrize("escaped", [True, False])
def test_no_text_holds_a_sign_that_steers(sign: str, escaped: bool) -> None:
    text = f"a{sign}b"
    for path, document in {
        "note": job(note=text),
        "title": job(title=text),
        "bores.0.name": job(bore(name=text)),
        "customer.name": job(customer={"name": text}),
    }.items():
        for form in (document, json.dumps(document, ensure_ascii=escaped)):
            faults = faults_of(form)
            assert [fault.path for fault in faults] == [path]
            assert f"U+{ord(sign):04X}" in faults[0].message
    with pytest.raises(DocumentError, match=f"U\\+{ord(sign):04X}"):
        read_pricebook(json.dumps({"consumables": {"wires": {text: {"price": "1.00 EUR/kg"}}}}, ensure_ascii=escaped))


def test_a_note_has_lines_and_all_else_has_one() -> None:
    read_job(job(note="one\ntwo\r\nthree", title="größer · ≥ 3 · 修理"), read_pricebook())
    read_pricebook({"note": "one\ntwo"})
    for changes in ({"title": "a\nb"}, {"customer": {"name": "a\nb"}}, {"equipment": {"description": "a\nb"}}):
        (fault,) = faults_of(job(**changes))
        assert "line break" in fault.message
    assert parse('\ufeff{"note": "\\\\u202e is how one writes it"}') == {"note": "\\u202e is how one writes it"}


# ---------------------------------------------------------------- many faults

MANY = {
    "texts": {"reference": "x", "bores": ["\u202e"] * 100_000},
    "items": {"reference": "x", "bores": [{**bore(), "faces": [1] * 300_000}]},
    "keys": {"reference": "x", "bores": [{f"k{number}": 1 for number in range(1000)} for _ in range(100)]},
    "an object": {f"k{number}": 1 for number in range(20_000)},
    "a long key": {"k" * 1_900_000: 1},
    "equal keys": '{"a": 1, ' + ", ".join(f'"k{number}": 1' for number in range(9_000)) + ', "a": 2}',
}


@pytest.mark.parametrize("name", MANY)
def test_of_many_faults_the_first_are_told_and_how_many_more(name: str) -> None:
    document = MANY[name]
    faults = faults_of(document if isinstance(document, str) else json.dumps(document))
    assert len(faults) <= MOST_TOLD + 1
    assert sum(len(str(fault)) for fault in faults) < 100_000
    if name in {"texts", "items", "keys"}:
        assert len(faults) == MOST_TOLD + 1
        assert str(faults[-1]) == f"and {faults[-1].count} more faults" if isinstance(faults[-1], Rest) else False
    if name == "items":
        assert "and 299900 more faults" in str(faults[-1])


@pytest.mark.parametrize(
    "tables", [{"wires": {f"w{number}": {} for number in range(3000)}}, {"wires": {"n" * 5000: {}}}, {"n" * 5000: {}}]
)
def test_of_a_price_book_too(tables: dict[str, Any]) -> None:
    with pytest.raises(DocumentError) as found:
        read_pricebook({"tables": tables})
    assert len(found.value.faults) <= MOST_TOLD + 1
    assert len(str(found.value)) < 50_000


def test_what_was_counted_is_counted_on() -> None:
    told = few([*(Fault(str(number), "x") for number in range(150)), rest(7)])
    assert (len(told), str(told[-1])) == (MOST_TOLD + 1, "and 57 more faults")
    assert few(told) == told
