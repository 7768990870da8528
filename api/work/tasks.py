"""What is computed for a caller: plain values in, plain values out, so that it can be done in another process.

A price book comes as its text, None for the built-in one. Documents come as JSON texts and go as the bytes of the
answer, without what the role may not see.
"""

import functools
import json
from typing import Any, NoReturn

from pydantic import BaseModel, ConfigDict
from pydantic_core import to_json

from api.explained import explained
from api.work.drawn_up import (
    As,
    Photos,
    Plain,
    customer_book_of,
    draw,
    letter_of,
    letters_of,
    pack_of,
    workbook_of,
    workbooks_of,
)
from estimator.after.happened import judged, read_happened
from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.buying import order
from estimator.compare import compare
from estimator.document.redact import Role, redact
from estimator.errors import DocumentError, Fault, JobRefusedError
from estimator.estimate import Detail, estimate, read_job
from estimator.fleet import Fleet, fleet, rows_of_csv, rows_of_objects
from estimator.fleet.limits import limits_of
from estimator.strict import parse, sha256, validated
from exports.papers.languages import USUAL, languages

__all__ = [
    "book_of", "checked_book", "checked_job", "compared", "customer_book", "drawn", "estimated",
    "explained_figure", "fleets", "happened", "letter", "ordered", "pack", "papers", "parsed",
    "shop_book", "shown", "spread", "taken_in", "to_fill_in", "workbook",
]  # fmt: skip

USUAL_LEVEL = 0.95
MOST_LISTED = 2000  # rows of a fleet; the command takes more
MOST_BORES = 400  # of an order, so that it is of the size of other work; the command takes more
Text = str | bytes
Read = tuple[str, str]  # hash of a document, and its text as it is kept


class Basket(BaseModel):
    """Several jobs, what is on hand, and how sure the cover shall be."""

    model_config = ConfigDict(extra="forbid", strict=True, hide_input_in_errors=True)

    jobs: list[Any]
    stock: list[Any] | None = None
    service_level: Any = USUAL_LEVEL


class Listed(BaseModel):
    """A fleet's list, as CSV text or as rows, and what one shutdown may take."""

    model_config = ConfigDict(extra="forbid", strict=True, hide_input_in_errors=True)

    csv: str | None = None
    rows: list[Any] | None = None
    budget: Any = None
    crew_hours: Any = None


class Question(BaseModel):
    """A job, and the key of the figure to explain."""

    model_config = ConfigDict(extra="forbid", strict=True, hide_input_in_errors=True)

    job: dict[str, Any]
    key: str


@functools.lru_cache(maxsize=16)
def _stored_book(text: str) -> PriceBook:
    return read_pricebook(text)


def book_of(text: str | None) -> PriceBook:
    """Return the price book of a text; those used last are read once."""
    return read_pricebook() if text is None else _stored_book(text)


# ---------------------------------------------------------------- documents that come in


def _kept(document: object) -> str:
    return json.dumps(document, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def parsed(body: Text) -> Read:
    """Return hash and text of a document that is well-formed; raise `DocumentError` otherwise."""
    document = parse(body)
    return sha256(document), _kept(document)


def checked_job(body: Text, book: str | None) -> Read:
    """Return hash and text of a job document that can be read with a price book."""
    document = parse(body)
    read_job(document, book_of(book))
    return sha256(document), _kept(document)


def checked_book(body: Text) -> str:
    """Return the text of a price book that can be read."""
    document = parse(body)
    read_pricebook(document)
    return _kept(document)


def happened(record: str, estimated: str) -> tuple[int | None, str]:
    """Return which record another one replaces, and what it comes to beside the estimate of its quote."""
    estimate_of = json.loads(estimated)
    found = read_happened(json.loads(record), estimate_of)
    return found.replaces, _kept(judged(found, estimate_of, read_pricebook().facts))


# ---------------------------------------------------------------- answers


def estimated(body: Text, book: str | None, detail: Detail, role: Role) -> bytes:
    """Return the estimate of a job."""
    return to_json(redact(estimate(body, book_of(book), detail), role))


def spread(body: Text, book: str | None, asked: tuple[Detail, int], role: Role) -> bytes:
    """Return the estimate of a job with its spread; `asked`: its detail, and how many days are drawn."""
    return to_json(redact(estimate(body, book_of(book), *asked), role))


def workbook(body: Text, book: str | None, role: Role) -> bytes:
    """Return the quote workbook of a job."""
    from exports.sheets import quote_sheets  # noqa: PLC0415  # the workbook library is only loaded by who asks for one
    from exports.workbook import quote_workbook  # noqa: PLC0415  # the same

    found = redact(estimate(body, book_of(book), "full"), role)
    return quote_workbook(found, quote_sheets(found))


def to_fill_in() -> bytes:
    """Return the blank intake sheet."""
    from exports.intake.form import intake_workbook  # noqa: PLC0415  # the workbook library, as above

    return intake_workbook()


def taken_in(body: bytes, book: str | None, role: Role) -> bytes:
    """Return the job of a filled intake sheet, and the record of what happened where one is filled in."""
    from exports.intake.back import job_of_sheet  # noqa: PLC0415  # the same
    from exports.intake.check import check_of  # noqa: PLC0415  # the same

    job, record = job_of_sheet(body, check_of(book_of(book)))
    return to_json({"job": redact(job, role)} | ({} if record is None else {"record": record}))


def compared(body: Text, book: str | None, role: Role) -> bytes:
    """Return which way is cheapest a year."""
    return to_json(redact(compare(body, book_of(book)), role))


def ordered(body: Text, book: str | None, role: Role) -> bytes:
    """Return what covers the use of several jobs."""
    basket = validated(Basket, parse(body), {})
    jobs = [job if isinstance(job, dict) else {} for job in basket.jobs]
    bores = sum(len(found) for job in jobs if isinstance(found := job.get("bores"), list))
    if bores > MOST_BORES:
        raise DocumentError([Fault("jobs", f"hold {bores} bores together; {MOST_BORES} at most")])
    return to_json(redact(order(jobs, book_of(book), basket.stock, basket.service_level), role))


def fleets(body: Text, book: str | None, role: Role) -> bytes:
    """Return what is to be done with each bore of a fleet's list."""
    return to_json(redact(_fleet(validated(Listed, parse(body), {}), book_of(book)), role))


def _fleet(listed: Listed, book: PriceBook) -> Fleet:
    if (listed.csv is None) == (listed.rows is None):
        raise DocumentError([Fault("csv", "send the list either as csv, a text, or as rows, a list of objects")])
    try:
        rows = rows_of_objects(listed.rows or []) if listed.csv is None else rows_of_csv(listed.csv)
    except DocumentError as error:
        raise DocumentError(
            [fault if fault.path == "rows" else fault.within("csv") for fault in error.faults]
        ) from None
    if len(rows) > MOST_LISTED:
        raise DocumentError([Fault("rows", f"are {len(rows)}; {MOST_LISTED} at most")])
    budget, hours = limits_of(listed.budget, listed.crew_hours, book)
    return fleet(rows, book, budget=budget, crew_hours=hours)


def explained_figure(body: Text, role: Role) -> bytes:
    """Return how one figure of a job's estimate came about."""
    question = validated(Question, parse(body), {})
    try:
        return to_json(redact(explained(question.job, read_pricebook(), question.key, at="/key"), role))
    except (DocumentError, JobRefusedError) as error:
        _raise_below(error)


def _raise_below(error: DocumentError | JobRefusedError) -> NoReturn:
    """Raise the error again with paths as they stand in the body: those of the job lie below `job`."""
    faults = [
        Fault("key", fault.message) if fault.path == "/key" else Fault(f"job.{fault.path}".rstrip("."), fault.message)
        for fault in error.faults
    ]
    raise type(error)(faults) from None


def shown(document: bytes, role: Role) -> bytes:
    """Return a document that was kept as a role may see it."""
    return to_json(redact(json.loads(document), role))


# ---------------------------------------------------------------- what is kept


def drawn(job: str, book: str | None) -> Plain:
    """Return what a quote of a job says and stands on."""
    return draw(job, book_of(book))


def shop_book(estimate_text: str) -> bytes:
    """Return the shop's own quote workbook of an estimate."""
    return workbook_of(estimate_text)


def customer_book(estimate_text: str, day: str, issued: As | None, language: str) -> bytes:
    """Return the customer's workbook of an estimate: of a draft of that day, or of what was issued."""
    return customer_book_of(estimate_text, day, issued, language)


def papers(
    estimate_text: str, issued: As, photos: Photos = ()
) -> tuple[bytes, bytes, dict[str, bytes], bytes, dict[str, bytes]]:
    """Return what is frozen as a quote is issued.

    Its two workbooks, its letter by language, the work pack, and the customer's workbook in the other languages.
    """
    number, revision, day, _ = issued
    books = {one: customer_book_of(estimate_text, day, issued, one) for one in languages() if one != USUAL}
    letters, whole = letters_of(estimate_text, issued, photos), workbooks_of(estimate_text, issued)
    return *whole, letters, pack_of(estimate_text, day, f"{number}, revision {revision}"), books


def letter(estimate_text: str, dated: tuple[str, As | None], language: str, photos: Photos = ()) -> bytes:
    """Return the letter of an estimate: of a draft of that day, or of what was issued."""
    return letter_of(estimate_text, *dated, language, photos)


def pack(estimate_text: str, day: str, quote: str) -> bytes:
    """Return the work pack of an estimate, and of which quote, for the field."""
    return pack_of(estimate_text, day, quote)
