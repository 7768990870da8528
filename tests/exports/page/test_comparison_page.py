"""The page a fleet manager reads: which way, why, what would turn it, and what is not to be overlooked."""

import re
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from exports.format import by_grade
from exports.page.choice import comparison_page
from tests.estimator.compare.test_make import BOOK, DOCUMENT, FOUND, by_name
from tests.jobs import SOUND, changed, job
from tests.raw import compare

PAGE = comparison_page(FOUND)
SAID = {"repair": "repair on site", "sleeve": "fit a sleeve", "replace": "a new part"}


def flat(text: str) -> str:
    """Return a page on one line, as its words follow one another."""
    return " ".join(text.split())


def plain(text: str) -> str:
    """Return a page without the marks of thousands."""
    return re.sub(r"(?<=\d),(?=\d{3})", "", text)


def test_the_best_way_comes_first_with_its_cost_a_year() -> None:
    best = by_name(FOUND)[FOUND["best"]]
    first = next(line for line in plain(PAGE).splitlines() if "a year" in line)
    assert SAID[FOUND["best"]] in first
    assert f"{best['annual_cost']} EUR" in first


def test_every_amount_of_every_way_stands_in_its_row() -> None:
    for name, choice in by_name(FOUND).items():
        row = next(line for line in plain(PAGE).splitlines() if line.startswith(f"  {SAID[name]}"))
        for key in ("first_cost", "downtime_cost", "annual_cost"):
            assert f"{choice[key]} EUR" in row


def test_what_would_turn_it_stands_in_words() -> None:
    even = FOUND["break_even"]
    assert f"below {even['replacement_price']} EUR" in flat(plain(PAGE))
    assert f"lasts {even['repair_life_h']:.0f} h" in flat(plain(PAGE))


def test_an_even_cost_of_downtime_is_printed_where_there_is_one() -> None:
    dear = changed(DOCUMENT, "economics.repair.downtime", "400 h")
    found = compare(dear, BOOK)
    assert f"{float(found['break_even']['downtime_cost_per_h']):.2f} EUR" in flat(plain(comparison_page(found)))


@pytest.mark.parametrize("page", [PAGE, comparison_page(compare(job(economics=DOCUMENT["economics"]), BOOK))])
def test_invented_prices_are_said_loudly(page: str) -> None:
    assert "DEMO PRICES" in page


def test_real_prices_are_not_called_invented() -> None:
    assert "DEMO" not in comparison_page(compare(DOCUMENT, read_pricebook({"invented": False})))


def test_every_warning_and_every_reason_is_printed() -> None:
    cracked: Any = changed(DOCUMENT, "bores.0.condition", {**SOUND, "cracks": "yes"})
    found = compare(changed(cracked, "economics.replace.lead_time", "21 day"), BOOK)
    page = flat(comparison_page(found))
    said = [*by_grade(found), *found["break_even"]["reasons"], *by_name(found)["repair"]["reasons"]]
    assert len(said) > 4
    assert [text for text in said if flat(text.partition(": ")[2] or text) not in page] == []


def test_nothing_to_choose_is_said() -> None:
    bare = compare(job(economics={"discount_rate": 0.08, "hours_per_year": 1800}), BOOK)
    assert "None of the ways can be costed" in comparison_page(bare)


def test_a_warning_stands_under_its_own_grade() -> None:
    waiting = changed(DOCUMENT, "economics.replace.lead_time", "21 day")
    found = compare(changed(waiting, "site.wind", "9 m/s"), BOOK)
    text = comparison_page(found)
    stops, knows = by_grade(found, "stop"), by_grade(found, "know")
    assert stops and knows
    assert text.index("STOP UNTIL THIS IS SETTLED") < text.index(stops[0][:40])
    assert text.index("GOOD TO KNOW") < text.index(knows[0][:40])
    assert text.index(stops[0][:40]) < text.index("GOOD TO KNOW")
