"""What a customer pays is the engine's figure to the coin, on every paper: samples elsewhere, here random jobs."""

import io
from decimal import Decimal
from typing import Any

import openpyxl
import pytest
from python_calamine import CalamineWorkbook

from estimator.after.invoice import invoice
from estimator.book.pricebook import read_pricebook
from estimator.errors import EstimatorError
from estimator.strict import merge
from exports.papers.customer_book import customer_book
from exports.papers.letter import content_of
from tests.depth import seeds
from tests.exports.papers.test_letter import DAY, ISSUED
from tests.golden.jobs import golden_case
from tests.raw import estimate

TAXED = {"tax": 0.19, "taxes": {"travel": 0.07, "once": 0.0}}
EXTRAS = [{"text": "bush", "quantity": 3, "price": "33.33 EUR", "tax": 0.07}, {"text": "pin", "cost": "41.07 EUR"}]


def _amount(text: str) -> Decimal:
    return Decimal(text.replace(",", ""))


@pytest.mark.parametrize("number", seeds(50, 3))
def test_letter_workbook_and_invoice_come_to_the_engines_total(number: int) -> None:
    document, patch = golden_case(number)
    several = number % 2 == 1
    book = read_pricebook(merge(patch, TAXED) if several else patch)
    try:
        found: Any = estimate({**document, "extras": EXTRAS, "discount": 0.03} if several else document, book)
    except EstimatorError:
        return  # such a job has no price
    price = found["price"]
    if "budget" not in found:
        rows = content_of(found, DAY, ISSUED, "en")["price"]["rows"]
        ends = [look for _, _, look in rows]
        before, total = _amount(rows[ends.index("sum")][1]), _amount(rows[-1][1])
        assert (before, total) == (Decimal(price["before_tax"]), Decimal(price["total"]))
        assert sum(_amount(amount) for _, amount, _ in rows[: ends.index("sum")]) == before
        assert before + sum(_amount(amount) for _, amount, _ in rows[ends.index("sum") + 1 : -1]) == total
    billed = invoice("1", found, [])
    assert [billed[key] for key in ("before_tax", "tax", "total")] == [
        price[key] for key in ("before_tax", "tax", "total")
    ]
    _read_alike(customer_book(found, DAY, ISSUED), float(price["total"]), budget="budget" in found)


def _read_alike(data: bytes, total: float, *, budget: bool) -> None:
    """Hold what two libraries read in a workbook against each other, and the total that stands in it."""
    ours = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
    theirs = CalamineWorkbook.from_filelike(io.BytesIO(data))
    assert ours.sheetnames == theirs.sheet_names
    for name in ours.sheetnames:
        one = [cell for row in ours[name].iter_rows(values_only=True) for cell in row]
        other = [cell for row in theirs.get_sheet_by_name(name).to_python() for cell in row]
        texts = [[c for c in cells if isinstance(c, str) and c.strip()] for cells in (one, other)]
        assert texts[0] == texts[1]
        numbers = [[float(c) for c in cells if isinstance(c, int | float)] for cells in (one, other)]
        assert numbers[0] == numbers[1]
        assert budget or name != ours.sheetnames[0] or total in numbers[0]
