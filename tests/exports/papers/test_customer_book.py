"""The customer's workbook: it adds up by formulas of its own, and nothing of ours is in it, however one looks."""

import copy
import datetime
import functools
import io
import json
import re
import zipfile
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from estimator.book.pricebook import read_pricebook
from exports.papers.customer_book import customer_book, customer_sheets
from exports.papers.languages import languages, texts
from exports.papers.letter import Issued
from tests.estimator.document.test_redact import CHEAP_BOOK, DEAR_BOOK
from tests.exports.office import converted, uncalculated
from tests.jobs import bore, job, quick, tens
from tests.raw import estimate

ROOT = Path(__file__).parents[3]
SAMPLES = sorted((ROOT / "sample_jobs").glob("*.json"))
DAY = datetime.date(2027, 2, 1)
ISSUED = Issued("100042", 2, datetime.date(2027, 2, 1), datetime.date(2027, 3, 3))
ASKED: dict[str, Any] = {
    "extras": [{"text": "Bush 90/110", "quantity": 2, "price": "85.00 EUR"}],
    "discount": 0.05,
    "site": {"distance": "85 km", "ambient": "12 degC"},
}
OURS = re.compile(
    rb"(?<!page)margin|markup|overhead|contingency|\bcosts?\b|boreworth|labour|sha256|rates\.", re.IGNORECASE
)


@functools.cache
def of_sample(name: str) -> Any:
    return estimate((ROOT / "sample_jobs" / f"{name}.json").read_bytes(), read_pricebook())


def unpacked(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def values(data: bytes, *, formulas: bool) -> list[Any]:
    """Return all values of the first sheet, of a formula its text or what is stored beside it."""
    book = openpyxl.load_workbook(io.BytesIO(data), data_only=not formulas)
    return [cell.value for row in book.worksheets[0].iter_rows() for cell in row if cell.value is not None]


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_customers_total_is_the_engines_and_adds_up(path: Path, language: str) -> None:
    found = of_sample(path.stem)
    data = customer_book(found, DAY, None, language)
    stored, price = values(data, formulas=False), found["price"]
    if "budget" in found:
        assert {float(tens(found["budget"][end])) for end in ("low", "likely", "high")} <= set(stored)
        return
    formulas = [one for one in values(data, formulas=True) if isinstance(one, str) and one.startswith("=")]
    summed, taxed, total = formulas
    assert re.fullmatch(r"=SUM\(D\d+:D\d+\)", summed) and re.fullmatch(r"=ROUND\(D\d+\*0\.\d+,2\)", taxed)
    assert re.fullmatch(r"=D\d+\+D\d+", total)
    at = stored.index(float(price["before_tax"]))
    assert [value for value in stored[at:] if isinstance(value, float)] == [
        float(price[key]) for key in ("before_tax", "tax", "total")
    ]
    parts = [Decimal(one["amount"]) for one in price["bores"]]
    assert [Decimal(str(value)) for value in stored[:at] if isinstance(value, float | int)] == parts


@pytest.mark.office
def test_another_program_calculates_the_same() -> None:
    found = estimate(job(bore(), bore(name="B"), **ASKED), read_pricebook())
    data = customer_book(found, DAY, ISSUED)
    done = converted({"customer": uncalculated(data)}, "xlsx")["customer"]
    numbers = [[one for one in values(book, formulas=False) if isinstance(one, float | int)] for book in (data, done)]
    assert numbers[0] == pytest.approx(numbers[1])
    assert len(numbers[0]) > 6


def test_it_holds_quote_sizes_and_readings_with_number_and_dates() -> None:
    book = openpyxl.load_workbook(io.BytesIO(customer_book(of_sample("crusher_boom"), DAY, ISSUED)))
    assert book.sheetnames == ["Quote", "Sizes", "Readings"]
    told = [str(cell.value) for row in book["Quote"].iter_rows() for cell in row if cell.value is not None]
    wanted = ("Quote 100042", "Oakmoor Quarry (invented)", "3 March 2027", "Included", "Not included", "Acceptance")
    assert [one for one in wanted if one not in told] == []
    sizes = [[cell.value for cell in row] for row in book["Sizes"].iter_rows(min_row=3)]
    bores = of_sample("crusher_boom")["bores"]
    assert [row[0] for row in sizes] == [bore["name"] for bore in bores]
    assert [row[-2:] for row in sizes] == [
        [bore["sizes"]["finish_min_mm"], bore["sizes"]["finish_max_mm"]] for bore in bores
    ]
    assert len(book["Readings"]._charts) == len(bores)


def test_a_bore_with_one_worst_diameter_has_no_readings() -> None:
    found = estimate(job(quick(90, 93)), read_pricebook())
    assert [sheet.name for sheet in customer_sheets(found, DAY, None, "en")] == ["Quote", "Sizes"]


def test_a_document_of_before_has_one_too() -> None:
    old = json.loads((ROOT / "tests/estimator/document/old_quote.json").read_text("utf-8"))
    assert float(old["price"]["total"]) in values(customer_book(old, DAY, ISSUED), formulas=False)


# ---------------------------------------------------------------- nothing of ours


@pytest.mark.parametrize("language", languages())
def test_two_books_of_one_price_and_other_costs_give_the_same_bytes(language: str) -> None:
    document = job(bore(), bore(name="B"), **ASKED)
    cheap, dear = (estimate(document, book) for book in (CHEAP_BOOK, DEAR_BOOK))
    assert cheap["price"]["total"] == dear["price"]["total"] and cheap["cost"]["total"] != dear["cost"]["total"]
    assert customer_book(cheap, DAY, ISSUED, language) == customer_book(dear, DAY, ISSUED, language)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_an_unpacked_workbook_gives_nothing_away(path: Path) -> None:
    found = of_sample(path.stem)
    files = unpacked(customer_book(found, DAY, ISSUED))
    whole = b"\n".join(files.values())
    said = json.dumps([found["letter"], texts()["en"]]).encode()  # what the shop itself tells a customer
    assert [one for one in OURS.findall(whole) if one.lower() not in said.lower()] == []
    assert not re.search(rb'state="(?:veryH|h)idden"|hidden="(?:1|true)"|<definedName name="(?!_xlnm)', whole)
    assert [name for name in files if re.search("comment|external|custom|vml|person|macro", name, re.IGNORECASE)] == []
    theirs = {one["amount"] for one in found["price"]["bores"]}
    theirs |= {value for key, value in found["price"].items() if isinstance(value, str)}
    ours = {line[key] for line in found["cost"]["lines"] for key in ("amount", "unit_cost")} - theirs
    ours = {one for one in (*ours, found["cost"]["total"]) if Decimal(one) > 200}
    numbers = set(re.findall(rb"<v>([0-9.]+)</v>", whole))
    assert {Decimal(one.decode()) for one in numbers}.isdisjoint(Decimal(one) for one in ours)
    assert f"{found['price']['margin']}".encode() not in whole


def test_a_document_without_its_cost_gives_the_same_bytes() -> None:
    """Nothing that only we may see is read."""
    found = copy.deepcopy(of_sample("crusher_boom"))
    data = customer_book(found, DAY, ISSUED)
    for key in ("cost", "times", "times_sum", "take", "warnings", "advice_to_welder", "procedures"):
        del found[key]
    del found["price"]["margin"], found["price"]["rule"], found["pricebook"]["sha256"], found["pricebook"]["basis"]
    assert customer_book(found, DAY, ISSUED) == data


def test_what_is_typed_is_no_formula() -> None:
    text = "=1+1"
    book = openpyxl.load_workbook(
        io.BytesIO(customer_book(estimate(job(bore(name=text), customer={"name": "@SUM(A1)"}), read_pricebook()), DAY))
    )
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value in (text, "@SUM(A1)")]
    assert len(cells) >= 3 and {cell.data_type for cell in cells} == {"s"}
