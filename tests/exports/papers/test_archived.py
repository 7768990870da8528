"""Every paper keeps the rules of files for archives, and the check finds what is amiss."""

import datetime
import functools
from collections.abc import Callable
from typing import Any

import pytest

from estimator.after.frozen import AskedInvoice, Quoted, invoice_document, variation_document
from estimator.after.invoice import invoice
from estimator.after.variation import read_variation, variation
from estimator.book.pricebook import read_pricebook
from exports.papers.bill import invoice_paper, variation_paper
from exports.papers.intake import intake_paper
from exports.papers.letter import letter
from exports.papers.pack import Packed, pack
from tests.exports.papers.archived import archive_faults
from tests.jobs import bore, job
from tests.raw import estimate

DAY = datetime.date(2027, 2, 1)
QUOTED = Quoted("100042", 1, "2027-02-01")
WORK: Any = {"cause": "in the way", "work": [{"description": "grease line", "price": "85.00 EUR"}]}


@functools.cache
def found() -> Any:
    return estimate(job(bore(), title="Boom foot", site={"distance": "85 km"}), read_pricebook())


def _invoice() -> bytes:
    lines = invoice("100042", found(), [])
    return invoice_paper(
        invoice_document(lines, "200001", QUOTED, found(), "2027-03-01", AskedInvoice()), found(), "de"
    )


def _variation() -> bytes:
    ordered = variation(read_variation(WORK, found()), found())
    return variation_paper(variation_document(ordered, "1", QUOTED, "2027-03-01"), found())


PAPERS: dict[str, Callable[[], bytes]] = {
    "letter": lambda: letter(found(), DAY, None, "de"),
    "invoice": _invoice,
    "variation": _variation,
    "pack": lambda: pack([Packed(found(), "100042")], DAY),
    "intake": lambda: intake_paper(None, DAY),
}


@pytest.mark.parametrize("name", PAPERS)
def test_a_paper_keeps_the_rules_of_archives(name: str) -> None:
    assert archive_faults(PAPERS[name]()) == []


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (b"/Marked true", b"/Marked none", "not marked"),
        (b"/GTS_PDFA1", b"/GTS_OTHER", "no output intent with a profile"),
        (b"/FontFile3", b"/FontFyle3", "a font is not embedded"),
        (b"pdfaid:part>2<", b"pdfaid:part>9<", "metadata without pdfaid:part>2<"),
        (b"/StructTreeRoot", b"/StructTreeRoom", "no structure tree"),
        (b"/ToUnicode", b"/ToUnlcode", "fonts without their letters"),
        (b"/DisplayDocTitle", b"/Launch/Xxxxxxxx", "no title shown"),
    ],
)
def test_the_check_finds_what_is_amiss(old: bytes, new: bytes, said: str) -> None:
    data = PAPERS["letter"]()
    assert old in data
    assert said in archive_faults(data.replace(old, new))
