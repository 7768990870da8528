"""What the service's description says of invoices and variation orders."""

from typing import Literal

from pydantic import BaseModel

from api.describe.answers import Answer
from estimator.after.frozen import AskedInvoice
from estimator.after.variation import Asked, Settled

__all__ = ["ASKED", "BILLS"]

ASKED: dict[str, type[BaseModel]] = {"AskedInvoice": AskedInvoice, "AskedVariation": Asked, "Settled": Settled}


class TaxedAt(Answer):
    """What is taxed at one rate, and the tax on it."""

    tax_fraction: float
    before_tax: str
    tax: str


class InvoiceLine(Answer):
    """A line of an invoice: `record` and `variation` are what it comes from, `key` tells it from every other line."""

    key: str
    code: Literal["quoted", "variation", "standing"]
    description: str
    said: str
    quantity: float
    unit: str
    unit_price: str
    price: str
    tax_fraction: float
    approved_by: str | None
    record: int | None
    variation: str | None


class Sums(Answer):
    """What lines come to."""

    currency: str
    before_tax: str
    taxes: list[TaxedAt]
    tax: str
    total: str


class Invoice(Sums):
    """The lines of an invoice; what nobody approved is left out, and what is missing stands under `open`."""

    quote: str
    reference: str
    customer: str | None
    purchase_order: str | None
    signature: str | None
    lines: list[InvoiceLine]
    left_out: list[InvoiceLine]
    open: list[str]


class IssuedInvoice(Sums):
    """An invoice as it was frozen; a credit note has the lines of what it cancels, every amount turned round."""

    number: str
    cancels: str | None
    quote: str
    quote_revision: int
    quote_issued_on: str
    issued_on: str
    delivered_on: str
    due_on: str | None
    reference: str
    customer: str | None
    purchase_order: str | None
    lines: list[InvoiceLine]


class InvoiceHead(Answer):
    """An invoice without what it says; numbers have no gaps."""

    number: str
    quote: str
    cancels: str | None
    currency: str
    total: str
    issued_at: str
    sha256: str


class KeptInvoice(InvoiceHead):
    """An invoice; it never changes, and `sha256` is of what it says."""

    invoice: IssuedInvoice


class InvoiceList(Answer):
    """A page of invoices."""

    items: list[InvoiceHead]
    next: str | None


class VariationLine(Answer):
    """A line of a variation order; of more wear also the bore, the wear as quoted and as found."""

    code: Literal["more_wear", "work"]
    description: str
    bore: str | None
    before_mm: float | None
    after_mm: float | None
    quantity: float
    unit: str
    unit_price: str
    price: str
    tax_fraction: float


class OfferedVariation(Sums):
    """A variation order as it was frozen."""

    number: str
    quote: str
    quote_revision: int
    quote_issued_on: str
    dated: str
    reference: str
    customer: str | None
    purchase_order: str | None
    cause: str
    note: str | None
    lines: list[VariationLine]


class VariationHead(Answer):
    """A variation order without what it says."""

    quote: str
    number: str
    state: Literal["offered", "accepted", "declined"]
    currency: str
    total: str
    created_at: str
    settled_at: str | None
    settled: Settled | None
    sha256: str


class KeptVariation(VariationHead):
    """A variation order; what it says never changes, and `sha256` is of that."""

    variation: OfferedVariation


class VariationRow(VariationHead):
    """A variation order in a list."""

    cause: str


class VariationList(Answer):
    """The variation orders of a quote."""

    items: list[VariationRow]
    next: str | None


BILLS = (Invoice, KeptInvoice, InvoiceList, KeptVariation, VariationList)
