"""The words of papers: every language says everything with the same figures, and writes numbers its own way."""

import csv
import datetime
import string
from pathlib import Path

import pytest

from estimator.document.letter import languages as told_languages
from estimator.tables import raw
from estimator.tables.messages import words
from exports.papers.languages import USUAL, languages, texts
from exports.papers.words import words_in

ROOT = Path(__file__).parents[3]


def places(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


@pytest.mark.parametrize("language", languages())
def test_a_language_says_everything_with_the_same_figures(language: str) -> None:
    own = texts()[language]
    assert own.keys() == texts()[USUAL].keys()
    assert {code for code, text in own.items() if places(text) != places(texts()[USUAL][code])} == set()


def test_each_code_stands_once_a_language_and_is_used() -> None:
    rows = list(csv.reader((ROOT / "exports/papers/words.csv").read_text("utf-8").splitlines()))
    assert len({tuple(row[:2]) for row in rows}) == len(rows)
    source = "".join(path.read_text("utf-8") for path in (ROOT / "exports/papers").glob("*.py"))
    made = {
        "part_bore",
        "part_once",
        "part_travel",
        "part_call_out",
        "part_extra",
        "assume_open",
        "assume_restricted",
        "assume_confined",
    }
    assert [code for code in texts()[USUAL] if f'"{code}"' not in source and code not in made] == []


def test_what_a_plan_says_is_translated_to_every_language_of_papers() -> None:
    assert set(told_languages()) == set(languages())
    for table, column in (("scope", "text"), ("cautions", "customer")):
        codes = {row["code"] for row in raw(table) if row[column]}
        for language in set(languages()) - {USUAL}:
            done = {row["code"] for row in raw("translations") if (row["table"], row["language"]) == (table, language)}
            assert done == codes, (table, language)


@pytest.mark.parametrize("language", sorted(set(languages()) - {USUAL}))
def test_what_a_customer_must_settle_is_told_in_every_language(language: str) -> None:
    rows = words()
    theirs = {
        code
        for (code, of), row in rows.items()
        if of == USUAL and (row.grade in ("stop", "approve") or (row.grade == "check" and row.who == "the customer"))
    }
    assert {code for code in theirs if (code, language) not in rows} == set()
    for (code, of), row in rows.items():
        if of == language:
            figures = places(row.text.replace(" vs ", "")) - {"who"}
            assert figures <= places(rows[code, USUAL].text) | {"who"}, code
            assert row.grade == rows[code, USUAL].grade, code


def test_numbers_money_and_dates_are_written_as_the_language_does() -> None:
    english, german = words_in("en"), words_in("de")
    assert (english.number(1234.5, 2), german.number(1234.5, 2)) == ("1,234.50", "1.234,50")
    assert (english.money("1946.10", "EUR"), german.money("1235", "JPY")) == ("1,946.10\u00a0EUR", "1.235\u00a0JPY")
    assert (english.percent(0.0825), german.percent(0.2)) == ("8.25", "20")
    assert german.number(0.125, 2) == "0,13"
    day = datetime.date(2027, 3, 8)
    assert (english.date(day), german.date(day)) == ("8 March 2027", "8. März 2027")


def test_a_shops_own_text_falls_back_to_what_it_has() -> None:
    german = words_in("de")
    assert german.worded({"en": "a", "de": "b"}) == "b"
    assert german.worded({"": "all", "en": "a"}) == "all"
    assert german.worded({"en": "a"}) == "a"
    assert german.worded({"fr": "c"}) == "c"
    assert german.worded(None) == ""


def test_a_figure_is_no_template() -> None:
    assert (
        words_in("en")("part_bore", bore="{page} {0} {bore.__class__}") == "Repair of bore {page} {0} {bore.__class__}"
    )
