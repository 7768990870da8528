"""The letter: all that a buyer looks for, nothing of ours, and the same bytes every time."""

import copy
import datetime
import functools
import json
import re
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from babel.numbers import format_decimal

from estimator.book.pricebook import builtin_document, read_pricebook
from estimator.strict import merge
from exports.papers.languages import languages
from exports.papers.letter import Issued, content_of, letter
from exports.papers.repaired import named
from exports.papers.words import words_in
from tests.estimator.document.test_redact import CHEAP_BOOK, DEAR_BOOK
from tests.exports.papers.printed import pages_of, said
from tests.jobs import bore, job, quick, tens
from tests.raw import estimate

ROOT = Path(__file__).parents[3]
SAMPLES = sorted((ROOT / "sample_jobs").glob("*.json"))
PAID = ("before_tax", "tax", "total")
DAY = datetime.date(2027, 2, 1)
ISSUED = Issued("100042", 2, datetime.date(2027, 2, 1), datetime.date(2027, 3, 3))
LOGO = (
    "data:image/png;base64,"
    "iVBORw0KGgoAAAANSUhEUgAAAAIAAAACCAIAAAD91JpzAAAAEElEQVR4nGOQD0gGIgYIBQAV9gNJ5W2AyQAAAABJRU5ErkJggg=="
)
ASKED: dict[str, Any] = {
    "title": "Boom foot pivot",
    "customer": {
        "name": "Brackwater Timber",
        "address": "Mill Road 3\nBrackwater",
        "contact": "J. Alder",
        "phone": "+00 1 23",
        "email": "alder@brackwater.example",
    },
    "purchase_order": "PO 77-1",
    "machine": {"description": "harvester H-3", "hours": 9400},
    "start": "2027-03-08",
    "extras": [{"text": "Bush 90/110", "quantity": 2, "price": "85.00 EUR"}],
    "discount": 0.05,
    "site": {"address": "Compartment 14", "distance": "85 km", "ambient": "12 degC"},
}
OWN = {"invented": False, "note": "Ours."}


@functools.cache
def whole() -> Any:
    return estimate(job(bore(), bore(name="B"), **ASKED), read_pricebook())


# ---------------------------------------------------------------- what a buyer looks for

FIELDS = {
    "en": (
        "Quote 100042", "Oakmoor Bore Repair (invented)", "4 Quarry Lane", "workshop@oakmoor.example", "Tax no.",
        "Brackwater Timber", "Mill Road 3", "J. Alder", "PO 77-1", "harvester H-3 (9,400 h)", "Compartment 14",
        "Revision 2", "Issued 1 February 2027", "Valid until 3 March 2027", "Our reference T-1", "85 km",
        "93.00 mm, 3.00 mm worn a side", "90.000 to 90.054 mm", "90 H8", "bored clean to", "2 layers",
        "Repair of bore A", "Once for the job", "Travel there and back", "Bush 90/110: 2 pc. at 85.00 EUR",
        "Discount 5 %", "Price before tax", "VAT, 20 %", "Price with tax", "On site on", "Earliest start: 8 March 2027",
        "Included", "Not included", "Please provide", "Assumptions", "for each further mm of wear",
        "96.00 EUR per person and hour",
        "Payment", "30 days", "Warranty", "12 months", "Safety on site", "Hot-work permit", "Acceptance",
        "We accept quote 100042", "Signature", "Page 1 of",
    ),
    "de": (
        "Angebot 100042", "Fassung 2", "Ausgestellt 1. Februar 2027", "Gültig bis 3. März 2027", "Unser Zeichen T-1",
        "Ihre Bestellung PO 77-1", "(9.400 Bh)", "93,00 mm, 3,00 mm Verschleiß je Seite", "90,000 bis 90,054 mm",
        "Reparatur der Bohrung A", "An- und Abfahrt", "Nachlass 5 %", "MwSt., 20 %", "Preis mit Steuer",
        "Frühester Beginn: 8. März 2027", "Enthalten", "Bitte stellen Sie bereit", "145,00 EUR je Bohrung",
        "Zahlbar innerhalb", "Gewährleistung", "Erlaubnis für Heißarbeiten", "Wir nehmen das Angebot 100042",
        "Unterschrift", "Seite 1 von",
    ),
}  # fmt: skip


@pytest.mark.office
@pytest.mark.parametrize("language", sorted(FIELDS))
def test_the_letter_says_all_that_a_buyer_looks_for_on_two_pages(language: str) -> None:
    paper = letter(whole(), DAY, ISSUED, language)
    text = said(paper)
    assert [one for one in FIELDS[language] if one not in text] == []
    assert len(pages_of(paper)) == 2


@pytest.mark.office
@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_total_on_paper_is_the_engines(path: Path, language: str) -> None:
    found = estimate(path.read_bytes(), read_pricebook())
    text = said(letter(found, DAY, None, language))
    budget, price = found.get("budget", {}), found["price"]
    ends = [budget[key] for key in ("low", "likely", "high")] if budget else [price[key] for key in PAID]
    way = {"en": "en_GB", "de": "de_DE"}[language]
    for amount in ends:
        form = (tens(amount), "#,##0") if budget else (Decimal(amount), "#,##0.00")
        assert format_decimal(*form, way) in text
    assert [bore["name"] for bore in found["bores"] if named(bore["name"], words_in(language)) not in text] == []


def test_tax_stands_by_rate_where_rates_differ() -> None:
    book = read_pricebook({"tax": 0.19, "taxes": {"extra": 0.07}, "travel": {"call_out": "90.00 EUR"}})
    rows = content_of(estimate(job(bore(), **ASKED), book), DAY, ISSUED, "de")["price"]["rows"]
    said, amounts = (
        [what for what, _, _ in rows],
        [Decimal(one.replace(".", "").replace(",", ".")) for _, one, _ in rows],
    )
    assert "Anfahrtspauschale" in said
    assert said[-3].startswith("MwSt., 19\u00a0% auf ") and said[-2] == "MwSt., 7\u00a0% auf 161,50\u00a0EUR"
    assert amounts[-2] == Decimal("11.31") and sum(amounts[-4:-1]) == amounts[-1]


def test_the_parts_of_the_price_on_paper_add_up() -> None:
    rows = content_of(whole(), DAY, ISSUED, "en")["price"]["rows"]
    amounts = [Decimal(amount.replace(",", "")) for _, amount, _ in rows]
    assert sum(amounts[:-3]) == amounts[-3]
    assert amounts[-3] + amounts[-2] == amounts[-1] == Decimal(whole()["price"]["total"])


@pytest.mark.office
def test_a_draft_says_so_and_has_neither_number_nor_validity() -> None:
    text = said(letter(whole(), DAY))
    assert "DRAFT, not issued" in text and "cannot be accepted yet" in text and "1 February 2027" in text
    assert not re.search("Number|Revision|Valid until|We accept", text)


@pytest.mark.office
def test_a_budget_price_binds_nobody_and_cannot_be_accepted() -> None:
    found = estimate(job(quick(90, 93)), read_pricebook())
    text = said(letter(found, DAY, ISSUED))
    low, high = (f"{tens(found['budget'][key]):,}" for key in ("low", "high"))
    assert f"between {low} EUR and {high} EUR" in text
    assert "Budget price 100042" in text and "not binding" in text and "To measure" in text
    assert [one for one in found["budget"]["measure"] if one not in text] == []
    assert not re.search("Acceptance|Signature|We accept|Warranty|DRAFT", text)


@pytest.mark.office
def test_an_old_documents_letter_says_what_the_document_holds() -> None:
    old = json.loads((ROOT / "tests/estimator/document/old_quote.json").read_text("utf-8"))
    text = said(letter(old, DAY, ISSUED))
    assert f"{Decimal(old['price']['total']):,}" in text and old["reference"] in text
    assert [one for one in old["scope"]["customer"] if one not in text] == []


@pytest.mark.office
def test_a_job_typed_in_inches_is_told_in_inches_on_letter_paper_where_the_language_has_them() -> None:
    document = (ROOT / "sample_jobs/inch_bucket.json").read_bytes()
    found = estimate(document, read_pricebook())
    paper = letter(found, DAY, ISSUED)
    text = said(paper)
    assert "3.5000 to 3.5030 in" in text and "24 miles" in text and " mm, " not in text
    assert content_of(found, DAY, ISSUED, "en")["paper"] == "us-letter"
    german = content_of(found, DAY, ISSUED, "de")
    assert german["paper"] == "a4" and "88,900 bis 88,976" in str(german["bores"]["rows"])


def test_kinds_of_features_and_steps_are_told_in_the_letters_language() -> None:
    found = estimate((ROOT / "sample_jobs/feller_lugs.json").read_bytes(), read_pricebook())
    text = "\n".join(texts_of(content_of(found, DAY, ISSUED, "de")))
    assert all(word in text for word in ("Schmiernut", "Passfedernut", "Schlitz", "Stufe 1 von L"))
    assert not re.search("keyway|split|grease|step 1", text)


# ---------------------------------------------------------------- demo


@pytest.mark.office
def test_every_page_says_demo_while_a_price_is_invented() -> None:
    assert all("DEMO" in page for page in pages_of(letter(whole(), DAY)))
    found = estimate(job(), read_pricebook(OWN))
    text = said(letter(found, DAY))
    assert not re.search("DEMO|Oakmoor|Warranty|Payment|Standing time", text)


def test_a_book_is_a_demo_until_the_last_price_of_the_sum_is_its_own() -> None:
    def own(found: Any) -> Any:
        if isinstance(found, dict):
            return {key: own(value) for key, value in found.items()}
        price = re.fullmatch(r"([\d.]+)( EUR.*)", found) if isinstance(found, str) else None
        return f"{Decimal(price[1]) + Decimal('0.01')}{price[2]}" if price else found

    mine = own({key: value for key, value in builtin_document().items() if key != "tables"})
    assert estimate(job(), read_pricebook(mine))["demo"] is False
    demo = builtin_document()
    for patch in (
        {"rates": {"labour_travel": demo["rates"]["labour_travel"]}},
        {"consumables": {"tip": {"price": demo["consumables"]["tip"]["price"]}}},
    ):
        assert estimate(job(), read_pricebook(merge(mine, patch)))["demo"] is True, patch
    assert estimate(job(), read_pricebook(merge(mine, {"minimum_charge": "690.00 EUR"})))["demo"] is False
    assert estimate(job(), read_pricebook({**OWN, "rates": {}}))["demo"] is False


# ---------------------------------------------------------------- texts are texts

HOSTILE = (
    "#panic() *bold* _under_ $x$ `raw` \\n {page} {pages} <label> @ref // /* = - + \"quoted\" 'q' [x] ~ <script>",
    '\'); #import "@preview/x:1.0.0"; #read("/etc/passwd")',
    "Ünïcödé ß Ł Ж Ω ½ ≤ – … €",
)


@pytest.mark.office
@pytest.mark.parametrize("text", HOSTILE)
def test_what_is_typed_prints_as_typed(text: str) -> None:
    asked = {**ASKED, "title": text, "customer": {**ASKED["customer"], "name": text}, "extras": []}
    found = said(letter(estimate(job(bore(name=text[:100]), **asked), read_pricebook()), DAY, ISSUED))
    plain, typed = (re.sub(r"\s+", "", one) for one in (found, text))
    assert plain.count(typed) >= 2
    assert plain.count(typed[:80]) >= 4  # title and customer, and the bore in two tables


@pytest.mark.parametrize("text", ["中文 قبل", "🙂", "\u0301", "\u00ad"])
def test_signs_that_no_font_has_are_no_defect(text: str) -> None:
    asked = {**ASKED, "customer": {"name": f"x {text}"}}
    assert letter(estimate(job(**asked), read_pricebook()), DAY).startswith(b"%PDF-")


@pytest.mark.office
def test_a_long_letter_runs_on_over_as_many_pages_as_it_needs() -> None:
    extras = [{"text": f"Part {number} " + "x" * 100, "price": "1.00 EUR"} for number in range(50)]
    document = job(*(bore(name=f"Bore {number}") for number in range(40)), **{**ASKED, "extras": extras})
    pages = pages_of(letter(estimate(document, read_pricebook()), DAY, ISSUED))
    text = re.sub(r"\s+", " ", " ".join(pages))
    assert all(f"Bore {number}" in text and f"Part {number} " in text for number in range(40))
    assert f"Page {len(pages)} of {len(pages)}" in pages[-1]


# ---------------------------------------------------------------- nothing of ours


@pytest.mark.parametrize("language", languages())
def test_two_books_of_one_price_and_other_costs_give_the_same_letter(language: str) -> None:
    document = job(bore(), bore(name="B"), **ASKED)
    papers = [letter(estimate(document, book), DAY, ISSUED, language) for book in (CHEAP_BOOK, DEAR_BOOK)]
    assert papers[0] == papers[1]
    assert papers[0] == letter(estimate(document, CHEAP_BOOK), DAY, ISSUED, language)


OURS = re.compile(r"margin|markup|overhead|contingency|boreworth|labour rate|sha256|Marge|Gemeinkosten", re.IGNORECASE)


def texts_of(found: Any) -> Iterator[str]:
    if isinstance(found, str):
        yield found
    elif isinstance(found, dict):
        yield from texts_of(list(found.values()))
    elif isinstance(found, (list, tuple)):
        for one in found:
            yield from texts_of(one)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_no_cost_margin_or_rate_of_labour_stands_in_a_letter(path: Path) -> None:
    found = estimate(path.read_bytes(), read_pricebook())
    text = "\n".join(texts_of(content_of(found, DAY, ISSUED, "en")))
    assert not OURS.search(text)
    costs = {line["unit_cost"] for line in found["cost"]["lines"]} | {line["amount"] for line in found["cost"]["lines"]}
    costs |= {found["cost"]["total"]}
    paid = {one["amount"] for one in found["price"]["bores"]} | {found["price"][key] for key in ("before_tax", "tax")}
    sums = {cost for cost in costs - paid if Decimal(cost) >= 10}
    assert [cost for cost in sums if re.search(rf"(?<![\d.,]){re.escape(f'{Decimal(cost):,}')}(?![\d.,])", text)] == []


def test_a_letter_reads_nothing_that_a_role_without_costs_is_not_given() -> None:
    hidden = copy.deepcopy(whole())
    for key in ("cost", "totals"):
        hidden[key] = {**hidden[key], "total": "1.00"}
    hidden["price"] |= {"margin": 0.99, "rule": {}}
    del hidden["cost"], hidden["engine"], hidden["input_sha256"], hidden["shades"], hidden["procedures"]
    assert content_of(hidden, DAY, ISSUED, "en") == content_of(whole(), DAY, ISSUED, "en")


# ---------------------------------------------------------------- the file


def test_the_file_is_tagged_for_archives_and_dated_by_its_paper() -> None:
    paper = letter(whole(), DAY, ISSUED, "de")
    assert b"pdfaid:part>2<" in paper and b"pdfaid:conformance>A<" in paper and b"pdfuaid:part>1<" in paper
    assert b"2027-02-01T12:00:00" in paper and b"boreworth" not in paper
    assert b"/Lang(de-DE)" in paper.replace(b" ", b"")


def test_a_logo_stands_on_the_letter() -> None:
    with_logo = read_pricebook({"company": {"logo": LOGO}})
    paper = letter(estimate(job(), with_logo), DAY)
    without = letter(estimate(job(), read_pricebook()), DAY)
    assert [b"/Subtype/Image" in one.replace(b" ", b"") for one in (paper, without)] == [True, False]
