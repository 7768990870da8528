"""The lines of an invoice: the price as quoted, approved variations, approved standing time, tax once on the sum.

All comes from the frozen estimate and the records, so that an invoice stays what it was whatever the price book does.
"""

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from estimator.after.record import Happened, Standing, Variation
from estimator.estimate import Estimate
from estimator.money.lines import to_minor
from estimator.money.price import taxed

__all__ = ["hour_charged", "invoice"]

HOUR = 3600.0  # [s]
HUNDREDTH = Decimal("0.01")


def hour_charged(cost: Decimal, overhead: Decimal, fraction: Decimal, method: str) -> Decimal:
    """Return what a person-hour that costs so much is charged out at, by the way the price is made. [the currency/h]"""
    borne = cost * (1 + overhead)
    return borne / (1 - fraction) if method == "margin" else borne * (1 + fraction)


def _minor(estimate: Estimate) -> Decimal:
    """Return the smallest amount of an estimate's currency."""
    places = len(estimate["price"]["total"].partition(".")[2])
    return Decimal(1).scaleb(-places)


def _labour(estimate: Estimate) -> Decimal:
    """Return what the quote charges for a person-hour on site."""
    lines, rule = estimate["cost"]["lines"], estimate["price"]["rule"]
    labour = next(line for line in lines if line["code"] == "labour-job")
    cost = Decimal(labour["unit_cost"])
    if not labour["bears_margin"]:
        return cost
    overhead = next((Decimal(repr(line["quantity"])) for line in lines if line["code"] == "overhead"), Decimal(0))
    return hour_charged(cost, overhead, Decimal(repr(rule["fraction"])), rule["method"])


def invoice(quote: str, estimate: Estimate, records: Sequence[tuple[int, Happened]]) -> dict[str, Any]:
    """Return the lines of a quote's invoice.

    Parameters
    ----------
    quote
        Number of the accepted quote.
    estimate
        The quote's frozen estimate document.
    records
        What happened, each record with its number; none that was replaced.

    Returns
    -------
    dict[str, Any]
        Lines and sums as money texts; what was not approved stands under `left_out`, what is missing under `open`.
    """
    minor, price = _minor(estimate), estimate["price"]
    lines = [
        _line("quoted", f"repair as quoted, quote {quote}", Decimal(1), "job", Decimal(price["before_tax"]), minor)
    ]
    left_out: list[dict[str, Any]] = []
    for number, record in records:
        items: tuple[Variation | Standing, ...] = (*record.variations, *record.standing)
        for item in items:
            line = _extra(item, estimate, minor) | {"record": number}
            (lines if item.approved_by else left_out).append(line)
    before = sum((Decimal(line["price"]) for line in lines), Decimal(0))
    tax = taxed(before, Decimal(repr(price["rule"]["tax"])), str(minor))
    return {
        "quote": quote,
        "reference": estimate["reference"],
        "customer": estimate["job"]["customer"],
        "purchase_order": _last(records, "purchase_order") or estimate["job"].get("purchase_order"),
        "signature": _last(records, "signature"),
        "currency": price["currency"],
        "lines": lines,
        "before_tax": f"{before:f}",
        "tax": f"{tax:f}",
        "total": f"{before + tax:f}",
        "left_out": left_out,
        "open": _open(records, left_out, estimate["job"].get("purchase_order")),
    }


def _line(code: str, text: str, quantity: Decimal, unit: str, unit_price: Decimal, minor: Decimal) -> dict[str, Any]:
    price = to_minor(quantity * unit_price, str(minor))
    return {
        "code": code,
        "description": text,
        "quantity": float(quantity),
        "unit": unit,
        "unit_price": f"{unit_price:f}",
        "price": f"{price:f}",
        "approved_by": None,
        "record": None,
    }


def _extra(item: Variation | Standing, estimate: Estimate, minor: Decimal) -> dict[str, Any]:
    """Return the line of a variation or of standing time."""
    if isinstance(item, Variation):
        line = _line("variation", item.description, Decimal(1), "each", item.price.amount, minor)
    else:
        hours = (Decimal(repr(item.time)) * item.people / Decimal(repr(HOUR))).quantize(HUNDREDTH, ROUND_HALF_UP)
        charged = item.rate.amount if item.rate else to_minor(_labour(estimate), str(minor))
        line = _line("standing", f"standing time: {item.reason}", hours, "h", charged, minor)
    return line | {"approved_by": item.approved_by}


def _last(records: Sequence[tuple[int, Happened]], key: str) -> str | None:
    """Return what was recorded last under a key."""
    return next((said for _, record in reversed(records) if (said := getattr(record, key))), None)


def _open(records: Sequence[tuple[int, Happened]], left_out: list[dict[str, Any]], ordered: str | None) -> list[str]:
    """Return what is to be settled before the invoice goes out; `ordered`: the purchase order named in the job."""
    said = [] if _last(records, "purchase_order") or ordered else ["no purchase order is recorded"]
    said += [] if _last(records, "signature") else ["nobody's signature is recorded"]
    return said + [f"{line['code']} without approval: {line['description']}" for line in left_out]
