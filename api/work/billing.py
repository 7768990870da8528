"""Invoices and variation orders as they are drawn up: plain values in, plain values out, as in `tasks`.

A ground is what `api.store.bills.ground_of` gathered, as a plain object.
"""

import json
from collections.abc import Callable
from typing import Any

from pydantic_core import to_json

from estimator.after.frozen import AskedInvoice, Quoted, credit_note, invoice_document, variation_document
from estimator.after.happened import read_happened
from estimator.after.invoice import invoice
from estimator.after.variation import Settled, read_variation, variation
from estimator.document.redact import Role, redact
from estimator.errors import DocumentError, Fault
from estimator.strict import validated
from exports.papers.languages import languages

__all__ = ["Drawn", "Papers", "cancelled", "invoice_drawn", "lines_open", "settled", "variation_drawn"]

Ground = dict[str, Any]
Papers = dict[str, bytes]  # PDF by language
Drawn = tuple[str, str, str, Papers]  # document, currency, sum with tax, papers


def _lines(ground: Ground, estimate: Any) -> dict[str, Any]:  # noqa: ANN401  # a document of any age
    records = [(row, read_happened(record, estimate)) for row, record in json.loads(ground["records"])]
    return invoice(ground["quote"], estimate, records, json.loads(ground["variations"]), set(ground["billed"]))


def lines_open(ground: Ground, role: Role) -> bytes:
    """Return the lines that a quote is still to be invoiced with."""
    return to_json(redact(_lines(ground, json.loads(ground["estimate"])), role))


def _day(ground: Ground) -> str:
    return str(ground["at"])[: len("2026-11-25")]


def _quoted(ground: Ground) -> Quoted:
    return Quoted(ground["quote"], ground["revision"], ground["quote_issued_on"])


def _drawn(document: dict[str, Any], estimate: Any, paper: Callable[[Any, Any, str], bytes]) -> Drawn:  # noqa: ANN401  # a document of any age
    text = json.dumps(document, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    papers = {language: paper(document, estimate, language) for language in languages()}
    return text, document["currency"], document["total"], papers


def invoice_drawn(ground: Ground, asked: str) -> Drawn | None:
    """Return an invoice of all that is still to be invoiced; None where nothing is. `asked`: what the office said."""
    from exports.papers.bill import invoice_paper  # noqa: PLC0415  # what sets papers is only loaded by who asks for one

    estimate = json.loads(ground["estimate"])
    said = validated(AskedInvoice, json.loads(asked), {})
    lines = _lines(ground, estimate)
    if not lines["lines"]:
        return None
    document = invoice_document(lines, str(ground["number"]), _quoted(ground), estimate, _day(ground), said)
    return _drawn(document, estimate, invoice_paper)


def cancelled(ground: Ground) -> Drawn:
    """Return the credit note that cancels an invoice: its document, the estimate, the note's own number and moment."""
    from exports.papers.bill import invoice_paper  # noqa: PLC0415  # the same

    document = credit_note(json.loads(ground["document"]), str(ground["number"]), _day(ground))
    return _drawn(document, json.loads(ground["estimate"]), invoice_paper)


def variation_drawn(ground: Ground, asked: str) -> Drawn:
    """Return a variation order, as it was asked for."""
    from exports.papers.bill import variation_paper  # noqa: PLC0415  # the same

    estimate = json.loads(ground["estimate"])
    found = variation(read_variation(json.loads(asked), estimate), estimate)
    document = variation_document(found, str(ground["number"]), _quoted(ground), _day(ground))
    return _drawn(document, estimate, variation_paper)


def settled(asked: str) -> str:
    """Return who accepted or declined a variation order and how, as it is kept."""
    data = json.loads(asked)
    if not data:
        raise DocumentError([Fault("by", "is missing: say who of the customer said so")])
    return json.dumps(validated(Settled, data, {}).model_dump(), ensure_ascii=False)
