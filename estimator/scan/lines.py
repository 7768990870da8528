"""The lines of a text file, block by block, whatever its encoding and line ends."""

import codecs
import io
from collections.abc import Iterator
from typing import BinaryIO

from estimator.errors import DocumentError, Fault

__all__ = ["lines_of"]

MOST_BYTES = 400_000_000
BLOCK = 2_000_000  # bytes read at a time
LONGEST_LINE = 10_000  # characters
MARKS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))


def _wrong(message: str) -> DocumentError:
    return DocumentError([Fault("", f"{message}; save the points as CSV in UTF-8")])


def _encoding(start: bytes) -> str:
    """Return the encoding that the start of a file shows."""
    found = next((name for mark, name in MARKS if start.startswith(mark)), "")
    if not found and b"\0" in start:
        raise _wrong("is no text, or UTF-16 without its byte order mark")
    return found or "utf-8"


def _text(stream: BinaryIO) -> Iterator[str]:
    """Yield the text of a file block by block, with plain line ends."""
    raw = stream.read(BLOCK)
    decoder = io.IncrementalNewlineDecoder(codecs.getincrementaldecoder(_encoding(raw))("strict"), translate=True)
    size = len(raw)
    try:
        while raw:
            yield decoder.decode(raw)
            raw = stream.read(BLOCK)
            size += len(raw)
            if size > MOST_BYTES:
                raise DocumentError([Fault("", f"is larger than {MOST_BYTES // 10**6} MB; thin the points before")])
        yield decoder.decode(b"", final=True)
    except UnicodeDecodeError:
        raise _wrong("is no UTF-8 or UTF-16 text") from None


def lines_of(stream: BinaryIO) -> Iterator[list[str]]:
    """Yield the lines of a file in blocks; raise `DocumentError` where it is no text or its lines have no end."""
    rest, row = "", 1
    for text in _text(stream):
        *lines, rest = (rest + text).split("\n")
        row += len(lines)
        if len(rest) > LONGEST_LINE:
            raise DocumentError([Fault(f"row {row}", f"is longer than {LONGEST_LINE} characters; a row is one point")])
        if lines:
            yield lines
    if rest:
        yield [rest]
