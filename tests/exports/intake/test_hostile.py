"""A file that is no intake sheet, or means harm, is refused before anything parses it, in little memory."""

import io
import random
import tracemalloc
import zipfile
from collections.abc import Mapping

import pytest

from estimator.errors import DocumentError, LargeDocumentError
from exports.intake.archive import LARGEST_UPLOAD, checked
from exports.intake.form import intake_workbook
from tests.exports.intake.sheets import read
from tests.jobs import job

GOOD = intake_workbook(job())
SHEET, STRINGS, RELS = "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml", "xl/_rels/workbook.xml.rels"
HEAD = b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
FOOT = b"</sheetData></worksheet>"
LINK = (
    b'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" '
    b'Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/%s" Target="file:///etc/passwd" '
    b'TargetMode="Exter&#110;al"/></Relationships>'
)
DICE = random.Random(1)


def packed(changes: Mapping[str, bytes | None], how: int = zipfile.ZIP_DEFLATED, comment: bytes = b"") -> bytes:
    """Return the good sheet's archive with parts changed, added, or taken away."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(GOOD)) as old, zipfile.ZipFile(out, "w", how) as new:
        for name in old.namelist():
            data = changes.get(name, old.read(name))
            if data is not None:
                new.writestr(name, data)
        for name, data in changes.items():
            if data is not None and name not in old.namelist():
                new.writestr(name, data)
        new.comment = comment
    return out.getvalue()


def part(name: str) -> bytes:
    with zipfile.ZipFile(io.BytesIO(GOOD)) as archive:
        return archive.read(name)


def noise(size: int) -> bytes:
    """Return letters that do not pack well."""
    return bytes(DICE.choices(b"abcdefghijklmnopqrstuvwxyz0123456789", k=size))


def declared(xml: bytes) -> bytes:
    """Return a part with a document type, and an entity that grows ten thousand million times."""
    grows = b"".join(b'<!ENTITY a%d "%s">' % (n, b"&a%d;" % (n - 1) * 10) for n in range(1, 11))
    return b'<?xml version="1.0"?>\n<!-- ' + b"x" * 70_000 + b' --><!DOCTYPE x [<!ENTITY a0 "x">' + grows + b"]>" + xml


def rows(numbers: range) -> bytes:
    return HEAD + b"".join(b'<row r="%d"><c r="A%d"><v>1</v></c></row>' % (n, n) for n in numbers) + FOOT


def flagged(data: bytes) -> bytes:
    """Return an archive whose parts say that they are encrypted."""
    changed = bytearray(data)
    for mark, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        here = changed.find(mark)
        while here >= 0:
            changed[here + at] |= 1
            here = changed.find(mark, here + 4)
    return bytes(changed)


def lying(data: bytes) -> bytes:
    """Return an archive whose directory says that a large part is small."""
    changed = bytearray(data)
    here = changed.rfind(b"PK\x01\x02")
    changed[here + 24 : here + 28] = (1000).to_bytes(4, "little")
    return bytes(changed)


def other_kind() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("word/document.xml", "<a/>")
    return out.getvalue()


REFUSED = {
    "nothing": (b"", "is no .xlsx workbook"),
    "text": (b"reference,bores\n", "is no .xlsx workbook"),
    "old or encrypted": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "an old .xls, or protected by a password"),
    "another archive": (other_kind(), "is no .xlsx workbook"),
    "cut short": (GOOD[:-40], "is no .xlsx workbook"),
    "a hole in it": (GOOD[:300] + bytes(200) + GOOD[500:], "is damaged"),
    "a comment behind it": (packed({}, comment=b"PK\x05\x06" + bytes(18)), "is no "),
    "packed otherwise": (packed({}, zipfile.ZIP_BZIP2), "is packed in a way"),
    "encrypted parts": (flagged(GOOD), "is protected by a password"),
    "packs too well": (packed({STRINGS: b"<sst>" + b" " * (3 << 20) + b"</sst>"}), "unpacks to far more"),
    "a size that is not so": (lying(packed({"xl/zz.xml": b"<a>" + noise(200_000) + b"</a>"})), "is damaged"),
    "many parts": (packed({f"xl/p{n}.xml": b"<a/>" for n in range(400)}), "300 parts"),
    "many sheets": (packed({f"xl/worksheets/s{n}.xml": b"<a/>" for n in range(40)}), "sheets; 40 at most"),
    "many rows": (packed({SHEET: rows(range(1, 25_000))}), "more than 20000 rows"),
    "many cells": (packed({SHEET: HEAD + b"<row>" + b"<c><v>7</v></c>" * 310_000 + b"</row>" + FOOT}), "more than"),
    "many merges": (
        packed({SHEET: HEAD + b"</sheetData>" + b'<mergeCell ref="A1:B1"/>' * 10_001 + b"</worksheet>"}),
        "more than 10000 merged cells",
    ),
    "many texts": (packed({STRINGS: b"<sst>" + noise(7 << 20) + b"</sst>"}), "unpacks to more than 6 MB"),
    "a document type": (packed({SHEET: declared(part(SHEET))}), "declares a document type"),
    "one among the texts": (packed({STRINGS: declared(b"<sst/>")}), "declares a document type"),
    "one in a directory of parts": (packed({RELS: declared(part(RELS))}), "declares a document type"),
    "another encoding": (packed({SHEET: part(SHEET).decode().encode("utf-16")}), "is no XML in UTF-8"),
    "one that is declared": (packed({SHEET: b'<?xml version="1.0" encoding="cp037"?>' + HEAD}), "is no XML in UTF-8"),
    "one that is declared late": (
        packed({SHEET: b'<?xml version="1.0"' + b" " * 400 + b'encoding="cp037"?>' + HEAD}), "is no XML in UTF-8",
    ),
    "XML by another name": (packed({"xl/media/a.png": declared(part(SHEET))}), "is XML under another name"),
    "macros": (packed({"xl/vbaProject.bin": b"\x01\x02"}), "holds macros"),
    "macros by its kind": (packed({"[Content_Types].xml": b"<Types a='x.macroEnabled.main'/>"}), "holds macros"),
    "sheets of macros": (packed({"xl/macrosheets/sheet1.xml": b"<a/>"}), "holds macros"),
    "links": (packed({"xl/externalLinks/externalLink1.xml": b"<a/>"}), "links to other workbooks"),
    "a picture from elsewhere": (packed({"xl/drawings/_rels/d.xml.rels": LINK % b"image"}), "points to a file outside"),
    "a connection": (packed({"xl/connections.xml": b"<a/>"}), "fetches data from elsewhere"),
    "a file within": (packed({"xl/embeddings/x.bin": b"\x01"}), "holds other files"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_a_hostile_file_is_refused_before_it_is_parsed(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    data, said = REFUSED[name]
    monkeypatch.setattr("openpyxl.load_workbook", lambda *_, **__: pytest.fail("was parsed"))
    with pytest.raises(DocumentError) as found:
        read(data)
    assert said in str(found.value)
    assert not isinstance(found.value, LargeDocumentError)


def test_what_unpacks_to_too_much_is_too_large_and_costs_little_memory() -> None:
    bomb = packed({"xl/media/a.bin": bytes(60 << 20)})
    assert len(bomb) < 200_000
    tracemalloc.start()
    with pytest.raises(LargeDocumentError, match="unpacks to more than 50 MB"):
        checked(bomb)
    assert tracemalloc.get_traced_memory()[1] < 1 << 20
    tracemalloc.stop()


def test_a_file_too_large_is_not_looked_into() -> None:
    with pytest.raises(LargeDocumentError, match="larger than 10 MB"):
        checked(GOOD + bytes(LARGEST_UPLOAD))


def test_large_parts_are_scanned_in_small_pieces() -> None:
    data = packed({"xl/media/a.bin": b"\x01" + noise(6 << 20)})
    tracemalloc.start()
    checked(data)
    assert tracemalloc.get_traced_memory()[1] < 2 << 20
    tracemalloc.stop()


def test_a_link_that_a_person_may_click_does_no_harm() -> None:
    sheet = packed({"xl/worksheets/_rels/sheet1.xml.rels": LINK % b"hyperlink"})
    assert read(sheet) == job()


ODD = [
    HEAD + b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>' + FOOT,
    HEAD + b'<row r="5"><c r="A5" t="inlineStr"><is><t>Reference</t></is></c><c r="B5"><v>1e999</v></c></row>' + FOOT,
    HEAD + b'<row r="5"><c r="B5"><v>' + b"9" * 6000 + b"</v></c></row>" + FOOT,
    HEAD + b'<row r="x"><c r="??"><v>1</v></c></row>' + FOOT,
    HEAD + b'<row r="1"><c r="A1" t="s"><v>999999</v></c></row>' + FOOT,
    HEAD + b"<a>" * 100_000 + FOOT,
    HEAD + b"<a>" * 50_000 + b"</a>" * 50_000 + FOOT,
    b"<worksheet/>",
    b"<",
]


@pytest.mark.parametrize("xml", ODD, ids=range(len(ODD)))
def test_an_odd_sheet_is_a_fault_and_no_defect(xml: bytes) -> None:
    with pytest.raises(DocumentError):
        read(packed({SHEET: xml}))
