"""What a quote says and stands on, drawn up once and whole; its workbooks and its letter."""

import datetime
import functools
import hashlib
import json
import zlib
from importlib import resources

from pydantic_core import to_json

from estimator.book.pricebook import PriceBook
from estimator.document.redact import redact
from estimator.estimate import estimate
from estimator.strict import sha256
from estimator.trust.explain import explain_whole
from exports.papers.languages import languages

__all__ = ["As", "Plain", "draw", "letter_of", "letters_of", "pack_of", "workbooks_of"]

Plain = tuple[str, str, str, str, str, bytes, str, str]  # the fields of `api.store.papers.Drawn`, in their order

As = tuple[str, int, str, str]  # as what a quote was issued: number, revision, date, and until when it is valid


def draw(job: str, book: PriceBook) -> Plain:
    """Return the paper of a job text and a price book; raise as `estimator.estimate.estimate` does."""
    found = estimate(job, book, "full")
    return (
        found["engine"],
        _tables_digest(),
        job,
        json.dumps(book.document, ensure_ascii=False, separators=(",", ":")),
        to_json(found).decode(),
        zlib.compress(to_json(explain_whole(job, book))),
        found["price"]["currency"],
        found["price"]["total"],
    )


@functools.cache
def _tables_digest() -> str:
    """Return the hash of the built-in tables: of the names and hashes of their files, in order."""
    files = sorted(resources.files("estimator.tables").iterdir(), key=lambda file: file.name)
    return sha256({file.name: hashlib.sha256(file.read_bytes()).hexdigest() for file in files if _is_table(file.name)})


def _is_table(name: str) -> bool:
    return name.endswith(".csv")


def workbooks_of(estimate_text: str) -> tuple[bytes, bytes]:
    """Return the quote workbook of an estimate, and the one for those who do not see what it costs us."""
    from exports.sheets import quote_sheets  # noqa: PLC0415  # the workbook library is only loaded by who asks for one
    from exports.workbook import quote_workbook  # noqa: PLC0415  # the same

    found = json.loads(estimate_text)
    shown = redact(found, "field")
    return quote_workbook(found, quote_sheets(found)), quote_workbook(shown, quote_sheets(shown))


def letter_of(estimate_text: str, day: str, issued: As | None, language: str) -> bytes:
    """Return the letter of an estimate in one language: of a draft of that day, or of what was issued."""
    from exports.papers.letter import Issued, letter  # noqa: PLC0415  # what sets papers is only loaded for one

    date = datetime.date.fromisoformat
    said = None if issued is None else Issued(issued[0], issued[1], date(issued[2]), date(issued[3]))
    return letter(json.loads(estimate_text), date(day), said, language)


def pack_of(estimate_text: str, day: str, quote: str) -> bytes:
    """Return the work pack of an estimate, which holds no money; `quote`: which one it is of."""
    from exports.papers.pack import Packed, pack  # noqa: PLC0415  # the same

    return pack([Packed(json.loads(estimate_text), quote)], datetime.date.fromisoformat(day))


def letters_of(estimate_text: str, issued: As) -> dict[str, bytes]:
    """Return the letter of a quote that is issued, in every language."""
    return {language: letter_of(estimate_text, issued[2], issued, language) for language in languages()}
