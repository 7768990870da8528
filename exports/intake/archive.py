"""Whether a file is a workbook that may be opened: told from its archive, before any program parses what lies in it.

An .xlsx is a zip archive of XML. Read here, in bounded memory: the directory at its end, then each part once, in small
pieces, unpacked no further than its directory says. Refused: what is large when unpacked, what packs too well, program
code, links to other files, declarations of a document type, encrypted parts, too many rows, cells and sheets.
"""

import io
import re
import struct
import zipfile
import zlib
from collections import Counter
from typing import Final
from xml.etree import ElementTree

from estimator.errors import DocumentError, Fault, LargeDocumentError

__all__ = ["LARGEST_UPLOAD", "checked"]

LARGEST_UPLOAD: Final = 10 * 1024 * 1024  # [bytes]
LARGEST_UNPACKED: Final = 50 * 1024 * 1024  # [bytes]
LARGEST_PART: Final = {"xl/sharedStrings.xml": 6 << 20, "xl/styles.xml": 2 << 20}  # [bytes]; of what is held whole
LARGEST_SHEET, LARGEST_OTHER = 8 << 20, 1 << 20  # [bytes]
MOST_PARTS, LARGEST_DIRECTORY = 300, 100_000  # parts; bytes of the directory
MOST_RATIO, SMALL = 200, 1 << 20  # times; [bytes] of a part that may pack better
MOST_SHEETS, MOST_ROWS, MOST_CELLS, MOST_BESIDE = 40, 20_000, 300_000, 10_000
PIECE, OVERLAP = 1 << 16, 64  # [bytes]
END = struct.Struct("<4s4H2LH")  # how the directory of an archive ends
OLD = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
ENCRYPTED = 1
SHEET = re.compile(r"xl/worksheets/[^/]+\.xml", re.IGNORECASE)
XML = (".xml", ".rels", ".vml", ".svg")
ODD_XML = (b"<", b"\0<", b"\xff\xfe", b"\xfe\xff")  # how XML begins, in whatever encoding
FARTHEST = 300  # [bytes] of a declaration of XML
ENCODING = re.compile(rb"encoding\s*=\s*[\"']([^\"']*)", re.IGNORECASE)
TYPE = re.compile(rb"<!(?:DOCTYPE|ENTITY)", re.IGNORECASE)
COUNTED = {  # what a workbook may hold so many of
    "rows in a sheet": (re.compile(rb"<(?:\w+:)?row[\s/>]"), MOST_ROWS),
    "cells": (re.compile(rb"<(?:\w+:)?c[\s/>]"), MOST_CELLS),
    "merged cells, lists, links, names and formats by rule": (
        re.compile(rb"<(?:\w+:)?(?:mergeCell|dataValidation|hyperlink|definedName|cfRule)[\s/>]"), MOST_BESIDE,
    ),
}  # fmt: skip
FORBIDDEN = {  # parts of an archive, by what their names hold
    "vba": "holds macros; save it as .xlsx without them",
    "macrosheets": "holds macros; save it as .xlsx without them",
    "activex": "holds controls; save it as .xlsx without them",
    "externallink": "holds links to other workbooks; break the links, then save it again",
    "connections": "fetches data from elsewhere; remove the connection, then save it again",
    "querytable": "fetches data from elsewhere; remove the connection, then save it again",
    "embeddings": "holds other files within it; remove them, then save it again",
    "encryptedpackage": "is protected by a password; save it without one",
}


def _fault(message: str, part: str = "") -> DocumentError:
    return DocumentError([Fault(part, message)])


def checked(data: bytes) -> None:
    """Raise `DocumentError` where a file is no workbook to open, `LargeDocumentError` where it is too large."""
    if len(data) > LARGEST_UPLOAD:
        raise LargeDocumentError([Fault("", "is larger than 10 MB")])
    if data.startswith(OLD):
        raise _fault("is an old .xls, or protected by a password; save it as .xlsx without one")
    _directory(data)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            _parts(archive)
    except (zipfile.BadZipFile, NotImplementedError, EOFError, OSError, ValueError, struct.error, zlib.error) as error:
        if isinstance(error, DocumentError):
            raise
        raise _fault("is damaged: its archive cannot be unpacked") from None


def _directory(data: bytes) -> None:
    """Raise unless the archive ends in a directory of a few parts, with nothing behind it."""
    end = data[-END.size :]
    if len(end) < END.size or not data.startswith(b"PK") or not end.startswith(b"PK\x05\x06"):
        raise _fault("is no .xlsx workbook")
    _, disk, first, here, every, size, _, comment = END.unpack(end)
    if comment or disk or first or here != every or every > MOST_PARTS or size > LARGEST_DIRECTORY:
        raise _fault(f"is no workbook as a spreadsheet saves one; it may have {MOST_PARTS} parts")


def _parts(archive: zipfile.ZipFile) -> None:
    """Raise where a part is not to be unpacked, or holds what must not be read."""
    parts = archive.infolist()
    names = [one.filename for one in parts]
    if len({name.casefold() for name in names}) < len(names) or "[Content_Types].xml" not in names:
        raise _fault("is no .xlsx workbook")
    if sum(one.file_size for one in parts) > LARGEST_UNPACKED:
        raise LargeDocumentError([Fault("", "unpacks to more than 50 MB")])
    for one in parts:
        _allowed(one)
    sheets = [name for name in names if SHEET.fullmatch(name)]
    if len(sheets) > MOST_SHEETS:
        raise _fault(f"holds {len(sheets)} sheets; {MOST_SHEETS} at most")
    found = Counter[str]()
    for one in parts:
        found["rows in a sheet"] = 0
        _scanned(archive, one, found)


def _allowed(part: zipfile.ZipInfo) -> None:
    """Raise where a part is encrypted, packed oddly or too well, too large, or of a kind that is not opened."""
    name = part.filename.casefold()
    for kind, said in FORBIDDEN.items():
        if kind in name:
            raise _fault(said)
    if part.flag_bits & ENCRYPTED:
        raise _fault("is protected by a password; save it without one")
    if part.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise _fault("is packed in a way that no spreadsheet uses", part.filename)
    if part.file_size > SMALL and part.file_size > MOST_RATIO * part.compress_size:
        raise _fault("unpacks to far more than a sheet would", part.filename)
    largest = LARGEST_SHEET if SHEET.fullmatch(part.filename) else LARGEST_PART.get(part.filename, LARGEST_OTHER)
    if part.file_size > (largest if name.endswith(XML) else LARGEST_SHEET):
        raise _fault(f"unpacks to more than {largest >> 20} MB", part.filename)


def _scanned(archive: zipfile.ZipFile, part: zipfile.ZipInfo, found: Counter[str]) -> None:
    """Read a part in small pieces and count what it holds; raise where that is too much, or no plain XML of its own."""
    kept, first = b"", True
    with archive.open(part) as stream:
        while piece := stream.read(PIECE):
            if first:
                _begins(piece, part.filename)
            whole, first = kept + piece, False
            if TYPE.search(whole):
                raise _fault("declares a document type; save it again from a spreadsheet", part.filename)
            if part.filename == "[Content_Types].xml" and b"macroEnabled" in whole:
                raise _fault("holds macros; save it as .xlsx without them")
            for what, (tag, most) in COUNTED.items():
                found[what] += sum(1 for one in tag.finditer(whole) if one.end() > len(kept))
                if found[what] > most:
                    raise _fault(f"holds more than {most} {what}", part.filename)
            kept = whole[-OVERLAP:]
    if part.filename.lower().endswith(".rels"):
        _links(archive.read(part), part.filename)


def _begins(piece: bytes, name: str) -> None:
    """Raise unless a part begins as XML in UTF-8 does; what is no XML by its name must not begin as XML."""
    head = piece.removeprefix(b"\xef\xbb\xbf").lstrip()
    if not name.lower().endswith(XML):
        if not head or head.startswith(ODD_XML) or piece.startswith(ODD_XML):
            raise _fault("is XML under another name", name)
        return
    said = ENCODING.search(head[:FARTHEST].partition(b"?>")[0]) if head.startswith(b"<?xml") else None
    declared = not head.startswith(b"<?xml") or b"?>" in head[:FARTHEST]
    known = said is None or said[1].lower() in (b"utf-8", b"us-ascii")
    if not head.startswith(b"<") or not declared or not known or b"\0" in piece[:4]:
        raise _fault("is no XML in UTF-8", name)


def _links(text: bytes, name: str) -> None:
    """Raise where a part points outside the workbook, other than by a link that a person may click."""
    try:
        found = ElementTree.fromstring(text)
    except ElementTree.ParseError:
        raise _fault("is no XML", name) from None
    for one in found.iter():
        if one.get("TargetMode") == "External" and not one.get("Type", "").endswith("/hyperlink"):
            raise _fault("points to a file outside the workbook; break the links, then save it again", name)
