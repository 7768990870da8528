"""What a quote says and stands on, drawn up once and whole; its workbooks and its letter."""

import datetime
import functools
import hashlib
import json
import zlib
from collections.abc import Sequence
from importlib import resources
from typing import TYPE_CHECKING

from pydantic_core import to_json

from estimator.book.pricebook import PriceBook
from estimator.estimate import estimate
from estimator.strict import sha256
from estimator.trust.explain import explain_whole
from exports.papers.languages import USUAL, languages

if TYPE_CHECKING:
    from exports.papers.letter import Issued

__all__ = [
    "As", "Photos", "Plain", "customer_book_of", "draw", "letter_of", "letters_of", "pack_of", "workbook_of",
    "workbooks_of",
]  # fmt: skip

Plain = tuple[str, str, str, str, str, bytes, str, str]  # the fields of `api.store.papers.Drawn`, in their order

Photos = Sequence[tuple[str, bytes]]  # words below a photo of the letter, and its file
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


def workbook_of(estimate_text: str) -> bytes:
    """Return the shop's own quote workbook of an estimate."""
    from exports.sheets import quote_sheets  # noqa: PLC0415  # the workbook library is only loaded by who asks for one
    from exports.workbook import quote_workbook  # noqa: PLC0415  # the same

    found = json.loads(estimate_text)
    return quote_workbook(found, quote_sheets(found))


def customer_book_of(estimate_text: str, day: str, issued: As | None, language: str = USUAL) -> bytes:
    """Return the customer's workbook of an estimate: of a draft of that day, or of what was issued."""
    from exports.papers.customer_book import customer_book  # noqa: PLC0415  # the same

    return customer_book(json.loads(estimate_text), datetime.date.fromisoformat(day), _said(issued), language)


def workbooks_of(estimate_text: str, issued: As) -> tuple[bytes, bytes]:
    """Return the workbooks of a quote that is issued: the shop's own, and the customer's."""
    return workbook_of(estimate_text), customer_book_of(estimate_text, issued[2], issued)


def letter_of(estimate_text: str, day: str, issued: As | None, language: str, photos: Photos = ()) -> bytes:
    """Return the letter of an estimate in one language: of a draft of that day, or of what was issued."""
    from exports.papers.letter import letter  # noqa: PLC0415  # what papers need is only loaded for one

    return letter(json.loads(estimate_text), datetime.date.fromisoformat(day), _said(issued), language, photos)


def _said(issued: As | None) -> "Issued | None":
    """Return as what a quote was issued, as papers take it."""
    from exports.papers.letter import Issued  # noqa: PLC0415  # the same

    date = datetime.date.fromisoformat
    return None if issued is None else Issued(issued[0], issued[1], date(issued[2]), date(issued[3]))


def pack_of(estimate_text: str, day: str, quote: str) -> bytes:
    """Return the work pack of an estimate, which holds no money; `quote`: which one it is of."""
    from exports.papers.pack import Packed, pack  # noqa: PLC0415  # the same

    return pack([Packed(json.loads(estimate_text), quote)], datetime.date.fromisoformat(day))


def letters_of(estimate_text: str, issued: As, photos: Photos = ()) -> dict[str, bytes]:
    """Return the letter of a quote that is issued, in every language."""
    return {language: letter_of(estimate_text, issued[2], issued, language, photos) for language in languages()}
