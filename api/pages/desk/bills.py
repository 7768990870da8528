"""What follows an accepted quote, by forms: variation orders, who ordered them, invoices and what cancels them."""

import json
from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Request, Response
from sqlmodel import Session
from starlette.exceptions import HTTPException

from api.pages.desk.forms import go_to, known_number, once_of_form, sent_form
from api.routes.bills import do_cancel, do_invoice
from api.routes.stored import in_thread, store_of
from api.routes.variations import do_offer, do_settle_variation
from api.store.bills import find_invoice, invoices_of, variations_of
from api.store.engine import Store
from api.store.models import Quote
from exports.format import amount
from exports.intake.fields import Field
from exports.intake.said import as_said, lone_number, tidy

__all__ = ["bills_of", "router"]

router = APIRouter(include_in_schema=False)
SETTLED = {"accept": "accepted", "decline": "declined"}
WEAR = Field("wear", "Wear a side", "quantity", ("mm", "in"))
DATE = len("2026-11-25")


def bills_of(session: Session, quote: Quote) -> dict[str, Any] | None:
    """Return the variation orders and invoices of a quote as its page lists them; None of one that was not accepted."""
    if quote.state != "accepted":
        return None
    return {
        "variations": [
            {
                "number": row.number,
                "state": row.state,
                "cause": json.loads(row.document)["cause"],
                "total": amount(row.total, row.currency),
            }
            for row in variations_of(session, quote.number)
        ],
        "invoices": [
            {
                "number": row.number,
                "cancels": row.cancels,
                "total": amount(row.total, row.currency),
                "on": row.issued_at[:DATE],
            }
            for row in invoices_of(session, quote.number)
        ],
    }


def asked_variation(fields: Mapping[str, str]) -> dict[str, Any]:
    """Return the variation that a form asks for: more wear by bore, other work at a price."""
    found: dict[str, Any] = {"cause": fields.get("cause", "").strip()}
    currency = fields.get("currency", "")
    bores = list[dict[str, str]]()
    for field, text in fields.items():
        name = field.removeprefix("wear.")
        if name != field and text.strip():
            price = _money(fields.get(f"price.{name}", ""), currency)
            bores.append({"name": name, "wear": _wear(text)} | ({"price": price} if price else {}))
    found |= {"bores": bores} if bores else {}
    if fields.get("work", "").strip():
        found["work"] = [{"description": fields["work"].strip(), "price": _money(fields.get("price", ""), currency)}]
    return found


def _money(text: str, currency: str) -> str:
    """Return an amount as a document has it; the currency behind it may be left out."""
    plain = tidy(text)
    try:
        return f"{plain.replace(',', '.')} {currency}" if lone_number(plain) is not None else plain
    except ValueError:
        return plain  # whoever reads it says what is wrong


def _wear(text: str) -> str:
    try:
        return str(as_said(text, WEAR, "mm"))
    except ValueError:
        return text  # whoever reads it says what is wrong


@router.post("/quotes/{number}/variations")
async def offer(request: Request, number: str) -> Response:
    """Offer a variation of an accepted quote."""
    fields, quote = await sent_form(request), known_number(number)
    await do_offer(request, once_of_form(request, fields), quote, json.dumps(asked_variation(fields)))
    return go_to(f"/quotes/{quote}#bills")


@router.post("/quotes/{number}/variations/{variation}/{verb}")
async def settle(request: Request, number: str, variation: str, verb: str) -> Response:
    """Note what became of a variation order, who said so and how."""
    fields, which = await sent_form(request), (known_number(number), known_number(variation))
    if verb not in SETTLED:
        raise HTTPException(404)
    said = json.dumps({name: fields.get(name, "").strip() for name in ("by", "how")})
    await do_settle_variation(request, once_of_form(request, fields), which, (SETTLED[verb], said))
    return go_to(f"/quotes/{which[0]}#bills")


@router.post("/quotes/{number}/invoices")
async def invoice(request: Request, number: str) -> Response:
    """Invoice what is open of an accepted quote."""
    fields, quote = await sent_form(request), known_number(number)
    delivered = fields.get("delivered", "").strip()
    text = json.dumps({"delivered": delivered} if delivered else {})
    await do_invoice(request, once_of_form(request, fields), quote, text)
    return go_to(f"/quotes/{quote}#bills")


@router.post("/quotes/{number}/invoices/{invoice}/cancel")
async def cancel(request: Request, number: str, invoice: str) -> Response:
    """Cancel an invoice of a quote by a credit note."""
    fields, quote = await sent_form(request), known_number(number)
    if await in_thread(_invoiced, store_of(request), known_number(invoice)) != quote:
        raise HTTPException(404)
    await do_cancel(request, once_of_form(request, fields), known_number(invoice))
    return go_to(f"/quotes/{quote}#bills")


def _invoiced(store: Store, number: int) -> int:
    """Return the quote that an invoice is of."""
    with store.reading() as session:
        return find_invoice(session, number).quote
